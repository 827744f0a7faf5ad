//! The only reader of folders: content and theme.

use std::fmt;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use crate::origin::FileId;
use crate::source::files::{Files, LARGEST_TEXT};

/// A file or folder that the machine would not let us read.
#[derive(Debug)]
pub struct Unreadable {
    /// Which.
    pub path: PathBuf,
    /// What the machine said.
    pub reason: String,
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cannot read {}: {}", self.path.display(), self.reason)
    }
}

impl std::error::Error for Unreadable {}

/// What is wanted of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// All its bytes.
    Bytes,
    /// Its text; of a file too large to be one, only enough to tell so.
    Text,
    /// That it is there; however large it is, it is not read.
    Name,
    /// Nothing.
    Nothing,
}

/// Reads the files below `folder`, as far as `wanted` says of their relative paths; links are followed.
///
/// Hidden files and folders (names that begin with a dot) are passed over: editors and version
/// control keep their own things there.
///
/// # Errors
/// If the folder, or a file in it, cannot be read or has a name that is not Unicode.
pub fn read_folder(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> Wanted,
) -> Result<Files, Unreadable> {
    let mut pairs = Vec::new();
    let entries = WalkDir::new(folder)
        .follow_links(true)
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !is_hidden(entry.file_name()));
    for entry in entries {
        let entry = entry.map_err(|error| Unreadable {
            path: error.path().unwrap_or(folder).to_path_buf(),
            reason: error.io_error().map_or_else(|| error.to_string(), |io| io.to_string()),
        })?;
        if !entry.file_type().is_file() {
            continue;
        }
        let Some(path) = relative(folder, entry.path()) else {
            let reason = "its name is not Unicode text; rename it".to_owned();
            return Err(Unreadable { path: entry.path().to_path_buf(), reason });
        };
        match wanted(&path) {
            Wanted::Bytes => pairs.push((path, read(entry.path(), u64::MAX)?)),
            Wanted::Text => pairs.push((path, read(entry.path(), LARGEST_TEXT as u64 + 1)?)),
            Wanted::Name => pairs.push((path, Vec::new())),
            Wanted::Nothing => {}
        }
    }
    Ok(Files::new(first, pairs))
}

fn read(path: &Path, most: u64) -> Result<Vec<u8>, Unreadable> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most).read_to_end(&mut bytes))
        .map_err(|error| Unreadable { path: path.to_path_buf(), reason: error.to_string() })?;
    Ok(bytes)
}

fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.to_str().is_some_and(|name| name.starts_with('.'))
}

fn relative(folder: &Path, path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> =
        path.strip_prefix(folder).ok()?.iter().map(|part| part.to_str()).collect();
    parts.map(|parts| parts.join("/"))
}
