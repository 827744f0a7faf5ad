//! Files to what was written in them: which file is read as what, each on its own, in parallel.

use rayon::prelude::*;

use crate::catalogue::Catalogue;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::garden::build::{DamagedNames, WrittenGarden};
use crate::journal::entry::{Reading, read_entry};
use crate::neighbours;
use crate::origin::{Origin, Written};
use crate::settings::{self, Settings};
use crate::sheets::{mix, pickings, place, weather};
use crate::source::files::{File, Files};
use crate::source::front_matter::read_yaml;
use crate::source::walk::Wanted;

pub(crate) mod kept;

/// The folders of a content folder and the ending of the files that are read from each.
pub const FOLDERS: &[(&str, &str)] = &[
    ("journal", "md"),
    ("crops", "md"),
    ("places", "md"),
    ("mixes", "md"),
    ("harvests", "csv"),
    ("weather", "csv"),
];

/// What trug wants of a file of the content folder: of what it has no use for, only the name.
pub fn wanted(path: &str) -> Wanted {
    let is_in = |folder: &str| path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'));
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    let is_read = |(folder, of): &(&str, &str)| is_in(folder) && ending.eq_ignore_ascii_case(of);
    if is_picture(path) {
        Wanted::Later
    } else if path.starts_with("photos/") {
        Wanted::Nothing
    } else if path == settings::FILE
        || ending.eq_ignore_ascii_case("json")
        || FOLDERS.iter().any(is_read)
    {
        Wanted::Bytes
    } else {
        Wanted::Name
    }
}

/// Pictures may lie beside the entries that show them.
fn is_picture(path: &str) -> bool {
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending).to_lowercase();
    ["jpg", "jpeg", "png", "webp", "gif", "heic"].contains(&ending.as_str())
}

/// Reads every file; what is wrong inside each is told.
pub fn read_all(files: &Files, problems: &mut Problems) -> WrittenGarden {
    read_with(files, &read_entry, problems)
}

/// Reads an entry's file; the garden's own words for work are handed to it.
type ReadEntry<'a> = &'a (dyn Fn(&File, &[String], &mut Problems) -> Reading + Sync);

fn read_with(files: &Files, read_entry: ReadEntry<'_>, problems: &mut Problems) -> WrittenGarden {
    let before = problems.len();
    let settings = read_settings(files, problems);
    let is_settled = problems.len() == before;
    unexpected(files, &settings.neighbours, problems);
    let in_folder = |folder: &str, ending: &str| -> Vec<&File> {
        files.iter().filter(|file| file.is_in(folder) && file.ends_in(ending)).collect()
    };
    let mut catalogue = Catalogue::built_in();
    catalogue.apply(in_folder("crops", "md"), problems);

    let mut damaged = DamagedNames { settings: !is_settled, ..DamagedNames::default() };
    let mut entries = Vec::new();
    let read = |file: &File, problems: &mut Problems| read_entry(file, &settings.jobs, problems);
    for reading in each(&in_folder("journal", "md"), read, problems) {
        match reading {
            Reading::Entry(entry) => {
                damaged.take(&entry.lost);
                entries.push(*entry);
            }
            Reading::Damaged(lost) => damaged.take(&lost),
        }
    }
    let mut places = Vec::new();
    for sheet in each(&in_folder("places", "md"), place::read_place, problems) {
        match sheet {
            Ok(place) => places.push(place),
            Err(names) => damaged.places.extend(names),
        }
    }
    let mut mixes = Vec::new();
    for sheet in each(&in_folder("mixes", "md"), mix::read_mix, problems) {
        match sheet {
            Ok(mix) => mixes.push(mix),
            Err(names) => damaged.mixes.extend(names),
        }
    }
    let pickings = each(&in_folder("harvests", "csv"), pickings::read_pickings, problems);
    let units = Some(settings.units).filter(|_| is_settled);
    let read_weather =
        |file: &File, problems: &mut Problems| weather::read_weather(file, units, problems);
    let weather = each(&in_folder("weather", "csv"), read_weather, problems);
    let neighbours = neighbours::read(files, &settings.neighbours, &settings.name, problems);
    WrittenGarden {
        settings,
        catalogue,
        places,
        mixes,
        entries,
        pictures: files.large().iter().map(|file| file.path.clone()).collect(),
        pickings: pickings.concat(),
        weather: weather.concat(),
        neighbours,
        damaged,
    }
}

/// Reads files side by side; results and problems come in the order of the files.
fn each<T: Send>(
    files: &[&File],
    read: impl Fn(&File, &mut Problems) -> T + Sync,
    problems: &mut Problems,
) -> Vec<T> {
    let read_one = |file: &&File| {
        let mut own = Problems::new();
        (read(file, &mut own), own)
    };
    let all: Vec<(T, Problems)> = files.par_iter().map(read_one).collect();
    let mut results = Vec::with_capacity(all.len());
    for (result, own) in all {
        problems.append(own);
        results.push(result);
    }
    results
}

pub(crate) fn read_settings(files: &Files, problems: &mut Problems) -> Settings {
    let Some(file) = files.find(settings::FILE) else {
        problems.add(match misnamed(files) {
            Some(file) => settings::misnamed(file.origin(), &file.path),
            None => settings::missing(Origin::Nowhere),
        });
        return Settings::stand_in();
    };
    let map = read_yaml(file, problems);
    map.and_then(|map| Settings::read(&map, problems)).unwrap_or_else(Settings::stand_in)
}

/// A file that was most likely meant to be garden.yaml: `garden.yml`, `Garden.yaml`.
fn misnamed(files: &Files) -> Option<&File> {
    files.iter().find(|file| file.path.to_lowercase().starts_with("garden."))
}

/// A file that lies where trug looks, but is none of what it reads there.
fn unexpected(files: &Files, neighbours: &[Written<String>], problems: &mut Problems) {
    // Without a garden.yaml, a misnamed one is told already.
    let told = files.find(settings::FILE).or_else(|| misnamed(files)).map(|file| file.id);
    let is_neighbour = |file: &File| neighbours::may_be_named(files, neighbours, file);
    for file in files.iter().filter(|file| Some(file.id) != told && !is_neighbour(file)) {
        let folder = FOLDERS.iter().find(|(folder, _)| file.is_in(folder));
        let hint = match folder {
            Some((_, ending)) if file.ends_in(ending) => continue,
            Some((folder, ending)) => format!("files in {folder}/ end in .{ending}"),
            None if file.path.to_lowercase().starts_with("garden.") => {
                "the garden's own file is called garden.yaml".to_owned()
            }
            None if file.ends_in("json") => {
                "if it is another garden's garden.json, name it in garden.yaml under `neighbours`"
                    .to_owned()
            }
            None => {
                let names: Vec<_> = FOLDERS.iter().map(|(name, _)| format!("{name}/")).collect();
                format!("trug reads garden.yaml and the folders {}", names.join(" "))
            }
        };
        problems.add(
            Problem::new(
                Code::FileUnexpected,
                file.origin(),
                format!("{} was not read: trug expects no such file here", file.path),
            )
            .hint(hint),
        );
    }
}
