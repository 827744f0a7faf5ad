//! Sunrise, sunset and day length for a date and a position.
//!
//! The sun's position follows J. Meeus, *Astronomical Algorithms* (2nd ed. 1998, ch. 25 and 28, low
//! accuracy), as NOAA's solar calculator uses it. Rise and set are the moments when the centre of the
//! sun stands 90.833° from the zenith: 34′ of refraction and 16′ of half width, the convention of the
//! US Naval Observatory and of NOAA. The horizon is flat and at sea level; hills and elevation are not
//! known. Between 60° south and north the times stand within 10 s of an almanac's (the tests say which).
//!
//! A day is the solar day around noon at the longitude, so that a sunset after midnight UTC, and a
//! sunrise before it, belong to the date a grower calls today. (Where a country keeps the date of the
//! other side of the date line, the neighbouring day's sun is told: some minutes at most.)

use chrono::{DateTime, Duration, NaiveDate, NaiveTime, Utc};

/// How much of one day the sun is up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Daylight {
    /// It rises and sets. On the day on which a polar day begins or ends, one of the two is midnight
    /// by the sun.
    Between {
        /// When the upper edge of the sun appears.
        sunrise: DateTime<Utc>,
        /// When the upper edge of the sun is gone.
        sunset: DateTime<Utc>,
    },
    /// It stays up from midnight to midnight.
    PolarDay,
    /// It is not up at noon.
    PolarNight,
}

impl Daylight {
    /// Hours from sunrise to sunset: 0 in the polar night, 24 on a polar day.
    pub fn hours(self) -> f64 {
        match self {
            Daylight::Between { sunrise, sunset } => {
                (sunset - sunrise).num_milliseconds() as f64 / 3_600_000.0
            }
            Daylight::PolarDay => 24.0,
            Daylight::PolarNight => 0.0,
        }
    }
}

/// The daylight of `date` at a latitude (degrees, north positive) and longitude (degrees, east positive).
///
/// Never fails, not even at the poles. Method: NOAA/Meeus, see the module.
pub fn daylight(date: NaiveDate, latitude_deg: f64, longitude_deg: f64) -> Daylight {
    let noon = solar_noon(date, longitude_deg);
    let half_a_day = Duration::hours(12);
    let is_up = |at| height_over_rising(at, latitude_deg, longitude_deg) > 0.0;
    if !is_up(noon) {
        return Daylight::PolarNight;
    }
    let sunrise = last_down(noon, noon - half_a_day, is_up);
    let sunset = last_down(noon, noon + half_a_day, is_up);
    if sunrise.is_none() && sunset.is_none() {
        return Daylight::PolarDay;
    }
    Daylight::Between {
        sunrise: sunrise.unwrap_or(noon - half_a_day),
        sunset: sunset.unwrap_or(noon + half_a_day),
    }
}

/// Hours of daylight on `date` (latitude and longitude in degrees, north and east positive).
///
/// Counts the whole disc and refraction; for the geometric day of the evapotranspiration formulas see
/// [`crate::climate::evapotranspiration::daylight_h`].
pub fn day_length_h(date: NaiveDate, latitude_deg: f64, longitude_deg: f64) -> f64 {
    daylight(date, latitude_deg, longitude_deg).hours()
}

/// The sun's declination in degrees, north positive (Meeus ch. 25: apparent place, about 0.01°).
pub fn declination_deg(at: DateTime<Utc>) -> f64 {
    Sun::at(at).declination.to_degrees()
}

/// Apparent less mean solar time in minutes (Smart's formula, Meeus eq. 28.3): positive when a sundial
/// is ahead of the clock.
pub fn equation_of_time_min(at: DateTime<Utc>) -> f64 {
    Sun::at(at).equation_of_time_min
}

/// When the sun stands highest on `date` at a longitude, to about a second.
pub fn solar_noon(date: NaiveDate, longitude_deg: f64) -> DateTime<Utc> {
    let midnight = date.and_time(NaiveTime::MIN).and_utc();
    let mean_noon = midnight + minutes(720.0 - 4.0 * longitude_deg);
    let near = mean_noon - minutes(equation_of_time_min(mean_noon));
    mean_noon - minutes(equation_of_time_min(near))
}

/// Cosine of the zenith distance of the sun less that of 90.833°: positive while the sun is up.
fn height_over_rising(at: DateTime<Utc>, latitude_deg: f64, longitude_deg: f64) -> f64 {
    const RISING_ZENITH_DEG: f64 = 90.833;
    let sun = Sun::at(at);
    let midnight = at.date_naive().and_time(NaiveTime::MIN).and_utc();
    let clock_min = (at - midnight).num_milliseconds() as f64 / 60_000.0;
    let solar_min = clock_min + sun.equation_of_time_min + 4.0 * longitude_deg;
    let hour_angle = (solar_min / 4.0 - 180.0).to_radians();
    let latitude = latitude_deg.to_radians();
    libm::sin(latitude) * libm::sin(sun.declination)
        + libm::cos(latitude) * libm::cos(sun.declination) * libm::cos(hour_angle)
        - libm::cos(RISING_ZENITH_DEG.to_radians())
}

/// Between `up`, when the sun is up, and `end`: the moment nearest to `up` at which it is not, found by
/// halving; none if it is up at `end` too. Halving rather than NOAA's two closed steps, because those
/// have no answer on the days next to a polar day.
fn last_down(
    mut up: DateTime<Utc>,
    end: DateTime<Utc>,
    is_up: impl Fn(DateTime<Utc>) -> bool,
) -> Option<DateTime<Utc>> {
    if is_up(end) {
        return None;
    }
    let mut down = end;
    while (down - up).num_milliseconds().abs() > 100 {
        let middle = up + (down - up) / 2;
        if is_up(middle) { up = middle } else { down = middle }
    }
    Some(down)
}

/// The sun seen from the centre of the earth.
struct Sun {
    /// Radians, north positive.
    declination: f64,
    equation_of_time_min: f64,
}

impl Sun {
    fn at(at: DateTime<Utc>) -> Sun {
        // Julian centuries from J2000.0 (2000-01-01 12:00). UTC stands for dynamical time: a minute of
        // difference moves the sun by less than 0.001°.
        const J2000_UNIX_S: f64 = 946_728_000.0;
        let t = (at.timestamp_millis() as f64 / 1000.0 - J2000_UNIX_S) / 86_400.0 / 36_525.0;

        let mean_longitude = (280.46646 + t * (36000.76983 + t * 0.0003032)).to_radians();
        let anomaly = (357.52911 + t * (35999.05029 - t * 0.0001537)).to_radians();
        let eccentricity = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
        let centre_deg = libm::sin(anomaly) * (1.914602 - t * (0.004817 + t * 0.000014))
            + libm::sin(2.0 * anomaly) * (0.019993 - t * 0.000101)
            + libm::sin(3.0 * anomaly) * 0.000289;
        let node = (125.04 - 1934.136 * t).to_radians();
        // Aberration and the largest term of nutation: the place where the sun is seen.
        let longitude =
            mean_longitude + (centre_deg - 0.00569 - 0.00478 * libm::sin(node)).to_radians();
        let mean_obliquity_s = 21.448 - t * (46.815 + t * (0.00059 - t * 0.001813));
        let obliquity =
            (23.0 + (26.0 + mean_obliquity_s / 60.0) / 60.0 + 0.00256 * libm::cos(node))
                .to_radians();

        let half = libm::tan(obliquity / 2.0);
        let y = half * half;
        let equation_of_time = y * libm::sin(2.0 * mean_longitude)
            - 2.0 * eccentricity * libm::sin(anomaly)
            + 4.0 * eccentricity * y * libm::sin(anomaly) * libm::cos(2.0 * mean_longitude)
            - 0.5 * y * y * libm::sin(4.0 * mean_longitude)
            - 1.25 * eccentricity * eccentricity * libm::sin(2.0 * anomaly);
        Sun {
            declination: libm::asin(libm::sin(obliquity) * libm::sin(longitude)),
            equation_of_time_min: 4.0 * equation_of_time.to_degrees(),
        }
    }
}

fn minutes(minutes: f64) -> Duration {
    Duration::milliseconds((minutes * 60_000.0) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().expect("an ISO date")
    }

    fn instant(text: &str) -> DateTime<Utc> {
        let full = if text.ends_with('Z') { text.replace('Z', ":00Z") } else { format!("{text}Z") };
        full.parse().expect("an instant")
    }

    fn seconds_apart(a: DateTime<Utc>, b: DateTime<Utc>) -> f64 {
        (a - b).num_milliseconds().abs() as f64 / 1000.0
    }

    /// Source: PyPI astral 3.2 (NOAA equations, zenith 90.833°), printed to the minute, cross-checked
    /// with PyPI ephem 4.2.1. Tolerance 60 s, and 0.04 h of day length: half a minute is the printing, the
    /// rest astral's, which in Reykjavik stands 68 s from ephem at either end.
    #[test]
    fn sixteen_places_by_astral() {
        #[rustfmt::skip]
        let rows = [
            ("London", "2024-06-20", 51.5074, -0.1278, "2024-06-20T03:43Z", "2024-06-20T20:21Z", 16.63),
            ("London", "2024-12-21", 51.5074, -0.1278, "2024-12-21T08:04Z", "2024-12-21T15:53Z", 7.82),
            ("New York", "2024-03-20", 40.7128, -74.006, "2024-03-20T10:59Z", "2024-03-20T23:08Z", 12.16),
            ("Seattle", "2024-05-01", 47.6062, -122.3321, "2024-05-01T12:51Z", "2024-05-02T03:22Z", 14.51),
            ("Denver", "2024-09-22", 39.7392, -104.9903, "2024-09-22T12:48Z", "2024-09-23T00:56Z", 12.12),
            ("Reykjavik", "2024-06-20", 64.1466, -21.9426, "2024-06-20T02:56Z", "2024-06-21T00:03Z", 21.11),
            ("Tromso", "2024-02-15", 69.6492, 18.9553, "2024-02-15T07:18Z", "2024-02-15T14:40Z", 7.36),
            ("Quito", "2024-03-20", -0.1807, -78.4678, "2024-03-20T11:18Z", "2024-03-20T23:24Z", 12.10),
            ("Nairobi", "2024-07-15", -1.2921, 36.8219, "2024-07-15T03:37Z", "2024-07-15T15:40Z", 12.05),
            ("Sydney", "2024-12-21", -33.8688, 151.2093, "2024-12-20T18:41Z", "2024-12-21T09:05Z", 14.41),
            ("Cape Town", "2024-06-20", -33.9249, 18.4241, "2024-06-20T05:51Z", "2024-06-20T15:45Z", 9.89),
            ("Wellington", "2024-09-22", -41.2866, 174.7756, "2024-09-21T18:11Z", "2024-09-22T06:17Z", 12.11),
            ("Ushuaia", "2024-06-20", -54.8019, -68.303, "2024-06-20T12:59Z", "2024-06-20T20:11Z", 7.19),
            ("Buenos Aires", "2024-10-15", -34.6037, -58.3816, "2024-10-15T09:11Z", "2024-10-15T22:08Z", 12.95),
        ];
        for (place, day, latitude, longitude, rise, set, hours) in rows {
            let Daylight::Between { sunrise, sunset } = daylight(date(day), latitude, longitude)
            else {
                panic!("{place} has a sunrise");
            };
            let off =
                seconds_apart(sunrise, instant(rise)).max(seconds_apart(sunset, instant(set)));
            assert!(off < 60.0, "{place} {day}: {sunrise} {sunset}");
            let length = day_length_h(date(day), latitude, longitude);
            assert!((length - hours).abs() < 0.04, "{place} {day}: {length} h");
        }
        // The two rows without a sunrise: astral raises an error, ephem says always up, always down.
        assert_eq!(daylight(date("2024-06-20"), 69.6492, 18.9553), Daylight::PolarDay);
        assert_eq!(daylight(date("2024-12-21"), 69.6492, 18.9553), Daylight::PolarNight);
        assert_eq!(day_length_h(date("2024-06-20"), 69.6492, 18.9553), 24.0);
        assert_eq!(day_length_h(date("2024-12-21"), 69.6492, 18.9553), 0.0);
    }

    /// Source: `tests/reference/day_length.csv` (PyPI ephem 4.2.1; how it was made stands in the README
    /// there). 15 s of day length and 10 s of either time: the almanac knows the sun's width of the day.
    #[test]
    fn day_length_by_ephem() {
        let mut rows = 0;
        for line in include_str!("../../tests/reference/day_length.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |i: usize| cells[i].parse::<f64>().expect("a number");
            let found = daylight(date(cells[0]), number(1), number(2));
            let Daylight::Between { sunrise, sunset } = found else {
                panic!("{line}: there is a sunrise");
            };
            assert!(seconds_apart(sunrise, instant(cells[3])) < 10.0, "{line}: {sunrise}");
            assert!(seconds_apart(sunset, instant(cells[4])) < 10.0, "{line}: {sunset}");
            assert!(
                (found.hours() - number(5)).abs() * 3600.0 < 15.0,
                "{line}: {} h",
                found.hours()
            );
            rows += 1;
        }
        assert_eq!(rows, 270);
    }

    /// Source: US Naval Observatory, 'Rise and Set for the Sun' of six places, 2020 and 2023, in
    /// `tests/reference/usno_sun.csv`. Printed to the minute, so within 60 s, up to 78° north.
    #[test]
    fn six_places_by_the_naval_observatory() {
        let mut times = 0;
        for line in include_str!("../../tests/reference/usno_sun.csv").lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |i: usize| cells[i].parse::<f64>().expect("a number");
            let on = |day| daylight(day, number(2), number(3));
            let day = date(cells[1]);
            match cells[5] {
                "day" => assert_eq!(on(day), Daylight::PolarDay, "{line}"),
                "night" => assert_eq!(on(day), Daylight::PolarNight, "{line}"),
                _ => {
                    // The observatory files an event under the date of the zone in which it happens.
                    let days = [day.pred_opt(), Some(day), day.succ_opt()].into_iter().flatten();
                    let events: Vec<_> = days.map(on).collect();
                    for (which, cell) in [(0, cells[5]), (1, cells[6])] {
                        let printed =
                            instant(&format!("{day}T{cell}Z")) - minutes(60.0 * number(4));
                        let is_near = |day: &Daylight| match *day {
                            Daylight::Between { sunrise, sunset } => {
                                seconds_apart([sunrise, sunset][which], printed) < 60.0
                            }
                            _ => false,
                        };
                        assert!(events.iter().any(is_near), "{line}: {events:?}");
                        times += 1;
                    }
                }
            }
        }
        assert_eq!(times, (72 + 144 + 12) * 2);
    }

    /// Source: Meeus, *Astronomical Algorithms*, example 25.a (1992 October 13.0: declination −7.78507°)
    /// and example 28.b (same moment: equation of time 13 min 42.7 s); from memory.
    #[test]
    fn meeus_examples() {
        let at = instant("1992-10-13T00:00Z");
        assert!((declination_deg(at) - -7.78507).abs() < 0.0005, "{}", declination_deg(at));
        assert!(
            (equation_of_time_min(at) - (13.0 + 42.7 / 60.0)).abs() < 0.05,
            "{}",
            equation_of_time_min(at)
        );
    }

    #[test]
    fn the_poles_have_half_a_year_of_each() {
        let days = |latitude| {
            let year = date("2025-01-01").iter_days().take(365);
            year.filter(|day| daylight(*day, latitude, 0.0) == Daylight::PolarDay).count()
        };
        // Refraction and the sun's width lengthen the light by about three days at either end.
        assert!((188..=193).contains(&days(90.0)), "{}", days(90.0));
        assert!((182..=187).contains(&days(-90.0)), "{}", days(-90.0));
    }

    proptest! {
        #[test]
        fn a_day_has_between_0_and_24_hours(latitude in -90.0..=90.0, longitude in -180.0..=180.0, n in 0_i64..40_000) {
            let hours = day_length_h(date("1990-01-01") + Duration::days(n), latitude, longitude);
            prop_assert!((0.0..=24.0).contains(&hours), "{hours}");
        }

        /// Half a year on the hemispheres change places. Roughly: the orbit is an ellipse, so its two
        /// halves differ by some days, up to 20 minutes of day length at 55°.
        #[test]
        fn hemispheres_mirror_half_a_year_apart(latitude in 0.0..55.0, n in 0_i64..3_650) {
            let day = date("2020-01-01") + Duration::days(n);
            let here = day_length_h(day, latitude, 0.0);
            let there = day_length_h(day + Duration::days(183), -latitude, 0.0);
            prop_assert!((here - there).abs() < 1.0 / 3.0, "{here} {there}");
        }
    }
}
