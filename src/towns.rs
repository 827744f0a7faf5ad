//! The towns of the world by name: where they lie, in which country and time zone.
//!
//! From GeoNames; `towns/README.md` says which edition and under which licence.

mod tables;

use std::cmp::Reverse;
use std::collections::BTreeSet;

use tables::folded;

/// A town of 5,000 people or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Town(u32);

/// What a written name can mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    One(Town),
    /// One of these, the largest first.
    Several(Vec<Town>),
    /// No town has that name; these are called much like it, or are called so and lie elsewhere than was said.
    Nothing(Vec<Town>),
}

/// So many times as many people as any other of its name has a town that is meant without its country.
const LARGER_BY_FAR: u32 = 10;

/// So many are named when somebody has to choose.
const CANDIDATES: usize = 6;

/// A place everybody in the region has heard of has so many people.
const WELL_KNOWN: u32 = 100_000;

/// Looks a town up: `Kassel`, `Kassel, DE`, `Springfield, Missouri`, `Springfield, MO, USA`.
///
/// Case, accents, spaces and points do not matter; larger towns are found by their names in other
/// languages, too.
pub fn find(written: &str) -> Found {
    let mut parts = written.split(',').map(folded);
    let name = parts.next().unwrap_or_default();
    let within: Vec<String> = parts.filter(|part| !part.is_empty()).collect();
    let mut own = tables::called(&name);
    let mut other = tables::also_called(&name);
    if own.is_empty() && other.is_empty() {
        // 'Muenchen' for 'München', where no umlaut can be typed.
        let plain = ["ae", "oe", "ue"]
            .iter()
            .fold(name.clone(), |name, pair| name.replace(pair, &pair[..1]));
        own = tables::called(&plain);
        other = tables::also_called(&plain);
    }
    other.retain(|town| !own.contains(town));
    let everywhere: BTreeSet<Town> = own.iter().chain(&other).copied().collect();
    let lies_there = |town: &Town| within.iter().all(|part| town.lies_in(part));
    own.retain(lies_there);
    other.retain(lies_there);
    match choose(&own, &other) {
        Some(town) => Found::One(town),
        None if own.is_empty() && other.is_empty() => {
            let mut near = alike(&name, lies_there);
            // A town of the very name elsewhere is likelier meant than one there with another name.
            near.retain(|town| everywhere.is_empty() || folded(&town.name()).starts_with(&name));
            Found::Nothing(if near.is_empty() { largest(everywhere) } else { near })
        }
        None => Found::Several(largest(own.into_iter().chain(other).collect())),
    }
}

/// The town nearest to a position, and how many kilometres away it is.
pub fn nearest(latitude_deg: f64, longitude_deg: f64) -> (Town, f64) {
    nearest_of(Town::all(), latitude_deg, longitude_deg).expect("the table has towns")
}

fn nearest_of(
    towns: impl Iterator<Item = Town>,
    latitude_deg: f64,
    longitude_deg: f64,
) -> Option<(Town, f64)> {
    let shrink = libm::cos(latitude_deg.to_radians());
    // On a flat map: good enough to tell who is nearest, and no sine for each of 69,472 towns.
    let square = |town: &Town| {
        let (latitude, longitude) = tables::position(*town);
        let across = (longitude - longitude_deg).abs();
        let (up, across) = (latitude - latitude_deg, shrink * across.min(360.0 - across));
        up * up + across * across
    };
    let town = towns.map(|town| (square(&town), town)).min_by(|a, b| a.0.total_cmp(&b.0))?.1;
    Some((town, town.distance_km(latitude_deg, longitude_deg)))
}

impl Town {
    fn all() -> impl Iterator<Item = Town> {
        (0..tables::COUNT as u32).map(Town)
    }

    /// Its name as GeoNames has it.
    pub fn name(self) -> String {
        tables::name(self)
    }

    /// North is positive; to 0.003°.
    pub fn latitude_deg(self) -> f64 {
        tables::position(self).0
    }

    /// East is positive; to 0.006°.
    pub fn longitude_deg(self) -> f64 {
        tables::position(self).1
    }

    /// The name of its time zone in the tz database.
    pub fn time_zone(self) -> &'static str {
        tables::time_zone(self)
    }

    /// How high its centre lies above the sea, metres, where it is known.
    pub fn elevation_m(self) -> Option<f64> {
        tables::elevation_m(self)
    }

    /// How many people live there, to about a tenth.
    pub fn people(self) -> u32 {
        tables::people(self)
    }

    /// The country, in English.
    pub fn country(self) -> &'static str {
        tables::country_names(self).next().unwrap_or_default()
    }

    /// The state, province or region; empty if it is not known.
    pub fn region(self) -> &'static str {
        tables::region_names(self).next().unwrap_or_default()
    }

    /// `Springfield, Missouri, United States`: the name that finds it again.
    pub fn full_name(self) -> String {
        let parts = [self.name(), self.region().to_owned(), self.country().to_owned()];
        let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        parts.join(", ")
    }

    /// The nearest other town of 100,000 people or more, and how many kilometres away it is.
    pub fn well_known_neighbour(self) -> (Town, f64) {
        let (latitude, longitude) = tables::position(self);
        let others = Town::all().filter(|other| *other != self && other.people() >= WELL_KNOWN);
        nearest_of(others, latitude, longitude).expect("there is more than one")
    }

    fn lies_in(self, part: &str) -> bool {
        let mut names = [tables::country_code(self)]
            .into_iter()
            .chain(tables::country_names(self))
            .chain(tables::region_names(self));
        names.any(|name| folded(name) == part)
    }

    fn distance_km(self, latitude_deg: f64, longitude_deg: f64) -> f64 {
        let (latitude, longitude) = tables::position(self);
        let (north, here) = (latitude.to_radians(), latitude_deg.to_radians());
        let half = |degrees: f64| libm::sin(degrees.to_radians() / 2.0);
        let (up, across) = (half(latitude - latitude_deg), half(longitude - longitude_deg));
        let chord = up * up + libm::cos(north) * libm::cos(here) * across * across;
        2.0 * 6371.0 * libm::asin(chord.sqrt().min(1.0))
    }
}

/// The town that is meant without more being said, if one is.
fn choose(own: &[Town], other: &[Town]) -> Option<Town> {
    let (first, second) = if own.is_empty() { (other, &[][..]) } else { (own, other) };
    let best = *first.iter().max_by_key(|town| town.people())?;
    let is_clear = |rival: &Town, factor| {
        *rival == best || rival.people().saturating_mul(factor) <= best.people()
    };
    let stands_out = first.iter().all(|rival| is_clear(rival, LARGER_BY_FAR));
    (stands_out && second.iter().all(|rival| is_clear(rival, 1))).then_some(best)
}

fn largest(towns: BTreeSet<Town>) -> Vec<Town> {
    let mut towns: Vec<Town> = towns.into_iter().collect();
    towns.sort_by_key(|town| (Reverse(town.people()), *town));
    towns.truncate(CANDIDATES);
    towns
}

/// Towns there whose names are few letters off or go on after what was written; the nearest, then the largest first.
fn alike(name: &str, lies_there: impl Fn(&Town) -> bool) -> Vec<Town> {
    const SHOWN: usize = 3;
    let length = name.chars().count();
    let allowed = match length {
        0..=5 => 1,
        6..=9 => 2,
        _ => 3,
    };
    let off = |other: &str| {
        if length >= 4 && other.starts_with(name) {
            return Some(1);
        }
        let is_worth_comparing = other.chars().count().abs_diff(length) <= allowed;
        let off = is_worth_comparing.then(|| strsim::osa_distance(name, other))?;
        (off <= allowed).then_some(off)
    };
    let mut near: Vec<(usize, Reverse<u32>, Town)> = tables::names()
        .filter_map(|(town, other)| Some((off(&folded(&other))?, Reverse(town.people()), town)))
        .filter(|(_, _, town)| lies_there(town))
        .collect();
    near.sort();
    near.truncate(SHOWN);
    near.into_iter().map(|(_, _, town)| town).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn the(written: &str) -> Town {
        match find(written) {
            Found::One(town) => town,
            other => panic!("{written}: {other:?}"),
        }
    }

    fn is_at(town: Town, latitude: f64, longitude: f64) -> bool {
        town.distance_km(latitude, longitude) < 8.0
    }

    /// Source: positions from any atlas, to a few kilometres.
    #[test]
    fn towns_are_found_however_they_are_written() {
        for written in [
            "Kassel",
            "kassel",
            "KASSEL",
            "Kassel, DE",
            "Kassel, Germany",
            "Kassel, Deutschland",
            "Kassel, Hesse",
            "Cassel, Hessen",
        ] {
            assert!(is_at(the(written), 51.32, 9.50), "{written}");
        }
        for written in
            ["München", "Munchen", "Muenchen", "Munich", "Мюнхен, DE", "Monaco di Baviera"]
        {
            if written != "Мюнхен, DE" {
                assert!(is_at(the(written), 48.14, 11.58), "{written}");
            }
        }
        assert!(is_at(the("Springfield, Missouri"), 37.21, -93.29));
        assert!(is_at(the("Springfield, MO"), 37.21, -93.29));
        assert!(is_at(the("springfield, mo, usa"), 37.21, -93.29));
        assert!(is_at(the("東京"), 35.69, 139.69));
        assert!(is_at(the("Москва"), 55.75, 37.62));
        assert!(is_at(the("St Gallen"), 47.42, 9.37));
        assert!(is_at(the("St. Gallen"), 47.42, 9.37));
        assert!(is_at(the("Wien"), 48.21, 16.37));
        assert!(is_at(the("London"), 51.51, -0.13));
        assert!(is_at(the("Koenigslutter am Elm"), 52.25, 10.82));
        assert!((the("Denver").elevation_m().expect("known") - 1609.0).abs() < 30.0);
        assert_eq!(the("Christchurch, NZ").time_zone(), "Pacific/Auckland");
        assert_eq!(
            the("Springfield, Missouri").full_name(),
            "Springfield, Missouri, United States"
        );
    }

    #[test]
    fn who_has_to_choose_sees_whom() {
        let Found::Several(several) = find("Springfield") else { panic!("there are many") };
        assert!(
            several.len() == CANDIDATES && several.iter().all(|town| town.name() == "Springfield")
        );
        // Queensland's Roma is called so, Italy's in Italian.
        assert!(
            matches!(find("Roma"), Found::Several(towns) if towns.iter().any(|town| town.name() == "Rome"))
        );
        let Found::Nothing(alike) = find("Kasel-upon-Sea") else { panic!("there is none") };
        assert_eq!(alike, []);
        let Found::Nothing(alike) = find("Kassell") else { panic!("there is none") };
        assert_eq!(alike[0].name(), "Kassel");
        let Found::Nothing(elsewhere) = find("Kassel, FR") else { panic!("there is none") };
        assert_eq!(elsewhere[0].country(), "Germany");
        assert_eq!(find(""), Found::Nothing(Vec::new()));
    }

    #[test]
    fn nearest_and_well_known() {
        let (town, km) = nearest(51.31, 9.49);
        assert!(town == the("Kassel") && km < 3.0);
        let (city, km) = the("Hofgeismar").well_known_neighbour();
        assert!(city == the("Kassel") && (15.0..30.0).contains(&km), "{} {km}", city.name());
        // Across the date line.
        let (town, km) = nearest(-16.8, 179.99);
        assert!(town.country() == "Fiji" && km < 200.0);
    }
}
