//! The site of a garden while it is being written: in memory, each file made when it is asked for.
//!
//! Nothing is kept of a page: its bytes are always made of the garden as it is now, by the same functions as those of a
//! published site. What is used again of the last site was made of the very same: an entry of the same bytes, a theme of the
//! same files, what was computed where only prose is another, a photograph of the same digest.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diagnostics::problem::Problem;
use crate::pictures::Picture;
use crate::publish::{Inputs, Last, Memory, Prepared, Published, prepare};
use crate::render::sink::{Error, Sink, Taken};
use crate::render::site_path::SitePath;
use crate::source::files::Files;
use crate::theming;

/// A garden that is being written: what was read last, and the last site that could be made of it.
#[derive(Default)]
pub struct Preview {
    inputs: Option<Arc<Inputs>>,
    site: Option<Arc<Site>>,
}

/// A site whose files are made when they are asked for.
pub struct Site {
    inputs: Arc<Inputs>,
    prepared: Prepared,
    /// Which of the prepared files has a path.
    by_path: BTreeMap<String, usize>,
    photos: Photos,
}

/// The published files of photographs, by path.
type Photos = BTreeMap<SitePath, Arc<[u8]>>;

impl Preview {
    /// What was read last.
    pub fn inputs(&self) -> Option<&Arc<Inputs>> {
        self.inputs.as_ref()
    }

    /// The last site that could be made.
    pub fn site(&self) -> Option<&Arc<Site>> {
        self.site.as_ref()
    }

    /// Makes the site anew. With an error in what was written, the one that stands stays.
    ///
    /// # Errors
    /// If two files of the site want the same path.
    pub fn renew(&mut self, mut inputs: Inputs) -> Result<Published, Error> {
        let standing = self.site.as_deref().map(|site| &site.photos);
        let paths = standing.into_iter().flat_map(BTreeMap::keys).map(SitePath::as_str);
        inputs.earlier_photos = Picture::standing(paths);
        let inputs = Arc::new(inputs);
        self.inputs = Some(Arc::clone(&inputs));
        let mut shelf = Shelf { standing, photos: Photos::new() };
        let last = self.site.as_deref();
        let last = last.map(|site| Last { inputs: &site.inputs, prepared: &site.prepared });
        let mut prepared = match prepare(&inputs, Memory::Of(last), &mut shelf)? {
            Ok(prepared) => prepared,
            Err(stopped) => return Ok(stopped),
        };
        let photos = shelf.photos;
        let mut taken = Taken::default();
        photos.keys().try_for_each(|path| taken.claim(path))?;
        let mut by_path = BTreeMap::new();
        for (index, file) in prepared.files.iter().enumerate() {
            match file.address() {
                Ok(path) => {
                    taken.claim(&path)?;
                    by_path.insert(path.as_str().to_owned(), index);
                }
                Err(broken) => {
                    prepared.problems.add(theming::broken_template(&inputs.theme, &broken));
                    return Ok(Published::stopped(prepared.problems));
                }
            }
        }
        let published = prepared.published();
        self.site = Some(Arc::new(Site { inputs, prepared, by_path, photos }));
        Ok(published)
    }

    /// The files that were written, changed or taken away since the last reading: those of the content folder, and those
    /// of the theme. Nothing before the first.
    pub fn changed(&self, now: &Inputs) -> Option<[Vec<String>; 2]> {
        let before = self.inputs.as_ref()?;
        let content = files_changed(&before.content, &now.content);
        Some([content, files_changed(&before.theme, &now.theme)])
    }
}

impl Site {
    /// The paths of its files.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.by_path.keys().map(String::as_str).chain(self.photos.keys().map(SitePath::as_str))
    }

    /// Whether it has a file of this path, photographs left out.
    pub fn has(&self, path: &str) -> bool {
        self.by_path.contains_key(path)
    }

    /// The bytes of the file of this path, if there is one.
    ///
    /// # Errors
    /// If the theme does not fit.
    pub fn file(&self, path: &str) -> Result<Option<Vec<u8>>, Problem> {
        if let Some(index) = self.by_path.get(path) {
            let made = self.prepared.files[*index].render(&self.prepared.inputs(&self.inputs));
            let broken = |broken| theming::broken_template(&self.inputs.theme, &broken);
            return made.map(|(_, bytes)| Some(bytes)).map_err(broken);
        }
        let path = SitePath::new(path).ok();
        Ok(path.and_then(|path| self.photos.get(&path)).map(|bytes| bytes.to_vec()))
    }

    /// The folder of its host in which it is to lie, with a `/` at both ends: its page for what is not there says so.
    pub fn folder(&self) -> String {
        let address =
            self.prepared.site_address().and_then(|address| url::Url::parse(address).ok());
        let path = address.map_or_else(String::new, |address| address.path().to_owned());
        format!("/{}/", path.trim_matches('/')).replace("//", "/")
    }
}

/// Photographs on the way into a site; those of the last site are taken over.
struct Shelf<'a> {
    standing: Option<&'a Photos>,
    photos: Photos,
}

impl Sink for Shelf<'_> {
    fn put(&mut self, path: &SitePath, bytes: Vec<u8>) -> Result<(), Error> {
        self.photos.insert(path.clone(), bytes.into());
        Ok(())
    }

    fn put_standing(&mut self, path: &SitePath) -> Result<bool, Error> {
        let bytes = self.standing.and_then(|standing| standing.get(path));
        self.photos.extend(bytes.map(|bytes| (path.clone(), Arc::clone(bytes))));
        Ok(bytes.is_some())
    }
}

fn files_changed(before: &Files, after: &Files) -> Vec<String> {
    let is_new = |old: &Files, new: &Files| -> Vec<String> {
        let small = new
            .iter()
            .filter(|file| old.find(&file.path).is_none_or(|known| known.bytes != file.bytes));
        let large = new.large().iter().filter(|file| {
            let known = old.find_large(&file.path);
            known.is_none_or(|known| (known.size, known.written) != (file.size, file.written))
        });
        let small = small.map(|file| file.path.clone());
        small.chain(large.map(|file| file.path.clone())).collect()
    };
    let mut paths = is_new(before, after);
    paths.extend(is_new(after, before));
    paths.sort();
    paths.dedup();
    paths
}
