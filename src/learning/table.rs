//! What the crop sheet says of a quantity, before anything was grown.

use crate::catalogue::sheet::{AfterStage, CropSheet};
use crate::learning::quantity::{Beginning, Quantity, Span};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// The sheet's range of a quantity, in the quantity's unit, above zero.
///
/// What comes by itself is noted when the grower looks, by up to so many days late.
pub(super) fn range(sheet: &CropSheet, quantity: Quantity, late_days: f64) -> Option<(f64, f64)> {
    let late = |span: Span| if span.to.is_work() { 0.0 } else { late_days };
    let range = match quantity {
        // Both are told in days: of the calendar, and of the weather that the sheet means.
        Quantity::Days(span) | Quantity::Warmth(span) => {
            days(sheet, span).map(|(low, high)| (low, high + late(span)))
        }
        Quantity::Germination => None,
        Quantity::PickingInterval => sheet.picking_every.map(ends),
        Quantity::SeasonLength => sheet.harvest_lasts.map(ends),
    };
    range.filter(|(low, high)| *low > 0.0 && low <= high)
}

fn days(sheet: &CropSheet, span: Span) -> Option<(f64, f64)> {
    match span.to {
        Milestone::Stage(Stage::Emerged) => sheet.germination_days.map(ends),
        Milestone::Stage(Stage::PlantedOut) => sheet.under_cover.map(ends),
        Milestone::Stage(Stage::Flowering) => counted_from(span.from, sheet.flowering?, sheet),
        Milestone::FirstHarvest => counted_from(span.from, sheet.first_harvest?, sheet),
        Milestone::Stage(_) => None,
    }
}

/// Where the sheet counts from the other end of the weeks under cover, their middle is added or taken
/// away: 'days from transplanting' and 'days from sowing' differ by them (common practice, no source).
fn counted_from(from: Beginning, after: AfterStage, sheet: &CropSheet) -> Option<(f64, f64)> {
    let (low, high) = ends(after.days);
    let is_sown = after.stage == Stage::Sown;
    let raised = sheet.under_cover.map(ends).map(|(low, high)| (low + high) / 2.0);
    match from {
        Beginning::Sown if is_sown => Some((low, high)),
        Beginning::Sown => raised.map(|raised| (low + raised, high + raised)),
        Beginning::PlantedOut if is_sown => raised.map(|raised| (low - raised, high - raised)),
        Beginning::Planted if is_sown => None,
        Beginning::PlantedOut | Beginning::Planted => Some((low, high)),
    }
}

fn ends(range: Range<Days>) -> (f64, f64) {
    (f64::from(range.low.0), f64::from(range.high.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weeks_under_cover_lie_between_the_two_ways_to_count() {
        let days = |low, high| Some(Range { low: Days(low), high: Days(high) });
        let days_of = days(70, 90).expect("a range");
        let after = |stage| AfterStage { stage, days: days_of, is_of_calendar: false };
        let sheet = |stage| CropSheet {
            first_harvest: Some(after(stage)),
            under_cover: days(35, 49),
            ..CropSheet::default()
        };
        let found = |from, stage| {
            let span = Span::new(from, Milestone::FirstHarvest);
            range(&sheet(stage), Quantity::Days(span), 0.0)
        };
        assert_eq!(found(Beginning::PlantedOut, Stage::PlantedOut), Some((70.0, 90.0)));
        assert_eq!(found(Beginning::Sown, Stage::PlantedOut), Some((112.0, 132.0)));
        assert_eq!(found(Beginning::PlantedOut, Stage::Sown), Some((28.0, 48.0)));
        assert_eq!(found(Beginning::Planted, Stage::Sown), None);
    }
}
