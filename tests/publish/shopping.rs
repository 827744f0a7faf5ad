//! What is to be got, worked by hand: pots and mix as the last planting of the crop had them, feed as the last
//! feeding took.

use serde_json::Value;

use crate::garden::Written;

fn garden() -> Written {
    Written::new()
        .also_set("stock: [{what: leaf food, amount: 10 ml}]")
        .with("mixes/house-mix.md", "---\nname: house mix\nparts: {compost: 3, sand: 1}\nsettles: 20%\n---\n")
        .with(
            "mixes/leaf-feed.md",
            "---\nname: leaf-feed\nlabel: {n: 6, p2o5: 3, k2o: 4}\ndensity: 1.1 kg per L\ndose: 20 ml per 5 L\n---\n",
        )
        .entry("2025-03-01", "plantings: [{id: tom-25, crop: tomato, sown: 6, place: Pot}]", "")
        .entry(
            "2025-04-20",
            "events: [{planting: tom-25, is: potted on, count: 6, pot: 2 L pot, mix: house mix}]",
            "",
        )
        .entry("2025-05-25", "events: [{planting: tom-25, is: planted out, place: Bed}]", "")
        .entry("2025-09-01", "events: [{planting: tom-25, is: finished}]", "")
        .entry("2026-05-20", "plantings: [{id: tom-26, crop: tomato, sown: 5, place: Pot, for: Bed}]", "")
        .entry("2026-05-29", "events: [{planting: tom-26, is: emerged, count: 4}]", "")
}

/// The list of the four weeks.
fn list(garden: &Written) -> Value {
    garden.site().data()["shopping"][0].clone()
}

#[test]
fn pots_and_mix_are_those_of_last_time() {
    let list = list(&garden().on("2026-06-14"));
    assert_eq!(list["span"], "four weeks");
    let pots = list["pots"].as_array().unwrap();
    assert_eq!(pots.len(), 1, "{list:#}");
    assert_eq!((&pots[0]["planting"], &pots[0]["number"]), (&"tom-26".into(), &4.into()));
    // Potted on 50 days after sowing last time: 20 May and 50 days.
    assert_eq!(pots[0]["day"], "2026-07-09");
    assert!(pots[0]["pot"].as_str().unwrap().contains("2 L"), "{list:#}");
    // 4 pots of 2 L.
    let mixes = list["mixes"].as_array().unwrap();
    assert_eq!((&mixes[0]["name"], mixes[0]["pots_l"].as_f64()), (&"house mix".into(), Some(8.0)));
}

#[test]
fn feed_is_as_much_as_last_time() {
    let garden = garden()
        .entry(
            "2026-06-10",
            "events: [{planting: tom-26, is: potted on, count: 4, pot: 2 L pot}]",
            "",
        )
        .entry(
            "2026-06-12",
            "care: [{planting: tom-26, did: feed, with: leaf-feed, each: 200 ml}]",
            "",
        )
        .on("2026-06-20");
    let list = list(&garden);
    let feeds = list["feeds"].as_array().unwrap();
    let feed = feeds.iter().find(|feed| feed["name"] == "leaf-feed").unwrap();
    let feedings = feed["feedings"].as_f64().unwrap();
    assert!(feedings >= 1.0 && feed["untold"] == 0, "{feed:#}");
    // 4 plants of 200 ml a feeding; 20 ml in 5 L are 4 ml in each litre.
    let near = |key: &str, wanted: f64| {
        let found = feed[key].as_f64().unwrap();
        assert!((found - wanted).abs() < 0.06, "{key}: {found}, not {wanted} in {feed:#}");
    };
    near("ready_l", feedings * 0.8);
    near("product_ml", feedings * 0.8 * 4.0);
}
