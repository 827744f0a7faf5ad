//! The only reader of folders: content and theme.

use std::collections::BTreeMap;
use std::fmt;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::UNIX_EPOCH;

use walkdir::{DirEntry, WalkDir};

use crate::origin::FileId;
use crate::source::files::{Files, LARGEST, LargeFile};

/// A file or folder that cannot be read, or may not be.
#[derive(Debug)]
pub enum Unreadable {
    /// The machine would not let us.
    Machine {
        path: PathBuf,
        /// What the machine said.
        source: io::Error,
    },
    /// A link that leads out of the folder: what it leads to may be nobody's to publish.
    LeadsOut { path: PathBuf },
    /// A link to a folder that it lies in.
    Circle { path: PathBuf },
    /// The name is not Unicode text.
    Name {
        /// Which, as far as it can be written.
        path: PathBuf,
    },
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unreadable::Machine { path, .. } => write!(f, "cannot read {}", path.display()),
            Unreadable::LeadsOut { path } => write!(
                f,
                "{} is a link that leads out of the folder, and trug follows none of those, so that nothing else \
                 on this computer is published by mistake; put the file itself there",
                path.display()
            ),
            Unreadable::Circle { path } => write!(
                f,
                "{} is a link to a folder that it lies in itself; take the link away",
                path.display()
            ),
            Unreadable::Name { path } => {
                write!(f, "the name of {} is not Unicode text; rename it", path.display())
            }
        }
    }
}

impl std::error::Error for Unreadable {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Unreadable::Machine { source, .. } => Some(source),
            _ => None,
        }
    }
}

/// What is wanted of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// What is in it; of a file that is too large, only enough to tell so.
    Bytes,
    /// That it is there, how large and how old; it is read later, if it is needed.
    Later,
    /// That it is there; however large it is, it is not read.
    Name,
    Nothing,
}

/// Files as they were read, by path, for another reading of the same folder.
#[derive(Debug, Default)]
pub struct Known(BTreeMap<String, (Stamp, Vec<u8>)>);

/// How a file stood on the disk: its size, and when it was last written, in nanoseconds of the Unix epoch.
type Stamp = (u64, u128);

impl Known {
    /// This file, or what lies in this folder, is read again, however it stands.
    pub fn forget(&mut self, path: &str) {
        let is_other = |known: &str| {
            known.strip_prefix(path).is_none_or(|rest| !rest.is_empty() && !rest.starts_with('/'))
        };
        self.0.retain(|known, _| is_other(known));
    }

    /// The bytes, if the file stands as it did.
    fn bytes(&self, path: &str, stamp: Option<Stamp>) -> Option<Vec<u8>> {
        let (known, bytes) = self.0.get(path)?;
        (Some(*known) == stamp).then(|| bytes.clone())
    }
}

/// As [`read_folder_again`], of a folder that is read once.
///
/// # Errors
/// As there.
pub fn read_folder(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> Wanted,
) -> Result<Files, Unreadable> {
    read_folder_again(folder, first, wanted, None)
}

/// Reads the files below `folder`, as far as `wanted` says of their relative paths; of those that are `known` and stand as they
/// did, it only looks how they stand.
///
/// Hidden files and folders (names that begin with a dot) are passed over before anything is asked of them: editors
/// and version control keep their own things there, and the lock of an editor is a link to nowhere. A link is followed
/// if it stays in the folder. Whatever is no regular file is passed over.
///
/// # Errors
/// If the folder, or a file in it that is wanted, cannot be read, has a name that is not Unicode, or is a link that leads
/// out of the folder.
pub fn read_folder_again(
    folder: &Path,
    first: FileId,
    wanted: impl Fn(&str) -> Wanted,
    mut known: Option<&mut Known>,
) -> Result<Files, Unreadable> {
    let mut read_now = BTreeMap::new();
    let root = folder.canonicalize().map_err(|source| machine(folder, source))?;
    let mut pairs = Vec::new();
    let mut large = Vec::new();
    let mut entries = WalkDir::new(folder).follow_links(true).into_iter();
    while let Some(entry) = entries.next() {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) if error.path().is_some_and(|path| is_hidden(folder, path)) => continue,
            Err(error) => match refusal(folder, error, &wanted) {
                Some(refusal) => return Err(refusal),
                None => continue,
            },
        };
        let is_folder = entry.file_type().is_dir();
        if is_hidden(folder, entry.path()) {
            if is_folder {
                entries.skip_current_dir();
            }
            continue;
        }
        let leads_out = entry.path_is_symlink() && entry.depth() > 0 && {
            let target = entry.path().canonicalize();
            !target.map_err(|source| machine(entry.path(), source))?.starts_with(&root)
        };
        let path = relative(folder, entry.path());
        let wanted = wanted(&path);
        if leads_out && (is_folder || wanted != Wanted::Nothing) {
            return Err(Unreadable::LeadsOut { path: entry.path().to_path_buf() });
        }
        if !entry.file_type().is_file() {
            continue;
        }
        let bytes = match wanted {
            Wanted::Bytes => {
                let stamp = known.as_ref().and_then(|_| stamp(&entry));
                let before = known.as_ref().and_then(|known| known.bytes(&path, stamp));
                let bytes = before.map_or_else(|| read(entry.path(), LARGEST as u64 + 1), Ok)?;
                if let Some(stamp) = stamp {
                    read_now.insert(path.clone(), (stamp, bytes.clone()));
                }
                bytes
            }
            Wanted::Later => {
                large.push(later(path, &entry));
                continue;
            }
            Wanted::Name => Vec::new(),
            Wanted::Nothing => continue,
        };
        let is_read = wanted != Wanted::Name;
        if is_read && entry.path().to_str().is_none() {
            return Err(Unreadable::Name { path: entry.path().to_path_buf() });
        }
        pairs.push((path, bytes));
    }
    if let Some(known) = &mut known {
        known.0 = read_now;
    }
    Ok(Files::new(first, pairs).with_large(large))
}

fn stamp(entry: &DirEntry) -> Option<Stamp> {
    let about = entry.metadata().ok()?;
    let written = about.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    Some((about.len(), written.as_nanos()))
}

fn later(path: String, entry: &DirEntry) -> LargeFile {
    let about = entry.metadata().ok();
    let written = about.as_ref().and_then(|about| about.modified().ok());
    let since = written.and_then(|written| written.duration_since(UNIX_EPOCH).ok());
    let place = entry.path().to_path_buf();
    let size = about.map_or(0, |about| about.len());
    LargeFile {
        path,
        size,
        written: since.map_or(0, |since| since.as_nanos()),
        read: Arc::new(move || read(&place, size).map_err(|error| error.to_string())),
    }
}

/// Why the walk cannot go on; nothing if it met something that nobody wants.
fn refusal(
    folder: &Path,
    error: walkdir::Error,
    wanted: &impl Fn(&str) -> Wanted,
) -> Option<Unreadable> {
    let path = error.path().unwrap_or(folder).to_path_buf();
    if error.loop_ancestor().is_some() {
        return Some(Unreadable::Circle { path });
    }
    let is_link = path.is_symlink();
    // A photograph that is not there is told to the entry that names it, and to nobody else.
    let is_missed = !matches!(wanted(&relative(folder, &path)), Wanted::Nothing | Wanted::Later);
    if is_link && !is_missed {
        return None;
    }
    let other = || io::Error::other("the folder cannot be walked");
    Some(machine(&path, error.into_io_error().unwrap_or_else(other)))
}

fn machine(path: &Path, source: io::Error) -> Unreadable {
    Unreadable::Machine { path: path.to_path_buf(), source }
}

fn read(path: &Path, most: u64) -> Result<Vec<u8>, Unreadable> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most).read_to_end(&mut bytes))
        .map_err(|source| machine(path, source))?;
    Ok(bytes)
}

/// Whether the name begins with a dot, or that of a folder it lies in.
fn is_hidden(folder: &Path, path: &Path) -> bool {
    let below = path.strip_prefix(folder).unwrap_or(path);
    below.iter().any(|part| part.as_encoded_bytes().starts_with(b"."))
}

/// The path below the folder; signs that are not Unicode text are replaced.
fn relative(folder: &Path, path: &Path) -> String {
    let below = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<_> = below.iter().map(|part| part.to_string_lossy()).collect();
    parts.join("/")
}
