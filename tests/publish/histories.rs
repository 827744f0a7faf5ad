//! Histories of plantings: sown again, split, perennial, picked together, destined.

use serde_json::json;

use crate::support::garden::Written;

#[test]
fn a_succession_becomes_plantings_of_its_own() {
    let site = Written::new()
        .entry("2026-04-01", "plantings: [{id: rad, crop: radish, sown: 30, for: Bed, place: Bed, sow-again: {every: 3 weeks, until: 06-10}}]", "")
        .on("2026-04-02")
        .site();
    // 22 April, 13 May, 3 June; the fourth would be 24 June, after the last day.
    let ids: Vec<String> = site.data()["plantings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|planting| planting["id"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(ids, ["rad", "rad-2", "rad-3", "rad-4"]);
    assert_eq!(site.planting("rad-2")["stage"], "intended");
    assert!(site.files.contains_key("plantings/rad-4/index.html"));

    // A sowing that really happened takes the place of the planned one.
    let site = Written::new()
        .entry("2026-04-01", "plantings: [{id: rad, crop: radish, sown: 30, place: Bed, sow-again: {every: 3 weeks, until: 06-10}}]", "")
        .entry("2026-04-23", "plantings: [{id: rad-2, crop: radish, sown: 25, place: Pot}]", "")
        .entry("2026-05-14", "events: [{planting: rad-3, is: sown, count: 20, place: Bed}]", "")
        .site();
    assert_eq!(site.data()["plantings"].as_array().unwrap().len(), 4);
    assert_eq!(
        (&site.planting("rad-2")["stage"], &site.planting("rad-2")["plants"]),
        (&json!("sown"), &json!(25))
    );
    assert_eq!(
        (&site.planting("rad-3")["stage"], &site.planting("rad-3")["plants"]),
        (&json!("sown"), &json!(20))
    );
    assert_eq!(site.planting("rad-4")["stage"], "intended");
}

#[test]
fn a_split_keeps_the_history_and_counts_each_plant_once() {
    let site = Written::new()
        .entry(
            "2026-03-01",
            "plantings: [{id: tom, crop: tomato, variety: Roma, sown: 12, place: Bed}]",
            "",
        )
        .entry("2026-03-12", "events: [{planting: tom, is: emerged, count: 10}]", "")
        .entry(
            "2026-05-20",
            "events: [{planting: tom, is: planted out, count: 4, as: tom-bed, place: Bed}]",
            "",
        )
        .entry(
            "2026-06-15",
            "harvests: [{planting: tom-bed, weight: 300 g}, {planting: tom, weight: 200 g}]",
            "",
        )
        .site();
    let (rest, split) = (site.planting("tom"), site.planting("tom-bed"));
    assert_eq!((&rest["plants"], &split["plants"]), (&json!(6), &json!(4)));
    // Both were picked.
    assert_eq!((&split["stage"], &rest["stage"]), (&json!("fruiting"), &json!("fruiting")));
    assert_eq!(split["variety"], "Roma");
    let sown = |planting: &serde_json::Value| {
        let stages = planting["stages"].as_array().unwrap();
        stages.iter().find(|stage| stage["stage"] == "sown").unwrap()["actual"].clone()
    };
    assert_eq!((sown(&split), sown(&rest)), (json!("2026-03-01"), json!("2026-03-01")));
    assert_eq!(site.stays("tom-bed"), ["bed 2026-05-20 now"]);
    assert_eq!(site.stays("tom"), ["bed 2026-03-01 now"]);
    assert_eq!(
        (&split["harvest"]["weight_g"], &rest["harvest"]["weight_g"]),
        (&json!(300.0), &json!(200.0))
    );
    assert!(site.text("plantings/tom-bed/index.html").contains("plantings/tom/index.html"));
}

#[test]
fn a_perennial_starts_anew_each_season() {
    let garden = Written::new()
        .entry("2024-04-01", "plantings: [{id: rhubarb, crop: rhubarb, planted: 3, place: Bed, lasts: years}]", "")
        .entry("2025-04-10", "events: [{planting: rhubarb, is: flowering}]\nharvests: [{planting: rhubarb, weight: 1 kg}]", "")
        .entry("2026-04-12", "events: [{planting: rhubarb, is: flowering}]\nharvests: [{planting: rhubarb, weight: 2 kg}]", "");
    let site = garden.site();
    let planting = site.planting("rhubarb");
    assert_eq!((&planting["stage"], &planting["plants"]), (&json!("flowering"), &json!(3)));
    assert_eq!(site.stays("rhubarb"), ["bed 2024-04-01 now"]);
    // Its page says all it ever gave; the seasons' pages each their own.
    assert_eq!(planting["harvest"]["weight_g"], 3000.0);
    // (Above these sums a season is drawn beside earlier ones, and below they stand season by season.)
    let sums = |path: &str| {
        let below = site.text(path).split_once("id=\"by-month\"").unwrap().1;
        below.split_once("id=\"by-season\"").unwrap().0.to_owned()
    };
    assert!(sums("harvests/index.html").contains("2.00\u{a0}kg"));
    assert!(!sums("harvests/index.html").contains("1.00\u{a0}kg"));
    assert!(sums("harvests/2025/index.html").contains("1.00\u{a0}kg"));
    // An annual that flowers twice would be out of order.
    let annual = Written::new()
        .entry("2025-03-01", "plantings: [{id: pea, crop: pea, sown: 9, place: Bed}]", "")
        .entry("2025-06-01", "events: [{planting: pea, is: fruiting}]", "")
        .entry("2026-05-01", "events: [{planting: pea, is: flowering}]", "");
    assert_eq!(annual.site_and_problems().1.len(), 1);
}

#[test]
fn what_was_picked_together_is_never_split() {
    let site = Written::new()
        .entry("2026-03-01", "plantings: [{id: rocket-a, crop: rocket, sown: 50, place: Bed}, {id: lett-a, crop: lettuce, sown: 20, place: Pot}, {id: lett-b, crop: lettuce, sown: 20, place: Bed}]", "")
        .entry("2026-05-01", "harvests:\n  - {planting: [rocket-a, lett-a], weight: 240 g}\n  - {planting: [lett-a, lett-b], weight: 100 g}\n  - {planting: lett-a, weight: 70 g}", "")
        .site();
    let weight = |id: &str| site.planting(id)["harvest"]["weight_g"].clone();
    assert_eq!(
        (weight("rocket-a"), weight("lett-a"), weight("lett-b")),
        (json!(null), json!(70.0), json!(null))
    );
    let harvests = site.data()["harvests"].as_array().unwrap().clone();
    let pairs: Vec<_> = harvests
        .iter()
        .map(|h| (h["planting"].as_str().unwrap(), h["weight_g"].as_f64().unwrap()))
        .collect();
    assert!(pairs.contains(&("rocket-a + lett-a", 240.0)), "{pairs:?}");
    assert_eq!(pairs.iter().map(|(_, weight)| weight).sum::<f64>(), 410.0);
    // Two plantings of one crop: the crop's own; of two crops: nobody's alone.
    assert!(site.text("crops/lettuce/index.html").contains("170\u{a0}g"));
    let table = site.text("harvests.csv");
    assert_eq!(table.lines().filter(|line| line.starts_with("2026-05-01")).count(), 3, "{table}");
}

#[test]
fn the_destination_counts_once_they_are_planted_out() {
    let garden = Written::new()
        .entry("2026-03-01", "plantings: [{id: tom, crop: tomato, sown: 6, place: Pot, for: Bed}, {id: leek, crop: leek, aim: 40, for: Bed}]", "")
        .entry("2026-05-20", "events: [{planting: tom, is: planted out, count: 4}]", "");
    let before = garden.clone().on("2026-05-19");
    assert_eq!(before.site_and_problems().0.stays("tom"), ["pot 2026-03-01 now"]);
    let site = garden.site();
    // Two seeds stay behind in the pot, but seeds that never came up hold no place.
    assert_eq!(site.stays("tom"), ["pot 2026-03-01 2026-05-20", "bed 2026-05-20 now"]);
    let leek = site.planting("leek");
    assert_eq!(
        (&leek["stage"], &leek["plants"], &leek["place"]),
        (&json!("intended"), &json!(null), &json!(null))
    );
    assert_eq!(site.stays("leek"), Vec::<String>::new());
    assert!(site.text("plantings/leek/index.html").contains("places/bed/index.html"));
}

#[test]
fn losses_gifts_and_thinnings_come_off_the_count() {
    let site = Written::new()
        .entry("2026-03-01", "plantings: [{id: tom, crop: tomato, sown: 20, place: Pot}]", "")
        .entry("2026-03-12", "events: [{planting: tom, is: emerged, count: 16}, {planting: tom, is: thinned, count: 3}]", "")
        .entry("2026-04-01", "events: [{planting: tom, is: given away, count: 5}, {planting: tom, is: lost, count: 2, because: slugs}]", "")
        .site();
    assert_eq!(site.planting("tom")["plants"], 6);
    let all = Written::new()
        .entry("2026-03-01", "plantings: [{id: tom, crop: tomato, planted: 5, place: Bed}]", "")
        .entry("2026-04-01", "events: [{planting: tom, is: lost, count: 5}]", "")
        .site();
    assert_eq!(all.planting("tom")["stage"], "finished");
    assert_eq!(all.stays("tom"), ["bed 2026-03-01 2026-04-01"]);
}

#[test]
fn a_guess_stays_a_guess_and_the_unknown_unknown() {
    let site = Written::new()
        .entry("2026-03-01", "plantings: [{id: a, crop: carrot, sown: about 200, place: Bed}, {id: b, crop: carrot, sown: unknown, place: Bed}]", "")
        .site();
    assert_eq!(
        (&site.planting("a")["plants"], &site.planting("b")["plants"]),
        (&json!(200), &json!(null))
    );
    assert!(site.text("plantings/a/index.html").contains("about 200\u{a0}plants"));
}
