//! `trug start`: a new garden with a first entry, one bed and one pot.

use std::path::Path;

use include_dir::{Dir, include_dir};
use uuid::Uuid;

use crate::cli::arguments::Start;
use crate::cli::{Failure, Outcome, folders, tell};
use crate::publish::Day;
use crate::schemas;

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
    let date = match folders::day(arguments.on) {
        Day::Fixed(date) => date,
        // The new garden's time zone is not known yet; the first entry may be a day off.
        Day::At(moment) => moment.date_naive(),
    };
    let id = Uuid::new_v4().to_string();
    lay_out(&FIRST_GARDEN, &folder.join("content"), &date.to_string(), &id)?;
    for (name, schema) in [("entry", schemas::entry()), ("garden-yaml", schemas::garden())] {
        write_new(&folder.join(format!("schemas/{name}.json")), &format!("{schema:#}\n"))?;
    }
    tell::out(&format!("{}\n", folder.join("content").display()))?;
    tell::note(&format!(
        "A garden is laid out. Next:\n  cd {}\n  trug publish\nThen open site/index.html, \
         and put your garden's own name and position into content/garden.yaml.",
        folder.display()
    ));
    Ok(Outcome::Fine)
}

/// Writes the embedded files; `DATE` in names and texts becomes the day of the first entry, `GARDEN-ID` the id.
fn lay_out(embedded: &Dir<'_>, folder: &Path, date: &str, id: &str) -> Result<(), Failure> {
    for file in embedded.files() {
        let path = file.path().to_string_lossy().replace("DATE", date);
        let text =
            String::from_utf8_lossy(file.contents()).replace("DATE", date).replace("GARDEN-ID", id);
        write_new(&folder.join(path), &text)?;
    }
    embedded.dirs().try_for_each(|dir| lay_out(dir, folder, date, id))
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
