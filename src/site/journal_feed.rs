//! The journal as a feed of entries.

use crate::garden::model::Garden;
use crate::site::atom::{AtomAbout, AtomEntry, AtomText, AtomView, RepeatedId};
use crate::site::entry::{EntryView, linked};
use crate::site::identity::{atom_id, garden_parts};
use crate::site::journal::{JournalView, shown};
use crate::site::page::Page;

/// Its file, from the root.
pub const PATH: &str = "journal.xml";

/// The newest entries in the feed; readers keep what they have seen.
const NEWEST: usize = 50;

/// An entry of the feed before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedEntry {
    /// The entry as far as it needs no words; its title is empty if it has none of its own.
    pub entry: AtomEntry,
    /// The prose as Markdown, with links that start at the entry's page.
    pub prose: String,
}

/// The journal's feed before its words are put in.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalFeed {
    pub about: AtomAbout,
    /// Its entries, newest first.
    pub entries: Vec<FeedEntry>,
}

impl JournalFeed {
    /// The newest entries that may be shown.
    pub fn new(garden: &Garden) -> JournalFeed {
        let own = garden_parts(&garden.settings);
        let own_id = |parts: &[&str]| {
            atom_id(
                &own.iter().map(String::as_str).chain(parts.iter().copied()).collect::<Vec<_>>(),
            )
        };
        let entries = shown(garden)
            .rev()
            .take(NEWEST)
            .map(|(id, entry)| {
                let href = EntryView::path(garden, &id);
                let root = "../".repeat(href.matches('/').count());
                FeedEntry {
                    entry: AtomEntry {
                        id: own_id(&["journal", &entry.address]),
                        title: entry.title.clone().unwrap_or_default().to_string(),
                        href,
                        published: entry.date,
                        updated: entry.date,
                        summary: None,
                        content: None,
                    },
                    prose: linked(garden, &entry.prose, &root),
                }
            })
            .collect();
        JournalFeed {
            about: AtomAbout {
                title: garden.settings.name.clone(),
                id: own_id(&["journal"]),
                author: garden.settings.name.clone(),
                language: Some(garden.settings.language.value.clone()),
                site: garden.settings.site_address.clone(),
                file: PATH.to_owned(),
                page: JournalView::PART.href.to_owned(),
                begun: garden.season().days.from,
            },
            entries,
        }
    }

    /// The feed once titles and prose have become text.
    ///
    /// # Errors
    /// If two entries have the same id.
    pub fn filled(
        self,
        fill: impl Fn(&FeedEntry) -> (String, String),
    ) -> Result<AtomView, RepeatedId> {
        let entries = self
            .entries
            .iter()
            .map(|entry| {
                let (title, html) = fill(entry);
                let content = (!html.is_empty()).then_some(AtomText::Html(html));
                AtomEntry { title, content, ..entry.entry.clone() }
            })
            .collect();
        AtomView::new(self.about, entries)
    }
}
