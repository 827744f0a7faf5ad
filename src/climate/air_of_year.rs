//! What the air of a place usually does through the year: sunshine, wind and damp by the day, and how often it rains.

use chrono::{Datelike, NaiveDate};

use crate::climate::evapotranspiration::{Air, wind_2m};
use crate::climate::normals::MonthlyCurve;
use crate::climate::world::WorldClimate;

/// The usual air of every day, from monthly means.
#[derive(Clone, Debug, PartialEq)]
pub struct AirOfYear {
    sunshine: MonthlyCurve,
    wind_2m: MonthlyCurve,
    humidity: MonthlyCurve,
    elevation_m: f64,
    /// Days with rain in each month.
    pub rain_days: [f64; 12],
}

impl AirOfYear {
    /// The air of a place in the table of the world.
    pub fn of(world: &WorldClimate) -> AirOfYear {
        AirOfYear {
            sunshine: MonthlyCurve::new(world.air.sunshine),
            wind_2m: MonthlyCurve::new(world.air.wind_10m.map(wind_2m)),
            humidity: MonthlyCurve::new(world.air.humidity),
            elevation_m: world.elevation_m,
            rain_days: world.air.rain_days,
        }
    }

    /// The usual air of a day.
    pub fn on(&self, date: NaiveDate) -> Air {
        Air {
            sunshine: self.sunshine.on(date).min(1.0),
            wind_2m: self.wind_2m.on(date),
            humidity: self.humidity.on(date).min(1.0),
            elevation_m: self.elevation_m,
        }
    }

    /// The chance of rain on a day, 0 to 1.
    pub fn rain_chance(&self, date: NaiveDate) -> f64 {
        let days = self.rain_days[date.month0() as usize];
        (days / f64::from(date.num_days_in_month())).clamp(0.0, 1.0)
    }
}
