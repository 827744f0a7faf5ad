//! From folders on disk to what a trip starts from.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;

use crate::cli::Failure;
use crate::cli::arguments::Content;
use crate::origin::FileId;
use crate::publish::{Day, Inputs};
use crate::reading;
use crate::source::files::Files;
use crate::source::theme;
use crate::source::walk::{self, Wanted};

/// Reads the content folder and the theme.
pub(super) fn read(content: &Content) -> Result<Inputs, Failure> {
    if !content.content.is_dir() {
        return Err(Failure(format!(
            "there is no folder {}; go to the garden's folder, name it with --content, \
             or make a new garden with `trug start DIR`",
            content.content.display()
        )));
    }
    let files = read_folder(&content.content, FileId(0), reading::wanted)?;
    let own = match &content.theme {
        Some(folder) if !folder.is_dir() => {
            return Err(Failure(format!("there is no theme folder {}", folder.display())));
        }
        Some(folder) => read_folder(folder, FileId(0), |_| Wanted::Bytes)?,
        None => Files::default(),
    };
    let theme = theme::laid_over(&own, files.next_id());
    Ok(Inputs { content: files, theme, day: day(content.on), earlier_feeds: BTreeMap::new() })
}

fn read_folder(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> Wanted,
) -> Result<Files, Failure> {
    walk::read_folder(folder, first, wanted).map_err(|unreadable| Failure(unreadable.to_string()))
}

/// The day that was named, else this moment.
#[expect(clippy::disallowed_methods, reason = "the commands are where the clock is looked at")]
pub(super) fn day(on: Option<NaiveDate>) -> Day {
    match on {
        Some(date) => Day::Fixed(date),
        None => Day::At(chrono::Utc::now()),
    }
}
