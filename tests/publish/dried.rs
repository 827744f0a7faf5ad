//! What is weighed fresh and once more when it is dry is one crop with two weights.

use serde_json::{Value, json};

use crate::support::garden::{Site, Written};

fn garlic() -> Written {
    Written::new()
        .entry("2025-10-12", "plantings: [{id: gar, crop: garlic, planted: 40, place: Bed}]", "")
        .on("2026-09-01")
}

fn picked(site: &Site, id: &str) -> Value {
    let data = site.data();
    let sums = data["yields"]["sums"].as_array().unwrap();
    sums.iter().find(|sum| sum["of"] == format!("planting={id}")).unwrap().clone()
}

#[test]
fn bulbs_that_are_weighed_twice_are_picked_once() {
    let garden = garlic()
        .entry("2026-07-06", "harvests: [{planting: gar, weight: 3.1 kg, count: 37}]", "")
        .entry(
            "2026-08-04",
            "harvests: [{planting: gar, weight: 2.2 kg, count: 37, cured: true}]",
            "",
        );
    let site = garden.site();
    let picked = picked(&site, "gar");
    assert_eq!(picked["counts"], json!({"bulbs": 37}), "{picked}");
    assert_eq!((&picked["fresh_g"], &picked["cured_g"]), (&json!(3100.0), &json!(2200.0)));
    assert_eq!((&picked["pickings"], &picked["last"]), (&json!(1), &json!("2026-07-06")));
}

#[test]
fn some_eaten_fresh_and_the_others_dried_are_all_counted() {
    let garden = garlic().entry("2026-07-06", "harvests: [{planting: gar, count: 5}]", "").entry(
        "2026-08-04",
        "harvests: [{planting: gar, weight: 2 kg, count: 32, cured: true}]",
        "",
    );
    let picked = picked(&garden.site(), "gar");
    assert_eq!((&picked["counts"], &picked["pickings"]), (&json!({"bulbs": 37}), &json!(2)));
}

#[test]
fn some_of_many_chillies_are_dried() {
    let garden = Written::new()
        .entry(
            "2026-04-01",
            "plantings: [{id: chi, crop: pepper, bought: 3, at: planted out, place: Bed}]",
            "",
        )
        .entry("2026-07-06", "harvests: [{planting: chi, weight: 900 g, count: 90}]", "")
        .entry("2026-07-20", "harvests: [{planting: chi, weight: 300 g, count: 30}]", "")
        .entry(
            "2026-08-04",
            "harvests: [{planting: chi, weight: 100 g, count: 50, cured: true}]",
            "",
        )
        .on("2026-09-01");
    let picked = picked(&garden.site_and_problems().0, "chi");
    assert_eq!((&picked["counts"], &picked["pickings"]), (&json!({"fruits": 120}), &json!(2)));
}
