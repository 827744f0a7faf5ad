//! The site on disk: it becomes equal to what was put, and nothing else is touched.
//!
//! [`DiskSite`] is a [`Sink`]. A file that is on disk already, byte for byte, is left as it is, with
//! its time, so that a program that copies the site to a host sends only what changed. Everything
//! else waits in a staging folder until [`DiskSite::finish`]; if the publish stops before, the site is
//! as it was.
//!
//! # Whose file it is
//! `.trug-manifest` in the site folder lists path and fingerprint of every file that trug wrote. A
//! file is trug's own if its path is listed **with these bytes**; only such a file is replaced or
//! removed. (An empty file at a listed path counts as own too: that is what some disks leave after a
//! power cut, and there is nothing in it to lose.) Anything else in the way stops the publish with an
//! [`Error`] that names it. A folder that has files but no list is refused, so that a slip of the
//! keyboard does not publish into a home folder. A link in the site is never followed: it is in the
//! way like any other thing that trug did not make. The site folder itself may be reached by a link.
//!
//! # Old or new, never a mix
//! Where it can be done, the whole new site is laid out beside the site folder (`beside.rs`) and the two change places in one
//! step, before step 2. What follows then happens to the old folder, out of sight, and at the end they change places again: whoever
//! serves, watches or mounts the folder itself has it still. A folder in which somebody else's files stand is changed in place, because
//! they would be out of sight for a moment, and what is written to them then would be lost.
//!
//! # Killed at any moment
//! In this order, each step being one change that the system makes wholly or not at all:
//!
//! 1. New bytes are written into `.trug-staging`, never into a file of the site. Killed here: the site
//!    is as it was.
//! 2. The list is replaced by the **union** of what is on disk and what will be. From now until step 6
//!    a path may be listed with its old and its new bytes, or be listed and not exist.
//! 3. Own files that are no longer wanted and stand in the way go: a file where a folder is needed,
//!    another spelling of the same name. Such a page is missing until step 4; no other ever is.
//! 4. Files are renamed to their places, in the order of `order.rs`: each is the old one or the
//!    new one.
//! 5. The other own files that are no longer wanted go, and the folders that this leaves empty.
//! 6. The list is replaced by exactly what is on disk, and the staging folder goes.
//!
//! Killed from 2 to 6: the list still names every file of ours, old or new, with its bytes, so none is
//! forgotten; and since bytes decide, a file that somebody puts at a listed path meanwhile is not taken
//! for ours. The next publish starts from the union, removes the leftovers and ends with step 6. Killed while the new site is in
//! the place of the old one: it is whole, and the next publish removes the other.
//!
//! The list is flushed to the disk itself in steps 2 and 6. The pages are not, because it would take
//! minutes for a large site: after a power cut (not a kill) a page may be old, empty or half. Old and empty ones are
//! mended by the next publish; half ones are all named at once by [`Error::Changed`], and written again with
//! [`DiskSite::rewrite`].
//!
//! Two at once: the staging folder holds a lock that the system drops with the process. Who comes
//! second is told [`Error::Busy`]; so is who read the list before the other one changed it.

mod beside;
mod disk;
pub mod error;
mod manifest;
mod order;
mod staging;

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use uuid::Uuid;

use crate::output::disk::{Disk, Found, Watcher};
use crate::output::error::{Attempt, Error};
pub use crate::output::manifest::MadeOf;
use crate::output::manifest::{Fingerprint, Manifest};
use crate::output::staging::Staging;
use crate::render::sink::{self, Sink, Taken};
use crate::render::site_path::{SitePath, folded};

/// How many files of the site a publish touched.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Files that are new or have new bytes.
    pub written: usize,
    /// Files that had these bytes already, and were not touched.
    pub unchanged: usize,
    /// Files of an earlier publish that were removed.
    pub removed: usize,
}

/// A site folder that is being published into.
///
/// Dropped without [`DiskSite::finish`], it leaves the site as it was.
pub struct DiskSite {
    root: PathBuf,
    /// Whether the folder did not exist and this publish made it.
    made_root: bool,
    disk: Disk,
    /// The list as it is on disk now, as bytes and read.
    listed: Option<Vec<u8>>,
    before: Manifest,
    taken: Taken,
    produced: BTreeMap<SitePath, Produced>,
    staging: Option<Staging>,
    /// Whether files of ours with bytes that are not ours may be written again.
    rewrites: bool,
    /// Such files, as they were met.
    changed: Vec<PathBuf>,
    /// Hears how many of the new photographs are made, and of how many.
    progress: Option<Progress>,
}

type Progress = Box<dyn FnMut(usize, usize) + Send>;

/// A file that was put.
struct Produced {
    print: Fingerprint,
    /// None if the file on disk has these bytes already.
    staged: Option<Staged>,
}

/// Bytes that wait for their place.
struct Staged {
    /// The number by which the staging folder has them.
    number: usize,
    /// What stood at the place when it was looked at.
    found: Found,
}

impl DiskSite {
    /// Looks at the site folder `folder`, which need not exist; changes nothing but the leftovers of a
    /// killed publish.
    ///
    /// # Errors
    /// [`Error::NotAFolder`], [`Error::NotOurFolder`], [`Error::Manifest`], [`Error::Busy`],
    /// [`Error::Machine`]; [`Error::Foreign`] for something in the staging folder that is not trug's.
    pub fn open(folder: impl Into<PathBuf>) -> Result<DiskSite, Error> {
        DiskSite::begin(folder.into(), Disk::new(None))
    }

    /// As [`DiskSite::open`], with a watcher that is told of every change to the disk just before it is
    /// made, and can refuse it: for showing progress, and for tests that pull the plug.
    ///
    /// # Errors
    /// As [`DiskSite::open`]; what the watcher refuses becomes [`Error::Machine`].
    pub fn open_watched(
        folder: impl Into<PathBuf>,
        watcher: impl FnMut(Attempt, &Path) -> io::Result<()> + Send + 'static,
    ) -> Result<DiskSite, Error> {
        let watcher: Watcher = Box::new(watcher);
        DiskSite::begin(folder.into(), Disk::new(Some(watcher)))
    }

    /// From now on, `progress` hears how many of the new photographs are made, and of how many.
    pub fn tell_of_photographs(&mut self, progress: impl FnMut(usize, usize) + Send + 'static) {
        self.progress = Some(Box::new(progress));
    }

    /// From now on, files that are listed and have other bytes than trug wrote are written again.
    pub fn rewrite(&mut self) {
        self.rewrites = true;
    }

    /// Makes the site folder equal to what was put: the steps of the module's description.
    ///
    /// # Errors
    /// [`Error::Changed`] or [`Error::Foreign`] for a file of somebody else that would be lost,
    /// [`Error::Busy`]: the site is as it was. [`Error::Machine`]: each file is the old or the new one,
    /// and the next publish completes the work.
    pub fn finish(self) -> Result<Tally, Error> {
        self.finish_made_of(None)
    }

    /// As [`DiskSite::finish`], and remembers what the site was made of, for [`DiskSite::stands_as_made_of`].
    ///
    /// # Errors
    /// As [`DiskSite::finish`].
    pub fn finish_made_of(mut self, made_of: Option<MadeOf>) -> Result<Tally, Error> {
        let stale = self.stale()?;
        if !self.changed.is_empty() {
            self.changed.sort();
            return Err(Error::Changed { paths: std::mem::take(&mut self.changed) });
        }
        self.look_again()?;
        let mut after = Manifest::default();
        after.made_of = made_of;
        for (path, produced) in &self.produced {
            after.add(path.clone(), produced.print);
        }
        let mut places = self.places();
        let mut tally = Tally {
            written: places.len(),
            unchanged: self.produced.len() - places.len(),
            removed: 0,
        };

        let given = self.root.clone();
        let aside = if places.len() + stale.len() > 1 { self.step_aside(&after)? } else { None };
        self.write_list(&self.before.and(&after))?;
        let (in_the_way, rest): (Vec<_>, Vec<_>) =
            stale.into_iter().partition(|path| self.taken.check(path).is_err());
        tally.removed += self.remove_all(&in_the_way)?;
        places.sort();
        for (_, path, staged) in places {
            self.place(&path, staged)?;
        }
        tally.removed += self.remove_all(&rest)?;
        self.write_list(&after)?;
        if let Some([real, beside]) = aside {
            self.disk.exchange(&real, &beside)?;
            self.goes_to(given);
            beside::take_away(&mut self.disk, &beside)?;
        }
        if let Some(staging) = self.staging.take() {
            staging.end(&mut self.disk)?;
        }
        Ok(tally)
    }

    /// The number of files, if the whole site stands byte for byte as it was once made of what has this digest; and
    /// whether that gave rise to warnings.
    pub fn stands_as_made_of(&self, digest: Uuid) -> Option<(usize, bool)> {
        let made_of = self.before.made_of.filter(|made_of| made_of.digest == digest)?;
        if self.staging.is_some() {
            return None;
        }
        let listed = self.before.prints();
        let files: Vec<(PathBuf, Fingerprint)> = listed
            .map(|(path, print)| {
                self.check_folders(path).is_ok().then(|| (self.place_of(path), print))
            })
            .collect::<Option<_>>()?;
        let stands = |(place, print): &(PathBuf, Fingerprint)| {
            matches!(disk::look(place), Ok(Found::File { .. }))
                && disk::read(place).is_ok_and(|bytes| Fingerprint::of(&bytes) == *print)
        };
        files.par_iter().all(stands).then_some((files.len(), made_of.has_warnings))
    }

    /// How many of the files of an earlier publish were not put again, and of how many.
    pub fn would_remove(&self) -> (usize, usize) {
        let listed = self.before.paths();
        let is_put = |path: &&&SitePath| self.produced.contains_key(**path);
        (listed.len() - listed.iter().filter(is_put).count(), listed.len())
    }

    /// The files of an earlier publish that are wanted and can be read, by path.
    pub fn standing(&self, is_wanted: impl Fn(&str) -> bool) -> BTreeMap<String, Vec<u8>> {
        let listed = self.before.paths().into_iter().filter(|path| is_wanted(path.as_str()));
        let is_file = |path: &SitePath| {
            let found = disk::look(&self.place_of(path));
            self.check_folders(path).is_ok() && matches!(found, Ok(Found::File { .. }))
        };
        let files = listed.filter(|path| is_file(path));
        let read = files.filter_map(|path| {
            Some((path.as_str().to_owned(), disk::read(&self.place_of(path)).ok()?))
        });
        read.collect()
    }

    /// The paths that an earlier publish listed.
    pub fn listed(&self) -> impl Iterator<Item = &str> {
        self.before.paths().into_iter().map(SitePath::as_str)
    }

    /// The fingerprint of what stands at a path, if it is as an earlier publish left it.
    fn standing_print(&self, path: &SitePath) -> Option<Fingerprint> {
        let place = self.place_of(path);
        let is_plain = self.check_folders(path).is_ok() && !self.before.spells_otherwise(path);
        if !is_plain || !matches!(disk::look(&place), Ok(Found::File { .. })) {
            return None;
        }
        let print = Fingerprint::of(&disk::read(&place).ok()?);
        self.before.wrote(path, print).then_some(print)
    }

    fn begin(root: PathBuf, disk: Disk) -> Result<DiskSite, Error> {
        let mut site = DiskSite {
            root,
            made_root: false,
            disk,
            listed: None,
            before: Manifest::default(),
            taken: Taken::default(),
            produced: BTreeMap::new(),
            staging: None,
            rewrites: false,
            changed: Vec::new(),
            progress: None,
        };
        match disk::look_through(&site.root)? {
            Found::Nothing => return Ok(site),
            Found::Folder => {}
            Found::File { .. } | Found::Other => {
                return Err(Error::NotAFolder { path: site.root.clone() });
            }
        }
        let leftovers = site.root.join(staging::NAME);
        site.listed = site.read_list()?;
        match &site.listed {
            Some(bytes) => {
                let path = site.root.join(manifest::NAME);
                site.before =
                    Manifest::parse(bytes).map_err(|line| Error::Manifest { path, line })?;
            }
            None => {
                let mut strange = disk::list(&site.root)?;
                strange.retain(|path| *path != leftovers);
                if let Some(example) = strange.into_iter().next() {
                    return Err(Error::NotOurFolder { folder: site.root.clone(), example });
                }
            }
        }
        let beside = beside::both_paths(&site.root).map(|[_, beside]| beside);
        let beside = beside.filter(|path| path.exists());
        if disk::look(&leftovers)? != Found::Nothing || beside.is_some() {
            site.staging = Some(site.begin_staging()?);
        }
        if let Some(beside) = beside {
            beside::take_away(&mut site.disk, &beside)?;
        }
        Ok(site)
    }

    fn read_list(&self) -> Result<Option<Vec<u8>>, Error> {
        let path = self.root.join(manifest::NAME);
        match disk::look(&path)? {
            Found::Nothing => Ok(None),
            Found::File { .. } => disk::read(&path).map(Some),
            Found::Folder | Found::Other => Err(Error::Foreign { path }),
        }
    }

    /// Compares with the disk; stages what is not there yet.
    fn keep(&mut self, path: &SitePath, bytes: &[u8]) -> Result<Produced, Error> {
        let place = self.place_of(path);
        let first = folded(path.parts().next().unwrap_or_default());
        if [manifest::NAME, staging::NAME].contains(&first.as_str()) {
            return Err(Error::Kept { path: place });
        }
        self.check_folders(path)?;
        let print = Fingerprint::of(bytes);
        let found = disk::look(&place)?;
        match &found {
            Found::Nothing => {}
            Found::Other => return Err(Error::Foreign { path: place }),
            Found::Folder => self.check_all_ours(path.as_str(), &place)?,
            Found::File { .. } if !self.before.lists(path.as_str()) => {
                return Err(Error::Foreign { path: place });
            }
            Found::File { .. } => {
                let on_disk = disk::read(&place)?;
                if on_disk == bytes {
                    // On some disks the file found is one with another spelling, which is to go.
                    if !self.before.spells_otherwise(path) {
                        return Ok(Produced { print, staged: None });
                    }
                } else {
                    self.check_own(path, &on_disk);
                }
            }
        }
        let number = self.stage(bytes, false)?;
        Ok(Produced { print, staged: Some(Staged { number, found }) })
    }

    fn place_of(&self, path: &SitePath) -> PathBuf {
        self.root.join(path.as_str())
    }

    /// The folders down to `path` are folders, do not exist, or are files of ours that will go.
    fn check_folders(&self, path: &SitePath) -> Result<(), Error> {
        for folder in path.folders() {
            let place = self.root.join(folder);
            match disk::look(&place)? {
                Found::Nothing => break,
                Found::Folder => {}
                Found::File { .. } if self.before.lists(folder) => break,
                Found::File { .. } | Found::Other => return Err(Error::Foreign { path: place }),
            }
        }
        Ok(())
    }

    /// A folder where a file is needed: it will go by itself if everything in it is ours.
    fn check_all_ours(&self, folder: &str, place: &Path) -> Result<(), Error> {
        if !self.before.lists_below(folder) {
            return Err(Error::Foreign { path: place.to_owned() });
        }
        for inside in disk::list(place)? {
            let name = inside.file_name().and_then(|name| name.to_str());
            let Some(path) = name.map(|name| format!("{folder}/{name}")) else {
                return Err(Error::Foreign { path: inside });
            };
            match disk::look(&inside)? {
                Found::Folder => self.check_all_ours(&path, &inside)?,
                Found::File { .. } if self.before.lists(&path) => {}
                _ => return Err(Error::Foreign { path: inside }),
            }
        }
        Ok(())
    }

    /// Gathers what is not as we wrote it, so that all of it can be told at once.
    fn check_own(&mut self, path: &SitePath, on_disk: &[u8]) {
        let is_own = on_disk.is_empty() || self.before.wrote(path, Fingerprint::of(on_disk));
        if !is_own && !self.rewrites {
            self.changed.push(self.place_of(path));
        }
    }

    /// Writes the bytes where they wait; `lasting` if they must outlive a power cut.
    fn stage(&mut self, bytes: &[u8], lasting: bool) -> Result<usize, Error> {
        let mut staging = match self.staging.take() {
            Some(staging) => staging,
            None => self.begin_staging()?,
        };
        let staged = staging.add(&mut self.disk, bytes, lasting);
        self.staging = Some(staging);
        staged
    }

    fn begin_staging(&mut self) -> Result<Staging, Error> {
        if disk::look_through(&self.root)? == Found::Nothing {
            self.disk.make_folders(&self.root)?;
            self.made_root = true;
        }
        let staging = Staging::begin(&mut self.disk, &self.root)?;
        // Locked only now: what was read before may be out of date.
        if self.read_list()? != self.listed {
            staging.end(&mut self.disk)?;
            return Err(Error::Busy { folder: self.root.clone() });
        }
        Ok(staging)
    }

    /// The listed files that were not put, each proved to be ours or gone already.
    fn stale(&mut self) -> Result<Vec<SitePath>, Error> {
        let mut stale = Vec::new();
        let listed: Vec<SitePath> = self.before.paths().into_iter().cloned().collect();
        for path in listed {
            if self.produced.contains_key(&path) {
                continue;
            }
            match self.check_folders(&path) {
                Ok(()) => {}
                // Behind a link, or below what is somebody's file now, nothing is ours.
                Err(Error::Foreign { .. }) => continue,
                Err(error) => return Err(error),
            }
            let place = self.place_of(&path);
            match disk::look(&place)? {
                Found::File { .. } => self.check_own(&path, &disk::read(&place)?),
                Found::Other => return Err(Error::Changed { paths: vec![place] }),
                Found::Folder | Found::Nothing => {}
            }
            stale.push(path);
        }
        Ok(stale)
    }

    /// Nobody wrote to the files that will be replaced since they were compared.
    fn look_again(&self) -> Result<(), Error> {
        for (path, produced) in &self.produced {
            let Some(staged) = &produced.staged else { continue };
            self.check_folders(path)?;
            let place = self.place_of(path);
            if disk::look(&place)? != staged.found {
                return Err(Error::Changed { paths: vec![place] });
            }
        }
        Ok(())
    }

    /// Puts the whole new site where the old one is, in one step. Returns where that is, and where the old folder is then.
    ///
    /// None if there was no site, if something in it is not ours, or if the system cannot do it.
    fn step_aside(&mut self, after: &Manifest) -> Result<Option<[PathBuf; 2]>, Error> {
        let Some([real, beside]) = beside::both_paths(&self.root) else { return Ok(None) };
        let was_empty = self.before.paths().is_empty();
        if was_empty || !self.holds_only_ours("", &real)? {
            return Ok(None);
        }
        match self.exchange([&real, &beside], after) {
            Ok(()) => {
                self.goes_to(beside.clone());
                Ok(Some([real, beside]))
            }
            Err(error) => {
                let cleared = beside::take_away(&mut self.disk, &beside);
                if !beside::is_only_unable(&error) {
                    return Err(error);
                }
                cleared.map(|()| None)
            }
        }
    }

    fn exchange(&mut self, [real, beside]: [&Path; 2], after: &Manifest) -> Result<(), Error> {
        let staging = self.staging.take().map_or_else(|| self.begin_staging(), Ok)?;
        let files = self.produced.iter().map(|(path, produced)| {
            let waiting = produced.staged.as_ref().map(|staged| staging.file(staged.number));
            (path.as_str(), waiting.unwrap_or_else(|| real.join(path.as_str())))
        });
        let laid_out = beside::lay_out(&mut self.disk, [real, beside], &staging, after, files);
        self.staging = Some(staging);
        laid_out?;
        self.disk.exchange(real, beside)
    }

    /// The site folder is at another path now.
    fn goes_to(&mut self, root: PathBuf) {
        if let Some(staging) = &mut self.staging {
            staging.goes_with(&root);
        }
        self.root = root;
    }

    /// Whether nothing below this folder of the site is somebody else's.
    fn holds_only_ours(&self, folder: &str, place: &Path) -> Result<bool, Error> {
        for inside in disk::list(place)? {
            let Some(name) = inside.file_name().and_then(|name| name.to_str()) else {
                return Ok(false);
            };
            let path = if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") };
            if [manifest::NAME, staging::NAME].contains(&path.as_str()) {
                continue;
            }
            let is_ours = match disk::look(&inside)? {
                Found::File { .. } => self.before.lists(&path),
                Found::Folder => {
                    self.before.lists_below(&path) && self.holds_only_ours(&path, &inside)?
                }
                Found::Nothing | Found::Other => false,
            };
            if !is_ours {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What is to be put in place, with its rank.
    fn places(&self) -> Vec<(order::Rank, SitePath, usize)> {
        let staged = self.produced.iter().filter_map(|(path, produced)| {
            let staged = produced.staged.as_ref()?;
            let is_new = staged.found == Found::Nothing;
            Some((order::rank(path, is_new), path.clone(), staged.number))
        });
        staged.collect()
    }

    fn place(&mut self, path: &SitePath, staged: usize) -> Result<(), Error> {
        for folder in path.folders() {
            let folder = self.root.join(folder);
            if disk::look(&folder)? != Found::Folder {
                self.disk.make_folder(&folder)?;
            }
        }
        let place = self.place_of(path);
        self.disk.place(&self.waiting(staged), &place)
    }

    /// Where the bytes of this number wait.
    fn waiting(&self, number: usize) -> PathBuf {
        let staging = self.staging.as_ref().expect("something was staged");
        staging.file(number)
    }

    /// Removes the files and the folders that are empty without them; returns how many files.
    fn remove_all(&mut self, paths: &[SitePath]) -> Result<usize, Error> {
        let mut removed = 0;
        for path in paths {
            let place = self.place_of(path);
            if matches!(disk::look(&place)?, Found::File { .. }) {
                self.disk.remove(&place)?;
                removed += 1;
            }
            for folder in path.folders().rev() {
                let folder = self.root.join(folder);
                let found = disk::look(&folder)?;
                if found == Found::Nothing {
                    continue;
                }
                if found != Found::Folder || !self.disk.remove_folder(&folder)? {
                    break;
                }
            }
        }
        Ok(removed)
    }

    /// Replaces the list, unless it says this already.
    fn write_list(&mut self, list: &Manifest) -> Result<(), Error> {
        let text = list.to_text().into_bytes();
        if self.listed.as_ref() == Some(&text) {
            return Ok(());
        }
        let staged = self.stage(&text, true)?;
        self.disk.place(&self.waiting(staged), &self.root.join(manifest::NAME))?;
        self.listed = Some(text);
        Ok(())
    }
}

impl Sink for DiskSite {
    fn put(&mut self, path: &SitePath, bytes: Vec<u8>) -> Result<(), sink::Error> {
        self.taken.claim(path)?;
        let produced =
            self.keep(path, &bytes).map_err(|error| sink::Error::Keeping(Box::new(error)))?;
        self.produced.insert(path.clone(), produced);
        Ok(())
    }

    fn put_standing(&mut self, path: &SitePath) -> Result<bool, sink::Error> {
        let Some(print) = self.standing_print(path) else { return Ok(false) };
        self.taken.claim(path)?;
        self.produced.insert(path.clone(), Produced { print, staged: None });
        Ok(true)
    }

    fn photographs_made(&mut self, made: usize, of: usize) {
        if let Some(progress) = &mut self.progress {
            progress(made, of);
        }
    }
}

impl Drop for DiskSite {
    fn drop(&mut self) {
        // An error here has nowhere to go; the next publish clears what is left.
        if let Some(staging) = self.staging.take() {
            let _ = staging.end(&mut self.disk);
        }
        if self.made_root && self.listed.is_none() {
            let _ = self.disk.remove_folder(&self.root);
        }
    }
}
