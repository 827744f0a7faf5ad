//! The staging folder: where new bytes wait, and the lock that keeps a second trug out.
//!
//! It stands inside the site folder, because there alone a rename is sure to stay on one disk, and
//! because the folder around the site may be closed to us. It holds files named by number and the
//! lock; whatever else is found in it was put there by somebody and is left alone.

use std::fs::File;
use std::path::{Path, PathBuf};

use crate::output::disk::{self, Disk, Found};
use crate::output::error::Error;

/// The folder's own name, in the site folder.
pub(crate) const NAME: &str = ".trug-staging";

const LOCK: &str = "lock";

/// The folder, locked.
pub(crate) struct Staging {
    folder: PathBuf,
    /// The system drops the lock with the process, also when it is killed.
    lock: File,
    files: usize,
}

impl Staging {
    /// Makes the folder, or takes over what a killed publish left of it.
    ///
    /// # Errors
    /// [`Error::Busy`] if another process holds it, [`Error::Foreign`] if something in it is not ours.
    pub(crate) fn begin(disk: &mut Disk, site: &Path) -> Result<Staging, Error> {
        let folder = site.join(NAME);
        if disk::look(&folder)? == Found::Other {
            return Err(Error::Foreign { path: folder });
        }
        disk.make_folder(&folder)?;
        let busy = || Error::Busy { folder: site.to_owned() };
        let lock = disk.lock(&folder.join(LOCK)).inspect_err(|_| {
            // As far as it goes: the error above is the one to tell.
            let _ = disk.remove_folder(&folder);
        });
        let lock = lock?.ok_or_else(busy)?;
        let staging = Staging { folder, lock, files: 0 };
        clear(disk, &staging.folder)?;
        Ok(staging)
    }

    /// Writes the bytes under a number, and returns it. With `lasting` they are on the disk itself,
    /// not only handed to the system, before this returns.
    pub(crate) fn add(
        &mut self,
        disk: &mut Disk,
        bytes: &[u8],
        lasting: bool,
    ) -> Result<usize, Error> {
        let number = self.files;
        self.files += 1;
        disk.write(&self.file(number), bytes, lasting)?;
        Ok(number)
    }

    /// Where the bytes of this number wait.
    pub(crate) fn file(&self, number: usize) -> PathBuf {
        self.folder.join(number.to_string())
    }

    /// The site folder, with this one in it, was given another path.
    pub(crate) fn goes_with(&mut self, site: &Path) {
        self.folder = site.join(NAME);
    }

    /// Lays the same lock into another site folder, so that nobody else begins there either.
    pub(crate) fn lock_too(&self, disk: &mut Disk, site: &Path) -> Result<(), Error> {
        let folder = site.join(NAME);
        disk.make_folder(&folder)?;
        disk.link(&self.folder.join(LOCK), &folder.join(LOCK))
    }

    /// Removes the folder and lets go of the lock.
    pub(crate) fn end(self, disk: &mut Disk) -> Result<(), Error> {
        // The lock goes last, with `self`: the next one must not lock a file that is about to go.
        Staging::take_away(disk, &self.folder)
    }

    /// Removes a staging folder with what is ours in it.
    pub(crate) fn take_away(disk: &mut Disk, folder: &Path) -> Result<(), Error> {
        clear(disk, folder)?;
        let lock = folder.join(LOCK);
        if disk::look(&lock)? != Found::Nothing {
            disk.remove(&lock)?;
        }
        disk.remove_folder(folder).map(|_| ())
    }
}

/// Removes the files of ours, all but the lock.
fn clear(disk: &mut Disk, folder: &Path) -> Result<(), Error> {
    for path in disk::list(folder)? {
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if name == LOCK {
            continue;
        }
        let numbered = !name.is_empty() && name.bytes().all(|byte| byte.is_ascii_digit());
        if !numbered || !matches!(disk::look(&path)?, Found::File { .. }) {
            return Err(Error::Foreign { path });
        }
        disk.remove(&path)?;
    }
    Ok(())
}

impl Drop for Staging {
    fn drop(&mut self) {
        // Closing would do, but for a process that is just being started and still shares the file.
        let _ = self.lock.unlock();
    }
}
