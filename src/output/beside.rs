//! The new site as a whole beside the old one, so that both change places in one step.
//!
//! A folder cannot change places with one inside it, so the new site stands in the folder around the site folder. Nothing is
//! copied: each file is a second name of what stands in the site or waits in its staging folder.

use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::output::disk::{self, Disk, Found};
use crate::output::error::{Attempt, Error};
use crate::output::manifest::{self, Fingerprint, Manifest};
use crate::output::staging::{self, Staging};

/// Where the site folder really is, and where the new site stands before they change places, and the old one after:
/// `.site.trug-next` beside `site`.
///
/// None for the root of the disk, and for what is not there.
pub(crate) fn both_paths(site: &Path) -> Option<[PathBuf; 2]> {
    let real = site.canonicalize().ok()?;
    let mut name = OsString::from(".");
    name.push(real.file_name()?);
    name.push(".trug-next");
    let beside = real.parent()?.join(name);
    Some([real, beside])
}

/// Whether it is no fault of anybody that the two cannot change places: the folder around is closed, the site is a disk of its own, or the
/// disk knows no second names or no such step.
pub(crate) fn is_only_unable(error: &Error) -> bool {
    use ErrorKind::{
        CrossesDevices, InvalidInput, PermissionDenied, ReadOnlyFilesystem, ResourceBusy,
        TooManyLinks, Unsupported,
    };

    let Error::Machine { attempt, source, .. } = error else { return false };
    matches!(attempt, Attempt::MakeFolder | Attempt::Write | Attempt::Link | Attempt::Exchange)
        && matches!(
            source.kind(),
            CrossesDevices
                | InvalidInput
                | PermissionDenied
                | ReadOnlyFilesystem
                | ResourceBusy
                | TooManyLinks
                | Unsupported
        )
}

/// Lays out the new site: its list first, so that whatever else stands there is known as ours.
pub(crate) fn lay_out<'a>(
    disk: &mut Disk,
    [site, beside]: [&Path; 2],
    staging: &Staging,
    list: &Manifest,
    files: impl Iterator<Item = (&'a str, PathBuf)>,
) -> Result<(), Error> {
    disk.make_folder_like(beside, site)?;
    staging.lock_too(disk, beside)?;
    disk.write(&beside.join(manifest::NAME), list.to_text().as_bytes(), false)?;
    for (path, file) in files {
        for (at, _) in path.match_indices('/') {
            let folder = beside.join(&path[..at]);
            if disk::look(&folder)? == Found::Nothing {
                disk.make_folder_like(&folder, &site.join(&path[..at]))?;
            }
        }
        disk.link(&file, &beside.join(path))?;
    }
    Ok(())
}

/// Takes away what is left beside the site.
///
/// # Errors
/// [`Error::Foreign`] for what is not ours: neither listed there with its bytes, nor a second name of anything.
pub(crate) fn take_away(disk: &mut Disk, beside: &Path) -> Result<(), Error> {
    match disk::look(beside)? {
        Found::Nothing => return Ok(()),
        Found::Folder => {}
        Found::File { .. } | Found::Other => {
            return Err(Error::Foreign { path: beside.to_owned() });
        }
    }
    let list = beside.join(manifest::NAME);
    let has_list = matches!(disk::look(&list)?, Found::File { .. });
    let listed = if has_list {
        let wrong = |line| Error::Manifest { path: list.clone(), line };
        Manifest::parse(&disk::read(&list)?).map_err(wrong)?
    } else {
        Manifest::default()
    };
    for path in listed.paths() {
        let folders: Vec<PathBuf> = path.folders().map(|folder| beside.join(folder)).collect();
        let place = beside.join(path.as_str());
        let mut is_plain = matches!(disk::look(&place)?, Found::File { .. });
        for folder in &folders {
            is_plain &= disk::look(folder)? == Found::Folder;
        }
        let is_ours = || Ok(listed.wrote(path, Fingerprint::of(&disk::read(&place)?)));
        if is_plain && (disk::has_second_name(&place) || is_ours()?) {
            disk.remove(&place)?;
        }
        for folder in folders.iter().rev() {
            let is_gone = disk::look(folder)? != Found::Folder || disk.remove_folder(folder)?;
            if !is_gone {
                break;
            }
        }
    }
    let locked = beside.join(staging::NAME);
    if disk::look(&locked)? == Found::Folder {
        Staging::take_away(disk, &locked)?;
    }
    if let Some(path) = disk::list(beside)?.into_iter().find(|path| *path != list) {
        return Err(Error::Foreign { path });
    }
    if has_list {
        disk.remove(&list)?;
    }
    disk.remove_folder(beside).map(|_| ())
}
