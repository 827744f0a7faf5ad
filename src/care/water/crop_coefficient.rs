//! How much more or less than grass a crop uses, from day to day of its life.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), chapter 6, equation 66, with the
//! coefficients of table 12 and the stage lengths of table 11 as the crop sheets give them.

/// Lengths of the initial, development, middle and late stage, days.
pub type StageLengths = [f64; 4];

/// The crop coefficient through a crop's life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CropCoefficient {
    /// At the beginning, in mid-season, at the end.
    kc: [f64; 3],
    lengths: StageLengths,
}

/// Leaves of a plant that was just set out, as a share of those of a grown one. Common practice, no source.
const COVER_AT_FIRST: f64 = 0.05;
/// FAO-56 ch. 6: the initial stage ends when about a tenth of the ground is covered.
const COVER_AFTER_INITIAL: f64 = 0.1;

impl CropCoefficient {
    /// The curve through these coefficients with stages of these lengths.
    pub fn new(kc: [f64; 3], lengths: StageLengths) -> CropCoefficient {
        CropCoefficient { kc, lengths }
    }

    /// The coefficient of a day, counted from 1 (FAO-56 eq. 66): level in the initial and the middle
    /// stage, straight between and after; before and behind them as at the ends.
    pub fn on_day(&self, day: f64) -> f64 {
        let [initial, development, middle, late] = self.lengths;
        let [at_first, full, at_last] = self.kc;
        if day <= initial + development {
            return between(day - initial, development, at_first, full);
        }
        between(day - initial - development - middle, late, full, at_last)
    }

    /// The coefficient of the leaves alone on a day: that of mid-season until leaves age. A small plant uses
    /// as much by the area of its leaves as a grown one; FAO-56's early values are low because the
    /// ground is bare.
    pub fn of_leaves(&self, day: f64) -> f64 {
        let [initial, development, ..] = self.lengths;
        if day <= initial + development { self.kc[1] } else { self.on_day(day) }
    }

    /// The leaves of a day as a share of those of a grown plant: a tenth when the initial stage ends, all
    /// when mid-season begins (FAO-56 ch. 6 and table 21).
    pub fn cover(&self, day: f64) -> f64 {
        let [initial, development, ..] = self.lengths;
        if day <= initial {
            return between(day, initial, COVER_AT_FIRST, COVER_AFTER_INITIAL);
        }
        between(day - initial, development, COVER_AFTER_INITIAL, 1.0)
    }
}

/// Straight from one value to the next over a stage, and level outside it.
fn between(day: f64, length: f64, from: f64, to: f64) -> f64 {
    let share = if length > 0.0 { (day / length).clamp(0.0, 1.0) } else { f64::from(day > 0.0) };
    from + share * (to - from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, printed: f64) {
        assert!((found - printed).abs() <= 0.005 + 1e-9, "{found} is not {printed}");
    }

    /// Source: FAO-56 ch. 6, example 28 (dry bean at Kimberly, Idaho), read. Tolerance: half a unit of the
    /// last digit printed, as in the two that follow.
    #[test]
    fn example_28() {
        let bean = CropCoefficient::new([0.15, 1.19, 0.35], [25.0, 25.0, 30.0, 20.0]);
        near(bean.on_day(20.0), 0.15);
        near(bean.on_day(40.0), 0.77);
        near(bean.on_day(70.0), 1.19);
        near(bean.on_day(95.0), 0.56);
    }

    /// Source: FAO-56 ch. 7, example 30: the same equation for basal coefficients, read.
    #[test]
    fn example_30() {
        let bean = CropCoefficient::new([0.15, 1.14, 0.25], [25.0, 25.0, 30.0, 20.0]);
        near(bean.on_day(12.0), 0.15);
        near(bean.on_day(37.0), 0.63);
        near(bean.on_day(65.0), 1.14);
        near(bean.on_day(90.0), 0.70);
    }

    /// Source: FAO-56 ch. 6, figure 36: means of ten days of the same bean, read. The third, in which the
    /// curve bends, is the one that FAO-56 works out by hand.
    #[test]
    fn figure_36() {
        let bean = CropCoefficient::new([0.15, 1.19, 0.35], [25.0, 25.0, 30.0, 20.0]);
        let printed = [0.15, 0.15, 0.20, 0.57, 0.98, 1.19, 1.19, 1.19, 0.98, 0.56];
        for (index, printed) in printed.into_iter().enumerate() {
            // The mean over the ten days, of the curve, not of its values at midnight.
            let steps = 1000;
            let mean = (0..steps)
                .map(|step| bean.on_day(10.0 * (index as f64 + (step as f64 + 0.5) / steps as f64)))
                .sum::<f64>()
                / steps as f64;
            // FAO-56 read them off its curve: one unit of the last digit.
            assert!((mean - printed).abs() < 0.01, "{index}: {mean} is not {printed}");
        }
    }

    #[test]
    fn leaves_grow_to_all_of_them_and_use_as_much_by_their_area_from_the_first_day() {
        let pepper = CropCoefficient::new([0.6, 1.05, 0.9], [30.0, 35.0, 40.0, 20.0]);
        near(pepper.cover(0.0), 0.05);
        near(pepper.cover(30.0), 0.1);
        near(pepper.cover(65.0), 1.0);
        near(pepper.cover(200.0), 1.0);
        near(pepper.of_leaves(1.0), 1.05);
        near(pepper.of_leaves(500.0), 0.9);
    }
}
