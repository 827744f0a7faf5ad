//! Seed through the whole trip: what was written becomes a number of seeds, a packet, a shopping list, a full tray.
//!
//! The numbers are SciPy's 1.17.1 (`stats.betabinom`), worked out by hand from the model as it is described.

use crate::support::garden::Written;

fn data(written: &Written) -> serde_json::Value {
    let (site, _) = written.site_and_problems();
    site.data()
}

fn with_trays(trays: &str) -> Written {
    Written::new().on("2026-04-20").with(
        "places/sill.md",
        &format!("---\nname: Sill\nkind: tray\n{trays}\ncover: indoors\ntemperature: 20 °C\n---\n"),
    )
}

/// Nothing was sown before: turnip comes up with 80 % (7 CFR 201.31), ρ = 0.1, and is sown where it grows.
/// `betabinom(n, 7.2, 1.8).sf(9) >= 0.9` for the first time at n = 17.
#[test]
fn the_sheet_tells_where_nothing_was_sown() {
    let garden = Written::new().on("2026-04-20").entry(
        "2026-04-01",
        "plantings: [{id: t-26, crop: turnip, aim: 10, for: bed}]",
        "",
    );
    let data = data(&garden);
    let sowing = &data["seeds"]["sowings"][0];
    assert_eq!(sowing["share_up"], 0.8);
    assert_eq!(sowing["share_lives"], serde_json::Value::Null);
    assert_eq!(sowing["seeds"], 17);
}

/// Rocket has no share on its sheet: no number is better than a guessed one.
#[test]
fn no_rate_anywhere_is_said() {
    let entry = "plantings: [{id: r-26, crop: rocket, aim: 20, for: bed}]";
    let garden = Written::new().on("2026-04-20").entry("2026-04-01", entry, "");
    assert_eq!(data(&garden)["seeds"]["sowings"][0]["seeds"], serde_json::Value::Null);
    let (site, _) = garden.site_and_problems();
    assert!(site.text("plantings/r-26/index.html").contains("How much to sow, nobody can say yet"));
}

/// A test is matched by crop and year; of the packet 14 of 50 seeds are left, which are too few.
#[test]
fn a_packet_is_tested_used_up_and_bought_again() {
    let seed = "seed: {from: market, year: 2025, packet: 50}";
    let garden = Written::new()
        .on("2026-04-20")
        .entry("2025-04-10", &format!("plantings: [{{id: t-25, crop: turnip, variety: Low Moon, sown: 36, place: bed, {seed}}}]"), "")
        .entry("2025-05-01", "events: [{planting: t-25, is: emerged, count: 30}]", "")
        .entry("2025-07-01", "events: [{planting: t-25, is: finished}]", "")
        .entry("2026-02-01", "tests: [{seed: turnip seed 2025, tried: 10, sprouted: 3, days: 6}]", "")
        .entry("2026-04-01", &format!("plantings: [{{id: t-26, crop: turnip, variety: Low Moon, aim: 12, place: bed, {seed}}}]"), "");
    let data = data(&garden);
    let packet = &data["seeds"]["packets"][0];
    assert_eq!((&packet["left"], &packet["size"]), (&14.into(), &50.into()));
    assert_eq!(data["seeds"]["tests"][0]["variety"], "Low Moon");
    let need = &data["shopping"][0]["seeds"][0];
    assert_eq!((&need["planting"], &need["supply"]), (&"t-26".into(), &"short".into()));
    // Below the sheet's 80 % since the test, above the test's 30 % since the tray.
    let share = data["seeds"]["sowings"][0]["share_up"].as_f64().unwrap();
    assert!((0.45..0.75).contains(&share), "{share}");
}

/// 16 and 12 seeds in 24 cells are too many, in 30 they are not.
#[test]
fn an_overfull_tray_is_warned() {
    let entry = "plantings:\n  - {id: c-26, crop: cabbage, sown: 16, place: sill, for: bed, aim: 8}\n  - {id: k-26, crop: kohlrabi, sown: 12, place: sill, for: bed, aim: 8}";
    let told = |trays: &str| {
        let (site, problems) = with_trays(trays).entry("2026-04-18", entry, "").site_and_problems();
        let data = site.data();
        assert_eq!(data["raising"][0]["weeks"][0]["taken"], 28.0);
        let codes: Vec<_> = problems.iter().map(|problem| problem.code.word()).collect();
        let on_page = site.text("places/sill/index.html").contains("there is too little room");
        assert_eq!(on_page, codes.contains(&"raising-crowded"), "{codes:?}");
        on_page
    };
    assert!(told("trays: 2\ncells: 12"));
    assert!(!told("trays: 2\ncells: 15"));
}
