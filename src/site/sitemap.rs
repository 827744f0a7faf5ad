//! The list of pages for search engines, as a value.

use chrono::NaiveDate;
use serde::Serialize;

/// Where it lies, from the root.
pub const PATH: &str = "sitemap.xml";

/// The most addresses one sitemap may hold (sitemaps.org protocol 0.9, 'Using Sitemap index files').
pub const MOST_PAGES: usize = 50_000;

/// The pages of a site whose address is known.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SitemapView {
    /// Where the site is published, as an absolute address.
    pub site: String,
    /// Sorted by path, each once; at most [`MOST_PAGES`].
    pages: Vec<SitemapPage>,
}

/// One page.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct SitemapPage {
    /// From the root of the site: empty for the first page, `crops/leek/`.
    pub path: String,
    /// The day what it says last changed, if that is known.
    pub changed: Option<NaiveDate>,
}

impl SitemapView {
    /// Sorts the pages by path and keeps each path once, with its latest day. Of too many, the last in
    /// that order are dropped: a garden would have to be written up for a century first.
    pub fn new(site: String, mut pages: Vec<SitemapPage>) -> SitemapView {
        pages.sort_by(|a, b| {
            (&a.path, std::cmp::Reverse(a.changed)).cmp(&(&b.path, std::cmp::Reverse(b.changed)))
        });
        pages.dedup_by(|later, kept| later.path == kept.path);
        pages.truncate(MOST_PAGES);
        SitemapView { site, pages }
    }

    /// The pages, by path.
    pub fn pages(&self) -> &[SitemapPage] {
        &self.pages
    }
}
