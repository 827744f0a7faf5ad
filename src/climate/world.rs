//! The climate of any place on land, from a table of the world.
//!
//! *Table*: CRU CL 2.0, means of 1961–1990 at 16,803 station sites (`world/README.md`).
//!
//! *Place*: the ten nearest sites, weighted by 1/(distance + 10 km)² (inverse distance weighting, D. Shepard, 'A
//! two-dimensional interpolation function for irregularly-spaced data', *Proc. 23rd ACM National Conference* (1968) 517–524),
//! temperatures brought to the place's elevation by 4.5 °C per km. Near the ground it cools less than the 6.5 °C of the
//! standard atmosphere: 3.9 to 5.2 °C per km in the Cascades (J. Minder, P. Mote, J. Lundquist, *Journal of Geophysical
//! Research* 115 (2010) D14122, from memory). Left out one by one the sites themselves would want less still, because a
//! site's elevation is not quite that of its cell of the grid.
//!
//! *Now*: temperatures are shifted to 1991–2020 ([`warming_c`]).

use crate::climate::poleward::poleward_c;

pub(super) const MONTHS: usize = 12;

static STATIONS: &[u8] = include_bytes!("world/stations.bin");
static AIR: &[u8] = include_bytes!("world/air.bin");

const STATION_BYTES: usize = 6 + 3 * MONTHS;
const AIR_BYTES: usize = 4 + 4 * MONTHS;
const UNKNOWN_ELEVATION: i16 = i16::MIN;

/// So many sites speak for a place.
const NEIGHBOURS: usize = 10;

/// Added to each distance, so that a site next door does not speak alone.
const SOFTENING_KM: f64 = 10.0;

/// °C for each metre up.
const LAPSE_C_PER_M: f64 = 0.0045;

/// Farther from the nearest site nothing is said.
const FARTHEST_KM: f64 = 700.0;

/// The usual year of a place, January first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorldClimate {
    /// Mean daily low, °C, 1991–2020.
    pub low_c: [f64; 12],
    /// Mean daily high, °C, 1991–2020.
    pub high_c: [f64; 12],
    /// Rain of the month, mm, 1961–1990.
    pub rain_mm: [f64; 12],
    /// By how much the lows fall for each 100 km towards the pole, °C.
    pub poleward_c: [f64; 12],
    /// What the air is like.
    pub air: Air,
    /// For which elevation the temperatures are, metres.
    pub elevation_m: f64,
    /// How far the nearest site is, km.
    pub nearest_km: f64,
}

/// Sunshine, wind and damp of a place's months, 1961–1990.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Sunshine as a share of day length, 0 to 1.
    pub sunshine: [f64; 12],
    /// Wind at 10 m, m/s.
    pub wind_10m: [f64; 12],
    /// Relative humidity, 0 to 1.
    pub humidity: [f64; 12],
    /// Days with rain (0.1 mm or more) in the month.
    pub rain_days: [f64; 12],
}

impl WorldClimate {
    /// The climate at a position and, if it is known, an elevation; without one it is that of the sites around.
    ///
    /// None far from any site: on the sea and on the ice.
    pub fn at(
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: Option<f64>,
    ) -> Option<WorldClimate> {
        let near = nearest(STATIONS.as_chunks::<STATION_BYTES>().0, latitude_deg, longitude_deg);
        WorldClimate::among(&near, latitude_deg, longitude_deg, elevation_m)
    }

    fn among(
        near: &[Near<STATION_BYTES>],
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: Option<f64>,
    ) -> Option<WorldClimate> {
        let nearest_km = near.first()?.km;
        if nearest_km > FARTHEST_KM {
            return None;
        }
        let known: Vec<&Near<STATION_BYTES>> =
            near.iter().filter(|site| elevation_of(site.row).is_some()).collect();
        let weight: f64 = known.iter().map(|site| site.weight).sum();
        let around_m = known
            .iter()
            .filter_map(|site| Some(site.weight * elevation_of(site.row)?))
            .sum::<f64>()
            / weight.max(f64::MIN_POSITIVE);
        let elevation_m = elevation_m.unwrap_or(around_m);
        let warmer = warming_c(latitude_deg) + LAPSE_C_PER_M * (around_m - elevation_m);
        let root = |byte: u8| (f64::from(byte) / 8.0) * (f64::from(byte) / 8.0);
        let air = nearest(AIR.as_chunks::<AIR_BYTES>().0, latitude_deg, longitude_deg);
        Some(WorldClimate {
            low_c: mean(near, 6, half_degrees).map(|low| low + warmer),
            high_c: mean(near, 6 + MONTHS, half_degrees).map(|high| high + warmer),
            rain_mm: mean(near, 6 + 2 * MONTHS, root),
            poleward_c: poleward_c(latitude_deg, longitude_deg),
            air: Air {
                sunshine: mean(&air, 4, |byte| f64::from(byte) / 100.0),
                wind_10m: mean(&air, 4 + MONTHS, |byte| f64::from(byte) / 20.0),
                humidity: mean(&air, 4 + 2 * MONTHS, |byte| f64::from(byte) / 100.0),
                rain_days: mean(&air, 4 + 3 * MONTHS, |byte| f64::from(byte) / 8.0),
            },
            elevation_m,
            nearest_km,
        })
    }
}

/// A byte of the table of temperatures, °C.
fn half_degrees(byte: u8) -> f64 {
    (f64::from(byte) - 128.0) / 2.0
}

/// A site of the table of temperatures.
pub(super) struct Site {
    pub(super) latitude_deg: f64,
    pub(super) longitude_deg: f64,
    pub(super) elevation_m: Option<f64>,
    /// Mean daily low, °C, 1961–1990.
    pub(super) low_c: [f64; MONTHS],
}

/// All of them.
pub(super) fn sites() -> impl Iterator<Item = Site> {
    STATIONS.as_chunks::<STATION_BYTES>().0.iter().map(|row| {
        let (latitude_deg, longitude_deg) = position_of(row);
        let low_c = std::array::from_fn(|month| half_degrees(row[6 + month]));
        Site { latitude_deg, longitude_deg, elevation_m: elevation_of(row), low_c }
    })
}

/// A row of a table, how far away and of what weight.
struct Near<const BYTES: usize> {
    row: &'static [u8; BYTES],
    km: f64,
    weight: f64,
}

/// The nearest rows, the nearest first, with weights that sum to 1.
fn nearest<const BYTES: usize>(
    rows: &'static [[u8; BYTES]],
    latitude_deg: f64,
    longitude_deg: f64,
) -> Vec<Near<BYTES>> {
    let shrink = libm::cos(latitude_deg.to_radians());
    let mut near: Vec<(f64, &'static [u8; BYTES])> = rows
        .iter()
        .map(|row| {
            let (latitude, longitude) = position_of(row);
            let across = (longitude - longitude_deg).abs();
            let (up, across) = (latitude - latitude_deg, shrink * across.min(360.0 - across));
            (up * up + across * across, row)
        })
        .collect();
    let count = NEIGHBOURS.min(near.len());
    near.select_nth_unstable_by(count - 1, |a, b| a.0.total_cmp(&b.0));
    near.truncate(count);
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    let weight = |km: f64| 1.0 / ((km + SOFTENING_KM) * (km + SOFTENING_KM));
    let km = |square: f64| KM_PER_DEGREE * square.sqrt();
    let total: f64 = near.iter().map(|(square, _)| weight(km(*square))).sum();
    near.into_iter()
        .map(|(square, row)| Near { row, km: km(square), weight: weight(km(square)) / total })
        .collect()
}

pub(super) const KM_PER_DEGREE: f64 = 111.2;

/// The weighted mean of twelve bytes that begin at `from`.
fn mean<const BYTES: usize>(
    near: &[Near<BYTES>],
    from: usize,
    value: impl Fn(u8) -> f64,
) -> [f64; MONTHS] {
    std::array::from_fn(|month| {
        near.iter().map(|site| site.weight * value(site.row[from + month])).sum()
    })
}

fn position_of<const BYTES: usize>(row: &[u8; BYTES]) -> (f64, f64) {
    let share = |at: usize| f64::from(u16::from_le_bytes([row[at], row[at + 1]])) / 65535.0;
    (share(0) * 180.0 - 90.0, share(2) * 360.0 - 180.0)
}

fn elevation_of(row: &[u8; STATION_BYTES]) -> Option<f64> {
    let metres = i16::from_le_bytes([row[4], row[5]]);
    (metres != UNKNOWN_ELEVATION).then_some(f64::from(metres))
}

/// How much warmer the land of a latitude is in 1991–2020 than it was in 1961–1990, °C.
///
/// Sources: IPCC AR6 WG I, Summary for Policymakers A.1.2 (read): the land was 1.59 °C warmer in 2011–2020 than in 1850–1900; the
/// CRUTEM5 abstract (Osborn et al. 2021, read): 1.6 °C from 1861–1900 to the last five years. How that is spread over
/// periods and latitudes (northern lands most, southern least) is *from memory* of CRUTEM5 and of NASA's zonal means.
pub fn warming_c(latitude_deg: f64) -> f64 {
    const BANDS: [(f64, f64); 7] = [
        (-54.0, 0.3),
        (-34.0, 0.55),
        (-12.0, 0.65),
        (12.0, 0.7),
        (34.0, 0.95),
        (54.0, 1.2),
        (77.0, 1.7),
    ];
    let (first, last) = (BANDS[0], BANDS[BANDS.len() - 1]);
    let between = BANDS.windows(2).find(|pair| (pair[0].0..pair[1].0).contains(&latitude_deg));
    match between {
        Some([below, above]) => {
            let share = (latitude_deg - below.0) / (above.0 - below.0);
            below.1 + share * (above.1 - below.1)
        }
        _ if latitude_deg < first.0 => first.1,
        _ => last.1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A city of `tests/reference/world_temperatures.csv`: position, elevation, mean temperature of each month.
    fn cities() -> Vec<(f64, f64, f64, [f64; 12])> {
        let table = include_str!("../../tests/reference/world_temperatures.csv");
        table
            .lines()
            .skip(1)
            .map(|line| {
                let cells: Vec<f64> =
                    line.split(',').skip(2).map(|cell| cell.parse().expect("a number")).collect();
                (cells[0], cells[1], cells[2], std::array::from_fn(|month| cells[3 + month]))
            })
            .collect()
    }

    fn bias_and_rms(errors: &[f64]) -> (f64, f64) {
        let count = errors.len() as f64;
        let squares: f64 = errors.iter().map(|error| error * error).sum();
        (errors.iter().sum::<f64>() / count, (squares / count).sqrt())
    }

    /// Source: `tests/reference/world_temperatures.csv`: 270 cities, means of 1981–2010 derived from CHELSA v2.1, a data
    /// set that shares nothing with ours. Three fifths of the warming had come by then (land means of
    /// CRUTEM5, from memory). The goal is 1.0 °C.
    #[test]
    fn temperatures_of_270_cities() {
        let mut errors = Vec::new();
        for (latitude, longitude, elevation, means) in cities() {
            let climate = WorldClimate::at(latitude, longitude, Some(elevation)).expect("land");
            let since = 0.4 * warming_c(latitude);
            for (month, mean) in means.into_iter().enumerate() {
                let ours = (climate.low_c[month] + climate.high_c[month]) / 2.0;
                errors.push(ours - since - mean);
            }
        }
        let (bias, rms) = bias_and_rms(&errors);
        assert_eq!(errors.len(), 270 * 12);
        assert!(rms <= 1.0 && bias.abs() < 0.3, "bias {bias}, RMS {rms}");
    }

    /// Each thirteenth site from the others alone.
    #[test]
    fn what_a_site_would_be_without_itself() {
        let rows = STATIONS.as_chunks::<STATION_BYTES>().0;
        let mut errors = Vec::new();
        for row in rows.iter().step_by(13) {
            let (latitude, longitude) = position_of(row);
            let mut near = nearest(rows, latitude, longitude);
            near.retain(|site| site.km > 0.0);
            let total: f64 = near.iter().map(|site| site.weight).sum();
            near.iter_mut().for_each(|site| site.weight /= total);
            let Some(climate) = WorldClimate::among(&near, latitude, longitude, elevation_of(row))
            else {
                continue;
            };
            for month in 0..MONTHS {
                let own = |from: usize| half_degrees(row[from + month]);
                let mean = (own(6) + own(6 + MONTHS)) / 2.0;
                let ours = (climate.low_c[month] + climate.high_c[month]) / 2.0;
                errors.push(ours - warming_c(latitude) - mean);
            }
        }
        let (bias, rms) = bias_and_rms(&errors);
        assert!(rms < 1.4 && bias.abs() < 0.1, "bias {bias}, RMS {rms}");
    }

    #[test]
    fn where_nobody_gardens_nothing_is_said() {
        assert_eq!(WorldClimate::at(-45.0, -120.0, None), None);
        assert!(WorldClimate::at(-16.8, 179.99, None).is_some(), "across the date line");
        assert_eq!((warming_c(-90.0), warming_c(90.0)), (0.3, 1.7));
        assert!((warming_c(0.0) - 0.675).abs() < 1e-9);
    }
}
