//! Plants stay where they were put: lines of one day in any order, losses from a place, what never came up.

use serde_json::json;

use crate::support::garden::{Site, Written};

const SEVEN: &str = "plantings: [{id: p, crop: pepper, sown: 9, place: Light shelf}]\n\
                     events: [{planting: p, is: pricked out, count: 7, on: 2026-04-01}]";

fn shelf_and_tubs() -> Written {
    Written::new()
        .with("places/shelf.md", "---\nname: Light shelf\nkind: shelf\ntemperature: 20 °C\n---\n")
        .with(
            "places/tubs.md",
            "---\nname: Big tubs\nkind: container\ncontainers: 6\nvolume: 30 L\n---\n",
        )
        .entry("2026-04-01", &SEVEN.replace(", on: 2026-04-01", ""), "")
}

/// Stage, number and place of a planting.
fn stands(site: &Site, id: &str) -> (String, u64, String) {
    let planting = site.planting(id);
    let text = |key: &str| planting[key].as_str().unwrap_or("nowhere").to_owned();
    (text("stage"), planting["plants"].as_u64().unwrap_or(0), text("place"))
}

fn stand(stage: &str, plants: u64, place: &str) -> (String, u64, String) {
    (stage.to_owned(), plants, place.to_owned())
}

/// Every order of the lines, with the garden on the day they were written.
fn in_both_orders(garden: &Written, date: &str, lines: [&str; 2]) -> [Site; 2] {
    let [a, b] = lines;
    [[a, b], [b, a]].map(|[first, second]| {
        let events = format!("events:\n  - {first}\n  - {second}");
        garden.clone().entry(date, &events, "").site()
    })
}

#[test]
fn two_lines_of_one_day_say_the_same_in_either_order() {
    let some = "{planting: p, is: planted out, count: 3, place: Big tubs}";
    let others = "{planting: p, is: planted out, count: 4, place: Bed, as: p-bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [some, others]) {
        assert_eq!(stands(&site, "p"), stand("planted out", 3, "big-tubs"));
        assert_eq!(stands(&site, "p-bed"), stand("planted out", 4, "bed"));
    }
    // Potted on may come twice: the second line means those that are still to be potted on.
    let some = "{planting: p, is: potted on, count: 3, place: Big tubs}";
    let others = "{planting: p, is: potted on, count: 4, place: Bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [some, others]) {
        assert_eq!(
            site.stays("p"),
            ["light-shelf 2026-04-01 2026-06-01", "bed 2026-06-01 now", "big-tubs 2026-06-01 now",]
        );
    }
    // 'The rest', whichever line comes first.
    let some = "{planting: p, is: planted out, count: 3, place: Big tubs}";
    let rest = "{planting: p, is: planted out, place: Bed, as: p-bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [some, rest]) {
        assert_eq!(stands(&site, "p"), stand("planted out", 3, "big-tubs"));
        assert_eq!(stands(&site, "p-bed"), stand("planted out", 4, "bed"));
    }
    // Moved twice.
    let some = "{planting: p, is: moved, count: 3, place: Big tubs}";
    let rest = "{planting: p, is: moved, place: Bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [some, rest]) {
        let stays = site.stays("p");
        assert!(stays.contains(&"big-tubs 2026-06-01 now".to_owned()), "{stays:?}");
        assert!(stays.contains(&"bed 2026-06-01 now".to_owned()), "{stays:?}");
    }
    // Lost on the shelf, on the day on which the others leave it.
    let lost = "{planting: p, is: lost, count: 2, place: Light shelf}";
    let out = "{planting: p, is: planted out, place: Bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [lost, out]) {
        assert_eq!(stands(&site, "p"), stand("planted out", 5, "bed"));
    }
    // Lost where they were planted that same morning.
    let lost = "{planting: p, is: lost, count: 2, place: Bed}";
    for site in in_both_orders(&shelf_and_tubs(), "2026-06-01", [lost, out]) {
        assert_eq!(stands(&site, "p"), stand("planted out", 5, "bed"));
    }
}

#[test]
fn place_says_which_plants_went() {
    let out = shelf_and_tubs().entry(
        "2026-06-01",
        "events: [{planting: p, is: planted out, count: 4, place: Bed}]",
        "",
    );
    let lost = |line: &str| {
        let garden =
            out.clone().entry("2026-06-10", &format!("events: [{{planting: p, {line}}}]"), "");
        garden.site_and_problems()
    };
    // Three on the shelf, four in the bed.
    for (line, plants, place) in [
        ("is: lost, count: 3, place: Light shelf", 4, "light-shelf 2026-04-01 2026-06-10"),
        ("is: lost, count: 4, place: Bed", 3, "bed 2026-06-01 2026-06-10"),
        ("is: given away, count: 3, place: Light shelf", 4, "light-shelf 2026-04-01 2026-06-10"),
        ("is: thinned, count: 4, place: Bed", 3, "bed 2026-06-01 2026-06-10"),
        ("is: finished, place: Bed", 3, "bed 2026-06-01 2026-06-10"),
        (
            "is: moved, count: 3, from: Light shelf, place: Big tubs",
            7,
            "light-shelf 2026-04-01 2026-06-10",
        ),
        ("is: moved, from: Bed, place: Big tubs", 7, "bed 2026-06-01 2026-06-10"),
    ] {
        let (site, problems) = lost(line);
        assert!(problems.is_empty(), "{line}: {problems:#?}");
        let stays = site.stays("p");
        assert_eq!(site.planting("p")["plants"], plants, "{line}");
        assert!(stays.contains(&place.to_owned()), "{line}: {stays:?}");
    }
    // Without a place: those furthest behind, and proof says so.
    for (line, is_told) in [
        ("is: lost, count: 3", true),
        ("is: thinned, count: 3", false),
        ("is: given away, count: 3", false),
        ("is: lost, count: 5", false),
    ] {
        let (site, problems) = lost(line);
        let told: Vec<_> = problems.iter().map(|problem| problem.code.word()).collect();
        assert_eq!(told, if is_told { vec!["which-plants"] } else { vec![] }, "{line}");
        assert!(
            site.stays("p").contains(&"light-shelf 2026-04-01 2026-06-10".to_owned()),
            "{line}"
        );
    }
    let (_, problems) = lost("is: lost, count: 2, place: Big tubs");
    assert_eq!(problems[0].code.word(), "nobody-there");
}

#[test]
fn a_place_stands_for_the_plants_that_stand_there() {
    let site = shelf_and_tubs()
        .entry("2026-06-01", "events: [{planting: p, is: planted out, count: 4, place: Bed}]", "")
        .entry("2026-06-10", "events: [{place: Light shelf, is: finished}]", "")
        .site();
    assert_eq!(stands(&site, "p"), stand("planted out", 4, "bed"));
}

#[test]
fn seed_that_never_came_up_is_no_plant() {
    let garden = Written::new()
        .with("places/shelf.md", "---\nname: Shelf\nkind: shelf\ntemperature: 20 °C\n---\n")
        .entry(
            "2026-04-01",
            "plantings: [{id: tom, crop: tomato, sown: 16, aim: 12, place: Shelf}]",
            "",
        )
        .entry("2026-04-12", "events: [{planting: tom, is: emerged, count: 11}]", "")
        .entry(
            "2026-05-01",
            "events: [{planting: tom, is: pricked out, count: 11, as: tom-a, pot: 9 cm pot}]",
            "",
        )
        .on("2026-05-05");
    let site = garden.site();
    let ghost = site.planting("tom");
    assert_eq!((&ghost["plants"], &ghost["stage"]), (&json!(0), &json!("finished")));
    assert_eq!(site.planting("tom-a")["plants"], 11);
    assert!(!site.text("tasks/index.html").contains("plantings/tom/"), "nothing is asked of it");
    assert_eq!(site.stays("tom"), ["shelf 2026-04-01 2026-05-01"]);
    // A straggler may come up all the same, be lost, or be sown after.
    for line in ["is: emerged, count: 2", "is: sown again, count: 10", "is: finished"] {
        let events = format!("events: [{{planting: tom, {line}}}]");
        garden.clone().entry("2026-05-04", &events, "").site();
    }
    let late = garden.entry("2026-05-04", "events: [{planting: tom, is: emerged, count: 2}]", "");
    assert_eq!(stands(&late.site(), "tom"), stand("emerged", 2, "shelf"));
}
