//! The crop coefficient's curve, tied to what a planting really did.
//!
//! FAO-56's stage lengths are examples and are to be replaced by what is seen (ch. 6). The first stage counts
//! from the day the crop was set out, or sown where it grows; mid-season begins with the first flowers of
//! a crop that flowers ('for many crops', FAO-56 ch. 6); the last stage ends with the crop. The lengths of
//! the sheet are stretched between those days.

use chrono::NaiveDate;

use crate::care::water::crop_coefficient::{CropCoefficient, StageLengths};
use crate::catalogue::CropSheet;
use crate::dates::{Period, shift};
use crate::stage::Stage;
use crate::stages::{Milestone, StageDates};

/// The curve of a planting, by date.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    coefficient: CropCoefficient,
    /// The first day of the first stage.
    pub from: NaiveDate,
    /// The last day that is expected of it.
    pub to: Option<NaiveDate>,
}

/// Stages of a sheet that gives no lengths: those of FAO-56's small vegetables run about so. Common
/// practice, no source.
const USUAL_LENGTHS: StageLengths = [25.0, 35.0, 45.0, 15.0];
/// Between two anchors that lie closer than this, days, the sheet's lengths are not squeezed.
const LEAST_STRETCH: f64 = 10.0;

impl Curve {
    /// The curve of a planting whose sheet has coefficients. `season` bounds that of a perennial.
    pub fn of(
        sheet: &CropSheet,
        dates: &[StageDates],
        began: NaiveDate,
        perennial_season: Option<Period>,
    ) -> Option<Curve> {
        let kc = sheet.kc?;
        let day_of = |stage: Stage| day(dates, Milestone::Stage(stage));
        let from = day_of(Stage::PlantedOut).or_else(|| day_of(Stage::Sown)).unwrap_or(began);
        let from = perennial_season.map_or(from, |season| from.max(season.from));
        let is_lifted_once = sheet.picking_every.is_none();
        let lifted = || day(dates, Milestone::FirstHarvest).filter(|_| is_lifted_once);
        let end = perennial_season.map(|season| season.to);
        let end = end.or_else(|| day_of(Stage::Finished)).or_else(lifted);
        let since = |day: NaiveDate| (day - from).num_days() as f64;
        let lengths = stretched(
            sheet.kc_days.unwrap_or(USUAL_LENGTHS),
            day_of(Stage::Flowering).map(since),
            end.map(since),
        );
        let whole: f64 = lengths.iter().sum();
        let to = end.or(Some(shift(from, whole.round() as i64)));
        Some(Curve { coefficient: CropCoefficient::new(kc, lengths), from, to })
    }

    /// The coefficient of a day over all the ground (FAO-56 eq. 66).
    pub fn kc(&self, day: NaiveDate) -> f64 {
        self.coefficient.on_day(self.number(day))
    }

    /// The coefficient of the leaves alone.
    pub fn kc_of_leaves(&self, day: NaiveDate) -> f64 {
        self.coefficient.of_leaves(self.number(day))
    }

    /// The leaves as a share of those of a grown plant.
    pub fn cover(&self, day: NaiveDate) -> f64 {
        self.coefficient.cover(self.number(day))
    }

    /// FAO-56 counts the first day as 1.
    fn number(&self, day: NaiveDate) -> f64 {
        (day - self.from).num_days() as f64 + 1.0
    }
}

/// The day a milestone came, else the middle of the days in which it is expected.
fn day(dates: &[StageDates], what: Milestone) -> Option<NaiveDate> {
    let known = dates.iter().find(|dates| dates.what == what)?;
    let middle = |range: Period| shift(range.from, (range.to - range.from).num_days() / 2);
    known.actual.or_else(|| known.expected.map(middle))
}

/// The sheet's lengths between the anchors that are known: days from the start to full cover, and to the end.
fn stretched(lengths: StageLengths, full: Option<f64>, end: Option<f64>) -> StageLengths {
    let [a, b, c, d] = lengths;
    let (early, late) = (a + b, c + d);
    let full = full.filter(|full| *full >= LEAST_STRETCH);
    let end = end.filter(|end| *end >= full.unwrap_or(0.0) + LEAST_STRETCH);
    let (first, second) = match (full, end) {
        (Some(full), Some(end)) => (full / early, (end - full) / late),
        (Some(full), None) => (full / early, 1.0),
        (None, Some(end)) => (end / (early + late), end / (early + late)),
        (None, None) => (1.0, 1.0),
    };
    if first.is_finite() && second.is_finite() {
        [a * first, b * first, c * second, d * second]
    } else {
        lengths
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_stretched_between_what_is_known() {
        let tomato = [30.0, 40.0, 45.0, 30.0];
        assert_eq!(stretched(tomato, None, None), tomato);
        assert_eq!(stretched(tomato, Some(35.0), None), [15.0, 20.0, 45.0, 30.0]);
        assert_eq!(stretched(tomato, Some(35.0), Some(185.0)), [15.0, 20.0, 90.0, 60.0]);
        assert_eq!(stretched(tomato, None, Some(290.0)), [60.0, 80.0, 90.0, 60.0]);
        // First flowers two days after setting out: bought in flower, and no sign of full cover.
        assert_eq!(stretched(tomato, Some(2.0), None), tomato);
    }

    #[test]
    fn what_came_counts_before_what_was_expected() {
        let on = |text: &str| text.parse::<NaiveDate>().unwrap();
        let june = Period { from: on("2026-06-01"), to: on("2026-06-21") };
        let flowers = |actual| StageDates {
            what: Milestone::Stage(Stage::Flowering),
            expected: Some(june),
            actual,
        };
        let sheet =
            CropSheet { kc: Some([0.6, 1.0, 0.8]), kc_days: Some([10.0; 4]), ..Default::default() };
        let curve =
            |dates: &[StageDates]| Curve::of(&sheet, dates, on("2026-05-11"), None).unwrap();
        // 31 days to the middle of the range, 20 to the day they came: mid-season from there on.
        let (expected, came) = (curve(&[flowers(None)]), curve(&[flowers(Some(on("2026-05-31")))]));
        assert!(expected.kc(on("2026-05-31")) < 1.0);
        assert_eq!(came.kc(on("2026-05-31")), 1.0);
        assert_eq!(came.kc(on("2026-05-11")), 0.6);
    }
}
