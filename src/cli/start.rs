//! `trug start`: a new garden with a first entry, one bed and one pot.

use std::path::Path;

use include_dir::{Dir, include_dir};
use uuid::Uuid;

use crate::cli::arguments::Start;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::publish::Day;
use crate::schemas;
use crate::towns::{self, Found, Town};

static FIRST_GARDEN: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/cli/first_garden");

pub(super) fn run(arguments: &Start) -> Result<Outcome, Failure> {
    let folder = &arguments.folder;
    let is_used = folder.read_dir().is_ok_and(|mut entries| entries.next().is_some());
    if is_used {
        return Err(Failure(format!(
            "{} is not empty; name a new folder, so that nothing of yours is written over",
            folder.display()
        )));
    }
    let (place, units) = match &arguments.near {
        Some(near) => (format!("'{}'", near.replace('\'', "''")), usual_units(town_near(near)?)),
        None => (PLACE_TO_CHANGE.to_owned(), METRIC),
    };
    let date = match folders::day(arguments.on) {
        Day::Fixed(date) => date,
        // The new garden's time zone is not known yet; the first entry may be a day off.
        Day::At(moment) => moment.date_naive(),
    };
    let id = Uuid::new_v4().to_string();
    let date = date.to_string();
    let blanks = [("DATE", date.as_str()), ("GARDEN-ID", &id), ("PLACE", &place), ("UNITS", units)];
    lay_out(&FIRST_GARDEN, &folder.join("content"), &blanks)?;
    for (name, schema) in [("entry", schemas::entry()), ("garden-yaml", schemas::garden())] {
        write_new(&folder.join(format!("schemas/{name}.json")), &format!("{schema:#}\n"))?;
    }
    tell::out(&format!("{}\n", folder.join("content").display()))?;
    tell::note(&format!(
        "A garden is laid out. Next:\n  cd {}\n  trug publish\nThen open site/index.html, \
         and put your garden's own {} into content/garden.yaml.",
        folder.display(),
        if arguments.near.is_some() { "name" } else { "name and town" }
    ));
    Ok(Outcome::Fine)
}

const PLACE_TO_CHANGE: &str = "{latitude: 50.9, longitude: 4.4, time-zone: Europe/Brussels}   \
                               # put your own here, or the name of your town; south and west are negative";

const METRIC: &str = "metric                      # or us";

/// The units in which seed packets and rain gauges of a town's country are marked.
fn usual_units(town: Town) -> &'static str {
    if town.country() == "United States" {
        "us                          # or metric"
    } else {
        METRIC
    }
}

/// The town in or near which a garden is to be laid out.
fn town_near(near: &str) -> Result<Town, Failure> {
    let listed =
        |towns: &[Town]| towns.iter().map(|town| town.full_name()).collect::<Vec<_>>().join("\n  ");
    match towns::find(near) {
        Found::One(town) => Ok(town),
        Found::Several(towns) => Err(Failure(format!(
            "there is more than one town called {near}; say which with its region or country:\n  {}",
            listed(&towns)
        ))),
        Found::Nothing(towns) if towns.is_empty() => Err(Failure(format!(
            "trug knows no town called {near}; name the nearest town of 5,000 people or more, \
             with its country if you like: \"Kassel, Germany\""
        ))),
        Found::Nothing(towns) => Err(Failure(format!(
            "trug knows no town called {near}; did you mean one of these?\n  {}",
            listed(&towns)
        ))),
    }
}

/// Writes the embedded files; each blank in names and texts becomes what it stands for.
fn lay_out(embedded: &Dir<'_>, folder: &Path, blanks: &[(&str, &str)]) -> Result<(), Failure> {
    let filled = |text: &str| {
        blanks.iter().fold(text.to_owned(), |text, (blank, with)| text.replace(blank, with))
    };
    for file in embedded.files() {
        let path = filled(&file.path().to_string_lossy());
        write_new(&folder.join(path), &filled(&String::from_utf8_lossy(file.contents())))?;
    }
    embedded.dirs().try_for_each(|dir| lay_out(dir, folder, blanks))
}

/// Writes a file that is not there yet, and the folders above it.
#[expect(clippy::disallowed_methods, reason = "commands make the files they are asked for")]
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::of_machine(&format!("cannot write {}", path.display()), &error)
    };
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(failed)?;
    }
    let mut file = std::fs::File::create_new(path).map_err(failed)?;
    std::io::Write::write_all(&mut file, text.as_bytes()).map_err(failed)
}
