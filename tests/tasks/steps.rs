//! One-off tasks of the plan.

use trug::calendar::plan::Plan;
use trug::care::tasks::model::Why;
use trug::dates::Period;
use trug::findings::Findings;
use trug::jobs::Job;
use trug::stage::Stage;

use crate::tasks::written::{Written, day};

fn steps(told: &[String]) -> Vec<&str> {
    let jobs = ["sow ", "prick out ", "pot-on ", "harden off ", "plant out "];
    told.iter()
        .map(String::as_str)
        .filter(|line| jobs.iter().any(|job| line.starts_with(job)))
        .collect()
}

fn tomato() -> Written {
    Written::new()
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: bed, sown: 12")
        .event("2026-03-20", "planting: tom, is: emerged")
}

/// Common practice, no source: pricked out 10–21 days after emergence, not potted on before its roots fill the cell,
/// hardened off for 7–10 days before planting out; 5–7 weeks under cover (Iowa State Extension).
#[test]
fn a_seedling_goes_its_way() {
    let told = tomato().on("2026-03-21").told(60);
    assert_eq!(
        steps(&told),
        ["prick out 1 2026-03-30", "harden off 1 2026-04-04", "plant out 1 2026-04-14",]
    );
    // Pricked out late, it is not potted on any more; planting out waits for hardening off.
    let written = tomato()
        .event("2026-04-08", "planting: tom, is: pricked out")
        .event("2026-04-12", "planting: tom, is: hardening off");
    let told = written.on("2026-04-12").told(60);
    assert_eq!(steps(&told), ["plant out 1 2026-04-19"]);
    let task = written.on("2026-04-12").of_rule("plant out").remove(0);
    assert_eq!(task.why, Why::Reached(Stage::HardeningOff, day("2026-04-12")));
    let out = written.event("2026-04-19", "planting: tom, is: planted out, place: bed");
    assert_eq!(steps(&out.on("2026-04-19").told(60)), [""; 0]);
}

#[test]
fn a_plan_holds_planting_out_back() {
    let mut scene = tomato().on("2026-03-21");
    let plant_out = Some(Period { from: day("2026-05-12"), to: day("2026-06-15") });
    scene.plans.insert(scene.id("tom"), Plan { plant_out, ..Plan::default() });
    let told = scene.told(60);
    let late: Vec<_> = steps(&told).into_iter().filter(|line| !line.starts_with('p')).collect();
    assert_eq!(late, ["harden off 1 2026-05-02"]);
    assert_eq!(scene.of_rule("plant out")[0].due, day("2026-05-12"));
}

#[test]
fn under_glass_nothing_is_hardened_off_and_cells_are_not_pricked_out() {
    let trays = "---\nname: shelf\nkind: tray\ntrays: 2\ncells: 40\ncover: indoors\n---\n";
    let told = Written::new()
        .file("places/shelf.md", trays)
        .plant("2026-03-10", "id: tom, crop: tomato, place: shelf, for: house, sown: 12")
        .event("2026-03-20", "planting: tom, is: emerged")
        .on("2026-03-21")
        .told(60);
    assert_eq!(steps(&told), ["pot-on 1 2026-04-03", "plant out 1 2026-04-14"]);
}

#[test]
fn what_is_intended_is_sown_by_its_plan() {
    let written =
        Written::new().plant("2026-02-01", "id: bean, crop: climbing bean, for: bed, aim: 8");
    assert_eq!(written.on("2026-02-01").told(120), [""; 0]);
    let mut scene = written.on("2026-02-01");
    let sow = Some(Period { from: day("2026-05-10"), to: day("2026-06-20") });
    scene.plans.insert(scene.id("bean"), Plan { sow, ..Plan::default() });
    let tasks: Vec<_> =
        scene.tasks_for(120).into_iter().filter(|task| task.key.rule == "sow").collect();
    assert_eq!(
        (tasks[0].due, tasks[0].until, tasks[0].why),
        (day("2026-05-10"), Some(day("2026-06-20")), Why::Season)
    );
    // No care before there is something to care for.
    assert_eq!(scene.told(120), ["order seed 1 2026-04-12", "sow 1 2026-05-10"]);
    // Cloves are set out, not sown.
    let mut scene = Written::new()
        .plant("2026-09-01", "id: g, crop: garlic, for: bed, aim: 30")
        .on("2026-09-01");
    let plant_out = Some(Period { from: day("2026-10-05"), to: day("2026-11-15") });
    scene.plans.insert(scene.id("g"), Plan { plant_out, ..Plan::default() });
    assert_eq!(scene.told(60), ["plant out 1 2026-10-05"]);
}

#[test]
fn a_succession_is_sown_again_and_does_not_pile_up() {
    let written = Written::new().plant(
        "2026-04-01",
        "id: rad, crop: radish, place: bed, sown: 40, sow-again: {every: 3 weeks, until: 06-10}",
    );
    let sowings = |today: &str, written: &Written| {
        let scene = written.on(today);
        let told = scene.of_rule("sow").into_iter();
        let told = told.map(|task| (task.key.text(&scene.garden), task.due.to_string(), task.why));
        told.map(|(key, due, why)| format!("{key} {due} {why:?}")).collect::<Vec<_>>()
    };
    assert_eq!(
        sowings("2026-04-02", &written),
        [
            "rad-2//sow/intended/1 2026-04-22 Succession(2026-04-01)",
            "rad-3//sow/intended/1 2026-05-13 Succession(2026-04-22)",
        ]
    );
    // The second was missed; when the third is due it is forgotten.
    assert_eq!(sowings("2026-05-12", &written)[0].split(' ').nth(1), Some("2026-05-12"));
    assert!(
        written.on("2026-05-12").of_rule("sow").iter().all(|task| task.overdue_since.is_none())
    );
    assert_eq!(
        sowings("2026-05-13", &written),
        [
            "rad-3//sow/intended/1 2026-05-13 Succession(2026-04-22)",
            "rad-4//sow/intended/1 2026-06-03 Succession(2026-05-13)",
        ]
    );
    // When one more would be due the last is forgotten too.
    assert_eq!(sowings("2026-07-02", &written), [""; 0]);
}

#[test]
fn what_is_given_up_is_not_set_out_either() {
    let written = Written::new().plant(
        "2026-04-01",
        "id: let, crop: lettuce, place: shelf, for: bed, sown: 40, sow-again: {every: 3 weeks, until: 04-22}",
    );
    let rules = |today: &str| {
        let scene = written.on(today);
        let keys = scene.tasks().into_iter().map(|task| task.key.text(&scene.garden));
        keys.filter(|key| key.starts_with("let-2/")).collect::<Vec<_>>()
    };
    let steps = ["sow", "prick out", "harden off", "plant out"];
    assert_eq!(rules("2026-04-25"), steps.map(|step| format!("let-2//{step}/intended/1")));
    // When the next would be due the sowing is forgotten.
    assert_eq!(rules("2026-05-21"), [""; 0]);
}

/// Each is counted from the sowing before it, as it was made; a plan alone asks for none.
#[test]
fn a_succession_follows_the_sowings_that_were_made() {
    let meant = Written::new().plant(
        "2026-02-01",
        "id: rad, crop: radish, place: bed, aim: 30, sow-again: {every: 3 weeks, until: 08-10}",
    );
    let sowings = |today: &str, written: &Written| {
        let scene = written.on(today);
        let keys = scene.of_rule("sow").into_iter();
        keys.map(|task| format!("{} {}", task.key.text(&scene.garden), task.due))
            .collect::<Vec<_>>()
    };
    assert_eq!(sowings("2026-02-23", &meant), [""; 0]);
    let sown = meant
        .event("2026-05-08", "planting: rad, is: sown, count: 40")
        .event("2026-05-31", "planting: rad-2, is: sown, count: 40");
    assert_eq!(sowings("2026-06-01", &sown)[0], "rad-3//sow/intended/1 2026-06-21");
    // Sown again in the same row is a sowing, too.
    let again = Written::new()
        .plant(
            "2026-05-08",
            "id: rad, crop: radish, place: bed, sown: 40, sow-again: {every: 3 weeks, until: 08-10}",
        )
        .event("2026-05-20", "planting: rad, is: sown again, count: 40");
    assert_eq!(sowings("2026-05-21", &again)[0], "rad-2//sow/intended/1 2026-06-10");
}

/// What nobody sowed is late only when its time is over, never comes up, and is not asked for out of its time.
#[test]
fn what_was_meant_and_not_sown_is_in_one_mind() {
    let crops =
        ["melon", "basil", "courgette", "dwarf bean", "kale", "lettuce", "pea", "leek", "carrot"];
    let mut written = Written::new();
    for (number, crop) in crops.iter().enumerate() {
        let again = if *crop == "dwarf bean" { ", sow-again: {every: 3 weeks}" } else { "" };
        let line = format!("id: a{number}, crop: {crop}, place: bed, aim: 8{again}");
        written = written.plant("2026-02-01", &line);
    }
    let (mut late, mut asked) = (0, 0);
    for weeks in 0..22 {
        let scene = written.on_day(trug::dates::shift(day("2026-02-01"), 14 * weeks));
        let today = scene.garden.today;
        let findings = Findings::of(&scene.garden);
        let sowings =
            findings.tasks.iter().filter(|task| task.job == Job::Sow && task.due == today);
        for task in sowings {
            let planting = scene.garden.planting(task.key.planting.unwrap());
            let crop = planting.crop;
            let open = || findings.sow_now.iter().filter(|now| now.crop == crop);
            asked += 1;
            late += usize::from(task.overdue_since.is_some());
            // Late, and in its time, cannot be said together.
            let windows: Vec<_> = open().map(|now| now.window).collect();
            let is_open = !windows.is_empty();
            let ended = task.until.is_some_and(|until| until < today);
            let said = format!("{} on {today}: {:?} {windows:?}", planting.id, task.until);
            assert!(task.overdue_since.is_none() || !is_open, "{said}");
            assert!(ended || is_open, "{said}");
        }
        for (id, planting) in scene.garden.plantings() {
            let came = findings.stages_of(id).iter().filter_map(|dates| dates.expected);
            let passed: Vec<_> = came.filter(|days| days.to < today).collect();
            assert!(
                passed.iter().all(|days| days.to >= trug::dates::shift(today, -14)),
                "{} on {today}: {passed:?}",
                planting.id
            );
        }
    }
    assert!(asked > 20 && late > 0, "{asked} {late}");
}
