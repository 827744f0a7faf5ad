//! Cautions where they apply.

use trug::care::tasks::model::{Caution, Task};

use crate::tasks::written::{Written, day};

fn of<'a>(tasks: &'a [Task], rule: &str) -> &'a [Caution] {
    &tasks.iter().find(|task| task.key.rule == rule).unwrap().cautions
}

#[test]
fn bees_dust_electricity_and_manure() {
    let care = "begun-as: [seed under cover]\nweeks-under-cover: 6\ncare:\n  \
        - {id: pot, task: pot on, from: sown, after: 10 days}\n  \
        - {id: spray, task: treat, from: sown, every: 7 days}\n  \
        - {id: tea, task: feed, with: leaf-feed, from: sown, every: 7 days}\n  \
        - {id: heap, task: mulch, with: horse manure, from: sown, caution: not against the stem}";
    let written = Written::new()
        .own_crop(care)
        .plant("2026-05-01", "id: a, crop: garden weed, place: shelf, for: bed, sown: 20");
    let tasks = written.on("2026-05-02").tasks();
    assert_eq!(of(&tasks, "pot"), [Caution::Dust]);
    assert_eq!(of(&tasks, "spray"), []);
    assert_eq!(of(&tasks, "tea"), [Caution::Electricity]);
    let words = Caution::Sheet("not against the stem".to_owned());
    assert_eq!(of(&tasks, "heap"), [Caution::Manure(None), words]);
    let out = written
        .event("2026-06-10", "planting: a, is: planted out, place: bed")
        .event("2026-07-01", "planting: a, is: flowering");
    let tasks = out.on("2026-07-01").tasks();
    assert_eq!(of(&tasks, "spray"), [Caution::Bees]);
    assert_eq!(of(&tasks, "tea"), []);
}

/// Source: 7 CFR 205.203(c)(1): raw manure 120 days before the harvest of what touches the soil.
#[test]
fn a_harvest_tells_of_manure_in_the_last_120_days() {
    let manured = |on: &str| {
        Written::new()
            .plant("2026-03-01", "id: l, crop: lettuce, place: bed, sown: 20")
            .care(on, "planting: l, did: mulch, with: cow manure")
            .pick("2026-07-09", "l")
            .on("2026-07-09")
            .of_rule("look for harvest")
            .remove(0)
    };
    // Due on 15 July: 119 and 120 days later.
    let inside = manured("2026-03-18");
    assert_eq!(
        (inside.due, inside.cautions),
        (day("2026-07-15"), vec![Caution::Manure(Some(day("2026-03-18")))])
    );
    assert_eq!(manured("2026-03-17").cautions, []);
}

#[test]
fn muck_is_manure_and_what_is_rotted_is_not_raw() {
    let cautions = |with: &str| {
        let on = "2026-05-20";
        let written = Written::new()
            .plant("2026-03-01", "id: l, crop: lettuce, place: bed, sown: 20")
            .care(on, &format!("planting: l, did: mulch, with: {with}"))
            .pick("2026-07-09", "l")
            .on("2026-07-09");
        written.of_rule("look for harvest").remove(0).cautions
    };
    assert_eq!(cautions("fresh horse muck"), [Caution::Manure(Some(day("2026-05-20")))]);
    assert_eq!(cautions("well-rotted manure"), []);
    assert_eq!(cautions("green manure"), []);
}
