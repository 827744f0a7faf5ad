//! The photographs of the entries: each is read once a publish, and made anew only if the site does not have it yet.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::garden::model::Garden;
use crate::garden::records::Photo;
use crate::pictures::{self, LARGEST_FILE, MOST_PIXELS, Picture, Published, Unusable};
use crate::render::sink::{Error, Sink};
use crate::render::site_path::SitePath;
use crate::source::files::Files;

/// What was looked up of a file before its pixels are read.
struct Looked<'a> {
    photo: &'a Photo,
    digest: String,
    pixels: u64,
}

/// What was looked up of files, by their path in the content folder.
pub(crate) type Seen = BTreeMap<String, SeenFile>;

/// What was looked up of a file, and how it stood then.
#[derive(Clone, Debug)]
pub(crate) struct SeenFile {
    size: u64,
    written: u128,
    digest: String,
    pixels: u64,
}

/// Puts every photograph into the site and returns them by their path in the content folder; `standing` are those of
/// the last publish, by digest. A file that was `seen`, and stands as it did, is not read again.
///
/// # Errors
/// If the sink cannot take a file.
pub(crate) fn put_all(
    garden: &Garden,
    content: &Files,
    standing: &BTreeMap<String, Picture>,
    seen: &mut Seen,
    sink: &mut dyn Sink,
    problems: &mut Problems,
) -> Result<BTreeMap<String, Picture>, Error> {
    let mut shelf = Shelf { sink, made: BTreeMap::new(), put: BTreeSet::new() };
    let mut new = Vec::new();
    let mut all = Vec::new();
    let photos = first_of_each(garden);
    let before = std::mem::take(seen);
    let look = |photo| (photo, look(content, photo, &before));
    let looked: Vec<_> = photos.par_iter().copied().map(look).collect();
    for (photo, looked) in looked {
        let looked = match looked {
            Ok(looked) => {
                seen.extend(looked.seen(content));
                looked
            }
            Err(unusable) => {
                problems.add(unusable_photo(photo, &unusable));
                continue;
            }
        };
        all.push((photo.file.clone(), looked.digest.clone()));
        let stands = match standing.get(&looked.digest) {
            Some(picture) => shelf.keep(&looked.digest, picture)?,
            None => false,
        };
        // The same photograph may lie in two places.
        let is_new = |other: &Looked<'_>| other.digest != looked.digest;
        if !stands && new.iter().all(is_new) {
            new.push(looked);
        }
    }
    let mut number = 0;
    for some in within_memory(&new) {
        let made: Vec<_> = some.par_iter().map(|looked| make(content, looked.photo)).collect();
        for (looked, made) in some.iter().zip(made) {
            match made {
                Ok((picture, files)) => shelf.put(&looked.digest, picture, files)?,
                Err(unusable) => problems.add(unusable_photo(looked.photo, &unusable)),
            }
        }
        number += some.len();
        shelf.sink.photographs_made(number, new.len());
    }
    let picture = |(file, digest): (String, String)| Some((file, shelf.made.get(&digest)?.clone()));
    Ok(all.into_iter().filter_map(picture).collect())
}

/// Looks whether every photograph can be shown, as far as its head tells.
pub(crate) fn check(garden: &Garden, content: &Files, problems: &mut Problems) {
    let photos = first_of_each(garden);
    let look = |photo| (photo, look(content, photo, &Seen::new()));
    let looked: Vec<_> = photos.par_iter().copied().map(look).collect();
    for (photo, looked) in looked {
        if let Err(unusable) = looked {
            problems.add(unusable_photo(photo, &unusable));
        }
    }
}

impl Looked<'_> {
    /// For the next time, if the machine says when the file was written.
    fn seen(&self, content: &Files) -> Option<(String, SeenFile)> {
        let file = content.find_large(&self.photo.file).filter(|file| file.written > 0)?;
        let Looked { digest, pixels, .. } = self;
        let (size, written) = (file.size, file.written);
        let seen = SeenFile { size, written, digest: digest.clone(), pixels: *pixels };
        Some((file.path.clone(), seen))
    }
}

/// What is in the site already.
struct Shelf<'a> {
    sink: &'a mut dyn Sink,
    made: BTreeMap<String, Picture>,
    put: BTreeSet<String>,
}

impl Shelf<'_> {
    /// Whether all files of the photograph stand as they were published.
    fn keep(&mut self, digest: &str, picture: &Picture) -> Result<bool, Error> {
        for width in picture.widths() {
            let path = picture.path(width);
            if !self.put.contains(&path) && !self.sink.put_standing(&site_path(&path)?)? {
                return Ok(false);
            }
            self.put.insert(path);
        }
        self.made.insert(digest.to_owned(), picture.clone());
        Ok(true)
    }

    fn put(&mut self, digest: &str, picture: Picture, files: Vec<Published>) -> Result<(), Error> {
        for (path, bytes) in files {
            if self.put.insert(path.clone()) {
                self.sink.put(&site_path(&path)?, bytes)?;
            }
        }
        self.made.insert(digest.to_owned(), picture);
        Ok(())
    }
}

fn site_path(path: &str) -> Result<SitePath, Error> {
    SitePath::new(path).map_err(|bad| Error::Keeping(format!("{path}: {bad}").into()))
}

/// The photographs, each file once.
fn first_of_each(garden: &Garden) -> Vec<&Photo> {
    let mut files = BTreeSet::new();
    let photos = garden.entries.iter().flat_map(|entry| &entry.photos);
    photos.filter(|photo| files.insert(&photo.file)).collect()
}

fn read(content: &Files, photo: &Photo) -> Result<Vec<u8>, Unusable> {
    let gone = || Unusable::Unreadable("it is gone".to_owned());
    let file = content.find_large(&photo.file).ok_or_else(gone)?;
    if file.size > LARGEST_FILE {
        return Err(Unusable::LargeFile(file.size));
    }
    (file.read)().map_err(Unusable::Unreadable)
}

fn look<'a>(content: &Files, photo: &'a Photo, seen: &Seen) -> Result<Looked<'a>, Unusable> {
    let known = content.find_large(&photo.file).and_then(|file| {
        let stands = |known: &&SeenFile| (known.size, known.written) == (file.size, file.written);
        seen.get(&photo.file).filter(stands)
    });
    if let Some(SeenFile { digest, pixels, .. }) = known {
        return Ok(Looked { photo, digest: digest.clone(), pixels: *pixels });
    }
    let bytes = read(content, photo)?;
    Ok(Looked { photo, digest: pictures::digest(&bytes), pixels: pictures::pixels(&bytes)? })
}

fn make(content: &Files, photo: &Photo) -> Result<(Picture, Vec<Published>), Unusable> {
    Picture::make(&read(content, photo)?)
}

/// Parts of the list whose pixels fit into memory at once.
fn within_memory<'a, 'b>(all: &'a [Looked<'b>]) -> impl Iterator<Item = &'a [Looked<'b>]> {
    let mut rest = all;
    std::iter::from_fn(move || {
        let mut pixels = 0;
        let fits = rest.iter().take_while(|looked| {
            pixels += looked.pixels;
            pixels <= MOST_PIXELS
        });
        let number = fits.count();
        let some;
        (some, rest) = rest.split_at(number);
        (!some.is_empty()).then_some(some)
    })
}

fn unusable_photo(photo: &Photo, unusable: &Unusable) -> Problem {
    let name = photo.file.rsplit('/').next().unwrap_or(&photo.file);
    let problem = Problem::new(
        Code::PhotoUnusable,
        photo.at,
        format!("`{name}` cannot be shown: {unusable}"),
    );
    problem.hint(match unusable {
        Unusable::Unreadable(_) => "look whether the file opens on this computer",
        Unusable::LargeFile(_) | Unusable::ManyPixels(..) => {
            "save a smaller copy; 2,000 pixels across are plenty"
        }
        Unusable::NotAPicture => "save it as JPEG; telephones can be told to take their photos so",
        Unusable::Broken => "copy it from the camera again, or open it and save it anew",
    })
}
