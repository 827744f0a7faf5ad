//! How often the grower looks: what comes between two looks is noted at the second.

use chrono::NaiveDate;

use crate::garden::model::Garden;

/// The days on which something was written.
#[derive(Clone, Debug)]
pub(super) struct Looks(Vec<NaiveDate>);

/// How many of the last days are asked, and the fewest that say anything.
const LAST: usize = 40;
const FEWEST: usize = 12;
/// Longer than this nobody leaves a growing crop alone. Common practice, no source.
const LONGEST_DAYS: i64 = 14;

impl Looks {
    pub(super) fn of(garden: &Garden) -> Looks {
        let mut days: Vec<NaiveDate> = garden.entries.iter().map(|entry| entry.date).collect();
        days.dedup();
        Looks(days)
    }

    /// By how many days at most something is usually seen late, by what was written before a day.
    ///
    /// A quarter of the steps from one day of writing to the next are no longer than one more: who looks every day need
    /// not write every day, but whoever comes on Saturdays never writes twice a week.
    pub(super) fn late_days(&self, before: NaiveDate) -> f64 {
        let known = self.0.partition_point(|day| *day < before);
        let last = &self.0[known.saturating_sub(LAST)..known];
        if last.len() < FEWEST {
            return 0.0;
        }
        let mut steps: Vec<i64> =
            last.windows(2).map(|pair| (pair[1] - pair[0]).num_days()).collect();
        steps.sort_unstable();
        (steps[steps.len() / 4].min(LONGEST_DAYS) - 1) as f64
    }
}
