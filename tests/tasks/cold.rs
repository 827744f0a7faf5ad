//! Nights that are usually too cold: what frost would kill is covered or brought in, and uncovered again. The days are
//! those of `frost`: its risk in spring, from its risk to the usual frost in autumn.

use trug::care::tasks::model::Why;
use trug::jobs::Job;

use crate::tasks::written::{Written, day};

const FROST: &str =
    "frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}";

fn set_out(crop: &str, on: &str) -> Written {
    let line = format!("id: a, crop: {crop}, place: bed, bought: 3, at: planted out");
    Written::new().settings(FROST).plant(on, &line)
}

/// First and last day of a job that is asked for in the sixty days after.
fn asked(written: &Written, on: &str, job: &Job) -> Option<(String, String)> {
    let task = written.on(on).tasks().into_iter().find(|task| task.job == *job)?;
    Some((task.due.to_string(), task.until?.to_string()))
}

fn days(from: &str, until: &str) -> Option<(String, String)> {
    Some((from.to_owned(), until.to_owned()))
}

#[test]
fn what_went_out_early_is_protected_until_the_last_frost_and_then_uncovered() {
    let early = set_out("tomato", "2026-05-01");
    assert_eq!(asked(&early, "2026-05-01", &Job::Protect), days("2026-05-01", "2026-05-10"));
    let task = early.on("2026-05-01").of_rule("protect in spring").remove(0);
    assert_eq!(task.why, Why::FrostUntil(day("2026-05-10")));
    assert_eq!(asked(&early, "2026-05-01", &Job::Uncover), None, "nothing is covered yet");
    assert_eq!(asked(&early, "2026-05-11", &Job::Protect), None);

    for job in ["cover", "protect"] {
        let covered = early.clone().care("2026-05-02", &format!("planting: a, did: {job}"));
        assert_eq!(asked(&covered, "2026-05-03", &Job::Protect), None, "{job}");
        assert_eq!(asked(&covered, "2026-05-03", &Job::Uncover), days("2026-05-11", "2026-05-18"));
        let bare = covered.clone().care("2026-05-12", "planting: a, did: uncover");
        assert_eq!(asked(&bare, "2026-05-12", &Job::Uncover), None);
        // Whoever never writes it down is not asked for ever.
        assert_eq!(asked(&covered, "2026-05-26", &Job::Uncover), None);
    }
}

#[test]
fn in_autumn_what_still_bears_is_protected_from_the_first_frost_on() {
    let pepper = set_out("pepper", "2026-06-01")
        .event("2026-07-15", "planting: a, is: flowering")
        .pick("2026-09-25", "a");
    assert_eq!(asked(&pepper, "2026-09-26", &Job::Protect), days("2026-10-08", "2026-10-25"));
    let covered = pepper.clone().care("2026-10-08", "planting: a, did: protect");
    assert_eq!(asked(&covered, "2026-10-09", &Job::Protect), None);
    // Once the usual frost has been, nothing is left to protect.
    assert_eq!(asked(&pepper, "2026-10-26", &Job::Protect), None);
}

#[test]
fn what_stands_frost_or_never_meets_it_is_left_alone() {
    for crop in ["kale", "leek", "strawberry"] {
        let hardy = set_out(crop, "2026-05-01");
        assert_eq!(asked(&hardy, "2026-05-01", &Job::Protect), None, "{crop}");
        assert_eq!(asked(&hardy, "2026-10-01", &Job::Protect), None, "{crop}");
    }
    let late = set_out("tomato", "2026-06-01");
    assert_eq!(asked(&late, "2026-06-01", &Job::Protect), None);
    let line = "id: a, crop: tomato, place: bed, bought: 3, at: planted out";
    let warm = "name: Weir Cottage\nplace: {latitude: 21, longitude: -158, time-zone: Pacific/Honolulu}\nclimate:\n  \
                low: [18, 18, 19, 20, 20, 21, 22, 22, 22, 21, 20, 19]\n  \
                high: [26, 26, 27, 27, 28, 29, 30, 30, 30, 29, 28, 27]\n";
    let never = Written::new().file("garden.yaml", warm).plant("2026-05-01", line);
    assert_eq!(asked(&never, "2026-05-01", &Job::Protect), None);
}
