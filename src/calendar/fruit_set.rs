//! Heat that keeps flowers from setting fruit.
//!
//! A hot day in the desert with a cool night after it does tomatoes less harm than its heat alone would: the mean of day
//! and night decides (M. Peet, D. Willits, R. Gardner, *Journal of Experimental
//! Botany* 48 (1997) 101–111, from memory).

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

/// For tomatoes and their kin a hot day counts only if the mean of day and night comes this near to that of the sheet's
/// highest, K. Trug's choice, no source.
const NEAR_MEAN_K: f64 = 1.0;

/// Whether heat ends it by keeping flowers from setting alone, and what has set ripens: tomatoes and their kin.
pub(super) fn is_limited_by_flowers(sheet: &CropSheet) -> bool {
    let is_kin = sheet.family.as_deref() == Some("Solanaceae");
    is_kin && sheet.fruit_set.is_some() && sheet.flowering.is_some()
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
        let by_mean = by_day.zip(by_night).filter(|_| is_limited_by_flowers(sheet));
        let by_mean = by_mean.map(|(day, night)| (day + night) / 2.0 - NEAR_MEAN_K);
        let too_hot = Tally::count(year.weather(), |day| {
            let is_hot_on_the_whole = by_mean.is_none_or(|most| day.mean_c + warmer > most + more);
            (is_hot_on_the_whole && by_day.is_some_and(|most| day.high_c + warmer > most + more))
                || by_night.is_some_and(|most| day.low_c + warmer > most + more)
        });
        Some(FruitSetting { days, too_hot })
    }

    /// Whether none of the first flowers, which open on day `flowers`, sets fruit.
    pub(super) fn is_too_hot(&self, flowers: i64) -> bool {
        self.too_hot.between(flowers, flowers + FLOWERING_DAYS) >= FLOWERING_DAYS as f64
    }
}
