//! Where rendered bytes go, one file at a time.
//!
//! A [`Sink`] is handed a path and the bytes, and keeps them: in memory ([`MemorySink`]) or on disk
//! (`output`). Pages are put as they are made, so that a journal of thirty years never stands in
//! memory at once. Putting is in order and by one hand; making is parallel: [`put_each`] renders a
//! batch on all cores and puts it in the order of the list, so that the same site gives the same
//! calls, the same first error and the same bytes however many cores there are.

use std::collections::BTreeMap;
use std::fmt;

use rayon::prelude::*;

use crate::render::site_path::{SitePath, folded};

/// How many pages are in memory at once in [`put_each`].
const BATCH: usize = 64;

/// Takes the files of a site.
pub trait Sink {
    /// Takes one file; every path may be put once.
    ///
    /// # Errors
    /// [`Error::Twice`], [`Error::SameButForCase`] or [`Error::FileAndFolder`] if the path cannot
    /// stand beside one that was put before; [`Error::Keeping`] if the bytes cannot be kept. The site
    /// is then not to be finished.
    fn put(&mut self, path: &SitePath, bytes: Vec<u8>) -> Result<(), Error>;

    /// Takes the file of an earlier publish that stands at this path; `false` if there is none, or it was changed.
    ///
    /// # Errors
    /// As [`Sink::put`].
    fn put_standing(&mut self, _: &SitePath) -> Result<bool, Error> {
        Ok(false)
    }

    /// Hears how many of the new photographs are made, which takes longest of all.
    fn photographs_made(&mut self, _: usize, _of: usize) {}
}

/// Renders `items` in parallel, a batch ahead, and puts the results in the order of `items`.
///
/// # Errors
/// The first error in the order of `items`, from `render` or from the sink; nothing after it is put.
pub fn put_each<T, E>(
    sink: &mut dyn Sink,
    items: &[T],
    render: impl Fn(&T) -> Result<(SitePath, Vec<u8>), E> + Sync,
) -> Result<(), E>
where
    T: Sync,
    E: From<Error> + Send,
{
    let render_all = |batch: &[T]| batch.par_iter().map(&render).collect::<Vec<_>>();
    let mut batches = items.chunks(BATCH);
    let mut rendered = batches.next().map(render_all);
    while let Some(batch) = rendered.take() {
        // While one hand puts a batch, the others render the next.
        let next = batches.next();
        rayon::in_place_scope(|scope| {
            scope.spawn(|_| rendered = next.map(render_all));
            batch.into_iter().try_for_each(|result| {
                let (path, bytes) = result?;
                sink.put(&path, bytes).map_err(E::from)
            })
        })?;
    }
    Ok(())
}

/// Why a sink did not take a file.
#[derive(Debug)]
pub enum Error {
    /// The path was put before.
    Twice { path: SitePath },
    /// A file or folder was put before that some disks and hosts cannot tell from this one.
    SameButForCase {
        /// The later path, or the folder of it that is meant.
        path: String,
        earlier: String,
    },
    /// The path would have to be a file and a folder at once.
    FileAndFolder {
        /// What would have to be both.
        path: String,
    },
    /// The sink could not keep the bytes: the machine's own reason is inside.
    Keeping(Box<dyn std::error::Error + Send + Sync>),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::Twice { path } => {
                write!(f, "two pages or files of the site want the path {path}; rename one of them")
            }
            Error::SameButForCase { path, earlier } => write!(
                f,
                "{earlier} and {path} differ only in capitals or accents, which some disks and hosts \
                 take for one; rename one of them"
            ),
            Error::FileAndFolder { path } => {
                write!(
                    f,
                    "{path} would be both a file and a folder of the site; rename one of them"
                )
            }
            Error::Keeping(inner) => inner.fmt(f),
        }
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            // `Display` is the inner one's, so the chain goes on below it.
            Error::Keeping(inner) => inner.source(),
            _ => None,
        }
    }
}

/// A site in memory, for tests and for anyone who wants the bytes.
#[derive(Debug, Default)]
pub struct MemorySink {
    taken: Taken,
    files: BTreeMap<SitePath, Vec<u8>>,
}

impl MemorySink {
    /// A sink that holds nothing yet.
    pub fn new() -> MemorySink {
        MemorySink::default()
    }

    /// What was put so far, by path.
    pub fn files(&self) -> &BTreeMap<SitePath, Vec<u8>> {
        &self.files
    }

    /// The bytes at `path`, if some were put there.
    pub fn get(&self, path: &str) -> Option<&[u8]> {
        let path = SitePath::new(path).ok()?;
        self.files.get(&path).map(Vec::as_slice)
    }

    /// What was put, by path.
    pub fn into_files(self) -> BTreeMap<SitePath, Vec<u8>> {
        self.files
    }
}

impl Sink for MemorySink {
    fn put(&mut self, path: &SitePath, bytes: Vec<u8>) -> Result<(), Error> {
        self.taken.claim(path)?;
        self.files.insert(path.clone(), bytes);
        Ok(())
    }
}

/// The paths that are taken, so that every sink refuses the same ones.
#[derive(Debug, Default)]
pub(crate) struct Taken {
    /// Folded path → the path as it was put, for files and for the folders they stand in.
    entries: BTreeMap<String, Entry>,
}

#[derive(Debug)]
struct Entry {
    path: String,
    is_file: bool,
}

impl Taken {
    /// Takes `path`, or says why it cannot stand beside those already taken.
    pub(crate) fn claim(&mut self, path: &SitePath) -> Result<(), Error> {
        self.check(path)?;
        for folder in path.folders() {
            let entry = Entry { path: folder.to_owned(), is_file: false };
            self.entries.entry(folded(folder)).or_insert(entry);
        }
        let entry = Entry { path: path.as_str().to_owned(), is_file: true };
        self.entries.insert(path.folded(), entry);
        Ok(())
    }

    /// Whether [`Taken::claim`] would succeed.
    pub(crate) fn check(&self, path: &SitePath) -> Result<(), Error> {
        for folder in path.folders() {
            self.check_one(folder, false)?;
        }
        match self.check_one(path.as_str(), true)? {
            Some(_) => Err(Error::Twice { path: path.clone() }),
            None => Ok(()),
        }
    }

    fn check_one(&self, path: &str, is_file: bool) -> Result<Option<&Entry>, Error> {
        let Some(entry) = self.entries.get(&folded(path)) else { return Ok(None) };
        if entry.path != path {
            let earlier = entry.path.clone();
            return Err(Error::SameButForCase { path: path.to_owned(), earlier });
        }
        if entry.is_file != is_file {
            return Err(Error::FileAndFolder { path: path.to_owned() });
        }
        Ok(Some(entry))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> SitePath {
        SitePath::new(text).unwrap()
    }

    fn put(sink: &mut MemorySink, text: &str) -> Result<(), Error> {
        sink.put(&path(text), text.as_bytes().to_vec())
    }

    #[test]
    fn what_was_put_is_there() {
        let mut sink = MemorySink::new();
        put(&mut sink, "b/茄 é.html").unwrap();
        put(&mut sink, "a.html").unwrap();
        assert_eq!(sink.get("a.html"), Some("a.html".as_bytes()));
        assert_eq!(sink.get("c.html"), None);
        let paths: Vec<String> = sink.into_files().into_keys().map(|p| p.to_string()).collect();
        assert_eq!(paths, ["a.html", "b/茄 é.html"]);
    }

    #[test]
    fn a_path_is_put_once() {
        let mut sink = MemorySink::new();
        put(&mut sink, "a/b.html").unwrap();
        let error = put(&mut sink, "a/b.html").unwrap_err();
        assert!(matches!(&error, Error::Twice { path } if path.as_str() == "a/b.html"), "{error}");
    }

    #[test]
    fn paths_that_differ_only_in_case_are_refused() {
        for (first, second) in [
            ("crops/leek.html", "crops/Leek.html"),
            ("Crops/leek.html", "crops/chard.html"),
            ("crops/é.html", "crops/e\u{301}.html"),
            ("crops", "Crops/leek.html"),
        ] {
            let mut sink = MemorySink::new();
            put(&mut sink, first).unwrap();
            let error = put(&mut sink, second).unwrap_err();
            assert!(matches!(error, Error::SameButForCase { .. }), "{first} {second}: {error}");
        }
    }

    #[test]
    fn a_file_is_no_folder() {
        for (first, second) in [("a/b", "a/b/c"), ("a/b/c", "a/b"), ("a", "a/b/c")] {
            let mut sink = MemorySink::new();
            put(&mut sink, first).unwrap();
            let error = put(&mut sink, second).unwrap_err();
            assert!(matches!(error, Error::FileAndFolder { .. }), "{first} {second}: {error}");
        }
    }

    #[test]
    fn a_refused_path_leaves_no_trace() {
        let mut sink = MemorySink::new();
        put(&mut sink, "a").unwrap();
        put(&mut sink, "a/b").unwrap_err();
        assert_eq!(sink.files().len(), 1);
        put(&mut sink, "b").unwrap();
    }

    /// A sink that only remembers the order of the calls.
    struct Calls(Vec<String>);

    impl Sink for Calls {
        fn put(&mut self, path: &SitePath, _: Vec<u8>) -> Result<(), Error> {
            self.0.push(path.to_string());
            Ok(())
        }
    }

    fn slow_page(number: &u32) -> Result<(SitePath, Vec<u8>), Error> {
        // Early pages take longest, so that an order of completion would be another order.
        let work = (0..(300 - number) * 200).fold(0u32, |sum, n| sum.wrapping_mul(31) ^ n);
        Ok((path(&format!("{number:03}.html")), work.to_le_bytes().to_vec()))
    }

    #[test]
    fn pages_are_put_in_the_order_of_the_list_whatever_the_threads() {
        let numbers: Vec<u32> = (0..300).collect();
        let expected: Vec<String> = numbers.iter().map(|n| format!("{n:03}.html")).collect();
        for threads in [1, 8] {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let mut calls = Calls(Vec::new());
            pool.install(|| put_each(&mut calls, &numbers, slow_page)).unwrap();
            assert_eq!(calls.0, expected, "{threads} threads");
        }
    }

    #[test]
    fn the_first_error_of_the_list_wins_and_nothing_follows_it() {
        let numbers: Vec<u32> = (0..300).collect();
        let mut calls = Calls(Vec::new());
        let error = put_each(&mut calls, &numbers, |number| match number {
            100 | 101 | 290 => Err(Error::Keeping(format!("page {number}").into())),
            _ => slow_page(number),
        });
        assert_eq!(error.unwrap_err().to_string(), "page 100");
        assert_eq!(calls.0.len(), 100);
    }
}
