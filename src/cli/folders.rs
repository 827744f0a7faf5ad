//! From folders on disk to what a trip starts from.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::cli::Failure;
use crate::cli::arguments::Content;
use crate::origin::FileId;
use crate::publish::{Day, Inputs};
use crate::reading;
use crate::source::files::Files;
use crate::source::theme;
use crate::source::walk::{self, Wanted};
use crate::theming;

/// What was read before, for another reading.
#[derive(Default)]
pub(super) struct Known {
    pub(super) content: walk::Known,
    pub(super) theme: walk::Known,
}

/// Reads the content folder and the theme.
pub(super) fn read(content: &Content) -> Result<Inputs, Failure> {
    read_again(content, None)
}

/// The same; a file that is known and stands as it did is not read again.
pub(super) fn read_again(content: &Content, known: Option<&mut Known>) -> Result<Inputs, Failure> {
    let (known_content, known_theme) =
        known.map(|known| (&mut known.content, &mut known.theme)).unzip();
    if !content.content.is_dir() {
        return Err(Failure(format!(
            "there is no folder {}; go to the garden's folder, name it with --content, \
             or make a new garden with `trug start DIR`",
            content.content.display()
        )));
    }
    let files = read_folder(&content.content, FileId(0), reading::wanted, known_content)?;
    let own = match &content.theme {
        Some(folder) if !folder.is_dir() => {
            return Err(Failure(format!("there is no theme folder {}", folder.display())));
        }
        Some(folder) => read_folder(folder, FileId(0), theming::wanted, known_theme)?,
        None => Files::default(),
    };
    let theme = theme::laid_over(&own, files.next_id());
    Ok(Inputs {
        content: files,
        theme,
        day: day(content.on),
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    })
}

/// Neither folder lies in the other: trug would read its own pages, or write among the entries.
pub(super) fn check_apart(content: &Path, site: &Path) -> Result<(), Failure> {
    // What cannot be found is told by whoever opens it.
    let (Some(inner), Some(outer)) = (standing(content), standing(site)) else { return Ok(()) };
    if !inner.starts_with(&outer) && !outer.starts_with(&inner) {
        return Ok(());
    }
    Err(Failure(format!(
        "the content folder {} and the site folder {} are one, or lie one in the other; give the site a folder of its own \
         with `--site DIR`",
        content.display(),
        site.display()
    )))
}

/// Where a folder really is, also one that is still to be made.
fn standing(folder: &Path) -> Option<PathBuf> {
    if let Ok(found) = folder.canonicalize() {
        return Some(found);
    }
    let parent = folder.parent().map(|parent| match parent.as_os_str().is_empty() {
        true => Path::new("."),
        false => parent,
    });
    Some(standing(parent?)?.join(folder.file_name()?))
}

fn read_folder(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> Wanted,
    known: Option<&mut walk::Known>,
) -> Result<Files, Failure> {
    walk::read_folder_again(folder, first, wanted, known)
        .map_err(|unreadable| Failure::of(&unreadable))
}

/// The day that was named, else this moment.
#[expect(clippy::disallowed_methods, reason = "the commands are where the clock is looked at")]
pub(super) fn day(on: Option<NaiveDate>) -> Day {
    match on {
        Some(date) => Day::Fixed(date),
        None => Day::At(chrono::Utc::now()),
    }
}
