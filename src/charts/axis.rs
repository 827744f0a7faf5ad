//! A straight scale with round numbers along it.
//!
//! Steps are 1, 2, 2.5 or 5 times a power of ten: common practice, no source. Ticks are counted as whole numbers of
//! steps, so that no sum of rounded numbers creeps, and places are rounded to a tenth of a unit of the drawing.

use serde::Serialize;

/// A straight scale from values to places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    step: f64,
}

/// A round number on an axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tick {
    /// Where, in units of the drawing, to a tenth.
    pub at: f64,
    /// The value there, in the unit of the axis.
    pub value: f64,
}

impl Axis {
    /// A scale on which all of `values` lie, from `from` to `to` in units of the drawing, with about `steps` steps.
    ///
    /// It begins and ends at round numbers. `from` may lie behind `to`: heights in a drawing grow downwards.
    /// Values that are no numbers are passed over; without any, or with one alone, it is one step wide.
    pub fn over(values: impl IntoIterator<Item = f64>, from: f64, to: f64, steps: u32) -> Axis {
        let values = values.into_iter().filter(|value| value.is_finite());
        let span = values.fold(None, |span: Option<(f64, f64)>, value| {
            let (low, high) = span.unwrap_or((value, value));
            Some((low.min(value), high.max(value)))
        });
        let (low, high) = span.unwrap_or((0.0, 0.0));
        let width = if high > low { high - low } else { low.abs().max(1.0) };
        let step = round_step(width / f64::from(steps.max(1)));
        let first = (low / step + SLACK).floor();
        let last = (high / step - SLACK).ceil().max(first + 1.0);
        Axis { low: first * step, high: last * step, from, to, step }
    }

    /// The same, with nothing at one end of it: for bars and sums, whose length is read.
    pub fn from_zero(
        values: impl IntoIterator<Item = f64>,
        from: f64,
        to: f64,
        steps: u32,
    ) -> Axis {
        Axis::over(values.into_iter().chain([0.0]), from, to, steps)
    }

    /// Where a value is, to a tenth of a unit; beyond the ends if it lies beyond them.
    pub fn place(&self, value: f64) -> f64 {
        let share = (value - self.low) / (self.high - self.low);
        tenth(self.from + share * (self.to - self.from))
    }

    /// The round numbers, from the lowest to the highest, both ends among them.
    pub fn ticks(&self) -> Vec<Tick> {
        let first = (self.low / self.step).round() as i64;
        let last = (self.high / self.step).round() as i64;
        let value = |index: i64| index as f64 * self.step;
        (first..=last)
            .map(|index| Tick { at: self.place(value(index)), value: value(index) })
            .collect()
    }

    /// How many decimals its round numbers need.
    pub fn decimals(&self) -> usize {
        let is_whole = |places: &usize| {
            let scaled = self.step * 10_f64.powi(*places as i32);
            (scaled - scaled.round()).abs() < SLACK * scaled
        };
        (0..12).find(is_whole).unwrap_or(12)
    }
}

/// So much of a step may be lost in the arithmetic before a value counts as beyond a round number.
const SLACK: f64 = 1e-9;

/// The smallest round step that is not below this one.
fn round_step(wanted: f64) -> f64 {
    let mut power = libm::log10(wanted).floor() as i32;
    if wanted < ten_to(power) {
        power -= 1;
    }
    let round = [1.0, 2.0, 2.5, 5.0, 10.0];
    let times = round.into_iter().find(|times| wanted <= times * ten_to(power) * (1.0 + SLACK));
    times.unwrap_or(10.0) * ten_to(power)
}

/// Tenths are divided, not multiplied: 3 / 10 is the nearest number to 0.3, and 3 × 0.1 is not.
fn ten_to(power: i32) -> f64 {
    if power < 0 { 1.0 / 10_f64.powi(-power) } else { 10_f64.powi(power) }
}

/// Rounded once, so that the same values make the same bytes everywhere; never `-0`.
pub fn tenth(place: f64) -> f64 {
    (place * 10.0).round() / 10.0 + 0.0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn values(axis: &Axis) -> Vec<f64> {
        axis.ticks().iter().map(|tick| tick.value).collect()
    }

    #[test]
    fn ends_and_steps_are_round() {
        let axis = Axis::from_zero([3.7, 1.2], 300.0, 0.0, 4);
        assert_eq!(values(&axis), [0.0, 1.0, 2.0, 3.0, 4.0]);
        assert_eq!((axis.place(0.0), axis.place(4.0), axis.place(1.0)), (300.0, 0.0, 225.0));
        assert_eq!(axis.decimals(), 0);
        let axis = Axis::from_zero([0.83], 0.0, 100.0, 4);
        assert_eq!((values(&axis).len(), axis.decimals()), (5, 2));
        let axis = Axis::over([-7.0, 12.0], 0.0, 100.0, 4);
        assert_eq!(values(&axis), [-10.0, -5.0, 0.0, 5.0, 10.0, 15.0]);
    }

    #[test]
    fn a_value_on_a_round_number_needs_no_further_step() {
        assert_eq!(values(&Axis::from_zero([0.3], 0.0, 1.0, 3)).len(), 4);
        assert_eq!(
            values(&Axis::from_zero([2000.0], 0.0, 1.0, 4)),
            [0.0, 500.0, 1000.0, 1500.0, 2000.0]
        );
    }

    #[test]
    fn nothing_and_one_value_have_an_axis() {
        assert_eq!(values(&Axis::from_zero([], 0.0, 10.0, 4)).first(), Some(&0.0));
        assert_eq!(values(&Axis::from_zero([f64::NAN, 0.0], 0.0, 10.0, 1)), [0.0, 1.0]);
        let alone = Axis::over([5.0], 0.0, 10.0, 2);
        assert!((0.0..=10.0).contains(&alone.place(5.0)));
    }

    proptest! {
        #[test]
        fn all_values_lie_on_it(low in -1e6..1e6_f64, width in 1e-3..1e6_f64, steps in 1_u32..9) {
            let axis = Axis::over([low, low + width], 0.0, 320.0, steps);
            let ticks = axis.ticks();
            prop_assert!((0.0..=320.0).contains(&axis.place(low)));
            prop_assert!((0.0..=320.0).contains(&axis.place(low + width)));
            prop_assert!(ticks.len() >= 2 && ticks.len() <= steps as usize + 3, "{ticks:?}");
            prop_assert!(ticks.windows(2).all(|pair| pair[0].at < pair[1].at));
            prop_assert_eq!(ticks[0].at, 0.0);
            prop_assert_eq!(ticks[ticks.len() - 1].at, 320.0);
        }
    }
}
