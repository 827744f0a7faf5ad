//! Tells when something is saved below the content folder or the theme.

use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;

use notify::event::{AccessKind, AccessMode, EventKind};
use notify::{RecommendedWatcher, RecursiveMode, Watcher};

use crate::cli::Failure;
use crate::cli::arguments::Content;
use crate::cli::preview::Event;

pub(super) enum Saved {
    /// These files, or what lies in these folders; by their full paths.
    Paths(Vec<PathBuf>),
    /// Nobody knows what.
    Anything,
}

/// It watches as long as it lives.
pub(super) struct Watch {
    watcher: RecommendedWatcher,
    folders: Vec<PathBuf>,
}

impl Watch {
    pub(super) fn begin(content: &Content, events: Sender<Event>) -> Result<Watch, Failure> {
        // Those that are not there are told by whoever reads them.
        let named = std::iter::once(&content.content).chain(&content.theme);
        let folders: Vec<PathBuf> = named.filter_map(|path| path.canonicalize().ok()).collect();
        let known = folders.clone();
        let watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
            let saved = match event {
                Ok(event) if event.need_rescan() => Saved::Anything,
                Ok(event) if is_saved(&event, &known) => Saved::Paths(event.paths),
                Ok(_) => return,
                // What could not be followed may have been a file of ours.
                Err(_) => Saved::Anything,
            };
            let _ = events.send(Event::Saved(saved));
        });
        let failure = |error| Failure(format!("what is saved cannot be noticed: {error}"));
        let mut watch = Watch { watcher: watcher.map_err(failure)?, folders };
        for folder in &watch.folders {
            watch.watcher.watch(folder, RecursiveMode::Recursive).map_err(failure)?;
        }
        Ok(watch)
    }

    /// The relative paths that may be meant, in the content folder and in the theme.
    pub(super) fn below(&self, path: &Path) -> [Option<String>; 2] {
        let relative = |folder: &PathBuf| {
            let parts = path.strip_prefix(folder).ok()?.iter();
            let parts: Vec<_> = parts.map(|part| part.to_string_lossy()).collect();
            Some(parts.join("/"))
        };
        [0, 1].map(|index| self.folders.get(index).and_then(relative))
    }

    /// Follows folders that were taken away and are there again.
    pub(super) fn again(&mut self) {
        for folder in &self.folders {
            let _ = self.watcher.watch(folder, RecursiveMode::Recursive);
        }
    }
}

/// Whether trug may read something else after this; that a file was opened or read is no news, since trug itself does so.
fn is_saved(event: &notify::Event, folders: &[PathBuf]) -> bool {
    let changes = !matches!(event.kind, EventKind::Access(kind) if kind != AccessKind::Close(AccessMode::Write));
    let is_hidden = |path: &PathBuf| folders.iter().any(|folder| is_hidden(path, folder));
    changes && (event.paths.is_empty() || !event.paths.iter().all(is_hidden))
}

/// Editors keep their own things under names that begin with a dot, and trug does not read them.
fn is_hidden(path: &Path, folder: &Path) -> bool {
    let below = path.strip_prefix(folder);
    below.is_ok_and(|below| below.iter().any(|part| part.as_encoded_bytes().starts_with(b".")))
}
