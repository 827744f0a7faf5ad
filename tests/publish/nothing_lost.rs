//! Every word a grower writes is shown. The keys are those that the readers ask for, as the schemas tell them: a key
//! without a mark here fails, and so does a mark that no page shows.

use std::collections::BTreeSet;

use rayon::prelude::*;
use serde_json::Value;
use trug::diagnostics::codes::Severity;

use crate::support::garden::{Site, Written};

/// What a line is, its entry (a day of its own), and of each key the mark that is written into it: the page
/// (nothing: the entry's own) and what is shown there.
struct Line {
    what: &'static str,
    day: &'static str,
    front: &'static str,
    marks: &'static [(&'static str, &'static str, &'static str)],
}

const LINES: &[Line] = &[
    Line {
        what: "a planting",
        day: "2026-03-02",
        front: "plantings: [{id: mark-intended, crop: leek, variety: Marked Blue, for: nook, aim: 37, uses: 1.3 m², \
            sow-again: {every: 17 days, until: 07-19}, note: a mark on what is meant}]",
        marks: &[
            ("for", "", "Nook"),
            ("aim", "", "37"),
            ("uses", "plantings/mark-intended", "1.3 m²"),
            ("note", "", "a mark on what is meant"),
            ("crop", "", "Leek"),
            ("variety", "", "Marked Blue"),
            ("id", "plantings/mark-intended", "mark-intended"),
            ("sow-again", "plantings/mark-intended", "17 days"),
        ],
    },
    Line {
        what: "sow-again",
        day: "2026-03-03",
        front: "plantings: [{id: again, crop: radish, place: nook, sow-again: {every: 19 days, until: 07-23}, sown: 41, \
            note: a mark on sowing}]",
        marks: &[
            ("every", "plantings/again", "19 days"),
            ("until", "plantings/again", "23 July"),
            ("", "", "a mark on sowing"),
        ],
    },
    Line {
        what: "a planting",
        day: "2026-03-05",
        front: "plantings: [{id: sown, crop: kale, place: nook, sown: 43, on: 2026-03-04, shares-with: again, \
            seed: {from: Marked Seeds, year: 2023, packet: 211}}]",
        marks: &[
            ("sown", "", "43"),
            ("place", "", "Nook"),
            ("on", "", "4 March"),
            ("shares-with", "plantings/sown", "adish"),
            ("seed", "plantings/sown", "Marked Seeds"),
        ],
    },
    Line {
        what: "seed",
        day: "2026-03-06",
        front: "plantings: [{id: packet, crop: turnip, place: nook, sown: 10, seed: {from: Merchant, year: 2022, packet: 223}}]",
        marks: &[
            ("from", "plantings/packet", "Merchant"),
            ("year", "plantings/packet", "2022"),
            ("packet", "seed", "223"),
        ],
    },
    Line {
        what: "a planting",
        day: "2026-03-07",
        front: "plantings: [{id: bought, crop: lettuce, place: shelf, bought: 47, at: pricked out}, \
            {id: garlic, crop: garlic, place: nook, planted: 53}, \
            {id: old, crop: rhubarb, place: nook, planted: 1, since: 2019, lasts: years}]",
        marks: &[
            ("bought", "", "47"),
            ("at", "", "ricked out"),
            ("planted", "", "53"),
            ("since", "plantings/old", "2019"),
            ("lasts", "plantings/old", "for years"),
        ],
    },
    Line {
        what: "an event",
        day: "2026-04-10",
        front: "events: [{planting: sown, is: emerged, count: 31, on: 2026-04-08, note: a mark on what happened}, \
            {planting: sown, is: potted on, count: 29, pot: a marked pot, mix: Marked Mix}]",
        marks: &[
            ("planting", "", "Kale"),
            ("is", "", "merged"),
            ("count", "", "31"),
            ("on", "", "8 April"),
            ("pot", "", "a marked pot"),
            ("mix", "", "Marked Mix"),
            ("note", "", "a mark on what happened"),
        ],
    },
    Line {
        what: "an event",
        day: "2026-05-12",
        front: "events: [{planting: sown, is: planted out, count: 11, place: bed, as: split, variety: Marked Green, uses: 1.7 m²}, \
            {planting: sown, is: lost, count: 2, from: nook, because: of marked slugs}, \
            {crop: lettuce, except: [sown], is: flowering}]",
        marks: &[
            ("place", "", "Bed"),
            ("as", "plantings/split", "split"),
            ("variety", "", "Marked Green"),
            ("uses", "plantings/split", "1.7 m²"),
            ("from", "", "Nook"),
            ("because", "", "of marked slugs"),
            ("crop", "", "Lettuce"),
            ("except", "", "Lettuce"),
        ],
    },
    Line {
        what: "a care line",
        day: "2026-05-20",
        front: "care:\n  - {planting: split, did: treat, with: marked soap, against: marked aphids, wait: 13 days, \
            on: 2026-05-18, note: a mark on care}\n  - {planting: split, did: water, amount: 23 L}\n  - {place: pot, did: refill, \
            with: Marked Mix, old: 37%}\n  - {crop: kale, except: split, did: feed, with: Marked Feed, each: 0.7 L}\n  \
            - {planting: old, did: skip, task: weed, note: a mark on skipping}",
        marks: &[
            ("planting", "", "Kale"),
            ("did", "", "Water 23 L"),
            ("amount", "", "23 L"),
            ("each", "", "700 ml each"),
            ("with", "", "marked soap"),
            ("against", "", "marked aphids"),
            ("wait", "", "13 days"),
            ("old", "", "37 % of it old mix"),
            ("task", "", "task: weed"),
            ("on", "", "18 May"),
            ("note", "", "a mark on care"),
            ("place", "", "Pot Refill"),
            ("crop", "", "Kale Feed with Marked Feed"),
            ("except", "", "Kale Feed with Marked Feed"),
        ],
    },
    Line {
        what: "a harvest",
        day: "2026-06-03",
        front: "harvests: [{planting: bought, weight: 317 g, count: 3, unit: marked heads, quality: marked as crisp, on: 2026-06-02, \
            note: a mark on picking}, {planting: garlic, weight: 900 g, cured: true}, {crop: radish, except: sown, count: 59}, \
            {place: nook, except: [sown, again, packet, bought, garlic], count: 61}]",
        marks: &[
            ("planting", "", "Lettuce"),
            ("weight", "", "317 g"),
            ("count", "", "3"),
            ("unit", "", "marked heads"),
            ("quality", "", "marked as crisp"),
            ("cured", "", "weighed after drying"),
            ("on", "", "2 June"),
            ("note", "", "a mark on picking"),
            ("crop", "", "59"),
            ("place", "", "61"),
            ("except", "", "61"),
        ],
    },
    Line {
        what: "a line under seen",
        day: "2026-06-07",
        front: "seen: [{planting: old, what: marked beetles, how-bad: marked as few, on: 2026-06-06, note: a mark on sight}, \
            {place: pot, what: marked ants}, {crop: lettuce, except: old, what: marked snails}]",
        marks: &[
            ("planting", "", "Rhubarb"),
            ("place", "", "Pot Seen: marked ants"),
            ("crop", "", "marked snails"),
            ("except", "", "marked snails"),
            ("what", "", "marked beetles"),
            ("how-bad", "", "marked as few"),
            ("on", "", "6 June"),
            ("note", "", "a mark on sight"),
        ],
    },
    Line {
        what: "a germination test",
        day: "2026-02-11",
        front: "tests: [{seed: kale of the marked tin, tried: 71, sprouted: 67, days: 9, on: 2026-02-10, note: a mark on testing}]",
        marks: &[
            ("seed", "", "kale of the marked tin"),
            ("tried", "", "71"),
            ("sprouted", "", "67"),
            ("days", "", "9 days"),
            ("on", "", "10 February"),
            ("note", "", "a mark on testing"),
        ],
    },
    Line {
        what: "weather",
        day: "2026-02-12",
        front: "weather: {low: -3.7 °C, high: 5.3 °C, rain: 7 mm, ground-frost: true, note: a mark on the sky}",
        marks: &[
            ("low", "", "low −4 °C"),
            ("high", "", "high 5 °C"),
            ("rain", "", "rain 7.0 mm"),
            ("ground-frost", "", "round frost"),
            ("note", "", "a mark on the sky"),
        ],
    },
    Line {
        what: "a cost",
        day: "2026-02-14",
        front: "costs: [{what: marked compost, amount: 73 L, price: 8.37, for: old, on: 2026-02-13, note: a mark on money}]",
        marks: &[
            ("what", "", "marked compost"),
            ("amount", "", "73 L"),
            ("price", "", "8.37"),
            ("for", "", "Rhubarb"),
            ("on", "", "13 February"),
            ("note", "", "a mark on money"),
        ],
    },
];

/// Keys that hold lines or say nothing themselves: `private` keeps words back, as tests/publish/private.rs holds.
const HOLDERS: &[&str] = &[
    "plantings",
    "events",
    "care",
    "harvests",
    "seen",
    "tests",
    "weather",
    "costs",
    "photos",
    "private",
];

/// What garden.yaml says, and each of its keys with the line that says otherwise.
const SETTINGS: &str = "\
name: Kiln Lane
place: {latitude: 47.41, longitude: 8.54, time-zone: Europe/Zurich}
climate:
  low:  [-1.9, -1.8, 1.6, 4.7, 8.9, 12.1, 14.2, 13.9, 10.4, 6.8, 2.1, -0.8]
  high: [3.4, 5.2, 10.3, 14.8, 18.8, 22.3, 24.4, 23.8, 19.3, 13.8, 7.6, 3.9]
  rain: [60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60]
frost: {last-spring: {50%: 04-20, 10%: 05-10, 90%: 04-01}, first-autumn: {50%: 10-25, 10%: 10-08, 90%: 11-10}, risk: 10%}
feed: {look-ahead: 60 days}
jobs: [whitewash]
stock: [{what: perlite, amount: 15 L, bag: 20 L}]
away: [{from: 07-05, to: 07-15}]
neighbours: [club/near.json]
";

const OTHERWISE: &[(&str, &str, &str, &str)] = &[
    ("garden.yaml", "name", "Kiln Lane", "Kiln Yard"),
    ("garden.yaml", "units", "jobs:", "units: us\njobs:"),
    ("garden.yaml", "garden-id", "jobs:", "garden-id: 7d9b0c1e-0d5f-4c1b-8f7e-2f5f3c1d2e3f\njobs:"),
    ("garden.yaml", "site-address", "jobs:", "site-address: https://garden.example/\njobs:"),
    ("garden.yaml", "tasks", "jobs:", "tasks: {water: off}\njobs:"),
    ("garden.yaml", "currency", "jobs:", "currency: CHF\njobs:"),
    ("garden.yaml", "season-starts", "jobs:", "season-starts: 03-01\njobs:"),
    (
        "place in garden.yaml",
        "near",
        "latitude: 47.41, longitude: 8.54, time-zone: Europe/Zurich",
        "near: Kassel",
    ),
    ("place in garden.yaml", "latitude", "47.41", "47.91"),
    ("place in garden.yaml", "longitude", "8.54", "9.54"),
    ("place in garden.yaml", "elevation", "8.54,", "8.54, elevation: 433 m,"),
    ("place in garden.yaml", "show", "8.54,", "8.54, show: exact,"),
    ("climate in garden.yaml", "low", "-1.9", "-2.9"),
    ("climate in garden.yaml", "high", "3.4", "4.4"),
    ("climate in garden.yaml", "rain", "[60,", "[81,"),
    ("a list of frost dates", "90%", "90%: 04-01", "90%: 04-02"),
    ("a list of frost dates", "50%", "04-20", "04-21"),
    ("a list of frost dates", "10%", "05-10", "05-11"),
    ("frost in garden.yaml", "last-spring", "05-10", "05-12"),
    ("frost in garden.yaml", "first-autumn", "10-08", "10-09"),
    ("frost in garden.yaml", "risk", "risk: 10%", "risk: 50%"),
    ("frost in garden.yaml", "years", "risk: 10%", "risk: 10%, years: 95%"),
    ("feed in garden.yaml", "look-ahead", "60 days", "20 days"),
    ("feed in garden.yaml", "one-event", "60 days", "60 days, one-event: per planting"),
    ("feed in garden.yaml", "events-a-day", "60 days", "60 days, events-a-day: 1"),
    ("feed in garden.yaml", "title", "60 days", "60 days, title: Marked tasks"),
    ("feed in garden.yaml", "remind", "60 days", "60 days, remind: 15 h"),
    ("a line under stock", "what", "perlite", "marked grit"),
    ("a line under stock", "amount", "15 L", "17 L"),
    ("a line under stock", "bag", "20 L", "1 L"),
    ("garden.yaml", "neighbours", "club/near.json", ""),
    ("a line under away", "from", "07-05", "07-07"),
    ("a line under away", "to", "07-15", "07-16"),
    ("a line under away", "helper", "to: 07-15", "to: 07-15, helper: Marked Neighbour"),
];

/// Keys of garden.yaml that hold others, or say how other words are read: the language of the theme, words for work,
/// names for places, and the zone that says what day it is. `tests/publish/neighbours.rs` tries the neighbours.
const NOT_TRIED: &[&str] = &[
    "place",
    "climate",
    "frost",
    "feed",
    "stock",
    "away",
    "language",
    "jobs",
    "groups",
    "time-zone",
    "neighbours",
];

fn marked() -> Written {
    let mut garden = Written::new()
        .with("places/nook.md", "---\nname: Nook\nkind: bed\nlength: 20 m\nwidth: 2 m\n---\n")
        .with("places/shelf.md", "---\nname: Shelf\nkind: shelf\n---\n")
        .with("mixes/marked.md", "---\nname: Marked Mix\nparts: {compost: 1}\nsettles: 10%\n---\n")
        .with(
            "mixes/feed.md",
            "---\nname: Marked Feed\nlabel: {n: 4, p2o5: 3, k2o: 8}\ndose: 25 ml per 5 L\n---\n",
        );
    for line in LINES {
        garden = garden.entry(line.day, line.front, "");
    }
    garden.with(
        "journal/2026-02-01.md",
        "---\ntitle: A marked title\ntags: [marked-tag]\nphotos: []\n---\nMarked prose.\n",
    )
}

/// The words of the pages at an address: what a reader sees, without what is written for programs.
fn shown(site: &Site, address: &str) -> String {
    let own =
        site.files.iter().filter(|(path, _)| path.starts_with(address) && path.ends_with(".html"));
    let mut text = String::new();
    for (_, bytes) in own {
        let html = String::from_utf8_lossy(bytes);
        let html = html.split("<main").nth(1).unwrap_or_default();
        let html = html.split("</main>").next().unwrap_or_default();
        for part in html.split('<') {
            text.push_str(part.split_once('>').map_or(part, |(_, words)| words));
        }
    }
    text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The maps of a schema, each with its keys.
pub(crate) fn maps(schema: &Value, found: &mut Vec<(String, BTreeSet<String>)>) {
    match schema {
        Value::Object(map) => {
            if let (Some(what), Some(keys)) = (map.get("description"), map.get("properties")) {
                let is_short = |key: &Value| {
                    key["description"].as_str().is_some_and(|text| text.contains(": "))
                        && key["properties"].is_null()
                };
                let keys = keys.as_object().unwrap().iter();
                let keys = keys.filter(|(_, key)| !is_short(key)).map(|(name, _)| name.clone());
                found.push((what.as_str().unwrap().to_owned(), keys.collect()));
            }
            map.values().for_each(|value| maps(value, found));
        }
        Value::Array(items) => items.iter().for_each(|item| maps(item, found)),
        _ => {}
    }
}

#[test]
fn a_mark_in_every_key_of_an_entry_is_shown() {
    let (site, problems) = marked().site_and_problems();
    let mut lost = Vec::new();
    let mut marks: BTreeSet<(&str, &str)> = BTreeSet::new();
    for line in LINES {
        let own = format!("journal/{}", line.day.replace('-', "/"));
        for (key, page, mark) in line.marks {
            marks.insert((line.what, key));
            let address = if page.is_empty() { &own } else { *page };
            if !shown(&site, address).contains(mark) {
                lost.push(format!("{}: `{key}`: {mark:?} is not on {address}", line.what));
            }
        }
    }
    for (key, mark) in [("title", "A marked title"), ("tags", "marked-tag"), ("date", "1 February")]
    {
        marks.insert(("an entry", key));
        if !shown(&site, "journal/2026/02/01").contains(mark) {
            lost.push(format!("an entry: `{key}`: {mark:?}"));
        }
    }
    let mut all = Vec::new();
    maps(&trug::schemas::entry(), &mut all);
    assert!(all.len() > 10, "{all:?}");
    for (what, keys) in &all {
        for key in keys.iter().filter(|key| !HOLDERS.contains(&key.as_str())) {
            // tests/publish/photos.rs holds what a photograph shows.
            if what != "a photo" && !marks.contains(&(what.as_str(), key.as_str())) {
                lost.push(format!("{what}: nothing is written into `{key}` here"));
            }
        }
    }
    let told: Vec<_> = problems.iter().map(|problem| &problem.message).collect();
    assert!(lost.is_empty(), "{lost:#?}\n{told:#?}");
}

/// A place, a mix, a feed and a crop sheet in which every key is written.
const SHEETS: &[(&str, &str)] = &[
    (
        "places/troughs.md",
        "name: Troughs
kind: container
shape: box
length: 80 cm
width: 40 cm
depth: 30 cm
containers: 3
soil: Marked Mix
sun: 8 h
cover: none
watered-by: hand
",
    ),
    (
        "places/plot.md",
        "name: Plot\nkind: bed\nlength: 3 m\nwidth: 1 m\nfamily-history: {2025: Fabaceae}\n",
    ),
    (
        "places/tubs.md",
        "name: Tubs
kind: container
diameter: 50 cm
bottom-diameter: 40 cm
height: 45 cm
filled-to: 43 cm
",
    ),
    ("places/pots.md", "name: Pots\nkind: container\nvolume: 15 L\n"),
    ("places/bought-pots.md", "name: Bought pots\nkind: container\nnursery-class: '#5'\n"),
    ("places/trays.md", "name: Trays\nkind: tray\ncells: 40\n"),
    ("places/ledge.md", "name: Ledge\nkind: shelf\ntrays: 4\ncover: indoors\ntemperature: 18-21 °C\n"),
    (
        "mixes/marked.md",
        "name: Marked Mix
parts: {garden compost: 3, perlite: 1}
settles: 10%
manure: composted
",
    ),
    (
        "mixes/feed.md",
        "name: Marked Feed
label: {n: 4, p2o5: 3, k2o: 8, mgo: 1, so3: 2}
density: 1.2 kg per L
dose: 25 ml per 5 L
",
    ),
    ("mixes/salt.md", "name: Marked Salt\nlabel: {n: 4, p2o5: 1, k2o: 1, mg: 3, s: 2}\ndose: 5 g per L\n"),
    (
        "crops/pod.md",
        "crop: marked pod
also-called: [marked alias]
family: Fabaceae
species: Phaseolus marcatus
hardiness: tender
begun-as: [seed outdoors, seed under cover]
weeks-under-cover: 3-4
emerges-in: 9-12 days
plant-out: {after-last-frost: 1-2 weeks, night-low: 10 °C, day-high-below: 36 °C}
sow-outdoors: {after-last-frost: 1-2 weeks, soil: 12 °C}
autumn-planting: {night-low-below: 10 °C, weeks-before-first-frost: 3-6}
germination: {lowest: 10 °C, best: 25 °C, highest: 35 °C, days: 8}
seed: {comes-up: 71 %, keeps: 3, depth: 3 cm, per-station: 2, before-sowing: [soak]}
first-harvest: {after: sown, days: 60-70}
flowering: {after: sown, days: 42-50}
harvest-lasts: 4 weeks
picking-every: 3 days
spacing: {in-row: 21 cm, between-rows: 51 cm}
leaf-spread: 31 cm
container: 9 L
degree-days: {base: 10 °C, upper: 30 °C, to-flowering: 400, to-harvest: 700}
water: {kc: [0.4, 1.0, 0.9], days: [20, 30, 30, 10], depletion: 0.45, roots: 0.5-0.7 m}
rest-years: 2
sun: 6-10 hours
grows-at: 10-30 °C
harvest-unit: pods
habit: climbing
flowers: insects
fixes-nitrogen: true
bulbing-day-length: 13-14 h
chill: {below: 7 °C, for: 6 weeks}
bolting: {below: 9 °C, for: 10 days, above: 31 °C, day-length: 15 h}
fruit-set: {night: 12-24 °C, day: 18-33 °C}
killed-at: -1 °C
pollination: self-fertile
pieces: 20-200
ripe-when: a marked sign
curing: {for: 9 days, at: 20-25 °C}
keeping: {for: 8-10 days, at: 5-7 °C}
eaten: stem
end-of-season: clear
varieties: [{name: Marked Blue, sun: 5 hours}]
care:
  - {id: marked-feed, task: feed, with: Marked Feed, from: emerged, after: 21-28 days, until: flowering, every: 10-14 days, why: a marked reason, caution: a marked caution}
  - {id: fruit, task: feed, for: fruit, from: flowering, until: finished, every: 14 days}
  - {id: tips, task: prune, from: flowering, when: first picking, before: 7-14 days, until: finished}
  - {id: quiet, task: weed, from: sown, until: finished, every: 14 days, turned-on: false}
sources: {sun: {from: a marked source, seen: read}}
",
    ),
    ("crops/kin.md", "crop: marked kin\nbased-on: raspberry\n"),
    ("crops/bush.md", "crop: marked bush\nfamily: Rosaceae\nlasts: years\ndegree-days: {base: 5 °C, each-year: 700}\n"),
];

const SHEETS_OTHERWISE: &[(&str, &str, &str, &str)] = &[
    ("a place", "name", "name: Troughs", "name: Mangers"),
    ("a place", "kind", "name: Tubs\nkind: container", "name: Tubs\nkind: glasshouse"),
    ("a place", "shape", "shape: box", "shape: bag"),
    ("a place", "length", "length: 80 cm", "length: 90 cm"),
    ("a place", "width", "width: 40 cm", "width: 45 cm"),
    ("a place", "depth", "depth: 30 cm", "depth: 35 cm"),
    ("a place", "containers", "containers: 3", "containers: 2"),
    ("a place", "filled-to", "filled-to: 43 cm", "filled-to: 20 cm"),
    ("a place", "soil", "soil: Marked Mix", "soil: loam"),
    ("a place", "sun", "sun: 8 h", "sun: 3 h"),
    ("a place", "cover", "cover: none", "cover: glass"),
    ("a place", "watered-by", "watered-by: hand", "watered-by: timer"),
    ("a place", "family-history", "{2025: Fabaceae}", "{2025: Brassicaceae}"),
    ("a place", "diameter", "\ndiameter: 50 cm", "\ndiameter: 55 cm"),
    ("a place", "bottom-diameter", "bottom-diameter: 40 cm", "bottom-diameter: 20 cm"),
    ("a place", "height", "height: 45 cm", "height: 30 cm"),
    ("a place", "volume", "volume: 15 L", "volume: 17 L"),
    ("a place", "nursery-class", "'#5'", "'#10'"),
    ("a place", "cells", "cells: 40", "cells: 60"),
    ("a place", "trays", "trays: 4", "trays: 5"),
    ("a place", "temperature", "18-21 °C", "10-12 °C"),
    ("a mix", "name", "name: Marked Feed", "name: Marked feed"),
    ("a mix", "parts", "garden compost: 3", "garden compost: 2"),
    ("a mix", "settles", "settles: 10%", "settles: 15%"),
    ("a mix", "manure", "manure: composted", "manure: raw"),
    ("a mix", "density", "1.2 kg per L", "1.3 kg per L"),
    ("a mix", "dose", "25 ml per 5 L", "20 ml per 5 L"),
    ("a label", "n", "n: 4, p2o5: 3", "n: 5, p2o5: 3"),
    ("a label", "p2o5", "p2o5: 3", "p2o5: 4"),
    ("a label", "k2o", "k2o: 8", "k2o: 7"),
    ("a label", "mgo", "mgo: 1", "mgo: 2"),
    ("a label", "so3", "so3: 2", "so3: 3"),
    ("a label", "mg", "mg: 3", "mg: 4"),
    ("a label", "s", " s: 2", " s: 3"),
    ("a crop sheet", "crop", "crop: marked bush", "crop: marked Bush"),
    ("a crop sheet", "based-on", "based-on: raspberry", "based-on: blackcurrant"),
    ("a crop sheet", "lasts", "lasts: years\n", ""),
    ("a crop sheet", "also-called", "marked alias", "another alias"),
    ("a crop sheet", "family", "family: Fabaceae", "family: Rosaceae"),
    ("a crop sheet", "species", "marcatus", "alter"),
    ("a crop sheet", "hardiness", "hardiness: tender", "hardiness: hardy"),
    ("a crop sheet", "begun-as", "seed outdoors, seed under cover", "seed outdoors"),
    ("a crop sheet", "weeks-under-cover", "cover: 3-4", "cover: 5-6"),
    ("a crop sheet", "emerges-in", "9-12 days", "5-6 days"),
    ("a crop sheet", "harvest-lasts", "lasts: 4 weeks", "lasts: 6 weeks"),
    ("a crop sheet", "picking-every", "every: 3 days", "every: 5 days"),
    ("a crop sheet", "leaf-spread", "31 cm", "41 cm"),
    ("a crop sheet", "container", "container: 9 L", "container: 12 L"),
    ("a crop sheet", "rest-years", "rest-years: 2", "rest-years: 4"),
    ("a crop sheet", "sun", "sun: 6-10 hours", "sun: 3-4 hours"),
    ("a crop sheet", "grows-at", "grows-at: 10-30 °C", "grows-at: 14-20 °C"),
    ("a crop sheet", "harvest-unit", "unit: pods", "unit: fruits"),
    ("a crop sheet", "habit", "habit: climbing", "habit: bush"),
    ("a crop sheet", "flowers", "flowers: insects", "flowers: wind"),
    ("a crop sheet", "fixes-nitrogen", "fixes-nitrogen: true", "fixes-nitrogen: false"),
    ("a crop sheet", "bulbing-day-length", "13-14 h", "15-16 h"),
    ("a crop sheet", "killed-at", "killed-at: -1 °C", "killed-at: -9 °C"),
    ("a crop sheet", "pollination", "pollination: self-fertile", "pollination: another variety"),
    ("a crop sheet", "pieces", "pieces: 20-200", "pieces: 1-2"),
    ("a crop sheet", "ripe-when", "a marked sign", "another sign"),
    ("a crop sheet", "eaten", "eaten: stem", "eaten: leaf"),
    ("a crop sheet", "end-of-season", "end-of-season: clear", "end-of-season: cut down"),
    (
        "plant-out",
        "after-last-frost",
        "plant-out: {after-last-frost: 1-2",
        "plant-out: {after-last-frost: 5-9",
    ),
    ("plant-out", "night-low", "night-low: 10 °C", "night-low: 14 °C"),
    ("plant-out", "day-high-below", "below: 36 °C", "below: 23 °C"),
    (
        "sow-outdoors",
        "after-last-frost",
        "sow-outdoors: {after-last-frost: 1-2",
        "sow-outdoors: {after-last-frost: 5-9",
    ),
    ("sow-outdoors", "soil", "soil: 12 °C", "soil: 19 °C"),
    ("autumn-planting", "night-low-below", "night-low-below: 10", "night-low-below: 4"),
    ("autumn-planting", "weeks-before-first-frost", "first-frost: 3-6", "first-frost: 1-2"),
    ("germination", "lowest", "lowest: 10 °C", "lowest: 19 °C"),
    ("germination", "best", "best: 25 °C", "best: 20 °C"),
    ("germination", "highest", "highest: 35 °C", "highest: 30 °C"),
    ("germination", "days", "days: 8}", "days: 16}"),
    ("seed", "comes-up", "71 %", "31 %"),
    ("seed", "keeps", "keeps: 3", "keeps: 1"),
    ("seed", "depth", "depth: 3 cm", "depth: 5 cm"),
    ("seed", "per-station", "per-station: 2", "per-station: 4"),
    ("seed", "before-sowing", "[soak]", "[scarify]"),
    ("spacing", "in-row", "in-row: 21 cm", "in-row: 41 cm"),
    ("spacing", "between-rows", "between-rows: 51 cm", "between-rows: 71 cm"),
    ("first-harvest", "after", "first-harvest: {after: sown", "first-harvest: {after: planted out"),
    ("first-harvest", "days", "days: 60-70", "days: 80-90"),
    ("flowering", "after", "flowering: {after: sown", "flowering: {after: planted out"),
    ("flowering", "days", "days: 42-50", "days: 30-35"),
    ("degree-days", "base", "base: 10 °C, upper", "base: 8 °C, upper"),
    ("degree-days", "upper", "upper: 30 °C", "upper: 21 °C"),
    ("degree-days", "to-flowering", "to-flowering: 400", "to-flowering: 300"),
    ("degree-days", "to-harvest", "to-harvest: 700", "to-harvest: 800"),
    ("degree-days", "each-year", "each-year: 700", "each-year: 300"),
    ("water", "kc", "[0.4, 1.0, 0.9]", "[0.3, 0.6, 0.5]"),
    ("water", "days", "[20, 30, 30, 10]", "[5, 10, 40, 40]"),
    ("water", "depletion", "depletion: 0.45", "depletion: 0.2"),
    ("water", "roots", "roots: 0.5-0.7 m", "roots: 0.1-0.2 m"),
    ("chill", "below", "chill: {below: 7 °C", "chill: {below: 3 °C"),
    ("chill", "for", "for: 6 weeks", "for: 9 weeks"),
    ("bolting", "below", "bolting: {below: 9 °C", "bolting: {below: 5 °C"),
    ("bolting", "for", "for: 10 days, above", "for: 20 days, above"),
    ("bolting", "above", "above: 31 °C", "above: 19 °C"),
    ("bolting", "day-length", "day-length: 15 h", "day-length: 13 h"),
    ("fruit-set", "night", "night: 12-24 °C", "night: 15-18 °C"),
    ("fruit-set", "day", "day: 18-33 °C", "day: 20-23 °C"),
    ("curing", "for", "curing: {for: 9 days", "curing: {for: 19 days"),
    ("curing", "at", "20-25 °C", "26-28 °C"),
    ("keeping", "for", "for: 8-10 days", "for: 3-4 days"),
    ("keeping", "at", "at: 5-7 °C", "at: 0-2 °C"),
    ("a variety", "name", "name: Marked Blue", "name: Marked Green"),
    ("a care rule", "id", "id: marked-feed", "id: other-feed"),
    ("a care rule", "task", "task: prune", "task: pinch out"),
    ("a care rule", "with", "with: Marked Feed", "with: Marked Salt"),
    ("a care rule", "for", "for: fruit", "for: leaves"),
    ("a care rule", "from", "from: emerged", "from: sown"),
    ("a care rule", "until", "until: flowering", "until: finished"),
    ("a care rule", "when", "when: first picking", "when: last picking"),
    ("a care rule", "before", "before: 7-14 days", "before: 1-2 days"),
    ("a care rule", "after", "after: 21-28 days", "after: 11-18 days"),
    ("a care rule", "every", "every: 10-14 days", "every: 5-6 days"),
    ("a care rule", "why", "a marked reason", "another reason"),
    ("a care rule", "caution", "a marked caution", "another caution"),
    ("a care rule", "turned-on", "turned-on: false", "turned-on: true"),
    ("a source", "from", "a marked source", "another source"),
    ("a source", "seen", "seen: read", "seen: memory"),
];

/// Keys that hold others.
const SHEET_HOLDERS: &[&str] = &[
    "parts",
    "label",
    "plant-out",
    "sow-outdoors",
    "autumn-planting",
    "germination",
    "seed",
    "first-harvest",
    "flowering",
    "spacing",
    "degree-days",
    "water",
    "chill",
    "bolting",
    "fruit-set",
    "curing",
    "keeping",
    "varieties",
    "care",
    "sources",
];

#[test]
fn whatever_a_sheet_says_otherwise_is_shown_otherwise() {
    let garden = Written::new()
        .entry(
            "2026-05-20",
            "plantings: [{id: pod, crop: marked pod, variety: Marked Blue, place: troughs, sown: 30}, \
             {id: next, crop: marked pod, place: plot, sown: 9}, {id: bush, crop: marked bush, place: bed, planted: 2}, \
             {id: tub, crop: tomato, place: tubs, bought: 3}, {id: pot, crop: pepper, place: pots, bought: 1}, \
             {id: leek, crop: leek, place: trays, sown: 90}, {id: chive, crop: chives, place: ledge, sown: 90}, \
             {id: sage, crop: sage, place: bought-pots, bought: 1}]\n\
             care: [{place: troughs, did: refill, with: Marked Mix}, {planting: tub, did: feed, with: Marked Feed, amount: 2 L}, \
             {planting: pot, did: feed, with: Marked Salt, amount: 2 L}]",
            "",
        )
        .entry("2026-05-30", "events: [{planting: pod, is: emerged}]\nharvests: [{planting: pod, count: 30}]", "");
    let pages = |from: &str, to: &str| {
        let mut written = garden.clone();
        let mut found = 0;
        for (path, text) in SHEETS {
            found += text.matches(from).count().min(1);
            let text = format!(
                "---\n{}---\n",
                if from.is_empty() { (*text).to_owned() } else { text.replacen(from, to, 1) }
            );
            written = written.with(path, &text);
        }
        assert!(from.is_empty() || found >= 1, "{from} is in no sheet");
        let (site, problems) = written.site_and_problems();
        assert!(
            problems.iter().all(|problem| problem.severity() != Severity::Error),
            "{from} → {to}: {problems:?}"
        );
        site.files
    };
    let usual = pages("", "");
    let is_lost = |(what, key, from, to): &(&str, &str, &str, &str)| {
        (pages(from, to) == usual).then(|| format!("{what}: `{key}` changes nothing"))
    };
    let mut lost: Vec<String> = SHEETS_OTHERWISE.par_iter().filter_map(is_lost).collect();
    let mut all = Vec::new();
    for schema in [trug::schemas::place(), trug::schemas::mix(), trug::schemas::crop_sheet()] {
        maps(&schema, &mut all);
    }
    for (what, keys) in &all {
        for key in keys.iter().filter(|key| !SHEET_HOLDERS.contains(&key.as_str())) {
            // A variety has the keys of its crop.
            let is_tried = SHEETS_OTHERWISE.iter().any(|(map, of, ..)| map == what && of == key);
            if !is_tried && (what != "a variety" || key == "name") {
                lost.push(format!("{what}: `{key}` is not tried"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn whatever_garden_yaml_says_otherwise_is_shown_otherwise() {
    let garden = Written::new()
        .with("mixes/marked.md", "---\nname: Marked Mix\nparts: {compost: 1, perlite: 1}\nsettles: 10%\n---\n")
        .entry(
            "2026-05-20",
            "plantings: [{id: tomato, crop: tomato, place: bed, bought: 3}, {id: pea, crop: pea, for: bed, aim: 9}, \
             {id: pot, crop: pepper, place: pot, bought: 1}]\n\
             care: [{place: pot, did: refill, with: Marked Mix}]\nevents: [{planting: pot, is: potted on, pot: 3 L pot, mix: Marked Mix}]\n\
             costs: [{what: seed, price: 3}]",
            "",
        );
    let took = r#"{"crop": "pea", "variety": null, "what": "sown to first harvest", "under_cover": false, "half": "spring",
        "season": 2025, "from": "2025-04-01", "days": 74}"#;
    let near = format!(
        r#"{{"on": "2026-06-01", "garden": {{"name": "Near", "latitude_deg": 47.4, "longitude_deg": 8.5}}, "climate": {{}},
        "took": [{took}]}}"#
    );
    let garden = garden.with("club/near.json", &near);
    let pages = |settings: &str| garden.clone().settings(settings).site_and_problems().0.files;
    let usual = pages(SETTINGS);
    let mut lost = Vec::new();
    for (what, key, from, to) in OTHERWISE {
        assert!(SETTINGS.contains(from), "{from}");
        if pages(&SETTINGS.replacen(from, to, 1)) == usual {
            lost.push(format!("{what}: `{key}` changes nothing"));
        }
    }
    let mut all = Vec::new();
    maps(&trug::schemas::garden(), &mut all);
    for (what, keys) in &all {
        for key in keys.iter().filter(|key| !NOT_TRIED.contains(&key.as_str())) {
            if !OTHERWISE.iter().any(|(map, of, ..)| map == what && of == key) {
                lost.push(format!("{what}: `{key}` is not tried"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}
