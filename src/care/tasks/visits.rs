//! Pickings, and looks that were skipped because there was nothing yet.

use chrono::NaiveDate;

use crate::care::tasks::doings;
use crate::care::tasks::model::Cause;
use crate::care::tasks::outlook::Outlook;
use crate::jobs::Job;

/// A time at which somebody looked for a harvest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Visit {
    pub(super) date: NaiveDate,
    /// Whether something was picked.
    pub(super) is_picking: bool,
    pub(super) cause: Cause,
}

/// Pickings and skipped looks, oldest first, a day counted once.
pub(super) fn of(outlook: &Outlook<'_>) -> Vec<Visit> {
    let id = outlook.course.id;
    let harvests = outlook.garden().harvests_of(id).filter(|line| !line.is_same_picking);
    let mut visits: Vec<Visit> = harvests
        .map(|line| Visit {
            date: line.date,
            is_picking: true,
            cause: outlook.cause_of(&line.source, line.date),
        })
        .collect();
    let skipped = doings::of(outlook, &Job::LookForHarvest);
    visits.extend(skipped.iter().map(|skip| Visit {
        date: skip.date,
        is_picking: false,
        cause: skip.cause,
    }));
    visits.sort_by_key(|visit| visit.date);
    visits.dedup_by(|later, first| {
        let is_one_day = later.date == first.date;
        if is_one_day {
            first.cause = first.cause.newest(later.cause);
            first.is_picking |= later.is_picking;
        }
        is_one_day
    });
    visits
}
