//! When what stands for years is picked: in its season, not so many days after it was planted.

use crate::calendar::tally::Tally;
use crate::calendar::year::{Day, GrowingYear};
use crate::catalogue::CropSheet;
use crate::climate::degree_days::{self, single_sine};

/// A sheet's days to the first picking mean 'in the season of the next year': what is planted so much later than others
/// still bears with them. Common practice, no source.
const SAME_SEASON_DAYS: i64 = 90;

/// The warmth of each year, and how much of it brings the season.
pub(super) struct YearlySeason {
    warmth: Tally,
    sum: f64,
    year_days: i64,
}

impl YearlySeason {
    /// None for a sheet without a sum since midwinter.
    pub(super) fn of(sheet: &CropSheet, year: &GrowingYear, warmer_c: f64) -> Option<YearlySeason> {
        let sums = sheet.degree_days.filter(|_| sheet.is_perennial == Some(true))?;
        let upper = sums.upper.map(|upper| upper.0);
        let between = degree_days::Thresholds::celsius(sums.base.0, upper);
        let brought = |day: &Day| single_sine(day.low_c + warmer_c, day.high_c + warmer_c, between);
        let warmth = Tally::sum(year.weather(), brought);
        Some(YearlySeason { warmth, sum: sums.each_year?, year_days: year.length() })
    }

    /// The first picking of a plant that is old enough on day `grown`; none within the known years.
    pub(super) fn first_picking(&self, grown: i64) -> Option<i64> {
        (0..)
            .map(|year| year * self.year_days)
            .map_while(|midwinter| self.warmth.reached(midwinter, self.sum))
            .find(|day| *day >= grown - SAME_SEASON_DAYS)
    }
}
