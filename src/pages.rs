//! The files of a site and their bytes: the pages, as [`each_page`] lists them, and what stands beside them.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::card::{Kind, SIZE};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::pictures;
use crate::render::html::{Broken, Theme};
use crate::render::sink;
use crate::render::site_path::SitePath;
use crate::render::task_feed::FeedError;
use crate::render::{atom, csv, markdown, sitemap, task_feed as feed_bytes};
use crate::site::data::Data;
use crate::site::journal_feed::{self, JournalFeed};
use crate::site::lost::LostView;
use crate::site::message::Message;
use crate::site::page::{Page, Visit};
use crate::site::search::YearIndex;
use crate::site::sitemap::{SitemapPage, SitemapView};
use crate::site::task_feed::{TaskFeed, feed_path};
use crate::site::{
    data, each_page, growth_lines, harvests, search, sitemap as sitemap_view, tasks,
};
use crate::source::files::Files;

/// What the files of a site are made of.
pub(crate) struct SiteInputs<'a> {
    pub(crate) garden: &'a Garden,
    pub(crate) findings: &'a Findings,
    /// The task feeds that stood in the site folder, by path.
    pub(crate) earlier_feeds: &'a BTreeMap<String, Vec<u8>>,
    pub(crate) theme: &'a Theme,
    /// The theme's files; its assets go into the site as they are.
    pub(crate) files: &'a Files,
}

/// The theme's worker, which keeps pages for when there is no network. Browsers let one serve only what lies beside
/// or below it, so it goes to the root.
const WORKER: &str = "assets/offline.js";
const WORKER_GOES: &str = "offline.js";

type Make = Box<dyn Fn(&SiteInputs<'_>) -> Result<Vec<u8>, Broken> + Send + Sync>;

/// A file of the site.
pub(crate) struct File {
    /// Where it goes, from the root.
    path: String,
    make: Make,
}

/// Why a file could not be made or put.
#[derive(Debug)]
pub(crate) enum FileError {
    /// The theme does not fit.
    Broken(Broken),
    /// The sink would not take it.
    Sink(sink::Error),
}

impl From<sink::Error> for FileError {
    fn from(error: sink::Error) -> FileError {
        FileError::Sink(error)
    }
}

impl From<Broken> for FileError {
    fn from(broken: Broken) -> FileError {
        FileError::Broken(broken)
    }
}

/// Every file of the site.
pub(crate) fn all(garden: &Garden, findings: &Findings, theme: &Files) -> Vec<File> {
    let mut site = Site { garden, findings, files: Vec::new() };
    each_page(&mut site);
    let pages = site.files.iter();
    let pages: Vec<SitemapPage> =
        pages.map(|page| SitemapPage { path: page.path.clone(), changed: None }).collect();
    site.page::<LostView>();
    site.add(feed_path(garden, None), |inputs| task_feed(inputs, None));
    for (id, _) in garden.catalogue.crops() {
        if !garden.plantings_of(id).is_empty() {
            site.add(feed_path(garden, Some(id)), move |inputs| task_feed(inputs, Some(id)));
        }
    }
    site.add(journal_feed::PATH.to_owned(), journal_feed);
    site.add(harvests::TABLE_PATH.to_owned(), |inputs| {
        Ok(csv::harvests(&harvests::rows(inputs.garden)))
    });
    site.add(data::PATH.to_owned(), data);
    site.add(data::SCHEMA_PATH.to_owned(), |_| json(&data::schema()));
    site.add(search::NAMES_PATH.to_owned(), search_names);
    for year in search::years(garden) {
        site.add(search::year_path(year), move |inputs| search_year(inputs, year));
    }
    if let Some(address) = &garden.settings.site_address {
        site.add(growth_lines::CARD_PATH.to_owned(), card);
        let map = SitemapView::new(address.clone(), pages);
        let make = move |_: &SiteInputs<'_>| site_map(&map);
        site.add(sitemap_view::PATH.to_owned(), make);
    }
    for file in theme.iter().filter(|file| file.is_in("assets")) {
        let path = file.path.clone();
        let goes = if path == WORKER { WORKER_GOES } else { path.as_str() };
        site.add(goes.to_owned(), move |inputs| {
            let file = inputs.files.find(&path);
            file.map(|file| file.bytes.clone())
                .ok_or_else(|| Broken::new(format!("there is no {path}")))
        });
    }
    site.files
}

/// The files found so far.
struct Site<'a> {
    garden: &'a Garden,
    findings: &'a Findings,
    files: Vec<File>,
}

impl Site<'_> {
    fn add<M>(&mut self, path: String, make: M)
    where
        M: Fn(&SiteInputs<'_>) -> Result<Vec<u8>, Broken> + Send + Sync + 'static,
    {
        self.files.push(File { path, make: Box::new(make) });
    }
}

impl Visit for Site<'_> {
    fn page<P: Page>(&mut self) {
        for key in P::keys(self.garden) {
            if !P::is_needed(self.findings, &key) {
                continue;
            }
            let path = P::path(self.garden, &key);
            self.add(path, move |inputs| {
                inputs.theme.page(P::TEMPLATE, &P::view(inputs.garden, inputs.findings, &key))
            });
        }
    }
}

impl File {
    /// Its address and its bytes.
    ///
    /// # Errors
    /// If the theme does not fit, or the path cannot be one.
    pub(crate) fn render(&self, inputs: &SiteInputs<'_>) -> Result<(SitePath, Vec<u8>), Broken> {
        Ok((self.address()?, (self.make)(inputs)?))
    }

    /// Where it goes.
    ///
    /// # Errors
    /// If the path cannot be one.
    pub(crate) fn address(&self) -> Result<SitePath, Broken> {
        SitePath::new(self.path.as_str())
            .map_err(|bad| Broken::new(format!("{} cannot be a page address: {bad}", self.path)))
    }
}

fn task_feed(inputs: &SiteInputs<'_>, crop: Option<CropId>) -> Result<Vec<u8>, Broken> {
    let garden = inputs.garden;
    let feed = TaskFeed::new(garden, &inputs.findings.tasks, crop);
    let earlier = inputs.earlier_feeds.get(&feed_path(garden, crop)).map(Vec::as_slice);
    let site = garden.settings.site_address.as_deref();
    feed_bytes::bytes(&feed, site, inputs.theme.words(), earlier).map_err(|error| match error {
        FeedError::NoWords(missing) => Broken::from(missing),
        FeedError::Fault(fault) => {
            Broken::new(format!("the task feed contradicts itself: {fault:?}"))
        }
    })
}

fn journal_feed(inputs: &SiteInputs<'_>) -> Result<Vec<u8>, Broken> {
    let words = inputs.theme.words();
    let untitled = |date| words.say(&Message::new("title.day").with("date", date));
    let feed = JournalFeed::new(inputs.garden);
    for entry in &feed.entries {
        untitled(entry.entry.published)?;
    }
    let view = feed.filled(|entry| {
        let title = match entry.entry.title.as_str() {
            "" => untitled(entry.entry.published).unwrap_or_default(),
            title => title.to_owned(),
        };
        (title, markdown::to_html(&entry.prose, ""))
    });
    let view = view
        .map_err(|repeated| Broken::new(format!("two entries have the same id: {repeated:?}")))?;
    Ok(atom::bytes(&view))
}

fn data(inputs: &SiteInputs<'_>) -> Result<Vec<u8>, Broken> {
    let mut whys = Vec::new();
    for task in &inputs.findings.tasks {
        whys.push(inputs.theme.words().say(&tasks::why(task.why))?);
    }
    let data = Data::new(inputs.garden, inputs.findings, |index| whys[index].clone());
    json(&data)
}

fn site_map(map: &SitemapView) -> Result<Vec<u8>, Broken> {
    sitemap::bytes(map).ok_or_else(|| {
        Broken::new("sitemap.xml needs a `site-address` that begins with https://".to_owned())
    })
}

/// The preview card of pages without a photograph, in the colours of the built-in theme by day.
fn card(inputs: &SiteInputs<'_>) -> Result<Vec<u8>, Broken> {
    let blocks = growth_lines::card(inputs.garden, inputs.findings);
    let blocks = blocks.iter().map(|block| {
        let colour = match block.kind {
            Kind::Frost => [0xe5, 0xe2, 0xd8],
            Kind::Month => [0xd8, 0xd3, 0xc4],
            Kind::Growing => [0x25, 0x6c, 0x4e],
            Kind::Picked => [0x8f, 0x2d, 0x1c],
            Kind::Today => [0x1b, 0x24, 0x32],
        };
        (block.x, block.y, colour)
    });
    pictures::painted(SIZE, [0xf4, 0xf1, 0xe8], blocks)
        .ok_or_else(|| Broken::new("the preview card cannot be written".to_owned()))
}

/// The names that the search knows: what, where, and what kind of thing it is.
fn search_names(inputs: &SiteInputs<'_>) -> Result<Vec<u8>, Broken> {
    let words = inputs.theme.words();
    let mut names = Vec::new();
    for entry in search::names(inputs.garden) {
        names.push([words.say(&entry.link.name())?, entry.link.href, words.say(&entry.what)?]);
    }
    called(&serde_json::json!({"names": names, "years": search::years(inputs.garden)}))
}

/// The entries of a year with their words, and the plantings that ended in it.
fn search_year(inputs: &SiteInputs<'_>, year: i32) -> Result<Vec<u8>, Broken> {
    let words = inputs.theme.words();
    let index = YearIndex::new(inputs.garden, year);
    let mut names = Vec::new();
    for link in index.plantings {
        let what = words.say(&Message::new("letters.planting"))?;
        names.push([words.say(&link.name())?, link.href, what]);
    }
    let mut entries = Vec::new();
    for entry in index.entries {
        let day = words.date(entry.date, "full")?;
        let title = entry.title.unwrap_or_else(|| day.clone());
        entries.push([title, entry.href, day, entry.words]);
    }
    called(&serde_json::json!({"names": names, "entries": entries}))
}

/// Data as a script that hands it over: a page that lies on a disk may load scripts, and nothing else.
fn called(value: &serde_json::Value) -> Result<Vec<u8>, Broken> {
    let json = serde_json::to_string(value)
        .map_err(|error| Broken::new(format!("the search cannot be written: {error}")))?;
    Ok(format!("trugFound({json});\n").into_bytes())
}

fn json(value: &impl Serialize) -> Result<Vec<u8>, Broken> {
    let mut bytes = serde_json::to_vec_pretty(value)
        .map_err(|error| Broken::new(format!("the data cannot be written: {error}")))?;
    bytes.push(b'\n');
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A value that cannot be written.
    struct Unwritable;

    impl Serialize for Unwritable {
        fn serialize<S: serde::Serializer>(&self, _: S) -> Result<S::Ok, S::Error> {
            Err(serde::ser::Error::custom("no such figure"))
        }
    }

    /// garden.json and its schema are written by this.
    #[test]
    fn data_that_cannot_be_written_is_an_error_and_no_empty_file() {
        let broken = json(&Unwritable).unwrap_err();
        assert!(broken.message.contains("no such figure"), "{}", broken.message);
        assert_eq!(json(&1).unwrap(), b"1\n");
    }

    #[test]
    fn a_sitemap_of_no_web_address_is_an_error_and_no_empty_file() {
        let pages = || vec![SitemapPage { path: "crops/".to_owned(), changed: None }];
        let of = |site: &str| site_map(&SitemapView::new(site.to_owned(), pages()));
        assert!(of("ftp://garden.example/").unwrap_err().message.contains("site-address"));
        assert!(of("https://garden.example/").is_ok());
    }
}
