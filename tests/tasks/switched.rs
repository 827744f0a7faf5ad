//! Tasks that are turned on or off in garden.yaml.

use std::collections::BTreeSet;

use crate::tasks::written::Written;

fn garden() -> Written {
    Written::new()
        .plant("2026-05-01", "id: tom, crop: tomato, place: bed, bought: 3, at: planted out")
        .plant("2025-12-20", "id: gar, crop: garlic, place: bed, planted: 30")
        .plant("2026-04-01", "id: pep, crop: pepper, place: shelf, for: tubs, sown: 6")
}

/// `planting rule` of all that is asked for.
fn asked(written: &Written) -> BTreeSet<String> {
    let scene = written.on("2026-05-20");
    let whose = |id| scene.garden.planting(id).id.to_string();
    let tasks = scene.tasks_for(100).into_iter();
    tasks
        .map(|task| {
            format!("{} {}", task.key.planting.map_or("-".to_owned(), whose), task.key.rule)
        })
        .collect()
}

fn gone(before: &BTreeSet<String>, tasks: &str) -> Vec<String> {
    let after = asked(&garden().settings(&format!("tasks: {tasks}")));
    before.difference(&after).cloned().collect()
}

#[test]
fn a_kind_of_work_is_turned_off_for_all_or_for_a_crop_and_a_rule_of_one() {
    let all = asked(&garden());
    assert_eq!(gone(&all, "{weed: off}"), ["- weed"]);
    assert_eq!(
        gone(&all, "{feed: off}"),
        ["gar leaf", "pep fruit", "pep leaf", "tom fruit", "tom leaf"]
    );
    assert_eq!(gone(&all, "{tomatoes: {feed: off}}"), ["tom fruit", "tom leaf"]);
    assert_eq!(gone(&all, "{tomato: {leaf: off, tie in: off}}"), ["tom leaf", "tom tie"]);
    assert_eq!(
        gone(&all, "{feed: off, tomato: {feed: on}}"),
        ["gar leaf", "pep fruit", "pep leaf"]
    );
    assert_eq!(
        gone(&all, "{feed: off, tomato: {fruit: on}}"),
        ["gar leaf", "pep fruit", "pep leaf", "tom leaf"]
    );
    assert_eq!(
        gone(&all, "{look for harvest: off}"),
        ["gar look for harvest", "tom look for harvest"]
    );
    assert_eq!(gone(&all, "{water: off}"), ["- water"]);
}

#[test]
fn what_a_sheet_only_offers_is_turned_on() {
    let on = asked(&garden().settings("tasks: {tomato: {magnesium: on}}"));
    assert!(on.contains("tom magnesium") && !asked(&garden()).contains("tom magnesium"));
}

/// Nothing waits for work that is not wanted.
#[test]
fn without_hardening_off_planting_out_does_not_wait_for_it() {
    let due = |tasks: &str| {
        let scene = garden().settings(tasks).on("2026-06-20");
        scene.of_rule("plant out").into_iter().map(|task| task.due).collect::<Vec<_>>()
    };
    assert_eq!(due("tasks: {harden off: off}"), ["2026-06-20".parse().unwrap()]);
    assert_eq!(due("jobs: [hoe]"), ["2026-06-28".parse().unwrap()]);
}
