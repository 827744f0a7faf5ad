//! What long days do: bulbs swell, and leaves run to seed.

use crate::calendar::rules::Trial;
use crate::calendar::tally::Tally;
use crate::calendar::year::GrowingYear;
use crate::catalogue::CropSheet;
use crate::units::Range;

/// Bulbs swell when days are so much shorter than the longest: onions of the far north are bred for long days, those of
/// the tropics for short ones. Common practice, no source.
const BULBS_BEFORE_H: f64 = 2.0;

/// While days grow longer, bulbs are still begun until they are so much longer than that: kinds for longer days make their
/// leaves first. So onions go out in late April in Hokkaido, and near the equator. Common practice, no source.
const STILL_BEGUN_H: f64 = 1.0;

/// Bulbs swell from this mean on, °C. Common practice, no source.
const BULBS_SWELL_C: f64 = 10.0;
/// Degree days above 0 °C from then until the leaves fall, quick kinds and slow ones: so garlic is lifted in July in
/// central Europe, in June in the south of France and in May in Texas. Common practice, no source.
const BULBS_RIPEN: Range<f64> = Range { low: 1_050.0, high: 1_300.0 };

/// The first and the last day on which bulbs planted in autumn are ripe: they wait for long days and warmth together, on
/// whatever day they were planted. None for what makes no bulb, or where the two never come together.
pub(super) fn bulbs_ripen(sheet: &CropSheet, year: &GrowingYear, from: i64) -> Option<Range<i64>> {
    let long_h = swells_above_h(sheet, year)?;
    let days = year.weather();
    let swelling = Tally::count(days, |day| day.light_h > long_h && day.mean_c >= BULBS_SWELL_C);
    let warmth = Tally::sum(days, |day| day.mean_c);
    let swells = swelling.reached(from, 1.0)?;
    let ripe = |sum| warmth.reached(swells, sum);
    Some(Range { low: ripe(BULBS_RIPEN.low)?, high: ripe(BULBS_RIPEN.high)? })
}

/// Days longer than this make a bulb swell while the plant is small, hours; none for what makes no bulb. There are
/// kinds for short days and for long ones; in a garden those are grown that make bulbs some time before its midsummer.
pub(super) fn swells_above_h(sheet: &CropSheet, year: &GrowingYear) -> Option<f64> {
    let bulbing_h = sheet.bulbing_day_length?.low.0;
    let longest = year.own_weather().iter().map(|day| day.light_h).fold(0.0, f64::max);
    Some(bulbing_h.max(longest - BULBS_BEFORE_H))
}

impl Trial<'_> {
    /// Whether a bulb begun on a day would swell at once.
    pub(super) fn bulbs_too_soon(&self, day: i64) -> bool {
        let light_h = self.light_h(day);
        let more = if self.light_h(day + 1) > light_h { STILL_BEGUN_H } else { 0.0 };
        self.swells_above_h.is_some_and(|hours| light_h > hours + more)
    }

    /// The day length, hours, that is passed between `day` and `ready` and makes it run to seed.
    pub(super) fn runs_to_seed(&self, day: i64, ready: i64) -> Option<f64> {
        let (hours, too_long) = self.bolting.as_ref()?;
        (too_long.between(day, ready) > 0.0).then_some(*hours)
    }
}
