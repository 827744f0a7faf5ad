//! How much of a place is taken, and when more is wanted than there is. The figures are worked by hand beside
//! each test: plants times spacing is arithmetic (common practice, no source).

use serde_json::{Value, json};
use trug::diagnostics::codes::Code;

use crate::support::garden::{Site, Written};

/// A leaf crop of our own: a plant every 20 cm in rows 40 cm apart, or four litres a plant.
const LEAF: &str = "---
crop: stair leaf
family: Asteraceae
begun-as: [seed outdoors]
spacing: {in-row: 20-30 cm, between-rows: 40-60 cm}
container: 4 L
first-harvest: {after: sown, days: 50-60}
harvest-lasts: 20-30 days
---
";

/// What of a place is taken on the day.
fn used(site: &Site, slug: &str) -> Value {
    site.place(slug)["used"].clone()
}

fn bed(area: f64, about: bool) -> Value {
    json!({"area_m2": area, "containers": null, "about": about})
}

fn pots(number: f64, about: bool) -> Value {
    json!({"area_m2": null, "containers": number, "about": about})
}

#[test]
fn what_stands_between_the_plants_of_another_counts_once() {
    let site = Written::new()
        .entry(
            "2026-06-01",
            "plantings:\n  - {id: radish-26, crop: radish, sown: 60, place: bed, shares-with: carrot-26}\n  \
             - {id: carrot-26, crop: carrot, sown: 200, place: bed, uses: 0.9 m²}\n  \
             - {id: chard-26, crop: chard, sown: 10, place: bed, uses: 0.5 m²}",
            "",
        )
        .site();
    // 0.9 + 0.5; sixty radishes at 2.5 × 15 cm would be 0.225 more.
    assert_eq!(used(&site, "bed"), bed(1.4, false));
}

#[test]
fn without_a_word_about_room_the_closest_spacing_tells_and_is_only_about_right() {
    let garden = Written::new().with("crops/stair-leaf.md", LEAF).with(
        "places/boxes.md",
        "---\nname: Boxes\nkind: container\ncontainers: 6\nvolume: 13 L\n---\n",
    );
    let lines = "plantings:\n  - {id: a-26, crop: stair leaf, sown: 30, place: bed}\n  \
                 - {id: b-26, crop: stair leaf, sown: 10, place: boxes}";
    let site = garden.entry("2026-06-01", lines, "").site();
    // 30 plants of 0.2 m × 0.4 m.
    assert_eq!(used(&site, "bed"), bed(2.4, true));
    // 13 L hold three plants of 4 L; ten plants want four boxes.
    assert_eq!(used(&site, "boxes"), pots(4.0, true));
}

#[test]
fn what_is_sown_thickly_fills_no_more_than_what_is_wanted_of_it() {
    let garden = Written::new().with("crops/stair-leaf.md", LEAF);
    let line = "plantings: [{id: a-26, crop: stair leaf, sown: 120, aim: 20, place: bed}]";
    assert_eq!(used(&garden.entry("2026-06-01", line, "").site(), "bed"), bed(1.6, true));
}

#[test]
fn a_row_is_as_wide_as_the_gap_to_the_next() {
    let garden = Written::new().with("crops/stair-leaf.md", LEAF);
    let line =
        "plantings: [{id: a-26, crop: stair leaf, sown: 3 m row, place: bed, uses: 3 m row}]";
    // 3 m × 40 cm.
    assert_eq!(used(&garden.entry("2026-06-01", line, "").site(), "bed"), bed(1.2, true));
}

#[test]
fn seedlings_that_stay_behind_fill_nothing_but_hold_their_tray() {
    let site = Written::new()
        .with("places/tray.md", "---\nname: Tray\nkind: tray\ncover: indoors\n---\n")
        .with(
            "places/tubs.md",
            "---\nname: Tubs\nkind: container\ncontainers: 8\nvolume: 40 L\n---\n",
        )
        .with(
            "places/frame.md",
            "---\nname: Frame\nkind: glasshouse\nlength: 1 m\nwidth: 1 m\ncover: glass\n---\n",
        )
        .entry(
            "2026-03-20",
            "plantings: [{id: tom-26, crop: tomato, sown: 12, place: tray, for: tubs}]",
            "",
        )
        .entry("2026-03-28", "events: [{planting: tom-26, is: emerged, count: 12}]", "")
        .entry(
            "2026-05-10",
            "events: [{planting: tom-26, is: hardening off, count: 8, place: frame}]",
            "",
        )
        .entry("2026-05-20", "events: [{planting: tom-26, is: planted out, count: 5}]", "")
        .site();
    // Five tomatoes of 15 L, two to a tub of 40 L: three tubs. Three wait in the frame, four in the tray.
    assert_eq!(used(&site, "tubs"), pots(3.0, true));
    assert_eq!(used(&site, "frame"), bed(0.0, false));
    for waiting in ["tray", "frame"] {
        let stay = &site.place(waiting)["occupied"][0];
        assert_eq!((&stay["to"], &stay["grows"]), (&json!(null), &json!(false)), "{waiting}");
    }
}

#[test]
fn room_that_nobody_measured_is_not_nothing() {
    let garden = Written::new();
    let line = "plantings: [{id: leek-26, crop: leek, sown: unknown, place: bed}]";
    let site = garden.entry("2026-06-01", line, "").site();
    assert_eq!(used(&site, "bed"), json!(null));
    // What is free today cannot be said; when the leeks are gone, all of it is.
    let bed = site.place("bed");
    let first = &bed["openings"][0];
    assert_eq!((&first["left_by"], &first["free"]["area_m2"]), (&json!(["leek-26"]), &json!(3.6)));
}

/// The pot's owner means tomatoes for it that go out while peppers stand there.
#[test]
fn two_that_surely_stand_together_in_too_little_room_are_told_with_both() {
    let tubs = "---\nname: Tubs\nkind: container\ncontainers: 4\nvolume: 40 L\n---\n";
    let garden = |first: &str, second: &str| {
        Written::new().with("places/tubs.md", tubs).entry(
            "2026-06-01",
            &format!(
                "plantings:\n  - {{id: pep-26, crop: pepper, bought: 3, at: planted out, place: tubs, uses: {first}}}\n  \
                 - {{id: bas-26, crop: basil, bought: 6, at: planted out, place: tubs, uses: {second}}}"
            ),
            "",
        )
    };
    let (site, problems) = garden("3 containers", "2 containers").site_and_problems();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(problems[0].code, Code::PlaceCrowded);
    assert_eq!(problems[0].others.len(), 1);
    let tubs = site.place("tubs");
    let crowd = &tubs["over_booked"][0];
    assert_eq!(crowd["from"], "2026-06-20");
    assert_eq!(crowd["wanted"], pots(5.0, false));
    assert_eq!(crowd["plantings"], json!(["pep-26", "bas-26"]));
    for page in ["index.html", "places/index.html", "places/tubs/index.html", "timeline/index.html"]
    {
        assert!(site.text(page).contains("Over-booked"), "{page}");
    }
    let fits = garden("3 containers", "1 containers").site();
    assert_eq!(fits.place("tubs")["over_booked"], json!([]));
}

#[test]
fn what_is_cleared_before_the_next_comes_takes_nothing_from_it() {
    let site = Written::new()
        .entry(
            "2026-03-10",
            "plantings: [{id: spin-26, crop: spinach, sown: 90, place: bed, uses: 3 m²}]",
            "",
        )
        .entry(
            "2026-06-01",
            "plantings: [{id: leek-26, crop: leek, aim: 60, for: bed, uses: 3 m²}]",
            "",
        )
        .entry("2026-06-12", "events: [{planting: spin-26, is: finished}]", "")
        .site();
    let found = site.place("bed");
    assert_eq!(found["over_booked"], json!([]));
    assert_eq!(found["used"], bed(0.0, false));
    assert_eq!(found["meant"][0]["takes"], bed(3.0, false));
}

/// Peas of March stand there still in November: nobody wrote that they were cleared.
#[test]
fn room_that_somebody_still_stands_in_is_not_called_free() {
    let site = Written::new()
        .entry(
            "2026-03-20",
            "plantings: [{id: pea-26, crop: pea, sown: 200, place: bed, uses: 3.6 m2}]",
            "",
        )
        .on("2026-11-20")
        .site();
    let page = site.text("places/bed/index.html").replace('\u{a0}', " ");
    assert!(page.contains("Today, once it is cleared: 3.6 m² free"), "{page}");
    assert!(!page.contains("Today: 3.6 m² free"), "{page}");
}
