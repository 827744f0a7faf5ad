//! The file operations of the room, each with the path and the attempt in its error.
//!
//! What changes the disk goes through [`Disk`], which first tells a watcher: so a test can pull the
//! plug, or let the disk be full, before every single change. What only looks is a plain function.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::output::error::{Attempt, Error};

/// Is told of a change before it is made, and can refuse it.
pub(crate) type Watcher = Box<dyn FnMut(Attempt, &Path) -> io::Result<()> + Send>;

/// The changes.
pub(crate) struct Disk {
    watcher: Option<Watcher>,
}

impl Disk {
    pub(crate) fn new(watcher: Option<Watcher>) -> Disk {
        Disk { watcher }
    }

    /// Makes the site folder, with the folders above it.
    #[expect(clippy::disallowed_methods, reason = "output is the room that writes to the disk")]
    pub(crate) fn make_folders(&mut self, path: &Path) -> Result<(), Error> {
        self.change(Attempt::MakeFolder, path, || fs::create_dir_all(path))
    }

    /// Makes one folder; it may exist already.
    pub(crate) fn make_folder(&mut self, path: &Path) -> Result<(), Error> {
        self.change(Attempt::MakeFolder, path, || match fs::create_dir(path) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists && path.is_dir() => Ok(()),
            result => result,
        })
    }

    /// Makes one folder with the permissions of another.
    pub(crate) fn make_folder_like(&mut self, path: &Path, other: &Path) -> Result<(), Error> {
        self.change(Attempt::MakeFolder, path, || {
            fs::create_dir(path)?;
            match fs::metadata(other) {
                Ok(metadata) => fs::set_permissions(path, metadata.permissions()),
                Err(_) => Ok(()),
            }
        })
    }

    /// Gives a file a second name.
    pub(crate) fn link(&mut self, from: &Path, to: &Path) -> Result<(), Error> {
        self.change(Attempt::Link, to, || fs::hard_link(from, to))
    }

    /// Lets two folders change places in one step.
    #[cfg(any(target_os = "linux", target_vendor = "apple"))]
    pub(crate) fn exchange(&mut self, one: &Path, other: &Path) -> Result<(), Error> {
        use rustix::fs::{CWD, RenameFlags, renameat_with};

        self.change(Attempt::Exchange, one, || {
            Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
        })
    }

    /// No system call for it is known here.
    #[cfg(not(any(target_os = "linux", target_vendor = "apple")))]
    pub(crate) fn exchange(&mut self, one: &Path, _: &Path) -> Result<(), Error> {
        self.change(Attempt::Exchange, one, || Err(ErrorKind::Unsupported.into()))
    }

    /// Writes a file that must not exist; `lasting` waits until it would outlive a power cut.
    pub(crate) fn write(&mut self, path: &Path, bytes: &[u8], lasting: bool) -> Result<(), Error> {
        self.change(Attempt::Write, path, || {
            let mut file = File::create_new(path)?;
            file.write_all(bytes)?;
            if lasting { file.sync_all() } else { Ok(()) }
        })
    }

    /// Opens the file, making it if need be, and locks it; none if another process has the lock.
    pub(crate) fn lock(&mut self, path: &Path) -> Result<Option<File>, Error> {
        let mut locked = None;
        self.change(Attempt::Lock, path, || {
            let file = OpenOptions::new().create(true).truncate(false).write(true).open(path)?;
            match file.try_lock() {
                Ok(()) => locked = Some(file),
                Err(TryLockError::WouldBlock) => {}
                // Some network disks have no locks: better to go on without one than not at all.
                Err(TryLockError::Error(e)) if e.kind() == ErrorKind::Unsupported => {
                    locked = Some(file);
                }
                Err(TryLockError::Error(e)) => return Err(e),
            }
            Ok(())
        })?;
        Ok(locked)
    }

    /// Renames a finished file to its place, replacing in one step what is there.
    #[expect(clippy::disallowed_methods, reason = "output is the room that writes to the disk")]
    pub(crate) fn place(&mut self, from: &Path, to: &Path) -> Result<(), Error> {
        self.change(Attempt::Place, to, || fs::rename(from, to))
    }

    /// Removes a file, or a link itself.
    #[expect(clippy::disallowed_methods, reason = "output is the room that writes to the disk")]
    pub(crate) fn remove(&mut self, path: &Path) -> Result<(), Error> {
        self.change(Attempt::Remove, path, || fs::remove_file(path))
    }

    /// Removes a folder if it is empty and says whether it is gone.
    pub(crate) fn remove_folder(&mut self, path: &Path) -> Result<bool, Error> {
        let mut gone = true;
        self.change(Attempt::RemoveFolder, path, || match fs::remove_dir(path) {
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            Err(error) if error.kind() == ErrorKind::DirectoryNotEmpty => {
                gone = false;
                Ok(())
            }
            result => result,
        })?;
        Ok(gone)
    }

    fn change(
        &mut self,
        attempt: Attempt,
        path: &Path,
        operation: impl FnOnce() -> io::Result<()>,
    ) -> Result<(), Error> {
        let told = match &mut self.watcher {
            Some(watcher) => watcher(attempt, path),
            None => Ok(()),
        };
        told.and_then(|()| operation()).map_err(|source| machine(attempt, path, source))
    }
}

/// What stands at a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    Nothing,
    /// A file, with what tells cheaply that it was written to.
    File {
        bytes: u64,
        modified: Option<SystemTime>,
    },
    Folder,
    /// A link, or something stranger; never followed.
    Other,
}

/// What stands at `path`; a link at its end is not followed.
pub(crate) fn look(path: &Path) -> Result<Found, Error> {
    let metadata = match fs::symlink_metadata(path) {
        Ok(metadata) => metadata,
        // A file where a folder is expected: nothing can stand below it.
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            return Ok(Found::Nothing);
        }
        Err(source) => return Err(machine(Attempt::Look, path, source)),
    };
    let kind = metadata.file_type();
    Ok(if kind.is_dir() {
        Found::Folder
    } else if kind.is_file() {
        Found::File { bytes: metadata.len(), modified: metadata.modified().ok() }
    } else {
        Found::Other
    })
}

/// What stands at the path of the whole site, which may be reached through a link.
pub(crate) fn look_through(path: &Path) -> Result<Found, Error> {
    match fs::canonicalize(path) {
        Ok(real) => look(&real),
        Err(_) => look(path),
    }
}

/// Whether what stands at `path` has a second name somewhere, so that nothing is lost with this one.
#[cfg(unix)]
pub(crate) fn has_second_name(path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;

    fs::symlink_metadata(path).is_ok_and(|metadata| metadata.is_file() && metadata.nlink() > 1)
}

#[cfg(not(unix))]
pub(crate) fn has_second_name(_: &Path) -> bool {
    false
}

/// The bytes of a file.
#[expect(clippy::disallowed_methods, reason = "output compares with what is on the disk")]
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Error> {
    fs::read(path).map_err(|source| machine(Attempt::Read, path, source))
}

/// What is in a folder, sorted.
pub(crate) fn list(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let entries = fs::read_dir(folder)
        .and_then(|entries| entries.map(|entry| Ok(entry?.path())).collect::<io::Result<Vec<_>>>());
    let mut entries = entries.map_err(|source| machine(Attempt::List, folder, source))?;
    entries.sort();
    Ok(entries)
}

fn machine(attempt: Attempt, path: &Path, source: io::Error) -> Error {
    Error::Machine { attempt, path: path.to_owned(), source }
}
