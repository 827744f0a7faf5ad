//! Entries that were read before: of a file that did not change, what was read is taken from there.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::diagnostics::problem::Problems;
use crate::garden::build::WrittenGarden;
use crate::journal::entry::{Entry, Reading, read_entry};
use crate::origin::FileId;
use crate::reading::read_with;
use crate::settings;
use crate::source::files::{File, Files};

/// What was read of each entry's file.
#[derive(Debug, Default)]
pub(crate) struct KeptEntries(BTreeMap<FileId, Arc<(Reading, Problems)>>);

/// A content folder, and what was read of its entries.
#[derive(Clone, Copy)]
pub(crate) struct Content<'a> {
    pub(crate) files: &'a Files,
    pub(crate) entries: &'a KeptEntries,
}

impl Content<'_> {
    fn entry(&self, file: &File) -> Option<&Entry> {
        match &self.entries.0.get(&file.id)?.0 {
            Reading::Entry(entry) => Some(entry),
            Reading::Damaged(_) => None,
        }
    }
}

/// As [`crate::reading::read_all`]; what it reads of the entries can be used the next time.
pub(crate) fn read_again(
    files: &Files,
    last: Option<Content<'_>>,
    problems: &mut Problems,
) -> (WrittenGarden, KeptEntries) {
    // The garden's own words for work stand in its settings.
    let is_same =
        |last: &Content<'_>| last.files.find(settings::FILE) == files.find(settings::FILE);
    let last = last.filter(is_same);
    let kept = Mutex::new(BTreeMap::new());
    let read = |file: &File, jobs: &[String], problems: &mut Problems| {
        let before = last.filter(|last| last.files.get(file.id) == Some(file));
        let before = before.and_then(|last| last.entries.0.get(&file.id));
        let read = before.map_or_else(
            || {
                let mut own = Problems::new();
                let reading = read_entry(file, jobs, &mut own);
                Arc::new((reading, own))
            },
            Arc::clone,
        );
        let (reading, own) = &*read;
        problems.append(own.clone());
        let reading = reading.clone();
        kept.lock().unwrap_or_else(PoisonError::into_inner).insert(file.id, read);
        reading
    };
    let written = read_with(files, &read, problems);
    (written, KeptEntries(kept.into_inner().unwrap_or_else(PoisonError::into_inner)))
}

/// Whether two contents are the same but for the prose of entries, and the links in it the same.
pub(crate) fn differ_in_prose_alone(last: Content<'_>, now: Content<'_>) -> bool {
    let pictures = |files: &Files| files.large().len();
    let are_pictures_same = pictures(last.files) == pictures(now.files)
        && last.files.large().iter().zip(now.files.large()).all(|(a, b)| a.path == b.path);
    let is_same = |(before, after): (&File, &File)| {
        before == after
            || match (last.entry(before), now.entry(after)) {
                (Some(old), Some(new)) => {
                    head(before, old) == head(after, new)
                        && (before.id, &before.path) == (after.id, &after.path)
                        && old.links == new.links
                }
                _ => false,
            }
    };
    let files = last.files.iter().zip(now.files.iter());
    are_pictures_same
        && last.files.iter().len() == now.files.iter().len()
        && files.into_iter().all(is_same)
}

/// What stands before the prose: the rest of an entry is read of nothing else.
fn head<'a>(file: &'a File, entry: &Entry) -> &'a [u8] {
    &file.bytes[..file.bytes.len() - entry.prose.len()]
}
