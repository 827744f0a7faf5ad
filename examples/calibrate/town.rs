//! The calendar of a town, to be read by somebody who gardens there.

use trug::calendar::{self, Round};
use trug::catalogue::{Catalogue, CropSheet};
use trug::climate::conditions::{Conditions, FrostKnowledge};
use trug::climate::frost_of_normals::frost_of_normals;
use trug::climate::half_year::Half;
use trug::climate::normals::Normals;
use trug::climate::world::WorldClimate;
use trug::dates::Period;
use trug::place_kind::Cover;
use trug::towns::{self, Found};

/// What a garden in a town has that tells nothing but its name.
pub(crate) fn conditions(name: &str) -> Option<Conditions> {
    let Found::One(town) = towns::find(name) else { return None };
    at(town.latitude_deg(), town.longitude_deg(), town.elevation_m())
}

/// Likewise at a position.
pub(crate) fn at(
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: Option<f64>,
) -> Option<Conditions> {
    let world = WorldClimate::at(latitude_deg, longitude_deg, elevation_m)?;
    let normals = Normals::new(world.low_c, world.high_c, Some(world.rain_mm));
    let frost = |half| {
        FrostKnowledge::Computed(frost_of_normals(half, latitude_deg, &normals, world.poleward_c))
    };
    Some(Conditions {
        latitude_deg,
        longitude_deg,
        spring_frost: frost(Half::Spring),
        autumn_frost: frost(Half::Autumn),
        rain_mm: Some(world.rain_mm),
        world: Some(world),
        air: None,
        risk: 0.1,
        normals: Some(normals),
    })
}

pub(crate) fn show(catalogue: &Catalogue, name: &str) {
    let Some(conditions) = conditions(name) else { return println!("{name}: not one town") };
    let years = super::published::years(&conditions);
    let means = conditions.world.map(|world| (world.low_c, world.high_c));
    println!("{name}, lows and highs {means:.0?}");
    println!("frost {:?} {:?}", years[1].last_frost(), years[1].first_frost());
    for (_, crop) in catalogue.crops() {
        let own = crop
            .varieties
            .iter()
            .map(|(name, _)| (name.as_str(), crop.sheet_of(Some(name)).into_owned()));
        let of_autumn = own.filter(|(_, sheet)| sheet.autumn_night_low.is_some());
        for (name, sheet) in
            std::iter::once((crop.name.as_str(), crop.sheet.clone())).chain(of_autumn)
        {
            println!("{name:18} {}", told(&sheet, &years[1]));
        }
    }
}

fn told(sheet: &CropSheet, year: &calendar::GrowingYear) -> String {
    let calendar = calendar::of_crop(sheet, year, Cover::None);
    let rounds: Vec<String> = calendar.rounds().map(round).collect();
    if rounds.is_empty() {
        return format!("{:?}", calendar.refusals.iter().map(|one| one.why).collect::<Vec<_>>());
    }
    rounds.join(" || ")
}

fn round(round: &Round) -> String {
    let window = |window: Option<Period>| {
        let date = |date: chrono::NaiveDate| date.format("%m-%d").to_string();
        window.map_or("-".to_owned(), |w| match w.days() {
            365.. => "all year".to_owned(),
            _ => format!("{}..{}", date(w.from), date(w.to)),
        })
    };
    let quick = if round.is_for_quick_kinds { " quick kinds" } else { "" };
    format!(
        "cover {} sow {} plant {} pick {}{quick}",
        window(round.sow_under_cover),
        window(round.sow_outdoors),
        window(round.plant_out),
        window(round.harvest)
    )
}
