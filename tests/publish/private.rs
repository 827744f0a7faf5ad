//! A private entry counts, and says nothing.
//!
//! Each word that must not appear is one that nothing else in the world would contain.

use crate::support::garden::{Site, Written};

/// Words of the private entry, where each stands.
const SECRETS: &[&str] = &[
    "qzitle",
    "qzprose",
    "qznote",
    "qzbecause",
    "qztag",
    "qzpath",
    "qzphoto",
    "qzshows",
    "qzseen",
    "qzbad",
    "qzquality",
    "qzweather",
    "qzpot",
    "qzagainst",
    "qzcost",
    "qzsupplier",
    "qztestseed",
    "qzlabel",
    "qzvariety",
    "qzid",
    "qzas",
    "qzunit",
    "qzwith",
    "qzjob",
    "987.65",
];

fn garden() -> Written {
    let front = "\
title: Qzitle visit
private: true
plantings:
  - {id: pea-26, crop: pea, sown: 30, place: Bed, note: qznote one, seed: {from: Qzsupplier, year: 2025}}
  - {id: leek-26, crop: leek, aim: 12, for: Bed, note: qznote two}
  - {id: qzid-26, crop: kale, variety: Qzvariety Curled, sown: 9, place: Bed}
events:
  - {planting: tom-26, is: potted on, count: 4, place: Pot, pot: qzpot 9 cm, because: qzbecause roots, note: qznote three}
  - {planting: tom-26, is: lost, count: 2, because: qzbecause slugs}
  - {planting: qzid-26, is: emerged, count: 7, variety: Qzvariety Green, as: qzas-26, place: Bed}
  - {planting: tom-26, is: moved, count: 1, as: tom-late, place: Bed, note: qznote four}
care:
  - {planting: tom-26, did: water, amount: 2 L, note: qznote five}
  - {planting: tom-26, did: treat, with: soap spray, against: qzagainst aphids, wait: 3 days, note: qznote six}
  - {planting: tom-26, did: treat, with: qzwith brew, wait: 2 days}
  - {place: Bed, did: qzjob}
harvests:
  - {planting: rad-26, weight: 12 g, count: 1, unit: qzunits}
  - {planting: rad-26, weight: 321 g, count: 17, quality: qzquality, note: qznote seven}
seen: [{planting: tom-26, what: qzseen mites, how-bad: qzbad, note: qznote eight}]
tests: [{seed: qztestseed, tried: 10, sprouted: 7, note: qznote nine}]
weather: {low: 4 °C, high: 17 °C, note: qzweather}
costs: [{what: qzcost compost, price: 7.20, for: tom-26, note: qznote ten}, {what: qzcost alone, price: 987.65}]
tags: [qztag]
photos: [{file: qzphoto.jpg, shows: qzshows}]";
    let prose = "Qzprose about [[tom-26]] and [qzlabel](https://qzprose.example/).";
    Written::new()
        .also_set("garden-id: kiln-lane\njobs: [qzjob]")
        .entry(
            "2026-03-20",
            "title: Seen by all\nplantings: [{id: tom-26, crop: tomato, sown: 12, place: Pot}, {id: rad-26, crop: radish, sown: 60, place: Bed}]\ntags: [open]",
            "Sown.",
        )
        .with(
            "journal/qzpath/qzpath-entry.md",
            &format!("---\ndate: 2026-05-02\n{front}\n---\n{prose}\n"),
        )
        .photo("journal/qzpath/qzphoto.jpg", crate::publish::photos::taken(40, 30))
        .entry("2026-05-20", "title: Afterwards", "More.")
}

#[test]
fn its_words_are_in_no_byte_of_the_site() {
    for garden in [
        garden(),
        garden().also_set(
            "garden-id: kiln-lane\njobs: [qzjob]\nsite-address: https://example.org/lane/\nfeed: {one-event: per planting}",
        ),
    ] {
        let (site, problems) = garden.site_and_problems();
        assert!(problems.is_empty(), "{problems:#?}");
        for secret in SECRETS {
            assert_eq!(site.holding(secret), Vec::<&str>::new(), "{secret}");
        }
        // Its address would be made of date and title; its neighbours have one.
        assert!(site.files.contains_key("journal/2026/05/20-afterwards/index.html"));
        assert!(!site.files.keys().any(|path| path.starts_with("journal/2026/05/02")));
    }
}

/// The check can fail: once the entry is open, its words are there.
#[test]
fn an_open_entry_says_all_of_it() {
    let text = garden();
    let inputs = text.inputs();
    let file = inputs.content.find("journal/qzpath/qzpath-entry.md").unwrap();
    let open = file.text().unwrap().replace("private: true\n", "");
    let site = text.with("journal/qzpath/qzpath-entry.md", &open).site();
    for shown in [
        "qzitle",
        "qzprose",
        "qzbecause",
        "qznote three",
        "qztag",
        "qzseen",
        "qzquality",
        "qzpot",
        "qzagainst",
        "qzsupplier",
    ] {
        assert_ne!(site.holding(shown), Vec::<&str>::new(), "{shown}");
    }
}

/// The only planting of a crop whose id is made of the crop and a number nobody can read.
fn opaque(site: &Site, crop: &str, but: &str) -> String {
    let data = site.data();
    let plantings = data["plantings"].as_array().unwrap().iter();
    let of_crop = plantings.filter(|one| one["crop"] == crop && one["id"] != but);
    let ids: Vec<&str> = of_crop.map(|one| one["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), 1, "{ids:?}");
    let number = ids[0].strip_prefix(crop).and_then(|rest| rest.strip_prefix('-')).unwrap();
    assert!(number.len() == 8 && number.chars().all(|c| c.is_ascii_hexdigit()), "{ids:?}");
    ids[0].to_owned()
}

#[test]
fn its_figures_count() {
    let site = garden().site();
    // 12 sown, 4 potted on; 2 of them lost, 1 split off: 1 is furthest on, 8 are seeds.
    assert_eq!(site.planting("tom-26")["stage"], "potted on");
    let late = opaque(&site, "tomato", "tom-26");
    assert_eq!(site.planting(&late)["plants"], 1);
    assert_eq!(site.stays(&late), ["bed 2026-05-02 now"]);
    assert_eq!(site.planting(&opaque(&site, "pea", ""))["plants"], 30);
    assert_eq!(site.planting("rad-26")["harvest"]["weight_g"], 333.0);
    // In units of two kinds there is no one number; each picking keeps its own, and a unit of the grower's no name.
    let table = site.text("harvests.csv");
    assert!(table.contains("321,17,roots") && table.contains("12,1,pieces"), "{table}");
    let days = site.data()["climate"]["days"].as_array().unwrap().clone();
    let day = days.iter().find(|day| day["date"] == "2026-05-02").unwrap();
    assert_eq!((&day["low_c"], &day["high_c"]), (&4.0.into(), &17.0.into()));
    assert!(site.text("harvests.csv").contains("2026-05-02,rad-26"));
    // The planting's page tells the stage and the picking, without a way to the entry.
    let page = site.text("plantings/tom-26/index.html");
    assert!(page.contains("2026-05-02"), "{page}");
}

#[test]
fn what_others_wrote_about_its_plantings_stays() {
    let site = garden()
        .entry(
            "2026-06-01",
            "title: Open again\nevents: [{planting: pea-26, is: flowering, note: in full flower}]",
            "[[pea-26]] looks well.",
        )
        .site();
    let page = site.text(&format!("plantings/{}/index.html", opaque(&site, "pea", "")));
    assert!(page.contains("in full flower") && page.contains("open-again"), "{page}");
    // What the page calls it can be written, as its jobs that are ticked on a phone are.
    let own = opaque(&site, "pea", "");
    let picked = garden().entry("2026-06-03", &format!("flowering: {own}"), "");
    let (_, problems) = picked.site_and_problems();
    assert!(problems.is_empty(), "{problems:#?}");
}
