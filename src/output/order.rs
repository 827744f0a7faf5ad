//! The order in which finished files are put in place.
//!
//! While a site changes, someone may be reading it. So whatever a page leads to is there before the
//! page: first the files that pages use, then new pages, then changed ones; then what tells others
//! that something is new (feeds, data, site map), and the front page last.

use crate::render::site_path::SitePath;

/// A rank: lower goes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Rank {
    Asset,
    NewPage,
    ChangedPage,
    Feed,
    FrontPage,
}

/// The rank of the file at `path`; `is_new` if nothing of ours stands there yet.
pub(crate) fn rank(path: &SitePath, is_new: bool) -> Rank {
    if path.as_str() == "index.html" {
        return Rank::FrontPage;
    }
    match path.name().rsplit_once('.') {
        Some((_, "html")) if is_new => Rank::NewPage,
        Some((_, "html")) => Rank::ChangedPage,
        Some((_, "ics" | "xml" | "json")) => Rank::Feed,
        _ => Rank::Asset,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_page_uses_goes_first_and_the_front_page_last() {
        let mut files = [
            ("index.html", true),
            ("tasks.ics", false),
            ("journal.xml", true),
            ("garden.json", false),
            ("crops/leek/index.html", false),
            ("crops/chard/index.html", true),
            ("style.css", false),
            ("harvests.csv", true),
            ("LICENCE", true),
        ]
        .map(|(path, is_new)| (rank(&SitePath::new(path).unwrap(), is_new), path));
        files.sort();
        assert_eq!(
            files.map(|(_, path)| path),
            [
                "LICENCE",
                "harvests.csv",
                "style.css",
                "crops/chard/index.html",
                "crops/leek/index.html",
                "garden.json",
                "journal.xml",
                "tasks.ics",
                "index.html",
            ]
        );
    }
}
