//! What holds for every garden.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use proptest::prelude::*;
use trug::calendar::plan::Plan;
use trug::care::tasks::model::{Task, Why};
use trug::catalogue::{CareRule, Repeat};
use trug::dates::{Period, shift};
use trug::garden::taught::Taught;
use trug::jobs::Job;
use trug::origin::{Origin, Written as At};
use trug::stage::Stage;
use trug::units::{Celsius, Days, Range};

use crate::tasks::written::{Scene, Written, day};

const STAGES: &[(&str, i64)] = &[
    ("emerged", 10),
    ("pricked out", 24),
    ("potted on", 38),
    ("hardening off", 50),
    ("planted out", 58),
    ("flowering", 90),
    ("fruiting", 100),
];
const CROPS: &[&str] =
    &["tomato", "lettuce", "cucumber", "leek", "pepper", "celery", "sweetcorn", "climbing bean"];

/// A raised planting that went so many stages on its way, with work logged on some days.
fn garden(crop: &str, passed: usize, work: &[(i64, usize)]) -> Written {
    let sown = day("2026-03-01");
    let start = format!("id: a, crop: {crop}, place: shelf, for: bed, sown: 20");
    let mut written = Written::new().plant("2026-03-01", &start);
    for (stage, after) in &STAGES[..passed] {
        let on = shift(sown, *after).to_string();
        written = written.event(&on, &format!("planting: a, is: {stage}"));
    }
    for (after, which) in work {
        let on = shift(sown, *after).to_string();
        let did = ["weed", "feed, with: leaf-feed", "feed", "tie in", "skip, task: weed"][*which];
        written = written.care(&on, &format!("planting: a, did: {did}"));
    }
    written
}

fn keys(scene: &Scene, tasks: &[Task]) -> BTreeSet<String> {
    tasks.iter().map(|task| task.key.text(&scene.garden)).collect()
}

/// None before today, none twice, one open time of a rule at most, and late only after its time.
fn check(scene: &Scene, tasks: &[Task]) -> Result<(), TestCaseError> {
    let today = scene.garden.today;
    prop_assert_eq!(keys(scene, tasks).len(), tasks.len());
    let mut open: BTreeMap<String, u32> = BTreeMap::new();
    for task in tasks {
        prop_assert!(task.due >= today && task.cause.date <= today);
        prop_assert!(task.until.is_none_or(|until| until >= task.due || task.due == today));
        prop_assert!(task.overdue_since.is_none_or(|since| since < today && task.due == today));
        prop_assert!(task.key.number >= 1);
        if task.due == today {
            let key = &task.key;
            let rule = (key.planting, key.place, &key.rule, key.from);
            *open.entry(format!("{rule:?}")).or_default() += 1;
        }
    }
    prop_assert!(open.values().all(|count| *count == 1), "{:?}", open);
    prop_assert!(tasks.is_sorted_by_key(|task| task.due));
    Ok(())
}

fn odd_days() -> impl Strategy<Value = Range<Days>> {
    let number = || prop_oneof![-400..2000_i32, Just(0), Just(i32::MAX), Just(i32::MIN)];
    (number(), number()).prop_map(|(low, high)| Range { low: Days(low), high: Days(high) })
}

fn odd_rule() -> impl Strategy<Value = CareRule> {
    let stage = || prop::sample::select(Stage::NOTED);
    let job = prop::sample::select(trug::jobs::CARE).boxed();
    let job = prop_oneof![job, prop::sample::select(trug::jobs::PLANNED)];
    let times = (prop::option::of(odd_days()), prop::option::of(odd_days()));
    (0..1000_u32, job, stage(), stage(), times).prop_map(
        |(id, job, from, until, (after, every))| CareRule {
            id: format!("rule-{id}"),
            task: At::new(job, Origin::Nowhere),
            with: None,
            purpose: None,
            from,
            until,
            when: None,
            before: None,
            after,
            repeat: every.map_or(Repeat::Once, Repeat::Every),
            why: None,
            is_off: false,
            caution: None,
        },
    )
}

/// Work that is done once is given up four weeks after it was in good time.
fn is_too_late(task: &Task, today: NaiveDate) -> bool {
    task.until.is_some_and(|until| shift(until, 28) < today)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 16,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn tasks_hold_together(
        crop in prop::sample::select(CROPS),
        passed in 0..=STAGES.len(),
        work in prop::collection::vec((5..150_i64, 0..5_usize), 0..6),
        now in 0..200_i64,
    ) {
        let written = garden(crop, passed, &work);
        let scene = written.on_day(shift(day("2026-03-01"), now));
        check(&scene, &scene.tasks())?;
    }

    /// Day after day without an entry: what was not done is asked for until its rule ends, by its own key or, where it
    /// comes again, by that of a later time; watering, until nobody can know any more.
    #[test]
    fn untouched_tasks_keep_their_keys(
        crop in prop::sample::select(CROPS),
        passed in 0..=STAGES.len(),
        quiet in 1..40_i64,
    ) {
        // After the last of its stages: one that is dated ahead would be news on a quiet day.
        let from = shift(day("2026-03-01"), 10 + 15 * passed as i64);
        let written = garden(crop, passed, &[]);
        let mut scene = written.on_day(from);
        let mut before = scene.tasks();
        for _ in 0..quiet {
            let today = shift(scene.garden.today, 1);
            scene = written.on_day(today);
            let after = scene.tasks();
            check(&scene, &after)?;
            let kept = keys(&scene, &after);
            // A stage that comes by itself is taken to have come at the end of its range.
            let came = scene.stages("a").into_iter().find(|dates| {
                let is_today = dates.expected.is_some_and(|range| range.to == today);
                dates.actual.is_none() && !dates.what.is_work() && is_today
            });
            // What was to follow on work that is not done yet waits for it.
            let waits = |task: &&Task| match task.why {
                Why::Expected(what, _) => what.is_work() && task.key.from != Stage::Intended,
                _ => false,
            };
            // On the day its end is expected, clearing it takes the place of every other work on it.
            let is_cleared = |task: &Task| {
                let clears = |other: &Task| {
                    other.job == Job::Clear
                        && other.due == today
                        && other.key.planting == task.key.planting
                };
                after.iter().any(clears)
            };
            let is_open = |task: &&Task| {
                let is_earlier = |other: &Task| {
                    let (one, other) = (&task.key, &other.key);
                    (one.planting, one.place, &one.rule, one.from)
                        == (other.planting, other.place, &other.rule, other.from)
                        && other.number < one.number
                };
                task.due <= today && (task.job == Job::Water || !before.iter().any(is_earlier))
            };
            for task in before.iter().filter(|task| is_open(task) && !waits(task)) {
                let key = task.key.text(&scene.garden);
                // What nobody ever notes is only reminded of.
                let is_watered = |other: &Task| {
                    other.job == Job::Water && other.key.place == task.key.place
                };
                let is_silent = task.job == Job::Water
                    && (task.refill.is_none() || !after.iter().any(is_watered));
                let may_go =
                    came.is_some() || is_silent || is_cleared(task) || is_too_late(task, today);
                let is_newer = |other: &Task| {
                    let (one, other) = (&task.key, &other.key);
                    let is_rule = (one.planting, one.place, &one.rule, one.from)
                        == (other.planting, other.place, &other.rule, other.from);
                    is_rule && other.number > one.number
                };
                let stands = after.iter().any(|other| is_newer(other) && other.due == today);
                prop_assert!(kept.contains(&key) || stands || may_go, "{} on {}", key, today);
            }
            before = after;
        }
    }

    /// Work logged on its day asks for the next within the rule's range.
    #[test]
    fn work_in_time_gives_the_next_in_its_range(low in 1..40_i32, more in 0..30_i32, wait in 0..5_i64) {
        let every = format!("{low}-{} days", low + more);
        let written = Written::new()
            .own_crop(&format!(
                "begun-as: [seed outdoors]\ncare:\n  - {{id: r, task: tie in, from: sown, every: {every}}}"
            ))
            .plant("2026-03-01", "id: a, crop: garden weed, place: bed, sown: 20");
        let first = written.on("2026-03-01").of_rule("r").remove(0);
        let done = shift(first.due, wait.min(i64::from(more)));
        let written = written.care(&done.to_string(), "planting: a, did: tie in");
        let next = written.on_day(done).of_rule("r").remove(0);
        prop_assert_eq!(next.key.number, first.key.number + 1);
        prop_assert_eq!(next.due, shift(done, i64::from(low)));
        prop_assert_eq!(next.until, Some(shift(done, i64::from(low + more))));
    }

    #[test]
    fn no_sheet_is_too_odd(
        crop in prop::sample::select(CROPS),
        passed in 0..=STAGES.len(),
        rules in prop::collection::vec(odd_rule(), 0..6),
        odd in prop::collection::vec(prop::option::of(odd_days()), 5),
        plan in prop::option::of((-400..400_i64, -400..400_i64)),
        lowest in -50.0..60.0_f64,
    ) {
        let mut scene = garden(crop, passed, &[(60, 0)]).on("2026-07-01");
        let id = scene.id("a");
        let mut sheet = scene.garden.planting(id).sheet.clone();
        let mut rules = rules;
        rules.sort_by(|a, b| a.id.cmp(&b.id));
        rules.dedup_by(|a, b| a.id == b.id);
        sheet.care = Some(rules);
        sheet.germination_days = odd[0];
        sheet.under_cover = odd[1];
        sheet.harvest_lasts = odd[2];
        sheet.picking_every = odd[3];
        sheet.germination_lowest = Some(Celsius(lowest));
        for after in [&mut sheet.first_harvest, &mut sheet.flowering].into_iter().flatten() {
            after.days = odd[4].unwrap_or(after.days);
        }
        scene.taught = Taught::new(&scene.garden, [(id, sheet)]);
        if let Some((from, to)) = plan {
            let period = |from, to| Period {
                from: shift(scene.garden.today, from),
                to: shift(scene.garden.today, to),
            };
            let plan = Plan {
                sow: Some(period(from, to)),
                plant_out: Some(period(to, from)),
                ..Plan::default()
            };
            scene.plans.insert(id, plan);
        }
        let tasks = scene.tasks();
        let today = scene.garden.today;
        prop_assert!(tasks.iter().all(|task| task.due >= today));
        prop_assert_eq!(keys(&scene, &tasks).len(), tasks.len());
    }

    #[test]
    fn a_finished_planting_has_no_tasks(crop in prop::sample::select(CROPS), passed in 0..=STAGES.len()) {
        let written = garden(crop, passed, &[(20, 0)])
            .event("2026-07-01", "planting: a, is: finished");
        prop_assert_eq!(written.on("2026-07-05").tasks(), []);
    }
}
