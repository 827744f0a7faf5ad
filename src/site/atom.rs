//! The journal as a news feed, as a value.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::fmt;

use chrono::NaiveDate;
use serde::Serialize;

/// A news feed. Made by [`AtomView::new`], which alone keeps the rules.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AtomView {
    /// What is said of the feed as a whole.
    pub about: AtomAbout,
    /// Newest first.
    entries: Vec<AtomEntry>,
}

/// What is said of a news feed as a whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AtomAbout {
    pub title: String,
    /// An IRI that never changes: see [`crate::site::identity::atom_id`].
    pub id: String,
    /// Who writes it.
    pub author: String,
    /// The language of the entries as a BCP 47 tag, e.g. `en`.
    pub language: Option<String>,
    /// Where the site is published. Without it every link is relative to the feed's file.
    pub site: Option<String>,
    /// The feed's own file, from the root of the site: `journal.xml`.
    pub file: String,
    /// The page that shows the same entries, from the root of the site: `journal/`.
    pub page: String,
    /// When a feed without entries was last updated: the garden's first day, say.
    pub begun: NaiveDate,
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AtomEntry {
    /// An IRI that never changes.
    pub id: String,
    /// The entry's title; may be empty.
    pub title: String,
    /// The entry's page, from the root of the site, or an absolute address.
    pub href: String,
    /// The entry's date.
    pub published: NaiveDate,
    /// The day of its last change that a reader should notice; the entry's date if none is known.
    pub updated: NaiveDate,
    /// In short.
    pub summary: Option<AtomText>,
    /// In full. Links inside it are relative to `href`.
    pub content: Option<AtomText>,
}

/// A text, and how it is to be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AtomText {
    /// Words.
    Plain(String),
    /// A piece of HTML, already cleaned, fit to stand inside a `div`.
    Html(String),
}

/// Two entries have this id: a reader would show only one of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RepeatedId(pub String);

impl AtomView {
    /// Sorts the entries newest first: by `updated`, `published`, then id.
    ///
    /// All entries are kept; a long journal is cut by who gathers them.
    ///
    /// # Errors
    /// [`RepeatedId`] if an id stands twice.
    pub fn new(about: AtomAbout, mut entries: Vec<AtomEntry>) -> Result<AtomView, RepeatedId> {
        let mut seen = BTreeSet::new();
        if let Some(twice) = entries.iter().find(|entry| !seen.insert(entry.id.as_str())) {
            return Err(RepeatedId(twice.id.clone()));
        }
        entries.sort_by(|a, b| {
            let newest_first = (Reverse(a.updated), Reverse(a.published));
            newest_first
                .cmp(&(Reverse(b.updated), Reverse(b.published)))
                .then_with(|| a.id.cmp(&b.id))
        });
        Ok(AtomView { about, entries })
    }

    /// The entries, newest first.
    pub fn entries(&self) -> &[AtomEntry] {
        &self.entries
    }

    /// The day of the newest entry; [`AtomAbout::begun`] if there is none.
    pub fn updated(&self) -> NaiveDate {
        self.entries.first().map_or(self.about.begun, |entry| entry.updated)
    }
}

impl fmt::Display for RepeatedId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "two entries of the news feed have the id {}", self.0)
    }
}

impl std::error::Error for RepeatedId {}
