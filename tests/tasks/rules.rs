//! Rules of a crop sheet: when they start, what moves them, when they stop.

use trug::care::tasks::model::{Note, Why};
use trug::catalogue::Purpose;
use trug::jobs::Job;
use trug::site::frame::Link;
use trug::stage::Stage;

use crate::tasks::written::{Written, day};

/// Own crop, sown where it grows, with one repeating and one single rule.
fn weeds() -> Written {
    Written::new()
        .own_crop(
            "begun-as: [seed outdoors]\ncare:\n  \
             - {id: weed, task: weed, from: sown, until: flowering, every: 10-14 days}\n  \
             - {id: straw, task: mulch, from: sown, after: 20-30 days}",
        )
        .plant("2026-05-01", "id: a, crop: garden weed, place: bed, sown: 20")
}

#[test]
fn the_next_time_is_counted_from_the_doing() {
    // Due from the low end on, in good time to the high end.
    let first = &weeds().on("2026-05-02").of_rule("weed")[0];
    assert_eq!((first.due, first.until), (day("2026-05-11"), Some(day("2026-05-15"))));
    assert_eq!(first.why, Why::Reached(Stage::Sown, day("2026-05-01")));
    let done = weeds().care("2026-05-13", "planting: a, did: weed");
    let next = &done.on("2026-05-13").of_rule("weed")[0];
    assert_eq!((next.due, next.key.number), (day("2026-05-23"), 2));
    assert_eq!(next.why, Why::LastDone(day("2026-05-13")));
    assert_eq!(next.cause.date, day("2026-05-13"));
    // Ahead it is laid out every 12 days.
    assert_eq!(
        done.on("2026-05-13").told(40),
        ["straw 1 2026-05-21", "weed 2 2026-05-23", "weed 3 2026-06-04", "weed 4 2026-06-16",]
    );
}

#[test]
fn late_work_does_not_pile_up() {
    let scene = weeds().on("2026-06-20");
    assert_eq!(
        scene.told(12),
        [
            "weed 4 2026-06-20 late since 2026-05-16",
            "straw 1 2026-06-20 late since 2026-06-01",
            "weed 5 2026-06-28",
        ]
    );
    // Between the two ends it is open and not late.
    let open = &weeds().on("2026-05-13").of_rule("weed")[0];
    assert_eq!((open.due, open.overdue_since), (day("2026-05-13"), None));
}

#[test]
fn a_skip_moves_a_task_on() {
    let by_rule = weeds().care("2026-05-12", "planting: a, did: skip, task: weed");
    assert_eq!(by_rule.on("2026-05-12").told(12), ["straw 1 2026-05-21", "weed 2 2026-05-22"]);
    let by_job = weeds().care("2026-05-12", "planting: a, did: skip, task: mulch");
    assert_eq!(by_job.on("2026-05-12").of_rule("straw"), []);
}

#[test]
fn a_rule_ends_with_its_last_stage_and_with_the_planting() {
    let flowers = weeds().event("2026-06-01", "planting: a, is: flowering");
    assert_eq!(flowers.on("2026-06-01").told(40), ["straw 1 2026-06-01"]);
    let finished = weeds().event("2026-06-01", "planting: a, is: finished");
    assert_eq!(finished.on("2026-06-01").told(60), [""; 0]);
}

/// A feed for leaves until the flowers open, then one for fruit: of the tomato's own sheet.
#[test]
fn feeds_follow_the_stage() {
    let written = Written::new()
        .in_usual_weather()
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: bed, sown: 12")
        .event("2026-03-20", "planting: tom, is: emerged")
        .event("2026-04-05", "planting: tom, is: potted on");
    // Due to go out in April, but still on the shelf.
    let scene = written.on("2026-04-30");
    let leaf = &scene.of_rule("leaf")[0];
    // Fresh mix feeds for four weeks, and a seedling takes half.
    assert_eq!((leaf.due, leaf.why), (day("2026-05-03"), Why::FreshMix(day("2026-04-05"))));
    assert_eq!(leaf.notes, [Note::HalfStrength]);
    let out = written
        .event("2026-05-16", "planting: tom, is: planted out, place: bed")
        .care("2026-06-06", "planting: tom, did: feed, with: leaf-feed")
        .care("2026-06-07", "planting: tom, did: feed, with: tomato water");
    let out =
        out.file("mixes/own.md", "---\nname: tomato water\nlabel: {n: 4, p2o5: 2, k2o: 8}\n---\n");
    // The flowers are expected by 13 June; the feed of the garden that serves fruit is named, a week after the one before.
    let scene = out.on("2026-06-08");
    assert_eq!(scene.of_rule("leaf"), []);
    let fruit = &scene.of_rule("fruit")[0];
    assert_eq!(fruit.with.as_deref(), Some("tomato water"));
    assert_eq!((fruit.due, fruit.why), (day("2026-06-14"), Why::LastDone(day("2026-06-07"))));
    assert_eq!(fruit.notes, []);
    let scene = out.event("2026-06-09", "planting: tom, is: flowering").on("2026-06-09");
    assert_eq!(scene.of_rule("leaf"), []);
    // A week after the feed before it.
    assert_eq!(scene.of_rule("fruit")[0].due, day("2026-06-14"));
    assert_eq!(scene.of_rule("magnesium"), []);
}

#[test]
fn a_feed_may_be_called_by_its_name_or_its_file() {
    let written = Written::new()
        .file("mixes/fruit-feed.md", "---\nname: Red bottle\nlabel: {n: 4, p2o5: 2, k2o: 8}\n---\n")
        .plant("2026-05-01", "id: tom, crop: tomato, place: bed, bought: 3, at: planted out")
        .event("2026-06-01", "planting: tom, is: flowering")
        .care("2026-06-03", "planting: tom, did: feed, with: Red bottle");
    let fruit = &written.on("2026-06-03").of_rule("fruit")[0];
    assert_eq!((fruit.due, fruit.key.number), (day("2026-06-10"), 2));
}

/// A rule names what a feed is for: whatever the shelf holds is given, and counts.
#[test]
fn the_growers_own_feed_is_the_feed() {
    let fed = |with: &str| {
        Written::new()
            .plant("2026-05-01", "id: pep, crop: pepper, place: bed, bought: 3, at: planted out")
            .event("2026-06-01", "planting: pep, is: flowering")
            .care("2026-06-03", &format!("planting: pep, did: feed, with: {with}"))
    };
    let label = |label: &str| format!("---\nname: Blue bottle\nlabel: {{{label}}}\n---\n");
    let feeds = |written: Written| {
        let tasks = written.on("2026-06-04").tasks_for(10).into_iter();
        let feeds = tasks.filter(|task| task.job == Job::Feed);
        feeds.map(|task| (task.due.to_string(), task.with, task.purpose)).collect::<Vec<_>>()
    };
    let due = "2026-06-10".to_owned();
    let fruit = fed("Blue bottle").file("mixes/b.md", &label("n: 3, p2o5: 2, k2o: 6"));
    assert_eq!(feeds(fruit), [(due.clone(), Some("Blue bottle".to_owned()), None)]);
    // One that serves leaves is counted, but not asked for.
    let leaf = fed("Blue bottle").file("mixes/b.md", &label("n: 6, p2o5: 2, k2o: 3"));
    assert_eq!(feeds(leaf), [(due, None, Some(Purpose::Fruit))]);
}

/// Whatever bottles there are: a plant is asked to be fed by one rule at a time.
#[test]
fn a_plant_is_fed_by_one_rule_at_a_time() {
    let bottle = |name: &str, label: &str| format!("---\nname: {name}\nlabel: {{{label}}}\n---\n");
    let mut seen = 0;
    for crop in ["pepper", "tomato", "courgette", "okra", "strawberry", "leek", "chard", "celery"] {
        let line = format!("id: a, crop: {crop}, place: bed, bought: 3, at: planted out");
        let written = Written::new()
            .file("mixes/a.md", &bottle("Blue bottle", "n: 4, p2o5: 2, k2o: 8"))
            .file("mixes/b.md", &bottle("Green bottle", "n: 8, p2o5: 2, k2o: 4"))
            .file("mixes/c.md", &bottle("Red bottle", "n: 2, p2o5: 2, k2o: 5"))
            .file("mixes/d.md", &bottle("Salt", "n: 0, p2o5: 0, k2o: 0, mgo: 16"))
            .plant("2026-05-15", &line)
            .care("2026-06-02", "planting: a, did: feed, with: Red bottle")
            .event("2026-06-20", "planting: a, is: flowering");
        for today in ["2026-05-15", "2026-06-01", "2026-06-15", "2026-06-20", "2026-07-20"] {
            let tasks = written.on(today).tasks_for(60);
            let mut days: Vec<_> =
                tasks.iter().filter(|task| task.job == Job::Feed).map(|task| task.due).collect();
            let all = days.len();
            seen += all;
            days.dedup();
            assert_eq!(days.len(), all, "{crop} on {today}: {days:?}");
        }
    }
    assert!(seen > 60, "{seen}");
}

#[test]
fn what_a_plant_does_not_need_is_not_asked_for() {
    let care = "care:\n  - {id: leaf, task: feed, with: leaf-feed, from: sown, every: 10 days}\n  \
                - {id: pods, task: feed, with: fruit-feed, from: sown, every: 10 days}\n  \
                - {id: side-shoots, task: pinch out, from: sown, every: 7 days}";
    let rules = |more: &str| {
        let scene = Written::new()
            .own_crop(&format!("begun-as: [seed outdoors]\n{more}\n{care}"))
            .plant("2026-05-01", "id: a, crop: garden weed, place: bed, sown: 20")
            .on("2026-05-01");
        let mut rules: Vec<_> = scene.tasks().into_iter().map(|task| task.key.rule).collect();
        rules.sort();
        rules.dedup();
        rules
    };
    assert_eq!(rules("habit: cordon"), ["leaf", "pods", "side-shoots"]);
    assert_eq!(rules("habit: bush\nfixes-nitrogen: true"), ["pods"]);
    assert_eq!(rules("habit: climbing"), ["leaf", "pods"]);
    assert_eq!(rules("sun: 6 hours"), ["leaf", "pods"]);
}

#[test]
fn half_of_the_old_mix_feeds_for_half_as_long() {
    let written = Written::new()
        .own_crop("begun-as: [seed outdoors]\ncare:\n  - {id: leaf, task: feed, from: sown, every: 10 days}")
        .plant("2026-05-01", "id: a, crop: garden weed, place: tubs, sown: 20");
    let all = written.clone().care("2026-05-01", "place: tubs, did: refill");
    assert_eq!(all.on("2026-05-01").of_rule("leaf")[0].due, day("2026-05-29"));
    let half = written.care("2026-05-01", "place: tubs, did: refill, old: 50%");
    assert_eq!(half.on("2026-05-01").of_rule("leaf")[0].due, day("2026-05-15"));
}

#[test]
fn a_private_entry_is_a_cause_that_no_page_leads_to() {
    let care = "care:\n  - {planting: a, did: weed, on: 2026-05-12}";
    let shown = weeds().entry("2026-05-14", care).on("2026-05-14");
    let cause = shown.of_rule("weed")[0].cause;
    // Known since the entry was written, not since the day it tells of.
    assert_eq!(cause.date, day("2026-05-14"));
    assert!(cause.entry.is_some());
    let hidden = weeds().entry("2026-05-14", &format!("private: true\n{care}")).on("2026-05-14");
    let cause = hidden.of_rule("weed")[0].cause;
    assert_eq!(cause.date, day("2026-05-14"));
    // Whoever links to an entry asks by `Link::entry`, which has none of a private one.
    let entry = cause.entry.expect("the entry");
    assert!(hidden.garden.entry(entry).is_private);
    assert_eq!(Link::entry(&hidden.garden, entry), None);
}

#[test]
fn a_perennial_starts_its_year_when_growth_does() {
    let written = Written::new()
        .plant("2024-04-01", "id: berry, crop: strawberry, planted: 8, place: bed, lasts: years");
    let done = written.care("2025-10-20", "planting: berry, did: weed");
    let weed =
        &done.on("2026-01-10").tasks_for(120).into_iter().find(|task| task.key.rule == "weed");
    let weed = weed.as_ref().unwrap();
    // The mean of the made-up climate passes 5 °C at the end of February.
    assert!((day("2026-03-01")..day("2026-03-31")).contains(&weed.due), "{}", weed.due);
    assert_eq!(weed.key.number, 2);
}

/// Common practice, no source: a tray is not weeded or mulched, and what is set out at its distance is
/// not thinned.
#[test]
fn work_on_the_ground_waits_for_planting_out() {
    let raised = Written::new()
        .own_crop(
            "begun-as: [seed under cover]\nweeks-under-cover: 4\ncare:\n  \
             - {id: weed, task: weed, from: sown, every: 7 days}\n  \
             - {id: thin, task: thin, from: sown, after: 7 days}",
        )
        .plant("2026-05-01", "id: a, crop: garden weed, place: shelf, for: bed, sown: 20");
    assert_eq!(raised.on("2026-05-02").of_rule("weed"), []);
    assert_eq!(raised.on("2026-05-02").of_rule("thin"), []);
    // Still in its tray: nothing yet.
    assert_eq!(raised.on("2026-06-10").of_rule("weed"), []);
    let out = raised.event("2026-06-10", "planting: a, is: planted out, place: bed");
    assert_eq!(out.on("2026-06-10").of_rule("weed")[0].due, day("2026-06-10"));
}

#[test]
fn flowers_that_set_by_themselves_are_helped_in_still_air_only() {
    let tomato = |place: &str| {
        let line = format!("id: tom, crop: tomato, place: {place}, bought: 3, at: planted out");
        let written = Written::new().plant("2026-05-01", &line);
        written
            .event("2026-06-01", "planting: tom, is: flowering")
            .on("2026-06-01")
            .of_rule("shake")
    };
    assert_eq!(tomato("bed"), []);
    assert_eq!(tomato("house")[0].due, day("2026-06-01"));
    let insects = Written::new()
        .plant("2026-05-20", "id: c, crop: courgette, place: bed, sown: 4")
        .event("2026-07-01", "planting: c, is: flowering");
    assert_eq!(insects.on("2026-07-01").of_rule("hand-pollinate")[0].due, day("2026-07-01"));
}

/// While the open time waits, those behind it stay on their days; each is passed over when it has come
/// nearer than half the interval of twelve days.
#[test]
fn what_lies_ahead_does_not_slip_from_day_to_day() {
    let ahead = |day: &str| weeds().on(day).of_rule("weed").into_iter().skip(1).collect::<Vec<_>>();
    // Due on the 11th; the second time stands on the 23rd until the 17th.
    let first_ahead = |day: &str| {
        let task = ahead(day).remove(0);
        (task.key.number, task.due)
    };
    for date in ["2026-05-11", "2026-05-12", "2026-05-17"] {
        assert_eq!(first_ahead(date), (2, day("2026-05-23")), "{date}");
    }
    for date in ["2026-05-18", "2026-05-23", "2026-05-29"] {
        assert_eq!(first_ahead(date), (3, day("2026-06-04")), "{date}");
    }
}
