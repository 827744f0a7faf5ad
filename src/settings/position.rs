//! Where the garden is: a town's name, or latitude and longitude.

use chrono_tz::Tz;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{self, Tick};
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::source::nodes::text_of;
use crate::towns::{self, Found, Town};
use crate::units;

/// Where the garden is.
#[derive(Clone, Copy, Debug)]
pub struct Position {
    /// North is positive.
    pub latitude_deg: f64,
    /// East is positive.
    pub longitude_deg: f64,
    /// The town whose position this is, if the garden's own was not written.
    pub town: Option<Town>,
    /// Above the sea.
    pub elevation: Option<units::Length>,
    /// For which day it is.
    pub time_zone: Tz,
    /// Whether pages may show it to more than a tenth of a degree.
    pub is_shown_exactly: bool,
}

impl Position {
    /// Latitude and longitude as they may be shown: to a tenth of a degree, unless the grower wants more; where
    /// a town lies is no secret.
    pub fn shown(&self) -> (f64, f64) {
        let factor = 10_f64.powi(self.decimals_shown() as i32);
        let rounded = |degrees: f64| (degrees * factor).round() / factor;
        (rounded(self.latitude_deg), rounded(self.longitude_deg))
    }

    /// So many decimals of a degree may be shown.
    pub fn decimals_shown(&self) -> usize {
        match (self.is_shown_exactly, self.town) {
            (true, _) => 5,
            (false, Some(_)) => 2,
            (false, None) => 1,
        }
    }
}

/// Reads `place: Kassel`, `place: {near: Kassel, elevation: 240 m}` or latitude and longitude.
pub(super) fn read(node: &Node, problems: &mut Problems) -> Option<Position> {
    match &node.value {
        Value::Map(map) => read_map(map, problems),
        _ => {
            let town = town(&text_of("place", node, problems)?, problems)?;
            Some(at_town(town))
        }
    }
}

fn at_town(town: Town) -> Position {
    Position {
        latitude_deg: town.latitude_deg(),
        longitude_deg: town.longitude_deg(),
        town: Some(town),
        elevation: None,
        time_zone: zone_of(town),
        is_shown_exactly: false,
    }
}

fn zone_of(town: Town) -> Tz {
    town.time_zone().parse().unwrap_or(Tz::UTC)
}

fn read_map(map: &Map, problems: &mut Problems) -> Option<Position> {
    let mut fields = Fields::new(map, "place in garden.yaml", problems);
    let near = fields.text("near", problems);
    let latitude =
        fields.number("latitude", -90.0, 90.0, "degrees from -90 to 90, south negative", problems);
    let longitude = fields.number(
        "longitude",
        -180.0,
        180.0,
        "degrees from -180 to 180, west negative",
        problems,
    );
    let is_placed = fields.key_at("latitude").is_some() || fields.key_at("longitude").is_some();
    let (latitude, longitude) = if is_placed || fields.key_at("near").is_none() {
        (fields.demand("latitude", latitude, "50.9"), fields.demand("longitude", longitude, "4.4"))
    } else {
        (None, None)
    };
    let elevation = fields.read("elevation", problems, units::elevation);
    let zone = fields.text("time-zone", problems);
    let zone = zone.and_then(|zone| time_zone(zone, problems));
    let shown = fields.word("show", &[("exact", ())], problems);
    fields.finish(problems);
    let near = near.map(|near| town(&near, problems));
    let position = match near {
        Some(town) if !is_placed => at_town(town?),
        _ => {
            let (latitude_deg, longitude_deg) = (latitude?.value, longitude?.value);
            let town =
                near.flatten().unwrap_or_else(|| towns::nearest(latitude_deg, longitude_deg).0);
            Position { latitude_deg, longitude_deg, town: None, ..at_town(town) }
        }
    };
    Some(Position {
        elevation: elevation.map(|elevation| elevation.value),
        time_zone: zone.unwrap_or(position.time_zone),
        is_shown_exactly: shown.is_some(),
        ..position
    })
}

fn time_zone(text: Written<String>, problems: &mut Problems) -> Option<Tz> {
    if let Ok(zone) = text.value.parse() {
        return Some(zone);
    }
    let message = format!("{} is not a time zone of the tz database", Tick(&text.value));
    let problem = Problem::new(Code::UnknownTimeZone, text.at, message);
    let names = chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
    problems.add(match words::nearest(&text.value, names) {
        Some(near) => problem.mend(text.at, near, format!("did you mean {}?", Tick(near))),
        None => problem.hint("write it as region and city: Europe/Brussels, America/Denver"),
    });
    None
}

fn town(written: &Written<String>, problems: &mut Problems) -> Option<Town> {
    let name = &written.value;
    let problem = match towns::find(name) {
        Found::One(town) => return Some(town),
        Found::Several(towns) => Problem::new(
            Code::WhichTown,
            written.at,
            format!("there is more than one town called {}", Tick(name)),
        )
        .hint(format!(
            "write which one, with its region or country: {}; or give latitude and longitude",
            listed(&towns)
        )),
        Found::Nothing(towns) => unknown_town(written, &towns),
    };
    problems.add(problem);
    None
}

fn unknown_town(written: &Written<String>, near: &[Town]) -> Problem {
    let message = format!("trug knows no town called {}", Tick(&written.value));
    let problem = Problem::new(Code::UnknownTown, written.at, message);
    let Some(first) = near.first().map(|town| town.name()) else {
        return problem.hint(
            "name the nearest town of 5,000 people or more, with its country if you like \
             (`Kassel, Germany`), or give latitude and longitude",
        );
    };
    let is_slip = !written.value.contains(',') && matches!(towns::find(&first), Found::One(_));
    let listed = listed(near);
    match is_slip {
        true => problem.mend(written.at, &first, format!("did you mean {listed}?")),
        false => problem.hint(format!("trug knows {listed}; or give latitude and longitude")),
    }
}

/// `Springfield, Missouri, United States (170,000 people, 232 km from Kansas City)`, and so on.
fn listed(towns: &[Town]) -> String {
    let each = towns.iter().map(|town| {
        let (city, km) = town.well_known_neighbour();
        let people = in_thousands(town.people());
        format!("{} ({people} people, {km:.0} km from {})", town.full_name(), city.name())
    });
    each.collect::<Vec<_>>().join("; ")
}

/// The table has them to a tenth: two digits, and a comma between the thousands.
fn in_thousands(people: u32) -> String {
    let step = 10_u32.pow(people.max(10).ilog10() - 1);
    let round = (people + step / 2) / step * step;
    let digits = round.to_string();
    let groups: Vec<&str> = digits
        .as_bytes()
        .rchunks(3)
        .rev()
        .filter_map(|group| std::str::from_utf8(group).ok())
        .collect();
    groups.join(",")
}
