//! What was done of a rule or a job: logged work, events that are that work, and what was skipped.

use chrono::NaiveDate;

use crate::care::tasks::feeding;
use crate::care::tasks::model::Cause;
use crate::care::tasks::outlook::Outlook;
use crate::catalogue::CareRule;
use crate::garden::model::Garden;
use crate::garden::records::CareRecord;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::names::folded;
use crate::stage::Stage;

/// A time at which the work was done, or skipped on purpose.
#[derive(Clone, Copy, Debug)]
pub(super) struct Doing {
    pub(super) date: NaiveDate,
    /// Whether it names the very feed or product that was asked for.
    pub(super) is_same: bool,
    pub(super) cause: Cause,
}

/// The times of a rule since the planting was noted, oldest first, a day counted once. A rule that names what a feed is
/// for counts every feed but those that other rules name, and supplements that hold nothing of the kind.
pub(super) fn of_rule(outlook: &Outlook<'_>, rule: &CareRule) -> Vec<Doing> {
    let garden = outlook.garden();
    let with = rule.with.as_ref().map(|with| with.value.as_str());
    let Some(purpose) = rule.purpose.filter(|_| with.is_none()) else {
        let is_named = |care: &CareRecord| {
            let is_same = with.is_some() && care.with.is_some();
            fits(garden, with, care.with.as_deref()).then_some(is_same)
        };
        return gathered(outlook, &rule.id, &rule.task.value, is_named);
    };
    let rules = outlook.course.sheet().care.as_deref().unwrap_or_default();
    let named: Vec<&str> =
        rules.iter().filter_map(|rule| Some(rule.with.as_ref()?.value.as_str())).collect();
    gathered(outlook, &rule.id, &rule.task.value, |care| {
        let given = care.with.as_deref();
        let is_of_other =
            named.iter().any(|other| given.is_some() && fits(garden, Some(other), given));
        let label = given.and_then(|given| feeding::label_of(garden, given));
        let feeds = label.is_none_or(|label| label.n > 0.0 || label.k2o > 0.0);
        let serves = label.is_some_and(|label| feeding::serves(label, purpose));
        (feeds && !is_of_other).then_some(serves)
    })
}

/// The times of a job since the planting was noted, oldest first, a day counted once.
pub(super) fn of(outlook: &Outlook<'_>, job: &Job) -> Vec<Doing> {
    gathered(outlook, job.word(), job, |_| Some(false))
}

/// Times on which the job was done with something that `counts` (and says whether it is the very thing that was asked
/// for), or was skipped.
fn gathered(
    outlook: &Outlook<'_>,
    rule: &str,
    job: &Job,
    counts: impl Fn(&CareRecord) -> Option<bool>,
) -> Vec<Doing> {
    let mut doings: Vec<Doing> = Vec::new();
    for care in outlook.care() {
        let done = counts(care).filter(|_| care.did == *job);
        if done.is_some() || is_skipped(care, rule, job) {
            let is_same = done == Some(true);
            let cause = outlook.cause_of(&care.source, care.date);
            doings.push(Doing { date: care.date, is_same, cause });
        }
    }
    let steps = outlook.course.planting.history.iter().filter(|step| is_work(step.what, job));
    doings.extend(steps.map(|step| Doing {
        date: step.date,
        is_same: false,
        cause: outlook.cause_of(&step.source, step.date),
    }));
    doings.sort_by_key(|doing| doing.date);
    doings.dedup_by(|later, first| {
        let is_one_day = later.date == first.date;
        if is_one_day {
            first.is_same |= later.is_same;
            first.cause = first.cause.newest(later.cause);
        }
        is_one_day
    });
    doings
}

/// Whether a feed or product that was given is the one that was asked for: it is, unless both are named
/// and differ. A mix or feed may be called by its name or by its file.
pub(super) fn fits(garden: &Garden, asked: Option<&str>, given: Option<&str>) -> bool {
    match (asked, given) {
        (Some(asked), Some(given)) => {
            folded(asked) == folded(given)
                || garden.mixes.iter().any(|mix| {
                    let names = [folded(&mix.name.value), folded(&mix.stem)];
                    names.contains(&folded(asked)) && names.contains(&folded(given))
                })
        }
        _ => true,
    }
}

/// Whether a line moves on a rule, called by its id or its job, without its being done.
pub(super) fn is_skipped(care: &CareRecord, rule: &str, job: &Job) -> bool {
    let names_it = |task: &str| [rule, job.word()].map(folded).contains(&folded(task));
    care.did == Job::Skip && care.task.as_ref().is_some_and(|task| task.compared(names_it))
}

/// Events that are work of their own.
fn is_work(what: Happening, job: &Job) -> bool {
    match job {
        Job::Sow => what == Happening::Reached(Stage::Sown),
        Job::PrickOut => what == Happening::Reached(Stage::PrickedOut),
        Job::PotOn => what == Happening::Reached(Stage::PottedOn),
        Job::HardenOff => what == Happening::Reached(Stage::HardeningOff),
        Job::PlantOut => what == Happening::Reached(Stage::PlantedOut),
        Job::Thin => what == Happening::Thinned,
        _ => false,
    }
}

impl<'a> Outlook<'a> {
    /// Work that was logged for the planting.
    pub(super) fn care(&self) -> impl Iterator<Item = &'a CareRecord> + use<'a> {
        self.garden().care_of(self.course.id)
    }
}
