//! Degree days: how much warmth above a base temperature a day brought, from its low and high.
//!
//! Sources: University of California IPM, 'Degree-days: methods'; G. L. Baskerville and P. Emin, 'Rapid
//! estimation of heat accumulation from maximum and minimum temperatures', *Ecology* 50 (1969) 514–517.
//! A day's result is in °C·days; [`in_fahrenheit`] turns it into °F·days.

use std::f64::consts::{FRAC_PI_2, PI};

/// Between which temperatures warmth counts, in °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thresholds {
    /// At and below this nothing counts.
    pub base_c: f64,
    /// Above this no more counts (horizontal cutoff: the day goes on at the upper rate).
    pub upper_c: Option<f64>,
}

impl Thresholds {
    /// Thresholds given in °C.
    pub fn celsius(base_c: f64, upper_c: Option<f64>) -> Thresholds {
        Thresholds { base_c, upper_c }
    }

    /// Thresholds given in °F.
    pub fn fahrenheit(base_f: f64, upper_f: Option<f64>) -> Thresholds {
        let celsius = |f: f64| (f - 32.0) / 1.8;
        Thresholds { base_c: celsius(base_f), upper_c: upper_f.map(celsius) }
    }
}

/// Degree days in °F·days from degree days in °C·days (a difference of temperatures: no 32).
pub fn in_fahrenheit(degree_days_c: f64) -> f64 {
    degree_days_c * 1.8
}

/// The day's mean less the base, not below 0, in °C·days: the simple average of UC IPM.
///
/// It knows no upper threshold, and misses the warm afternoon of a day whose mean is below the base; use
/// [`single_sine`] unless a sum published by this method is to be met.
pub fn simple_average(low_c: f64, high_c: f64, base_c: f64) -> f64 {
    ((low_c + high_c) / 2.0 - base_c).max(0.0)
}

/// The simple average after a low below the base counts as the base and a high above the upper threshold
/// as the upper threshold, in °C·days: the method of published sums for sweet corn (50/86 °F).
///
/// Source: Oregon State University, calculation methods of its degree-day models ('substitution').
pub fn clamped_average(low_c: f64, high_c: f64, between: Thresholds) -> f64 {
    let held = |c: f64| c.min(between.upper_c.unwrap_or(f64::INFINITY)).max(between.base_c);
    simple_average(held(low_c), held(high_c), between.base_c)
}

/// The area under one sine wave through the day's low and high, above the base and below the upper
/// threshold, in °C·days (Baskerville & Emin 1969; horizontal cutoff as UC IPM).
///
/// What lies above the upper threshold is the same area with that threshold as the base, so the cutoff is
/// one subtraction. Low and high the wrong way round make the same wave.
pub fn single_sine(low_c: f64, high_c: f64, between: Thresholds) -> f64 {
    let above = |threshold_c| sine_above(low_c.min(high_c), high_c.max(low_c), threshold_c);
    let too_hot = between.upper_c.map_or(0.0, above);
    (above(between.base_c) - too_hot).max(0.0)
}

/// The area of the wave above one threshold.
fn sine_above(low: f64, high: f64, threshold: f64) -> f64 {
    let mean = (low + high) / 2.0;
    let swing = (high - low) / 2.0;
    if high <= threshold {
        0.0
    } else if low >= threshold {
        mean - threshold
    } else {
        let crossing = libm::asin((threshold - mean) / swing);
        ((mean - threshold) * (FRAC_PI_2 - crossing) + swing * libm::cos(crossing)) / PI
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Source: UC IPM, California citrus guidelines, degree-day box: average 64 °F, base 53 °F: 11.
    #[test]
    fn fahrenheit_box() {
        let fahrenheit = |f: f64| (f - 32.0) / 1.8;
        let base = Thresholds::fahrenheit(53.0, None).base_c;
        let found = in_fahrenheit(simple_average(fahrenheit(54.0), fahrenheit(74.0), base));
        assert!((found - 11.0).abs() < 1e-9, "{found}");
    }

    /// Source: test file of the R package TrenchR (CRAN), after UC IPM 'Degree-days: methods' and Allen
    /// 1976. Tolerance 0.01, as printed.
    ///
    /// DISPUTED: for 35–40 °C that file expects 5 by single sine and 21 by double sine. A day wholly above
    /// the upper threshold counts upper less lower under a horizontal cutoff as UC IPM defines it: 21.
    #[test]
    fn single_sine_by_trenchr() {
        let between = Thresholds::celsius(12.0, Some(33.0));
        let rows = [
            (7.0, 14.0, 0.47),
            (7.0, 10.0, 0.0),
            (13.0, 14.0, 1.5),
            (13.0, 40.0, 12.94),
            (7.0, 40.0, 10.94),
            (35.0, 40.0, 21.0),
        ];
        for (low, high, expected) in rows {
            let found = single_sine(low, high, between);
            assert!((found - expected).abs() < 0.01, "{low} {high}: {found}");
        }
    }

    /// Source: equations of Baskerville & Emin 1969, evaluated apart from this code (from memory).
    #[test]
    fn single_sine_by_its_equations() {
        let rows = [
            (10.0, 30.0, 10.0, None, 10.0),
            (8.0, 20.0, 10.0, None, 4.353),
            (2.0, 18.0, 10.0, None, 2.546),
            (5.0, 12.0, 10.0, None, 0.468),
            (0.0, 9.0, 10.0, None, 0.0),
            (15.0, 35.0, 10.0, Some(30.0), 13.91),
            (5.0, 35.0, 10.0, Some(30.0), 10.0),
            (12.0, 28.0, 10.0, Some(30.0), 10.0),
            (4.0, 16.0, 4.4, None, 5.631),
            (-2.0, 12.0, 4.4, None, 2.536),
        ];
        for (low, high, base, upper, expected) in rows {
            let found = single_sine(low, high, Thresholds::celsius(base, upper));
            assert!((found - expected).abs() < 0.001, "{low} {high}: {found}");
        }
    }

    /// The area under the wave, summed in small steps: an outside check of the closed form.
    #[test]
    fn single_sine_by_summing() {
        for (low, high, base, upper) in
            [(3.0, 27.0, 10.0, 24.0), (-5.0, 41.0, 4.0, 30.0), (8.0, 33.0, 7.0, 31.5)]
        {
            let steps = 200_000;
            let sum: f64 = (0..steps)
                .map(|i| {
                    let turn = (f64::from(i) + 0.5) / f64::from(steps) * 2.0 * PI;
                    let now: f64 = (low + high) / 2.0 + (high - low) / 2.0 * libm::sin(turn);
                    now.min(upper).max(base) - base
                })
                .sum();
            let found = single_sine(low, high, Thresholds::celsius(base, Some(upper)));
            assert!((found - sum / f64::from(steps)).abs() < 1e-6, "{low} {high}: {found}");
        }
    }

    /// Source: definitions on the method pages of OSU and UC IPM.
    #[test]
    fn averages() {
        let rows = [
            (10.0, 30.0, 10.0, 10.0),
            (8.0, 20.0, 10.0, 4.0),
            (2.0, 18.0, 10.0, 0.0),
            (5.0, 12.0, 10.0, 0.0),
            (0.0, 9.0, 10.0, 0.0),
            (4.0, 16.0, 4.4, 5.6),
        ];
        for (low, high, base, expected) in rows {
            let found = simple_average(low, high, base);
            assert!((found - expected).abs() < 1e-9, "{low} {high}: {found}");
        }
        // Sweet corn, 10/30 °C, which is 50/86 °F.
        let corn = Thresholds::fahrenheit(50.0, Some(86.0));
        for (low, high, expected) in
            [(8.0, 20.0, 5.0), (2.0, 18.0, 4.0), (15.0, 35.0, 12.5), (5.0, 35.0, 10.0)]
        {
            let found = clamped_average(low, high, corn);
            assert!((found - expected).abs() < 1e-9, "{low} {high}: {found}");
        }
    }

    proptest! {
        /// A warmer low or a warmer high never takes degree days away, by any of the methods.
        #[test]
        fn warmer_is_never_less(low in -20.0..35.0, range in 0.0..25.0, more_low in 0.0..5.0, more_high in 0.0..5.0,
                                base in 0.0..15.0, span in 5.0..25.0) {
            let (high, between) = (low + range, Thresholds::celsius(base, Some(base + span)));
            let (warm_low, warm_high) = (low + more_low, high + more_high);
            prop_assert!(single_sine(warm_low, warm_high, between) >= single_sine(low, high, between) - 1e-9);
            prop_assert!(clamped_average(warm_low, warm_high, between) >= clamped_average(low, high, between) - 1e-9);
            prop_assert!(simple_average(warm_low, warm_high, base) >= simple_average(low, high, base) - 1e-9);
        }

        /// Between nothing and the whole span; the sine never counts less than the plain average does.
        #[test]
        fn within_bounds(low in -20.0..45.0, range in 0.0..25.0, base in 0.0..15.0, span in 5.0..25.0) {
            let found = single_sine(low, low + range, Thresholds::celsius(base, Some(base + span)));
            prop_assert!((0.0..=span + 1e-9).contains(&found), "{found}");
            let unbounded = single_sine(low, low + range, Thresholds::celsius(base, None));
            prop_assert!(unbounded >= simple_average(low, low + range, base) - 1e-9);
        }
    }
}
