//! Heat that keeps flowers from setting fruit.
//!
//! Flowers that open in too hot days or nights drop; a plant goes on flowering, and sets fruit when the heat is over. What
//! has set ripens in any heat (tomatoes: Univ. of Wisconsin-Madison and Oklahoma State Univ. Extension, days above 29 to 33 °C
//! or nights above 21 °C). So it is heat in flower that bounds a season of fruit, not heat at picking.

use crate::calendar::needs::days_after;
use crate::calendar::tally::Tally;
use crate::calendar::year::GrowingYear;
use crate::catalogue::CropSheet;

/// Heat that keeps flowers from setting fruit.
pub(super) struct FruitSetting {
    /// Days of growth until it flowers.
    days: f64,
    /// So many days in a row without such heat make a set of fruit.
    set_days: i64,
    /// For so long flowers may drop before fruit sets.
    wait_days: i64,
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
        let thresholds = year.thresholds();
        let by_day = set.day.map(|day| day.high.0 + thresholds.set_day_k);
        let by_night = set.night.map(|night| night.high.0 + thresholds.set_night_k);
        let too_hot = Tally::count(year.weather(), |day| {
            by_day.is_some_and(|most| day.high_c + warmer > most)
                || by_night.is_some_and(|most| day.low_c + warmer > most)
        });
        Some(FruitSetting {
            days,
            set_days: thresholds.set_days.round() as i64,
            wait_days: thresholds.set_wait_days.round() as i64,
            too_hot,
        })
    }

    /// When fruit begins to set on what is begun on `day`; none if heat lasts for too long, or comes too soon.
    pub(super) fn begins(&self, day: i64, growing: &Tally) -> Option<Set> {
        let flowers = growing.reached(day, self.days)?;
        let is_set = |day: &i64| self.too_hot.between(*day, *day + self.set_days) == 0.0;
        let begins = (flowers..=flowers + self.wait_days).find(is_set)?;
        let ends = self.too_hot.reached(begins, 1.0);
        Some(Set { waits: begins - flowers, lasts: ends.map(|ends| ends - begins) })
    }
}

/// When fruit sets.
pub(super) struct Set {
    /// For so many days flowers drop in heat before.
    pub(super) waits: i64,
    /// So many days go by until heat ends it.
    pub(super) lasts: Option<i64>,
}
