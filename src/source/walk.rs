//! The only reader of folders: content and theme.

use std::fmt;
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use crate::origin::FileId;
use crate::source::files::Files;

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

/// Reads every file below `folder` whose relative path `wanted` accepts; links are followed.
///
/// Hidden files and folders (names that begin with a dot) are passed over: editors and version
/// control keep their own things there.
///
/// # Errors
/// If the folder, or a file in it, cannot be read or has a name that is not Unicode.
pub fn read_folder(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> bool,
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
        if wanted(&path) {
            pairs.push((path, read(entry.path())?));
        }
    }
    Ok(Files::new(first, pairs))
}

#[expect(clippy::disallowed_methods, reason = "this is the one reader of folders")]
fn read(path: &Path) -> Result<Vec<u8>, Unreadable> {
    std::fs::read(path)
        .map_err(|error| Unreadable { path: path.to_path_buf(), reason: error.to_string() })
}

fn is_hidden(name: &std::ffi::OsStr) -> bool {
    name.to_str().is_some_and(|name| name.starts_with('.'))
}

fn relative(folder: &Path, path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> =
        path.strip_prefix(folder).ok()?.iter().map(|part| part.to_str()).collect();
    parts.map(|parts| parts.join("/"))
}
