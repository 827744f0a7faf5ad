//! The weather of which a crop sheet tells its days, so that they can be told of other weather.
//!
//! *Growth*: days to flowers and to harvest are those of weather that the crop likes, the middle of the temperatures at which
//! it grows; but of no warmer weather than the place's own summer, since the kinds that are grown there ripen in it (common
//! practice, no source). A cooler day counts as the share of such a day's degree days that it brings, a warmer one as a day: kinds
//! that stand heat are no quicker in it.
//!
//! *Emergence*: days are those at the best soil temperature. Colder seed is slower by the same factor for each degree, and three
//! and a half times slower at the lowest temperature: fitted to the days of J. F. Harrington & P. A. Minges, *Vegetable Seed
//! Germination* (University of California, 1954), see the tests. Outdoors the air stands for the soil.

use crate::catalogue::CropSheet;
use crate::climate::conditions::Conditions;
use crate::climate::degree_days::{Thresholds, single_sine};
use crate::stage::Stage;
use crate::stages::Milestone;

/// What a day counts towards a milestone, as a share of a day of the weather that the sheet means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum UsualWeather {
    /// The temperature below which nothing grows, °C, and the degree days of the day that is meant.
    Growth(f64, f64),
    /// The lowest and the best temperature of germination, °C.
    Emergence(f64, f64),
}

/// How much slower than at its best seed comes up at the lowest temperature of its sheet.
const SLOWEST: f64 = 3.5;
/// Nor are they told of warmer summers than this, °C. Common practice, no source.
const WARMEST_C: f64 = 21.0;
/// A crop that takes longer than this stands through winter, and its days are the calendar's.
const OVER_WINTER_DAYS: i32 = 150;

impl UsualWeather {
    /// Nothing where the sheet or the place has no temperatures, and for what stands for years or through winter.
    pub(crate) fn of(
        sheet: &CropSheet,
        to: Milestone,
        conditions: &Conditions,
    ) -> Option<UsualWeather> {
        let summer_c = conditions.summer_c()?;
        if to == Milestone::Stage(Stage::Emerged) {
            let (lowest, best) = (sheet.germination_lowest?.0, sheet.germination_best?.0);
            return (lowest < best).then_some(UsualWeather::Emergence(lowest, best));
        }
        if sheet.is_perennial == Some(true) || stands_through_winter(sheet) {
            return None;
        }
        let (base_c, grows_at) = (sheet.degree_days?.base.0, sheet.grows_at?);
        let usual_c = ((grows_at.low.0 + grows_at.high.0) / 2.0).min(WARMEST_C).min(summer_c);
        (usual_c > base_c).then_some(UsualWeather::Growth(base_c, usual_c - base_c))
    }

    /// What a day of this low and high counts.
    pub(crate) fn share(&self, low_c: f64, high_c: f64) -> f64 {
        match *self {
            UsualWeather::Growth(base_c, a_day) => {
                (single_sine(low_c, high_c, Thresholds::celsius(base_c, None)) / a_day).min(1.0)
            }
            UsualWeather::Emergence(lowest, best) => {
                let colder = (best - (low_c + high_c) / 2.0).max(0.0) / (best - lowest);
                libm::pow(SLOWEST, -colder)
            }
        }
    }

    /// The degree days, °C·days, that a day of growth stands for.
    pub(crate) fn degree_days(&self) -> Option<f64> {
        match self {
            UsualWeather::Growth(_, a_day) => Some(*a_day),
            UsualWeather::Emergence(..) => None,
        }
    }
}

fn stands_through_winter(sheet: &CropSheet) -> bool {
    sheet.autumn_night_low.is_some()
        || sheet.autumn_before_frost.is_some()
        || sheet.first_harvest.is_some_and(|after| after.days.low.0 >= OVER_WINTER_DAYS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::conditions::FrostKnowledge;
    use crate::climate::normals::Normals;
    use crate::units::Celsius;

    /// Temperatures with the days at them.
    type Rows = &'static [(f64, f64)];

    /// Days to emergence by soil temperature, °C: Harrington & Minges (1954), as Knott's Handbook for Vegetable Growers
    /// (1997) prints them; with the lowest and the best temperature, from the same.
    const EMERGENCE: &[(f64, f64, Rows)] = &[
        (4.4, 29.4, &[(5.0, 42.0), (10.0, 17.0), (15.0, 10.0), (20.0, 6.0), (25.0, 5.0)]), // beetroot
        (15.6, 29.4, &[(15.0, 16.0), (20.0, 11.0), (25.0, 8.0), (30.0, 6.0)]),             // bean
        (4.4, 29.4, &[(10.0, 15.0), (15.0, 9.0), (20.0, 6.0), (25.0, 5.0)]), // cabbage
        (4.4, 26.7, &[(5.0, 51.0), (10.0, 17.0), (15.0, 10.0), (20.0, 7.0), (25.0, 6.0)]), // carrot
        (15.6, 35.0, &[(15.0, 13.0), (20.0, 6.0), (25.0, 4.0), (30.0, 3.0)]), // cucumber
        (0.0, 23.9, &[(5.0, 15.0), (10.0, 7.0), (15.0, 4.0), (20.0, 3.0)]),  // lettuce
        (4.4, 23.9, &[(5.0, 36.0), (10.0, 14.0), (15.0, 9.0), (20.0, 8.0), (25.0, 6.0)]), // pea
        (15.6, 29.4, &[(15.0, 25.0), (20.0, 13.0), (25.0, 8.0)]),            // pepper
        (4.4, 29.4, &[(5.0, 29.0), (10.0, 11.0), (15.0, 6.0), (20.0, 4.0)]), // radish
        (0.0, 21.1, &[(5.0, 23.0), (10.0, 12.0), (15.0, 7.0), (20.0, 6.0)]), // spinach
        (10.0, 29.4, &[(10.0, 22.0), (15.0, 12.0), (20.0, 7.0), (25.0, 4.0)]), // sweetcorn
        (10.0, 29.4, &[(10.0, 43.0), (15.0, 14.0), (20.0, 8.0), (25.0, 6.0)]), // tomato
    ];
    const BEST_DAYS: [f64; 12] = [5.0, 6.0, 5.0, 6.0, 3.0, 3.0, 6.0, 8.0, 4.0, 6.0, 4.0, 6.0];

    #[test]
    fn seed_is_as_slow_as_in_the_table_of_emergence() {
        let (mut squares, mut sum, mut number) = (0.0, 0.0, 0.0);
        for ((lowest, best, rows), best_days) in EMERGENCE.iter().zip(BEST_DAYS) {
            for (soil, days) in *rows {
                let usual = UsualWeather::Emergence(*lowest, *best);
                let off = libm::log(best_days / usual.share(*soil, *soil) / days);
                (squares, sum, number) = (squares + off * off, sum + off, number + 1.0);
            }
        }
        let (rms, mean) = (libm::sqrt(squares / number), sum / number);
        assert!(rms < 0.4 && mean.abs() < 0.1, "{rms} {mean}");
    }

    #[test]
    fn a_day_of_the_weather_that_is_meant_is_a_day() {
        let range = |low, high| crate::units::Range { low: Celsius(low), high: Celsius(high) };
        let sums = crate::catalogue::sheet::DegreeDays {
            base: Celsius(10.0),
            upper: None,
            to_flowering: None,
            to_harvest: None,
            each_year: None,
        };
        let sheet = CropSheet {
            degree_days: Some(sums),
            grows_at: Some(range(15.0, 27.0)),
            ..CropSheet::default()
        };
        let conditions = |summer_c: f64| Conditions {
            latitude_deg: 48.0,
            longitude_deg: 7.0,
            normals: Some(Normals::new([summer_c; 12], [summer_c; 12], None)),
            rain_mm: None,
            world: None,
            air: None,
            spring_frost: FrostKnowledge::Unknown,
            autumn_frost: FrostKnowledge::Unknown,
            risk: 0.1,
        };
        let of = |sheet: &CropSheet, summer_c| {
            UsualWeather::of(sheet, Milestone::FirstHarvest, &conditions(summer_c))
        };
        let usual = of(&sheet, 25.0).expect("temperatures");
        // 21 °C, so 11 °C·days a day; at 15.5 °C half as many; none at the base; no more than a day in any heat.
        assert!((usual.share(21.0, 21.0) - 1.0).abs() < 1e-12);
        assert!((usual.share(15.5, 15.5) - 0.5).abs() < 1e-12);
        assert_eq!(usual.share(2.0, 10.0), 0.0);
        assert!((usual.share(30.0, 40.0) - 1.0).abs() < 1e-12);
        // Where summers have 17 °C the kinds that are grown take the days of the sheet in them.
        let cool = of(&sheet, 17.0).expect("temperatures");
        assert!((cool.share(17.0, 17.0) - 1.0).abs() < 1e-12);
        assert_eq!(of(&CropSheet { is_perennial: Some(true), ..sheet }, 25.0), None);
    }
}
