//! Where a value was written: a file, and the bytes in it. No text, no path, no reading.
//!
//! Every value that came from the grower carries an [`Origin`], so that a problem found much later
//! can still underline the word that caused it. ('Place' means a bed or a pot in this project.)

/// Which file, as an index into the list of files that were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of bytes counted from the start of the file; `end` is not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The first byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// Where something was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Not in a file: the command line, or a value that trug supplied.
    Nowhere,
    /// A file as a whole: it cannot be read, or something is missing from it.
    File(FileId),
    /// Some bytes of a file.
    Span(FileId, Span),
}

impl Origin {
    /// The bytes `start..end` of `file`.
    pub fn span(file: FileId, start: usize, end: usize) -> Origin {
        // Files over 4 GiB are refused long before; saturating keeps this total.
        let clamp = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Origin::Span(file, Span { start: clamp(start), end: clamp(end.max(start)) })
    }

    /// The file, if there is one.
    pub fn file(self) -> Option<FileId> {
        match self {
            Origin::Nowhere => None,
            Origin::File(file) | Origin::Span(file, _) => Some(file),
        }
    }

    /// The bytes as a range, for an origin that names some.
    pub fn range(self) -> Option<std::ops::Range<usize>> {
        match self {
            Origin::Span(_, span) => Some(span.start as usize..span.end as usize),
            _ => None,
        }
    }

    /// From the start of this origin to the end of `last`, where both are in one file.
    pub fn through(self, last: Origin) -> Origin {
        match (self, last) {
            (Origin::Span(file, a), Origin::Span(other, b)) if file == other => {
                Origin::Span(file, Span { start: a.start, end: b.end.max(a.end) })
            }
            _ => self,
        }
    }

    /// The order in which problems are told: by file, then from top to bottom.
    pub fn reading_order(self) -> (u32, u32, u32) {
        match self {
            Origin::Nowhere => (0, 0, 0),
            Origin::File(FileId(file)) => (file + 1, 0, 0),
            Origin::Span(FileId(file), span) => (file + 1, span.start, span.end),
        }
    }
}

/// A value together with where it was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written<T> {
    /// What was written.
    pub value: T,
    pub at: Origin,
}

impl<T> Written<T> {
    /// A value written at `at`.
    pub fn new(value: T, at: Origin) -> Written<T> {
        Written { value, at }
    }

    /// The same place, another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Written<U> {
        Written { value: change(self.value), at: self.at }
    }

    /// The same place, the value borrowed.
    pub fn as_ref(&self) -> Written<&T> {
        Written { value: &self.value, at: self.at }
    }
}
