//! Tasks of a day together, and the sheet for a helper.

use trug::care::tasks::away::{absences, helper_sheet};
use trug::care::tasks::grouping::by_day_and_job;
use trug::care::tasks::model::Caution;
use trug::dates::Period;

use crate::tasks::written::{Written, day};

#[test]
fn one_group_a_day_and_job() {
    let care = "begun-as: [seed outdoors]\ncare:\n  \
        - {id: one, task: feed, with: leaf-feed, from: sown, after: 10 days}\n  \
        - {id: two, task: feed, with: Leaf-Feed, from: sown, after: 10 days}\n  \
        - {id: three, task: feed, with: fruit-feed, from: sown, after: 10 days}\n  \
        - {id: four, task: weed, from: sown, after: 2-3 days}";
    let scene = Written::new()
        .own_crop(care)
        .plant("2026-05-01", "id: a, crop: garden weed, place: bed, sown: 20")
        .plant("2026-05-01", "id: b, crop: garden weed, place: tubs, sown: 20")
        .on("2026-05-06");
    let tasks = scene.tasks();
    let groups = by_day_and_job(&tasks);
    let told: Vec<_> = groups
        .iter()
        .map(|group| {
            let with = group.with.unwrap_or("-");
            let (day, job) = (group.day, &group.job);
            format!("{day} {job} {with} {} {:?}", group.tasks.len(), group.tasks[0].overdue_since)
        })
        .collect();
    assert_eq!(
        told,
        [
            "2026-05-06 weed - 2 Some(2026-05-05)",
            "2026-05-11 feed fruit-feed 2 None",
            "2026-05-11 feed leaf-feed 4 None",
        ]
    );
}

#[test]
fn a_helper_gets_a_sheet() {
    let scene = Written::new()
        .settings("away: [{from: 05-10, to: 05-20, helper: Jo}, {from: 12-24, to: 01-02}]")
        .plant("2026-05-01", "id: a, crop: lettuce, place: bed, sown: 20")
        .plant("2026-05-01", "id: b, crop: tomato, place: shelf, for: tubs, sown: 6")
        .care("2026-05-04", "place: bed, did: water, amount: 5 L")
        .on("2026-05-05");
    let year = Period { from: day("2026-01-01"), to: day("2026-12-31") };
    let away = absences(&scene.garden.settings, year);
    let days: Vec<_> = away.iter().map(|a| format!("{}–{}", a.days.from, a.days.to)).collect();
    assert_eq!(days, ["2025-12-24–2026-01-02", "2026-05-10–2026-05-20", "2026-12-24–2027-01-02"]);
    let tasks = scene.tasks();
    let sheet = helper_sheet(&scene.garden, away[1].clone(), &tasks);
    assert_eq!(sheet.absence.helper.as_deref(), Some("Jo"));
    let told: Vec<_> = sheet
        .places
        .iter()
        .map(|water| {
            let name = scene.garden.place(water.place).name.as_str();
            (name, water.plantings.len(), water.last_watered, water.cautions.as_slice())
        })
        .collect();
    assert_eq!(
        told,
        [
            ("bed", 1, Some(day("2026-05-04")), &[][..]),
            ("shelf", 1, None, &[Caution::Electricity][..]),
        ]
    );
    assert!(!sheet.tasks.is_empty());
    assert!(tasks.iter().all(|task| task.is_while_away == away[1].days.contains(task.due)));
}
