//! Other gardens' garden.json beside one's own journal.

use chrono::{Days, NaiveDate};
use serde_json::Value;

use crate::support::garden::{Written, day};

/// A garden whose lettuces take so many days from sowing to the first picking, in three seasons.
fn lettuces(name: &str, days: u64) -> Written {
    let settings = format!(
        "name: {name}\nplace: {{latitude: 47.41, longitude: 8.54, time-zone: Europe/Zurich}}\n"
    );
    let mut garden = Written::new().settings(&settings);
    for year in [2023, 2024, 2025] {
        for (number, variety) in ["Amber", "Frill", "Amber"].into_iter().enumerate() {
            let sown = NaiveDate::from_ymd_opt(year, 4, 10).unwrap() + Days::new(number as u64 * 9);
            let id = format!("salad-{year}-{number}");
            let begun = format!(
                "plantings: [{{id: {id}, crop: lettuce, variety: {variety}, sown: 20, place: Bed}}]"
            );
            let picked = sown + Days::new(days + number as u64);
            garden = garden.entry(&sown.to_string(), &begun, "").entry(
                &picked.to_string(),
                &format!("harvests: [{{planting: {id}, weight: 200 g}}]\nevents: [{{planting: {id}, is: finished}}]"),
                "",
            );
        }
    }
    garden
}

fn beginner() -> Written {
    let begun = "plantings: [{id: salad-26, crop: lettuce, variety: Amber, sown: 20, place: Bed}]";
    Written::new().entry("2026-04-15", begun, "The first.").on("2026-04-20")
}

/// The days from sowing to the first picking that a planting of the day expects.
fn expected(data: &Value) -> (i64, i64) {
    let planting = data["plantings"].as_array().unwrap().iter().find(|p| p["id"] == "salad-26");
    let stages = planting.unwrap()["stages"].as_array().unwrap();
    let range = &stages.iter().find(|s| s["stage"] == "first harvest").unwrap()["expected"];
    let from = |key: &str| (day(range[key].as_str().unwrap()) - day("2026-04-15")).num_days();
    (from("from"), from("to"))
}

/// A first season starts with what five neighbours know, and the pages say so.
#[test]
fn a_beginner_starts_with_what_the_neighbours_know() {
    let alone = beginner().site();
    let mut garden = beginner().also_set("neighbours: [club, old/anna.json]");
    for (number, days) in [74, 76, 78, 77].into_iter().enumerate() {
        let site = lettuces(&format!("Garden {number}"), days).site();
        garden = garden.with(&format!("club/{number}.json"), site.text("garden.json"));
    }
    garden = garden.with("old/anna.json", lettuces("Anna's", 75).site().text("garden.json"));
    let together = garden.site();
    let (alone, club) = (expected(&alone.data()), expected(&together.data()));
    assert!(alone.1 < 77, "the table is quicker: {alone:?}");
    assert!(club.0 <= 77 && 77 <= club.1, "{club:?}");
    assert!(club.1 - club.0 <= 2 * (alone.1 - alone.0), "{club:?} {alone:?}");
    let page = together.text("plantings/salad-26/index.html");
    assert!(page.contains("from 5 neighbours’ gardens"), "{page}");
    let page = together.text("crops/lettuce/index.html");
    assert!(page.contains("from 5 neighbours’ gardens"), "{page}");
    assert!(!together.data().to_string().contains("Anna"), "neighbours are not named");
}

/// A garden of the tropics tells nothing to one of the Alps.
#[test]
fn another_climate_is_not_listened_to() {
    let far = "name: Far\nplace: Singapore\n";
    let far = lettuces("Far", 60).settings(far).site();
    let garden =
        beginner().also_set("neighbours: far.json").with("far.json", far.text("garden.json"));
    assert_eq!(expected(&garden.site().data()), expected(&beginner().site().data()));
}

/// What came of a planting can be read again as it was written, and nothing unfinished is told.
#[test]
fn how_long_it_took_is_in_the_data_file() {
    let garden = lettuces("Garden", 50).entry(
        "2026-04-15",
        "plantings: [{id: salad-26, crop: lettuce, sown: 20, place: Bed}]",
        "",
    );
    let data = garden.site_and_problems().0.data();
    let took = data["took"].as_array().unwrap();
    assert_eq!(took.len(), 9);
    let first = &took[0];
    assert_eq!((&first["from"], &first["days"]), (&Value::from("2023-04-10"), &Value::from(50.0)));
    assert_eq!(
        (&first["what"], &first["season"]),
        (&Value::from("sown to first harvest"), &Value::from(2023))
    );
}
