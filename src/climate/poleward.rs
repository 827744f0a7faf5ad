//! How fast the air grows colder towards the pole around a place.
//!
//! Nights differ from year to year mostly because wind brings air from elsewhere: what a wind brings is the mean gradient of
//! temperature ('the anomalous advection of the stationary temperature gradient has a dominant effect in influencing temperature
//! variance': B. Zhang, M. Linz, G. Chen, *Journal of Climate* 35 (2022), no. 2, abstract read). What freezes comes from the
//! pole's side. Air that comes down from a plateau warms by 9.8 °C per km, so that lows are compared as if brought to sea level
//! in that way (potential temperature): the cold of the Great Basin does not reach the deserts below it, that of the
//! prairies reaches the Gulf.
//!
//! *Method*: a plane by least squares through the lows of all sites around; sites that stand close together count as one.

use std::collections::BTreeMap;

use crate::climate::world::{KM_PER_DEGREE, MONTHS, sites};

/// Sites so far away count. Of 450 to 1500 km, this and a bell of 600 km were the best.
const AROUND_KM: f64 = 1200.0;

/// Sites in one square with this side count as one, km.
const SQUARE_KM: f64 = 150.0;

/// Air that comes down warms so much, °C per metre (the dry adiabatic lapse rate).
const DRY_C_PER_M: f64 = 0.0098;

/// By how much the usual lows of each month fall for each 100 km towards the pole, °C; 0 where they do not.
pub(super) fn poleward_c(latitude_deg: f64, longitude_deg: f64) -> [f64; MONTHS] {
    let shrink = libm::cos(latitude_deg.to_radians());
    let near: Vec<Near> = sites()
        .filter_map(|site| {
            let across = (site.longitude_deg - longitude_deg + 540.0).rem_euclid(360.0) - 180.0;
            let x = across * shrink * KM_PER_DEGREE;
            let y = (site.latitude_deg - latitude_deg) * KM_PER_DEGREE;
            let warmer = DRY_C_PER_M * site.elevation_m?;
            let low_c = site.low_c.map(|low| low + warmer);
            (x * x + y * y <= AROUND_KM * AROUND_KM).then_some(Near { x, y, low_c })
        })
        .collect();
    let square =
        |site: &Near| ((site.x / SQUARE_KM).floor() as i32, (site.y / SQUARE_KM).floor() as i32);
    let mut in_square: BTreeMap<(i32, i32), f64> = BTreeMap::new();
    for site in &near {
        *in_square.entry(square(site)).or_default() += 1.0;
    }
    let squares = in_square.len() as f64;
    let weights: Vec<f64> =
        near.iter().map(|site| 1.0 / (in_square[&square(site)] * squares)).collect();
    let mean = |value: &dyn Fn(&Near) -> f64| -> f64 {
        near.iter().zip(&weights).map(|(site, weight)| weight * value(site)).sum()
    };
    let (mid_x, mid_y) = (mean(&|site| site.x), mean(&|site| site.y));
    let xx = mean(&|site| (site.x - mid_x) * (site.x - mid_x));
    let yy = mean(&|site| (site.y - mid_y) * (site.y - mid_y));
    let xy = mean(&|site| (site.x - mid_x) * (site.y - mid_y));
    let apart = xx * yy - xy * xy;
    let to_pole = if latitude_deg < 0.0 { -100.0 } else { 100.0 };
    std::array::from_fn(|month| {
        let xt = mean(&|site| (site.x - mid_x) * site.low_c[month]);
        let yt = mean(&|site| (site.y - mid_y) * site.low_c[month]);
        let fall = -to_pole * (xx * yt - xy * xt) / apart;
        // A lone island has no such plane, and no cold land near.
        if fall.is_finite() { fall.max(0.0) } else { 0.0 }
    })
}

/// A site, so many km to the east and to the north, and its lows as if brought to sea level.
struct Near {
    x: f64,
    y: f64,
    low_c: [f64; MONTHS],
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cold air crosses the plains of North America freely; mountains keep it from the deserts and the west coast. Common
    /// knowledge of its climates, no source.
    #[test]
    fn mountains_keep_cold_air_from_deserts() {
        let january = |latitude, longitude| poleward_c(latitude, longitude)[0];
        let plains = [(39.05, -95.68), (33.75, -84.39), (29.95, -90.07)];
        let sheltered = [(33.45, -112.07), (32.22, -110.97), (38.58, -121.49)];
        for (latitude, longitude) in plains {
            assert!(january(latitude, longitude) > 0.9, "{latitude}");
        }
        for (latitude, longitude) in sheltered {
            assert!(january(latitude, longitude) < 0.8, "{latitude}");
        }
    }

    #[test]
    fn far_out_at_sea_no_cold_land_is_near() {
        assert_eq!(poleward_c(-45.0, -120.0), [0.0; MONTHS]);
    }

    /// South of the equator the pole lies in the south.
    #[test]
    fn the_pole_of_its_own_half() {
        assert!(poleward_c(-34.6, -58.4)[6] > 0.4, "Buenos Aires");
    }
}
