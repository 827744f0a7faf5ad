//! What long days do: bulbs swell, and leaves run to seed.

use crate::calendar::rules::Trial;

/// Bulbs swell when days are so much shorter than the longest: onions of the far north are bred for long days, those of
/// the tropics for short ones. Common practice, no source.
const BULBS_BEFORE_H: f64 = 2.0;

impl Trial<'_> {
    /// Whether a bulb begun on a day would swell at once, while the plant is small. There are kinds for short days
    /// and for long ones; in a garden those are grown that make bulbs some time before its midsummer.
    pub(super) fn bulbs_too_soon(&self, day: i64) -> bool {
        let longest = self.year.own_weather().iter().map(|day| day.light_h).fold(0.0, f64::max);
        self.sheet
            .bulbing_day_length
            .is_some_and(|hours| self.light_h(day) > hours.low.0.max(longest - BULBS_BEFORE_H))
    }

    /// The day length, hours, that is passed between `day` and `ready` and makes it run to seed.
    pub(super) fn runs_to_seed(&self, day: i64, ready: i64) -> Option<f64> {
        let (hours, too_long) = self.bolting.as_ref()?;
        (too_long.between(day, ready) > 0.0).then_some(*hours)
    }
}
