//! The review of a season, against sums worked by hand.

use crate::support::garden::{Site, Written};

fn garden() -> Written {
    Written::new()
        .also_set("currency: CHF")
        .entry(
            "2024-10-12",
            "plantings: [{id: garlic-24, crop: garlic, planted: 20, place: Bed}]\ncosts: [{what: seed garlic, price: 9.5}]",
            "In.",
        )
        .entry(
            "2025-04-02",
            "title: Radishes\nplantings: [{id: rad-25, crop: radish, sown: 60, place: Bed}]\ncosts: [{what: fleece, price: 12}, {what: twine, price: 3.25}]",
            "Sown.",
        )
        .entry(
            "2025-05-20",
            "title: Slugs\nevents: [{planting: rad-25, is: lost, count: 4, because: slugs}]\nharvests: [{planting: rad-25, weight: 310 g, count: 2, unit: bunches}, {planting: rad-25, count: 1, unit: bunches}]\nseen: [{planting: rad-25, what: Flea beetle}]\ntags: [Next Year]",
            "Cover them next time.",
        )
        .entry(
            "2025-06-01",
            "seen: [{planting: rad-25, what: flea beetle}]\nevents: [{planting: rad-25, is: finished}]\nprivate: true\ntags: [next-year]\ncosts: [{what: qzsecret thing, price: 1.5}]",
            "Qzsecret.",
        )
        .entry(
            "2025-07-14",
            "title: Lifted\nharvests: [{planting: garlic-24, weight: 900 g, cured: true}]\nevents: [{planting: garlic-24, is: finished}]",
            "Up.",
        )
}

/// A page's text without its marks, white space as single blanks.
fn text_of(site: &Site, path: &str) -> String {
    let (mut text, mut is_mark) = (String::new(), false);
    for letter in site.text(path).replace('\u{a0}', " ").chars() {
        match letter {
            '<' => is_mark = true,
            '>' => is_mark = false,
            _ if !is_mark => text.push(letter),
            _ => {}
        }
        if letter == '>' {
            text.push(' ');
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_was_picked_counts_where_it_was_picked() {
    let site = garden().on("2026-03-01").site();
    let planted = text_of(&site, "review/2024/index.html");
    assert!(planted.contains("One planting grew."), "{planted}");
    assert!(!planted.contains("900 g") && planted.contains("9.50 CHF"), "{planted}");
    let lifted = text_of(&site, "review/2025/index.html");
    assert!(lifted.contains("2 plantings of 2 crops grew."), "{lifted}");
    assert!(lifted.contains("garlic 900 g dried"), "{lifted}");
    // 310 g weighed; the other picking stays a picking that nobody weighed.
    assert!(lifted.contains("radish 310 g, 3 bunches (one picking not weighed)"), "{lifted}");
    assert!(lifted.contains("All 310 g, 900 g dried"), "{lifted}");
    // 12.00 + 3.25; what a private entry paid is nobody's business.
    assert!(!lifted.contains("1.50 CHF"), "{lifted}");
    assert!(lifted.contains("15.25 CHF") && !lifted.contains("9.50 CHF"), "{lifted}");
    assert!(lifted.contains("20 May Radish : 4 plants, slugs"), "{lifted}");
}

#[test]
fn a_season_that_is_not_over_says_so() {
    // Entries dated later are left out, with a warning.
    let (site, _) = garden().on("2025-05-31").site_and_problems();
    let now = text_of(&site, "review/index.html");
    assert!(now.contains("The season is not over. Up to 31 May 2025 2 plantings"), "{now}");
    assert!(!now.contains("900 g"), "{now}");
    let first_day = text_of(&Written::new().site(), "review/index.html");
    assert!(first_day.contains("Nothing grew in this season."), "{first_day}");
}

#[test]
fn notes_for_next_year_are_found_and_private_ones_are_not() {
    let site = garden().on("2026-03-01").site();
    let review = text_of(&site, "review/2025/index.html");
    assert!(review.contains("Cover them next time.") && !review.contains("Qzsecret"), "{review}");
    // The private sighting counts without adding a word of its own.
    assert!(review.contains("Flea beetle: Radish on one day, 20 May"), "{review}");
    assert!(site.holding("qzsecret").is_empty());
}

/// South of the equator the year turns in July: one season, two calendar years.
#[test]
fn a_southern_season_has_two_years_in_its_name() {
    let site = Written::new()
        .settings("name: Bay\nplace: {latitude: -37.8, longitude: 145.0, time-zone: Australia/Melbourne}\n")
        .entry("2025-10-02", "plantings: [{id: pea-25, crop: pea, sown: 30, place: Bed}]", "In.")
        .on("2026-08-01")
        .site();
    let review = text_of(&site, "review/2025-26/index.html");
    assert!(review.contains("The season 2025/26 looked back on"), "{review}");
}

/// 1,200 g ÷ 3 plants and 500 g ÷ 2 plants; a third planting has a picking that nobody weighed, and a
/// fourth still grows.
#[test]
fn best_and_worst_are_of_what_was_over_and_all_weighed() {
    let site = Written::new()
        .entry(
            "2025-05-01",
            "plantings:\n  - {id: kale-a, crop: kale, bought: 3, at: planted out, place: Bed}\n  - {id: kale-b, crop: kale, bought: 2, at: planted out, place: Bed}\n  - {id: kale-c, crop: kale, bought: 1, at: planted out, place: Bed}\n  - {id: kale-d, crop: kale, bought: 1, at: planted out, place: Bed}",
            "In.",
        )
        .entry(
            "2025-08-01",
            "harvests:\n  - {planting: kale-a, weight: 1200 g}\n  - {planting: kale-b, weight: 500 g}\n  - {planting: kale-c, weight: 5 kg}\n  - {planting: kale-c, count: 2}\n  - {planting: kale-d, weight: 9 kg}\nevents: [{planting: [kale-a, kale-b, kale-c], is: finished}]",
            "Cut.",
        )
        .on("2026-02-01")
        .site();
    let review = text_of(&site, "review/2025/index.html");
    assert!(
        review.contains(
            "Gave most: Kale, Bed (1) , 400 g a plant Gave least: Kale, Bed (2) , 250 g a plant 2 plantings"
        ),
        "{review}"
    );
}
