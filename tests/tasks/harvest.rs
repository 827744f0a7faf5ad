//! Looking for harvest and clearing.

use trug::care::tasks::model::{Caution, Why};
use trug::stages::Milestone;

use crate::tasks::written::{Written, day};

/// Courgette: 45–60 days from sowing, then every 2–3 days.
fn courgette() -> Written {
    Written::new().plant("2026-05-20", "id: c, crop: courgette, place: bed, sown: 4")
}

#[test]
fn it_is_looked_at_from_the_expected_first_harvest_at_the_picking_interval() {
    let looks = courgette().in_usual_weather().on("2026-06-20").of_rule("look for harvest");
    assert_eq!((looks[0].due, looks[0].until), (day("2026-07-04"), Some(day("2026-07-19"))));
    assert_eq!(looks[0].why, Why::Expected(Milestone::FirstHarvest, day("2026-07-04")));
    assert_eq!(looks[1].due, day("2026-07-06"));
    let picked = courgette().pick("2026-07-01", "c").pick("2026-07-03", "c");
    let look = &picked.on("2026-07-03").of_rule("look for harvest")[0];
    assert_eq!(
        (look.due, look.until, look.key.number),
        (day("2026-07-06"), Some(day("2026-07-06")), 3)
    );
    let late = &picked.on("2026-07-10").of_rule("look for harvest")[0];
    assert_eq!((late.due, late.overdue_since), (day("2026-07-10"), Some(day("2026-07-07"))));
}

#[test]
fn a_treatment_holds_it_back() {
    let treated = courgette()
        .pick("2026-07-01", "c")
        .care("2026-07-02", "planting: c, did: treat, with: soap, against: mites, wait: 7 days");
    let look = &treated.on("2026-07-02").of_rule("look for harvest")[0];
    assert_eq!(look.due, day("2026-07-09"));
    assert_eq!(look.cautions, [Caution::WaitUntil(day("2026-07-09"), day("2026-07-02"))]);
    assert_eq!(look.cause.date, day("2026-07-02"));
    let after = &treated.on("2026-07-09").of_rule("look for harvest")[0];
    assert_eq!((after.due, after.cautions.len()), (day("2026-07-09"), 0));
}

/// Courgette: picked for 6–8 weeks.
#[test]
fn it_is_cleared_when_it_bears_no_more() {
    let picked = courgette().pick("2026-07-05", "c");
    let clear = &picked.on("2026-08-20").of_rule("clear")[0];
    assert_eq!((clear.due, clear.until), (day("2026-08-30"), Some(day("2026-09-13"))));
    // It goes on bearing: two intervals after the last picking.
    let longer = picked.clone().pick("2026-08-28", "c");
    assert_eq!(longer.on("2026-08-29").of_rule("clear")[0].due, day("2026-09-03"));
    // Over, and nothing picked for weeks: nothing to look for, a bed to clear.
    let over = longer.on("2026-09-20");
    assert_eq!(over.of_rule("look for harvest"), []);
    assert_eq!(over.of_rule("clear")[0].overdue_since, Some(day("2026-09-18")));
    let done = longer.event("2026-09-21", "planting: c, is: finished");
    assert_eq!(done.on("2026-09-21").told(60), [""; 0]);
}

/// Garlic: 240–280 days from planting, lifted once.
#[test]
fn what_is_lifted_at_once_is_looked_at_once() {
    let garlic = Written::new().plant("2025-10-18", "id: g, crop: garlic, place: bed, planted: 40");
    let looks = garlic.on("2026-06-01").of_rule("look for harvest");
    assert_eq!((looks.len(), looks[0].due), (1, day("2026-06-15")));
    let lifted = garlic.pick("2026-07-01", "g").on("2026-07-01");
    assert_eq!(lifted.of_rule("look for harvest"), []);
    assert_eq!(lifted.of_rule("clear")[0].due, day("2026-07-15"));
}

#[test]
fn a_look_that_was_skipped_comes_again() {
    let skipped = courgette().care("2026-07-05", "planting: c, did: skip, task: look for harvest");
    let look = &skipped.on("2026-07-05").of_rule("look for harvest")[0];
    assert_eq!((look.due, look.key.number), (day("2026-07-12"), 2));
    // What is lifted once is not lifted by looking.
    let garlic = Written::new()
        .plant("2025-10-18", "id: g, crop: garlic, place: bed, planted: 40")
        .care("2026-06-15", "planting: g, did: skip, task: look for harvest");
    let look = &garlic.on("2026-06-15").of_rule("look for harvest")[0];
    assert_eq!((look.due, look.key.number), (day("2026-06-22"), 2));
}
