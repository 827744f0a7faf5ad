//! A winter that makes plants run to seed in spring.
//!
//! Carrots, beetroot, leeks and cabbages flower in the year after a winter: plants that have felt so many cold days as their sheet
//! says make a flower stalk instead of a root or a head. So what cannot be picked before midwinter is not begun in autumn
//! where winter is as cold for so long. Seedlings of spring are too small to feel the same cold. Onions are
//! begun so late, or in such kinds, that they are small in winter (common practice, no source).

use crate::calendar::rules::Trial;
use crate::calendar::tally::Tally;
use crate::calendar::year::GrowingYear;
use crate::catalogue::CropSheet;

/// Cold that makes a crop run to seed.
pub(super) struct ColdOfWinter {
    /// Days with a mean below this count, °C.
    below_c: f64,
    /// So many are enough, whatever the kind.
    days: f64,
    cold: Tally,
}

impl ColdOfWinter {
    pub(super) fn of(sheet: &CropSheet, year: &GrowingYear, warmer: f64) -> Option<ColdOfWinter> {
        let bolting = sheet.bolting.filter(|_| sheet.bulbing_day_length.is_none())?;
        let (below_c, days) = (bolting.cold_below?.0, bolting.cold_days?.high.0);
        let cold = Tally::count(year.weather(), |day| day.mean_c + warmer < below_c);
        Some(ColdOfWinter { below_c, days: f64::from(days), cold })
    }
}

impl Trial<'_> {
    /// The mean, °C, that makes what is begun on `day` run to seed, because winter is colder for long before it is `ready`.
    pub(super) fn flowers_after_winter(&self, day: i64, ready: i64) -> Option<f64> {
        let winter = self.cold_of_winter.as_ref()?;
        // A growing year begins in midwinter.
        let year = |day: i64| day.div_euclid(self.year.length());
        let is_cold = year(day) < year(ready) && winter.cold.between(day, ready) >= winter.days;
        is_cold.then_some(winter.below_c)
    }
}
