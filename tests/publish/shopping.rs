//! What is to be got, worked by hand: pots and mix as the last planting of the crop had them, feed as the last
//! feeding took.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::support::garden::Written;

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
    garden.site_and_problems().0.data()["shopping"][0].clone()
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

/// The words of the list of the four weeks, item by item.
fn items(garden: &Written) -> Vec<String> {
    let site = garden.site_and_problems().0;
    let page = site.text("shopping/index.html").replace('\u{a0}', " ");
    let lists = page.split("<ul class=\"to-get\">").skip(1);
    let lists = lists.map(|list| list.split("</ul>").next().unwrap().to_owned());
    let items =
        lists.flat_map(|list| list.split("<li").skip(1).map(str::to_owned).collect::<Vec<_>>());
    let plain = |item: String| {
        let words = item.split('<').map(|part| part.split_once('>').map_or("", |(_, words)| words));
        words.collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
    };
    items.map(plain).collect()
}

/// Two mixes of which each takes 8 L of sand, more or less, and one bag of 10 L: the second does not find it again.
#[test]
fn a_bag_is_counted_once() {
    let garden = garden()
        .with("mixes/sharp-mix.md", "---\nname: sharp mix\nparts: {sand: 1}\n---\n")
        .with("mixes/house-mix.md", "---\nname: house mix\nparts: {sand: 1}\n---\n")
        .with("places/tub.md", "---\nname: Tub\nkind: container\nvolume: 8 L\nsoil: sharp mix\n---\n")
        .entry("2026-06-01", "plantings: [{id: tub-tom, crop: tomato, bought: 1, at: potted on, place: Pot, for: Tub}]", "")
        .also_set("stock: [{what: sand, amount: 10 L}]")
        .on("2026-06-14");
    let sand: Vec<String> =
        items(&garden).into_iter().filter(|item| item.starts_with("sand")).collect();
    assert_eq!(sand.len(), 2, "{:#?}", items(&garden));
    assert!(sand[0].ends_with("Have."), "{sand:?}");
    // 10 L less the 8 L of the four pots.
    assert!(sand[1].contains("Get 6 L more; 2 L are there."), "{sand:?}");
}

/// Four came up, so four pots are needed, whatever was meant; three are in the store.
#[test]
fn pots_are_for_plants_that_there_are() {
    let wanted = garden()
        .with("journal/2025-03-01-00005.md", "---\ndate: 2025-03-01\nplantings: [{id: tom-25, crop: tomato, aim: 6, sown: 6, place: Pot}]\n---\n")
        .with("journal/2026-05-20-00009.md", "---\ndate: 2026-05-20\nplantings: [{id: tom-26, crop: tomato, aim: 9, sown: 12, place: Pot, for: Bed}]\n---\n")
        .also_set("stock: [{what: 2 L pots, amount: 3}]")
        .on("2026-06-14");
    let pots = list(&wanted)["pots"].clone();
    assert_eq!(pots[0]["number"], 4, "{pots:#}");
    let pot = items(&wanted).into_iter().find(|item| item.contains("× 2 L pot")).unwrap();
    assert!(pot.contains("Get about 1 more; 3 are there."), "{pot}");
}

/// Of a packet with 10 seeds left two sowings cannot both have them.
#[test]
fn a_packet_is_counted_once() {
    let garden = Written::new()
        .entry("2026-05-01", "plantings: [{id: one, crop: dwarf bean, sown: 90, place: Bed, seed: {from: Mill, year: 2026, packet: 100}}]", "")
        .entry("2026-05-18", "plantings: [{id: two, crop: dwarf bean, for: Bed, aim: 40}, {id: three, crop: dwarf bean, for: Bed, aim: 40}]", "")
        .on("2026-05-20");
    let seed: Vec<String> =
        items(&garden).into_iter().filter(|item| item.starts_with("dwarf bean")).collect();
    assert_eq!(seed.len(), 2, "{seed:?}");
    assert!(seed[0].contains("Get. The packet has only 10 seeds"), "{seed:?}");
    assert!(seed[1].ends_with("Get. The packet is used up before it."), "{seed:?}");
}

/// The list says what to get and what is there, and nothing else.
#[test]
fn each_line_says_get_or_have() {
    for garden in [garden().on("2026-06-14"), Written::demo().on("2026-03-10")] {
        let items = items(&garden);
        assert!(!items.is_empty());
        for item in items {
            assert!(item.contains("Get") != item.contains("Have"), "{item}");
        }
    }
}

/// What is to be sown, the seed for it and the page of its planting say the same: which plantings, from when, how many
/// seeds; and one that was never sown has come to nothing.
#[test]
fn shopping_tasks_and_pages_agree_about_what_is_to_be_sown() {
    let garden = Written::new()
        .entry(
            "2026-02-01",
            "plantings: [{id: bean, crop: dwarf bean, for: Bed, aim: 12}, \
             {id: let, crop: lettuce, place: Bed, aim: 12, sow-again: {every: 3 weeks, until: 08-15}}, \
             {id: never, crop: spinach, for: Bed, aim: 30}]",
            "",
        )
        .entry("2026-05-08", "events: [{planting: let, is: sown, count: 20}]", "")
        .entry("2026-05-31", "events: [{planting: let, is: sown again, count: 20}]", "");
    for on in ["2026-02-02", "2026-04-20", "2026-06-02", "2026-06-25", "2026-12-01"] {
        let data = garden.clone().on(on).site_and_problems().0.data();
        let list = &data["shopping"][0];
        let last = list["to"].as_str().unwrap();
        let tasks: BTreeMap<&str, &Value> = data["tasks"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|task| task["what"] == "sow" && task["due"].as_str().unwrap() <= last)
            .map(|task| (task["planting"].as_str().unwrap(), task))
            .collect();
        let needs: BTreeMap<&str, &Value> = list["seeds"]
            .as_array()
            .unwrap()
            .iter()
            .map(|need| (need["planting"].as_str().unwrap(), need))
            .collect();
        assert_eq!(needs.keys().collect::<Vec<_>>(), tasks.keys().collect::<Vec<_>>(), "{on}");
        for (planting, need) in needs {
            assert_eq!(need["when"]["from"], tasks[planting]["due"], "{on}: {planting}");
            let sowings = data["seeds"]["sowings"].as_array().unwrap();
            let sowing = sowings.iter().find(|sowing| sowing["planting"] == planting).unwrap();
            assert_eq!(need["seeds"], sowing["seeds"], "{on}: {planting}");
        }
        let plantings = data["plantings"].as_array().unwrap();
        let never = plantings.iter().find(|planting| planting["id"] == "never").unwrap();
        let came =
            never["stages"].as_array().unwrap().iter().any(|stage| stage["actual"] != Value::Null);
        assert!(!came, "{on}: {never}");
    }
}
