//! Heat that keeps flowers from setting fruit.

use crate::calendar::needs::days_after;
use crate::calendar::tally::Tally;
use crate::calendar::year::GrowingYear;
use crate::catalogue::CropSheet;

/// Flowers come for so many days at first.
const FLOWERING_DAYS: i64 = 10;

/// Heat that keeps flowers from setting fruit.
pub(super) struct FruitSetting {
    /// Days of growth until it flowers.
    pub(super) days: f64,
    /// Days, or nights, hotter than the sheet's.
    too_hot: Tally,
}

impl FruitSetting {
    pub(super) fn of(
        sheet: &CropSheet,
        year: &GrowingYear,
        warmer: f64,
        sown: bool,
    ) -> Option<FruitSetting> {
        let (set, flowering) = (sheet.fruit_set?, sheet.flowering?);
        let days = days_after(sheet, flowering, sown).low as f64;
        let more = year.thresholds().set_k;
        let (by_day, by_night) =
            (set.day.map(|day| day.high.0), set.night.map(|night| night.high.0));
        let too_hot = Tally::count(year.weather(), |day| {
            by_day.is_some_and(|most| day.high_c + warmer > most + more)
                || by_night.is_some_and(|most| day.low_c + warmer > most + more)
        });
        Some(FruitSetting { days, too_hot })
    }

    /// Whether none of the first flowers, which open on day `flowers`, sets fruit.
    pub(super) fn is_too_hot(&self, flowers: i64) -> bool {
        self.too_hot.between(flowers, flowers + FLOWERING_DAYS) >= FLOWERING_DAYS as f64
    }
}
