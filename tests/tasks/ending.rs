//! When work ends, what is never asked together, and what is asked at the end of a crop's year.

use trug::calendar::plan::Plan;
use trug::care::prospect::Prospect;
use trug::care::tasks;
use trug::care::tasks::model::Why;
use trug::dates::Period;
use trug::jobs::Job;

use crate::tasks::written::{Scene, Written, day};

/// What is told as too late for this year, as `planting rule`.
fn too_late(scene: &Scene) -> Vec<String> {
    let found = tasks::too_late(&Prospect::of(&scene.taught, &scene.conditions, &scene.plans));
    let whose = |task: &tasks::model::Task| {
        task.key.planting.map_or(String::new(), |id| scene.garden.planting(id).id.to_string())
    };
    found.iter().map(|task| format!("{} {}", whose(task), task.key.rule)).collect()
}

fn jobs(scene: &Scene, days: u32) -> Vec<String> {
    scene.told(days).iter().map(|told| told.rsplit_once(' ').unwrap().0.to_owned()).collect()
}

/// Garlic of October wants its feed 120 to 150 days later, in February and March.
#[test]
fn a_feed_of_spring_is_not_asked_for_in_june() {
    let garlic = Written::new().plant("2025-10-18", "id: g, crop: garlic, place: bed, planted: 40");
    let leaf = |on: &str| garlic.on(on).of_rule("leaf").len();
    assert_eq!((leaf("2026-03-20"), leaf("2026-04-10")), (1, 1));
    assert_eq!((leaf("2026-05-20"), leaf("2026-06-10")), (0, 0));
    // Told for two weeks, once it is no more asked for.
    let days = (0..80).map(|more| trug::dates::shift(day("2026-03-20"), more));
    let told: Vec<_> = days.filter(|day| !too_late(&garlic.on_day(*day)).is_empty()).collect();
    assert_eq!(told.len(), 14, "{told:?}");
    assert!(told.iter().all(|day| garlic.on_day(*day).of_rule("leaf").is_empty()));
    let fed = garlic.care("2026-03-20", "planting: g, did: feed");
    assert_eq!(too_late(&fed.on_day(told[0])), [""; 0]);
}

/// The tips of broad beans are taken off when the first pods have set, not after picking.
#[test]
fn bean_tips_are_not_pinched_after_picking() {
    let bean = Written::new()
        .plant("2026-02-20", "id: b, crop: broad bean, place: bed, sown: 40")
        .event("2026-05-01", "planting: b, is: flowering");
    let tips = |written: &Written, on: &str| written.on(on).of_rule("tips").len();
    assert_eq!(tips(&bean, "2026-05-20"), 1);
    let picked = bean.pick("2026-05-30", "b");
    assert_eq!(tips(&picked, "2026-05-31"), 0);
    assert_eq!(too_late(&picked.on("2026-05-31")), ["b tips"]);
}

#[test]
fn mulch_two_months_late_is_too_late() {
    let tomato = Written::new()
        .plant("2026-05-15", "id: tom, crop: tomato, place: bed, bought: 3, at: planted out");
    let mulch = |on: &str| tomato.on(on).of_rule("mulch").len();
    assert_eq!((mulch("2026-06-20"), mulch("2026-07-20")), (1, 0));
}

/// The frost of half the years, and the one at the garden's risk.
#[test]
fn nothing_tender_is_tended_after_a_killing_frost() {
    let frost =
        "frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}";
    let garden = |crop: &str| {
        Written::new()
            .settings(frost)
            .plant(
                "2026-06-01",
                &format!("id: a, crop: {crop}, place: bed, bought: 3, at: planted out"),
            )
            .event("2026-07-01", "planting: a, is: flowering")
            .pick("2026-09-28", "a")
    };
    let tending = [Job::Feed, Job::Pollinate, Job::Weed, Job::TieIn, Job::PinchOut];
    for crop in ["tomato", "pepper", "courgette", "cucumber"] {
        let asked = |on: &str| {
            let tasks = garden(crop).on(on).tasks_for(90).into_iter();
            tasks.filter(|task| tending.contains(&task.job)).map(|task| task.due).max()
        };
        assert!(asked("2026-10-01").is_some_and(|last| last < day("2026-10-08")), "{crop}");
        assert_eq!(asked("2026-10-08"), None, "{crop}");
        // Killed by the weather that was noted.
        let killed =
            garden(crop).entry("2026-09-30", "weather: {low: -2 °C, high: 9 °C}").on("2026-10-01");
        let after = killed.tasks_for(60).into_iter().filter(|task| tending.contains(&task.job));
        assert_eq!(after.count(), 0, "{crop}");
        assert_eq!(killed.of_rule("clear")[0].due, day("2026-10-01"), "{crop}");
        assert_eq!(killed.of_rule("look for harvest"), [], "{crop}");
    }
}

#[test]
fn strawberries_are_fed_while_they_fruit() {
    let berry = Written::new()
        .plant("2024-04-01", "id: berry, crop: strawberry, planted: 8, place: bed, lasts: years")
        .event("2026-05-05", "planting: berry, is: flowering");
    let fed = berry.on("2026-05-06").tasks_for(300).into_iter();
    let feeds: Vec<_> = fed.filter(|task| task.job == Job::Feed).map(|task| task.due).collect();
    assert!(
        (2..=8).contains(&feeds.len()) && feeds.iter().all(|due| *due < day("2026-08-01")),
        "{feeds:?}"
    );
}

#[test]
fn a_bed_is_weeded_once_for_all_that_grow_in_it_and_rests_in_winter() {
    let bed = Written::new()
        .plant("2026-04-01", "id: a, crop: carrot, place: bed, sown: 100")
        .plant("2026-04-01", "id: b, crop: beetroot, place: bed, sown: 100")
        .plant("2026-04-01", "id: c, crop: parsnip, place: bed, sown: 100");
    let weedings = |written: &Written, on: &str, days: u32| {
        let tasks = written.on(on).tasks_for(days).into_iter();
        tasks.filter(|task| task.job == Job::Weed).map(|task| task.due).collect::<Vec<_>>()
    };
    let mut spring = weedings(&bed, "2026-05-01", 30);
    let all = spring.len();
    spring.dedup();
    assert_eq!(spring.len(), all);
    let winter = weedings(&bed.care("2026-11-10", "place: bed, did: weed"), "2026-11-11", 60);
    assert!(winter.iter().all(|due| *due < day("2026-12-10")), "{winter:?}");
}

/// Whatever a day brings: what is to be cleared gets nothing else, and nothing is late since the day itself.
#[test]
fn contradictions_never_stand_together() {
    let out = [
        ("tomato", "bought: 3, at: planted out"),
        ("courgette", "sown: 4"),
        ("potato", "planted: 10"),
        ("garlic", "planted: 20"),
    ];
    for (crop, begun) in out {
        let written = Written::new()
            .plant("2026-05-10", &format!("id: a, crop: {crop}, place: bed, {begun}"))
            .event("2026-06-20", "planting: a, is: flowering")
            .pick("2026-08-01", "a");
        for weeks in 0..15 {
            let scene = written.on_day(trug::dates::shift(day("2026-06-20"), 13 * weeks));
            let today = scene.garden.today;
            let due: Vec<_> = scene.tasks_for(0);
            let has =
                |job: Job| due.iter().any(|task| task.job == job && task.key.planting.is_some());
            let others = due.iter().filter(|task| {
                task.key.planting.is_some() && task.job != Job::Store && task.job != Job::Cure
            });
            assert!(
                !has(Job::Clear) || others.count() == 1,
                "{crop} on {today}: {:?}",
                scene.told(0)
            );
            assert!(
                due.iter().all(|task| task.overdue_since.is_none_or(|since| since < today)),
                "{crop}"
            );
        }
    }
}

#[test]
fn hardening_off_and_planting_out_are_not_asked_for_on_one_day() {
    for crop in ["tomato", "leek", "lettuce"] {
        let written = Written::new()
            .plant("2026-03-01", &format!("id: a, crop: {crop}, place: shelf, for: bed, sown: 20"))
            .event("2026-03-15", "planting: a, is: emerged");
        for weeks in 0..12 {
            let scene = written.on_day(trug::dates::shift(day("2026-03-15"), 8 * weeks));
            let tasks = scene.tasks();
            let due = |job: Job| tasks.iter().find(|task| task.job == job).map(|task| task.due);
            let (hardens, goes) = (due(Job::HardenOff), due(Job::PlantOut));
            let gap = hardens.zip(goes).map(|(hardens, goes)| (goes - hardens).num_days());
            assert!(gap.is_none_or(|gap| gap >= 7), "{crop} on {}: {gap:?}", scene.garden.today);
        }
    }
}

/// An onion with what its sheet may say of the end of its year.
const ONION: &str =
    "---\ncrop: onion\ncuring: {for: 2-3 weeks}\nripe-when: the tops have fallen over\n---\n";

#[test]
fn bulbs_are_dried_off_lifted_cured_and_stored() {
    let onion = Written::new()
        .file("crops/onion.md", ONION)
        .plant("2026-03-20", "id: o, crop: onion, place: bed, planted: 50");
    let before = onion.on("2026-06-01").tasks();
    let find = |job: Job| before.iter().find(|task| task.job == job).unwrap();
    let look = find(Job::LookForHarvest);
    assert_eq!(look.reason.as_deref(), Some("the tops have fallen over"));
    let dry = find(Job::StopWatering);
    assert!(dry.due < look.due && dry.due >= trug::dates::shift(look.due, -21));
    let lifted = onion.pick("2026-07-20", "o");
    let after = lifted.on("2026-07-20").told(40);
    assert!(after.iter().any(|told| told.starts_with("cure 1 2026-07-20")), "{after:?}");
    assert!(after.iter().any(|told| told.starts_with("store 1 2026-08-10")), "{after:?}");
    let cured = lifted.care("2026-08-05", "planting: o, did: cure");
    assert!(!jobs(&cured.on("2026-08-06"), 0).iter().any(|told| told.starts_with("cure")));
    let stored = cured.care("2026-08-11", "planting: o, did: store");
    assert!(!jobs(&stored.on("2026-08-12"), 40).iter().any(|told| told.starts_with("store")));
}

#[test]
fn what_frost_spoils_is_lifted_before_it() {
    let squash = Written::new()
        .settings("frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}")
        .plant("2026-06-20", "id: s, crop: winter squash, place: bed, sown: 4");
    let look = squash.on("2026-09-20").of_rule("look for harvest").remove(0);
    assert!(look.due < day("2026-10-08"), "{look:?}");
    assert_eq!(look.why, Why::FrostFrom(day("2026-10-08")));
}

#[test]
fn perennials_end_their_year() {
    let written = Written::new()
        .plant("2024-04-01", "id: spear, crop: asparagus, planted: 8, place: bed, lasts: years")
        .plant("2024-04-01", "id: rhu, crop: rhubarb, planted: 3, place: bed, lasts: years")
        .plant("2024-04-01", "id: cane, crop: raspberry, planted: 8, place: bed, lasts: years")
        .pick("2026-05-02", "spear")
        .pick("2026-05-02", "rhu")
        .pick("2026-07-02", "cane");
    let due = |job: Job, id: &str| {
        let scene = written.on("2026-07-03");
        let id = scene.id(id);
        let tasks = scene.tasks_for(200).into_iter();
        let found = tasks.filter(|task| task.job == job && task.key.planting == Some(id));
        found.map(|task| (task.due, task.overdue_since)).next()
    };
    assert!(due(Job::StopPicking, "spear").is_some() && due(Job::StopPicking, "rhu").is_some());
    assert!(due(Job::CutDown, "spear").is_some_and(|(due, _)| due > day("2026-10-01")));
    // Raspberries: after the fruit, three to five weeks later.
    assert!(due(Job::Prune, "cane").is_some_and(|(due, _)| due > day("2026-07-20")));
}

#[test]
fn an_established_perennial_is_picked_in_the_first_year_of_the_journal() {
    for crop in ["asparagus", "strawberry", "raspberry", "chives", "mint"] {
        for since in ["since: 2022", "since: unknown", "since: 2020-03-01"] {
            let line =
                format!("id: a, crop: {crop}, planted: 3, place: bed, lasts: years, {since}");
            let looks = Written::new().plant("2026-03-02", &line).on("2026-03-02").tasks_for(150);
            let mut looks = looks.into_iter().filter(|task| task.job == Job::LookForHarvest);
            let first = looks.next().map(|task| task.due);
            let is_in_time = first.is_some_and(|first| first < day("2026-07-15"));
            assert!(is_in_time, "{crop}, {since}: {first:?}");
        }
    }
}

/// What ends a perennial's year is asked for in every year, done or not done in the one before.
#[test]
fn perennials_end_each_of_their_years() {
    for (crop, job) in [
        ("rhubarb", Job::StopPicking),
        ("asparagus", Job::StopPicking),
        ("asparagus", Job::CutDown),
        ("globe artichoke", Job::CutDown),
        ("raspberry", Job::Prune),
    ] {
        let mut written = Written::new().plant(
            "2024-03-02",
            &format!("id: a, crop: {crop}, planted: 3, place: bed, lasts: years, since: 2022"),
        );
        for year in 2024..=2026 {
            written =
                written.pick(&format!("{year}-05-20"), "a").pick(&format!("{year}-06-20"), "a");
            let scene = written.on(&format!("{year}-06-21"));
            let task = scene.tasks_for(200).into_iter().find(|task| task.job == job);
            let due = task.unwrap_or_else(|| panic!("{crop}: no {job} in {year}")).due;
            assert_eq!(due.format("%Y").to_string(), year.to_string(), "{crop}");
            // Done in one of the years.
            if year == 2025 {
                written = written.care(&due.to_string(), &format!("planting: a, did: {job}"));
                let again = written.on_day(due).tasks_for(60);
                assert!(again.iter().all(|task| task.job != job), "{crop}: {job} twice");
            }
        }
    }
}

#[test]
fn seedlings_on_a_shelf_are_watered_every_other_day() {
    let shelf = Written::new()
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: bed, sown: 12");
    let waters = |written: &Written, on: &str| {
        let tasks = written.on(on).tasks_for(6).into_iter().filter(|task| task.job == Job::Water);
        tasks.map(|task| (task.due.to_string(), task.key.number)).collect::<Vec<_>>()
    };
    let ahead = |list: &[(&str, u32)]| {
        list.iter().map(|(day, number)| ((*day).to_owned(), *number)).collect::<Vec<_>>()
    };
    assert_eq!(
        waters(&shelf, "2026-03-10"),
        ahead(&[("2026-03-12", 1), ("2026-03-14", 2), ("2026-03-16", 3)])
    );
    assert_eq!(waters(&shelf, "2026-03-13")[0], ("2026-03-14".to_owned(), 2));
    // What is noted counts, and what is due stays until it is noted.
    let noted = shelf.care("2026-03-13", "place: shelf, did: water");
    assert_eq!(waters(&noted, "2026-03-14")[0], ("2026-03-15".to_owned(), 2));
    assert_eq!(waters(&noted, "2026-03-16")[0], ("2026-03-16".to_owned(), 2));
    let out = noted.event("2026-05-16", "planting: tom, is: planted out, place: bed");
    let shelf_id = |task: &trug::care::tasks::model::Task, scene: &Scene| {
        task.key.place.is_some_and(|place| scene.garden.place(place).name == "shelf")
    };
    let scene = out.on("2026-05-17");
    assert!(!scene.tasks().iter().any(|task| shelf_id(task, &scene)));
}

#[test]
fn pots_of_which_nobody_notes_a_watering_get_the_usual_interval() {
    let pots = Written::new()
        .plant("2026-05-15", "id: tom, crop: tomato, place: tubs, bought: 6, at: planted out");
    let waters = |written: &Written, on: &str| {
        written.on(on).tasks_for(7).into_iter().filter(|task| task.job == Job::Water).count()
    };
    // Long after anybody can know what is left.
    assert!(waters(&pots, "2026-07-20") >= 2, "{:?}", pots.on("2026-07-20").told(7));
    // Who notes one now and then is told what is known, which is nothing after a long silence.
    let noted = pots.care("2026-05-20", "place: tubs, did: water");
    assert_eq!(waters(&noted, "2026-07-20"), 0);
}

/// Seed potatoes stand in the light for four to six weeks before they are planted (common practice, no source).
#[test]
fn potatoes_that_are_meant_are_chitted() {
    let sprout = "---\ncrop: potato\nseed: {before-sowing: [sprout]}\n---\n";
    let mut scene = Written::new()
        .file("crops/potato.md", sprout)
        .plant("2026-02-01", "id: spud, crop: potato, for: bed, aim: 20")
        .on("2026-02-01");
    let plant_out = Some(Period { from: day("2026-04-10"), to: day("2026-05-01") });
    scene.plans.insert(scene.id("spud"), Plan { plant_out, ..Plan::default() });
    let chit = scene.of_rule("chit").remove(0);
    assert_eq!((chit.due, chit.until), (day("2026-02-27"), Some(day("2026-03-13"))));
}
