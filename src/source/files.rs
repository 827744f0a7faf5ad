//! Files in memory by relative path, each with a number by which an [`Origin`] names it.

use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

use crate::origin::{FileId, Origin};

/// A table of a year, a picture of the theme; a file above this size is a mistake.
pub const LARGEST: usize = 8 * 1024 * 1024;

/// An entry, a sheet, settings: somebody wrote them by hand, and forty thousand words are more than a day has.
pub const LARGEST_TEXT: usize = 256 * 1024;

/// One file, whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    pub id: FileId,
    /// Its path below the folder that was read, with `/` between the parts.
    pub path: String,
    pub bytes: Vec<u8>,
}

impl File {
    /// The text, if the bytes are UTF-8; otherwise where the first wrong byte is.
    pub fn text(&self) -> Result<&str, usize> {
        std::str::from_utf8(&self.bytes).map_err(|error| error.valid_up_to())
    }

    /// The text with replacement characters where the bytes are not UTF-8; only to be shown.
    pub fn text_to_show(&self) -> Cow<'_, str> {
        String::from_utf8_lossy(&self.bytes)
    }

    /// The file as a whole.
    pub fn origin(&self) -> Origin {
        Origin::File(self.id)
    }

    /// The last part of the path without its ending: `leek` of `crops/leek.md`.
    pub fn stem(&self) -> &str {
        let name = self.path.rsplit('/').next().unwrap_or(&self.path);
        name.rsplit_once('.').map_or(name, |(stem, _)| stem)
    }

    /// Whether the path lies below this folder.
    pub fn is_in(&self, folder: &str) -> bool {
        self.path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'))
    }

    /// Whether the name ends so, in any case: `md`, `csv`.
    pub fn ends_in(&self, ending: &str) -> bool {
        self.path.rsplit_once('.').is_some_and(|(_, found)| found.eq_ignore_ascii_case(ending))
    }
}

/// A large file, of which only its name, size and age are known until it is read.
#[derive(Clone)]
pub struct LargeFile {
    /// Its path below the folder that was read, with `/` between the parts.
    pub path: String,
    /// In bytes.
    pub size: u64,
    /// When it was last written, in nanoseconds of the Unix epoch; 0 where the machine does not say.
    pub written: u128,
    pub read: ReadFile,
}

/// Reads a file, or says why the machine would not.
pub type ReadFile = Arc<dyn Fn() -> Result<Vec<u8>, String> + Send + Sync>;

impl LargeFile {
    /// One whose bytes are in memory already.
    pub fn held(path: String, bytes: Vec<u8>) -> LargeFile {
        let size = bytes.len() as u64;
        LargeFile { path, size, written: 0, read: Arc::new(move || Ok(bytes.clone())) }
    }
}

impl fmt::Debug for LargeFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({} bytes)", self.path, self.size)
    }
}

/// All files of a folder, in the order of their paths whatever order they came in.
#[derive(Clone, Debug, Default)]
pub struct Files {
    first: u32,
    list: Vec<File>,
    large: Vec<LargeFile>,
}

impl Files {
    /// Files by path; numbers start at `first`, so that two folders can be read side by side.
    pub fn new(first: FileId, pairs: impl IntoIterator<Item = (String, Vec<u8>)>) -> Files {
        let mut pairs: Vec<_> = pairs.into_iter().collect();
        pairs.sort();
        let list = pairs
            .into_iter()
            .zip(first.0..)
            .map(|((path, bytes), id)| File { id: FileId(id), path, bytes })
            .collect();
        Files { first: first.0, list, large: Vec::new() }
    }

    /// The same with large files beside the others.
    pub fn with_large(self, mut large: Vec<LargeFile>) -> Files {
        large.sort_by(|a, b| a.path.cmp(&b.path));
        Files { large, ..self }
    }

    /// The large files, by path.
    pub fn large(&self) -> &[LargeFile] {
        &self.large
    }

    /// The large file of this path.
    pub fn find_large(&self, path: &str) -> Option<&LargeFile> {
        let index = self.large.binary_search_by(|file| file.path.as_str().cmp(path)).ok()?;
        self.large.get(index)
    }

    /// The number that the next folder may start at.
    pub fn next_id(&self) -> FileId {
        FileId(self.first + self.list.len() as u32)
    }

    /// All of them, by path.
    pub fn iter(&self) -> std::slice::Iter<'_, File> {
        self.list.iter()
    }

    /// The file of this number.
    pub fn get(&self, id: FileId) -> Option<&File> {
        let index = id.0.checked_sub(self.first)?;
        self.list.get(index as usize)
    }

    /// The file of this path.
    pub fn find(&self, path: &str) -> Option<&File> {
        let index = self.list.binary_search_by(|file| file.path.as_str().cmp(path)).ok()?;
        self.list.get(index)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbered_by_path_not_by_arrival() {
        let pair = |path: &str| (path.to_owned(), Vec::new());
        let files = Files::new(FileId(7), [pair("b.md"), pair("a/c.md")]);
        let ids: Vec<_> = files.iter().map(|file| (file.id.0, file.path.as_str())).collect();
        assert_eq!(ids, [(7, "a/c.md"), (8, "b.md")]);
        assert_eq!(files.get(FileId(8)).map(|file| file.stem()), Some("b"));
        assert!(files.get(FileId(6)).is_none() && files.get(FileId(9)).is_none());
        assert!(files.find("a/c.md").is_some_and(|file| file.is_in("a") && file.ends_in("MD")));
    }
}
