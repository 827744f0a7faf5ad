//! What a task asks to be careful of, and how it is to be done.
//!
//! Each caution gives way to the product label, local rules and licensed practice; whoever shows one says
//! so.

use chrono::NaiveDate;

use crate::care::manure;
use crate::care::tasks::model::{Caution, Note};
use crate::care::tasks::outlook::Outlook;
use crate::jobs::Job;
use crate::place_kind::Cover;
use crate::stage::Stage;

/// The cautions of a job for a planting on a day.
pub(super) fn of(
    outlook: &Outlook<'_>,
    job: &Job,
    with: Option<&str>,
    day: NaiveDate,
) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if *job == Job::Treat && is_in_flower(outlook, day) {
        cautions.push(Caution::Bees);
    }
    if matches!(job, Job::PotOn | Job::Refill) {
        cautions.push(Caution::Dust);
    }
    let place = outlook.course.place_now().map(|id| outlook.garden().place(id));
    let is_indoors = place.is_some_and(|place| place.cover == Cover::Indoors);
    if is_indoors && matches!(job, Job::Water | Job::Feed) {
        cautions.push(Caution::Electricity);
    }
    if manure::is_raw(outlook.garden(), with) && matches!(job, Job::Feed | Job::Mulch | Job::Refill)
    {
        cautions.push(Caution::Manure(None));
    }
    cautions
}

/// How a job is to be done on a day: seedlings take half of what a grown plant does (common practice, no
/// source).
pub(super) fn notes(outlook: &Outlook<'_>, job: &Job, day: NaiveDate) -> Vec<Note> {
    let is_seedling = outlook.course.is_raised() && outlook.stage_on(day) < Stage::PlantedOut;
    if *job == Job::Feed && is_seedling { vec![Note::HalfStrength] } else { Vec::new() }
}

/// Flowers are open from the first on until the crop is done.
fn is_in_flower(outlook: &Outlook<'_>, day: NaiveDate) -> bool {
    (Stage::Flowering..Stage::Finished).contains(&outlook.stage_on(day))
}
