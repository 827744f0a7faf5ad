//! Puts what was written together into a garden: the only place where names are resolved.
//!
//! Order matters here and nowhere else: names first (places, mixes, crops, plantings), then events day
//! by day, then what refers to plantings as they were on a day (care, pickings, sights), then checks
//! that need all of it.

mod bearing;
mod beginnings;
mod called;
mod chronicle;
mod dried;
mod history;
mod linked;
mod lookup;
mod problems;
mod records;
mod roll;
mod sequence;
mod skies;
mod subjects;
mod switched;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::{Catalogue, family};
use crate::diagnostics::problem::Problems;
use crate::garden::build::lookup::Lookup;
use crate::garden::ledger::Ledger;
use crate::garden::model::{Facts, Garden};
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting_names::PlantingNames;
use crate::garden::records::{EntryId, EntryRecord, Photo, Source};
use crate::garden::shown::Shown;
use crate::garden::vessel::{self, Sizes, Vessel};
use crate::journal::entry::{Entry, Lost};
use crate::journal::harvest::Harvest;
use crate::names;
use crate::neighbours::Neighbour;
use crate::origin::{Origin, Written};
use crate::place_kind::PlaceKind;
use crate::settings::Settings;
use crate::sheets::mix::MixSheet;
use crate::sheets::place::PlaceSheet;
use crate::sheets::weather::WeatherRow;

/// Everything that was written, file by file.
#[derive(Clone, Debug)]
pub struct WrittenGarden {
    /// garden.yaml.
    pub settings: Settings,
    /// The crop table with the grower's changes.
    pub catalogue: Catalogue,
    pub places: Vec<PlaceSheet>,
    /// Mixes and feeds.
    pub mixes: Vec<MixSheet>,
    /// Entries, in any order.
    pub entries: Vec<Entry>,
    /// Where pictures lie, by path.
    pub pictures: Vec<String>,
    /// Pickings from tables.
    pub pickings: Vec<(NaiveDate, Harvest)>,
    /// Weather from tables.
    pub weather: Vec<WeatherRow>,
    /// What other gardens say.
    pub neighbours: Vec<Neighbour>,
    /// Names that files which could not be read would have given.
    pub damaged: DamagedNames,
}

/// Names that stand in files which could not be read: whoever uses them is not to blame.
#[derive(Clone, Debug, Default)]
pub struct DamagedNames {
    /// Ids of plantings.
    pub plantings: Vec<String>,
    /// Names of places.
    pub places: Vec<String>,
    /// Names of mixes and feeds.
    pub mixes: Vec<String>,
    /// Plantings, crops and places whose history is not known for certain.
    pub doubtful: Vec<String>,
    /// Whether something in garden.yaml could not be read.
    pub settings: bool,
}

impl DamagedNames {
    /// Takes the names in what could not be read of an entry.
    pub fn take(&mut self, lost: &Lost) {
        self.plantings.extend(lost.ids.iter().cloned());
        self.doubtful.extend(lost.doubtful.iter().cloned());
    }
}

/// The garden as it is known on `today`. What is dated later is left out, and told once.
pub fn build(written: WrittenGarden, today: NaiveDate, problems: &mut Problems) -> Garden {
    let WrittenGarden {
        settings,
        mut catalogue,
        places,
        mixes,
        entries,
        pictures,
        pickings,
        weather,
        neighbours,
        damaged,
    } = written;
    let mut lookup = Lookup::new(damaged.settings);
    damaged.doubtful.iter().for_each(|name| lookup.doubt(name));
    damaged.plantings.iter().for_each(|name| lookup.plantings.damage(name));
    damaged.places.iter().for_each(|name| lookup.places.damage(name));
    damaged.mixes.iter().for_each(|name| lookup.mixes.damage(name));

    name_mixes(&mixes, &mut lookup, problems);
    let places = name_places(places, &catalogue, &mut lookup, problems);
    let mut entries = known_by(entries, today, &mut lookup, problems);
    name_groups(&settings, &catalogue, &mut lookup);
    for (crop, name) in beginnings::names_of_crops(&entries, &catalogue) {
        catalogue.call(crop, name);
    }
    beginnings::settle(&mut entries, &catalogue, &mut lookup, problems);
    if settings.garden_id.is_none() && !damaged.settings {
        let private = entries.iter().filter(|entry| entry.is_private);
        let first = private.flat_map(|entry| &entry.plantings).next();
        first
            .into_iter()
            .for_each(|start| problems.add(problems::names::private_guessable(&start.id)));
    }
    let records = entry_records(&entries, &pictures, problems);

    let switches = switched::switches(&settings, &catalogue, problems);
    let facts = Facts {
        today,
        settings,
        switches,
        catalogue,
        places,
        mixes,
        entries: records,
        care: Vec::new(),
        harvests: Vec::new(),
        sights: Vec::new(),
        tests: Vec::new(),
        costs: Vec::new(),
        weather: BTreeMap::new(),
        neighbours,
        ledger: Ledger::default(),
        planting_names: PlantingNames::default(),
    };
    let mut garden = Garden::new(facts);
    let plantings = chronicle::plantings(&entries, &garden, &mut lookup, problems);
    garden.set_plantings(plantings);
    check_groups(&garden, &lookup, problems);
    records::fill(&mut garden, &entries, pickings, &lookup, problems);
    garden.facts_mut().weather = skies::weather(&entries, &weather, today, problems);
    linked::check(&garden, &entries, &lookup, problems);
    garden
}

fn name_mixes(mixes: &[MixSheet], lookup: &mut Lookup, problems: &mut Problems) {
    for (index, mix) in mixes.iter().enumerate() {
        let slug = names::slug(&mix.name.value);
        let clash = || mixes[..index].iter().find(|other| names::slug(&other.name.value) == slug);
        if let Some(first) = lookup.mixes.add(&mix.name.value, index) {
            problems.add(problems::names::repeated_name("mix", &mix.name, mixes[first].name.at));
        } else if let Some(first) = clash() {
            problems.add(problems::names::address_clash("mix", &slug, mix.name.at, first.name.at));
        }
        lookup.mixes.also(&mix.stem, index);
    }
}

/// A member that is nobody would be passed over in silence.
fn check_groups(garden: &Garden, lookup: &Lookup, problems: &mut Problems) {
    for member in garden.settings.groups.iter().flat_map(|group| &group.members) {
        if called::meanings(member, lookup, &garden.catalogue).is_err() {
            lookup.stranger(member, &garden.catalogue, problems);
        }
    }
}

fn name_groups(settings: &Settings, catalogue: &Catalogue, lookup: &mut Lookup) {
    for group in &settings.groups {
        let members = group.members.iter().map(|member| member.value.clone()).collect();
        lookup.groups.insert(names::folded(&group.name.value), members);
    }
    let varieties = catalogue.crops().flat_map(|(_, crop)| &crop.varieties);
    for (name, _) in varieties {
        lookup.varieties.add(name, ());
    }
}

fn name_places(
    sheets: Vec<PlaceSheet>,
    catalogue: &Catalogue,
    lookup: &mut Lookup,
    problems: &mut Problems,
) -> Vec<Place> {
    let mut origins: Vec<Origin> = Vec::new();
    let mut places: Vec<Place> = Vec::new();
    for sheet in sheets {
        let id = PlaceId(places.len());
        if let Some(first) = lookup.places.add(&sheet.name.value, id) {
            problems.add(problems::names::repeated_name("place", &sheet.name, origins[first.0]));
            continue;
        }
        let slug = names::slug(&sheet.name.value);
        if let Some(index) = places.iter().position(|place| place.slug == slug) {
            problems.add(problems::names::address_clash(
                "place",
                &slug,
                sheet.name.at,
                origins[index],
            ));
            continue;
        }
        lookup.places.also(&sheet.stem, id);
        lookup.places.also(&slug, id);
        if let Some(soil) = &sheet.soil {
            lookup.check_soil(soil, problems);
        }
        check_families(&sheet, catalogue, problems);
        origins.push(sheet.name.at);
        places.push(resolve_place(sheet, slug));
    }
    places
}

/// A family that no crop has would silently never have its rest.
fn check_families(sheet: &PlaceSheet, catalogue: &Catalogue, problems: &mut Problems) {
    let known = || catalogue.crops().filter_map(|(_, crop)| crop.sheet.family.as_deref());
    for family in sheet.family_history.iter().flat_map(|(_, families)| families) {
        let accepted = family::accepted(&family.value);
        if !known().any(|name| family::accepted(name) == accepted) {
            problems.add(problems::names::unknown_family(family, known()));
        }
    }
}

/// Sizes become area and volume: of a bed by its sides and depth, of containers by their number.
fn resolve_place(sheet: PlaceSheet, slug: String) -> Place {
    let kind = sheet.kind.unwrap_or(PlaceKind::Ground);
    let sizes = Sizes {
        shape: sheet.shape,
        length: sheet.length,
        width: sheet.width,
        diameter: sheet.diameter,
        bottom_diameter: sheet.bottom_diameter,
        height: sheet.height,
        filled_to: sheet.filled_to,
    };
    let one = Vessel::new(sheet.volume, sizes, sheet.nursery_class);
    let bed = sheet.depth.and_then(|depth| {
        let area = vessel::rectangle(sheet.length, sheet.width)?;
        Some(area * depth)
    });
    let number = f64::from(sheet.containers.unwrap_or(1));
    let surface = vessel::opening(&sizes);
    Place {
        name: sheet.name.value,
        slug,
        kind,
        sides: sheet
            .length
            .zip(sheet.width)
            .filter(|_| !matches!(kind, PlaceKind::Container | PlaceKind::Tray | PlaceKind::Shelf))
            .map(<[_; 2]>::from),
        area: surface.map(|area| area * number),
        soil_volume: one.map(|vessel| vessel.middle() * number).or(bed),
        containers: sheet.containers,
        vessel: one.filter(|_| kind == PlaceKind::Container),
        depth: sheet.depth.or(sheet.filled_to).or(sheet.height),
        trays: sheet.trays,
        cells: sheet.trays.zip(sheet.cells).map(|(trays, cells)| trays * cells).or(sheet.cells),
        sun_h: sheet.sun_h,
        cover: sheet.cover,
        temperature: sheet.temperature,
        is_on_timer: sheet.is_on_timer,
        soil: sheet.soil.map(|soil| soil.value),
        family_history: sheet
            .family_history
            .into_iter()
            .map(|(year, families)| {
                (year, families.into_iter().map(|family| family.value).collect())
            })
            .collect(),
        prose: sheet.prose.trim().to_owned(),
    }
}

/// Entries up to today, oldest first, entries of one day by their path.
fn known_by(
    mut entries: Vec<Entry>,
    today: NaiveDate,
    lookup: &mut Lookup,
    problems: &mut Problems,
) -> Vec<Entry> {
    entries.sort_by(|a, b| (a.date.value, &a.path).cmp(&(b.date.value, &b.path)));
    let later = entries.split_off(entries.partition_point(|entry| entry.date.value <= today));
    if let Some(first) = later.first() {
        problems.add(problems::dated_ahead(
            first.date.at,
            first.date.value,
            today,
            later.len() - 1,
        ));
    }
    for entry in &later {
        let begun = entry.plantings.iter().map(|start| &start.id);
        let split = entry.events.iter().filter_map(|event| event.becomes.as_ref());
        begun.chain(split).for_each(|id| lookup.plantings.damage(&id.value));
    }
    entries
}

/// What an entry shows; of a private one nothing but its day.
fn entry_records(
    entries: &[Entry],
    pictures: &[String],
    problems: &mut Problems,
) -> Vec<EntryRecord> {
    let mut addresses: BTreeMap<Shown, Origin> = BTreeMap::new();
    let mut records = Vec::new();
    for (index, entry) in entries.iter().enumerate() {
        let at = entry.title.as_ref().map_or(entry.date.at, |title| title.at);
        let source = source_of(entries, index, at);
        let text = |written: &Written<String>| source.shown(&written.value);
        let title = entry.title.as_ref().filter(|title| !title.value.is_empty());
        let name = title.map_or(undated(stem(&entry.path)), |title| &title.value);
        let day = entry.date.value.format("%Y/%m/%d");
        let address = source.shown(match name.trim() {
            "" => day.to_string(),
            name => format!("{day}-{}", names::slug(name)),
        });
        if let Some(address) = &address
            && let Some(first) = addresses.insert(address.clone(), at)
        {
            problems.add(problems::names::address_clash("entry", address, at, first));
        }
        let sky = entry.weather.as_ref().and_then(|sky| sky.note.as_ref());
        records.push(EntryRecord {
            date: entry.date.value,
            title: title.and_then(text),
            address: address.unwrap_or_default(),
            prose: source.shown(entry.prose.trim()).unwrap_or_default(),
            sky: sky.and_then(text),
            tags: entry.tags.iter().filter_map(text).collect(),
            photos: photos(entry, &source, pictures, problems),
            is_private: entry.is_private,
            plantings: Vec::new(),
        });
    }
    records
}

/// The photographs of an entry: files beside it, or in `photos/`.
fn photos(
    entry: &Entry,
    source: &Source,
    pictures: &[String],
    problems: &mut Problems,
) -> Vec<Photo> {
    let folder = entry.path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let mut found = Vec::new();
    for photo in &entry.photos {
        let name = &photo.file.value;
        let places = [format!("{folder}/{name}"), format!("photos/{name}"), name.clone()];
        let file = places.into_iter().find(|path| pictures.binary_search(path).is_ok());
        let Some(file) = file else {
            problems.add(problems::names::unknown_photo(&photo.file, folder, pictures));
            continue;
        };
        let (file, shows) = (source.shown(file), source.shown(&photo.shows.value));
        found.extend(file.zip(shows).map(|(file, shows)| Photo { file, shows, at: photo.file.at }));
    }
    found
}

fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// `the-late-frost` of `2025-05-14-the-late-frost`.
fn undated(stem: &str) -> &str {
    let is_date = |head: &str| NaiveDate::parse_from_str(head, "%Y-%m-%d").is_ok();
    match stem.get(..10) {
        Some(head) if is_date(head) => stem[10..].trim_start_matches('-'),
        _ => stem,
    }
}

/// Where a line of an entry comes from.
pub(super) fn source_of(entries: &[Entry], index: usize, at: Origin) -> Source {
    Source { entry: Some(EntryId(index)), at, is_private: entries[index].is_private }
}
