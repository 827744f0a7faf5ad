//! Which pages a site has, and what each is made of: a view and a template.

use std::collections::BTreeMap;

use crate::care::tasks::away::Absence;
use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::EntryId;
use crate::raising::shopping::Span;
use crate::render::html::{Broken, Theme};
use crate::render::sink;
use crate::render::site_path::SitePath;
use crate::render::task_feed::FeedError;
use crate::render::words::NoWords;
use crate::render::{atom, csv, markdown, sitemap, task_feed as feed_bytes};
use crate::results::review::seasons;
use crate::site::away::{self, HelperView};
use crate::site::calendar::CalendarView;
use crate::site::climate::ClimateView;
use crate::site::comparisons::{self, ComparisonsView};
use crate::site::crops::{CropView, CropsView};
use crate::site::data::Data;
use crate::site::feeds::FeedView;
use crate::site::frame::{crop_path, entry_path, mix_path, place_path, planting_path};
use crate::site::harvests::{self, HarvestsView};
use crate::site::home::HomeView;
use crate::site::journal::{self, EntryView, JournalView, Month, MonthView};
use crate::site::journal_feed::JournalFeed;
use crate::site::learned::{self, HoldsView};
use crate::site::lost::LostView;
use crate::site::message::Message;
use crate::site::mixes::{self, MixView, MixesView};
use crate::site::places::{PlaceView, PlacesView};
use crate::site::plantings::{PlantingView, PlantingsView};
use crate::site::review::{self, ReviewView};
use crate::site::seed::{self, SeedView};
use crate::site::shopping::{self, ShoppingView};
use crate::site::sitemap::{SitemapPage, SitemapView};
use crate::site::task_feed::{TaskFeed, feed_path};
use crate::site::tasks::{self, TasksView};
use crate::site::timeline::{self, TimelineView};
use crate::source::files::Files;

/// A file of the site.
#[derive(Clone, Debug)]
pub struct Page {
    /// Where it goes, from the root.
    pub path: String,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    Home,
    Tasks,
    Helper(Absence),
    Plantings,
    Planting(PlantingId),
    Crops,
    Crop(CropId),
    Places,
    Place(PlaceId),
    Mixes,
    Mix(usize),
    Timeline,
    Seed,
    Shopping(Span),
    Harvests(Season),
    Comparisons,
    Review(Season),
    Journal,
    Month(Month),
    Entry(EntryId),
    Calendar,
    Holds,
    Climate,
    Lost,
    TaskFeed(Option<CropId>),
    JournalFeed,
    HarvestTable,
    Data,
    Sitemap(Vec<SitemapPage>),
    Asset,
}

/// Why a page could not be made.
#[derive(Debug)]
pub enum PageError {
    /// The theme does not fit.
    Broken(Broken),
    /// The sink would not take it.
    Sink(sink::Error),
}

impl From<sink::Error> for PageError {
    fn from(error: sink::Error) -> PageError {
        PageError::Sink(error)
    }
}

impl From<Broken> for PageError {
    fn from(broken: Broken) -> PageError {
        PageError::Broken(broken)
    }
}

impl From<NoWords> for PageError {
    fn from(missing: NoWords) -> PageError {
        PageError::Broken(Broken {
            template: String::new(),
            span: None,
            message: format!("the theme has no words for `{}`", missing.0),
        })
    }
}

/// Every file of the site.
pub fn all(garden: &Garden, theme: &Files) -> Vec<Page> {
    let mut pages: Vec<Page> = Vec::new();
    let mut add = |path: String, kind: Kind| pages.push(Page { path, kind });
    add("index.html".to_owned(), Kind::Home);
    add("tasks/index.html".to_owned(), Kind::Tasks);
    for absence in away::sheets(garden) {
        add(away::path_of(&absence), Kind::Helper(absence));
    }
    add("plantings/index.html".to_owned(), Kind::Plantings);
    for (id, planting) in garden.plantings() {
        add(planting_path(&planting.slug), Kind::Planting(id));
    }
    add("crops/index.html".to_owned(), Kind::Crops);
    for (id, crop) in garden.catalogue.crops() {
        add(crop_path(&crop.slug), Kind::Crop(id));
    }
    add("places/index.html".to_owned(), Kind::Places);
    for (id, place) in garden.places() {
        add(place_path(&place.slug), Kind::Place(id));
    }
    add(timeline::PATH.to_owned(), Kind::Timeline);
    add(mixes::PATH.to_owned(), Kind::Mixes);
    for (index, sheet) in garden.mixes.iter().enumerate() {
        add(mix_path(sheet), Kind::Mix(index));
    }
    add(seed::PATH.to_owned(), Kind::Seed);
    for span in Span::ALL {
        add(shopping::path_of(span).to_owned(), Kind::Shopping(span));
    }
    for season in harvests::seasons(garden) {
        add(harvests::path_of(garden, season), Kind::Harvests(season));
    }
    add(comparisons::PATH.to_owned(), Kind::Comparisons);
    for season in seasons(garden) {
        add(review::path_of(garden, season), Kind::Review(season));
    }
    add("journal/index.html".to_owned(), Kind::Journal);
    for month in journal::months(garden) {
        add(month.href.clone(), Kind::Month(month));
    }
    for (id, entry) in journal::shown(garden) {
        add(entry_path(&entry.address), Kind::Entry(id));
    }
    add("calendar/index.html".to_owned(), Kind::Calendar);
    add(learned::PATH.to_owned(), Kind::Holds);
    add("climate/index.html".to_owned(), Kind::Climate);
    let listed: Vec<SitemapPage> =
        pages.iter().map(|page| SitemapPage { path: page.path.clone(), changed: None }).collect();
    let mut add = |path: String, kind: Kind| pages.push(Page { path, kind });
    add("404.html".to_owned(), Kind::Lost);
    add(feed_path(garden, None), Kind::TaskFeed(None));
    for (id, _) in garden.catalogue.crops() {
        if garden.plantings.iter().any(|planting| planting.crop == id) {
            add(feed_path(garden, Some(id)), Kind::TaskFeed(Some(id)));
        }
    }
    add("journal.xml".to_owned(), Kind::JournalFeed);
    add("harvests.csv".to_owned(), Kind::HarvestTable);
    add("garden.json".to_owned(), Kind::Data);
    if garden.settings.site_address.is_some() {
        add("sitemap.xml".to_owned(), Kind::Sitemap(listed));
    }
    for file in theme.iter().filter(|file| file.is_in("assets")) {
        add(file.path.clone(), Kind::Asset);
    }
    pages
}

/// The bytes of a page.
///
/// # Errors
/// If the theme does not fit, or the page's path cannot be one.
pub fn render(
    page: &Page,
    garden: &Garden,
    findings: &Findings,
    earlier_feeds: &BTreeMap<String, Vec<u8>>,
    theme: &Theme,
    files: &Files,
) -> Result<(SitePath, Vec<u8>), PageError> {
    let bytes = match &page.kind {
        Kind::Home => theme.page("home.html", &HomeView::new(garden, findings))?,
        Kind::Tasks => theme.page("tasks.html", &TasksView::new(garden, findings))?,
        Kind::Helper(absence) => {
            theme.page("away.html", &HelperView::new(garden, findings, absence))?
        }
        Kind::Plantings => theme.page("plantings.html", &PlantingsView::new(garden, findings))?,
        Kind::Planting(id) => {
            theme.page("planting.html", &PlantingView::new(garden, findings, *id))?
        }
        Kind::Crops => theme.page("crops.html", &CropsView::new(garden))?,
        Kind::Crop(id) => theme.page("crop.html", &CropView::new(garden, findings, *id))?,
        Kind::Places => theme.page("places.html", &PlacesView::new(garden, findings))?,
        Kind::Place(id) => theme.page("place.html", &PlaceView::new(garden, findings, *id))?,
        Kind::Timeline => theme.page("timeline.html", &TimelineView::new(garden, findings))?,
        Kind::Mixes => theme.page("mixes.html", &MixesView::new(garden))?,
        Kind::Mix(index) => mix(garden, findings, theme, *index)?,
        Kind::Shopping(span) => {
            theme.page("shopping.html", &ShoppingView::new(garden, findings, *span))?
        }
        Kind::Seed => theme.page("seed.html", &SeedView::new(garden, findings))?,
        Kind::Harvests(season) => {
            theme.page("harvests.html", &HarvestsView::new(garden, findings, *season))?
        }
        Kind::Review(season) => {
            theme.page("review.html", &ReviewView::new(garden, findings, *season))?
        }
        Kind::Comparisons => {
            theme.page("comparisons.html", &ComparisonsView::new(garden, findings))?
        }
        Kind::Journal => theme.page("journal.html", &JournalView::new(garden))?,
        Kind::Month(month) => theme.page("month.html", &MonthView::new(garden, month))?,
        Kind::Entry(id) => theme.page("entry.html", &EntryView::new(garden, *id))?,
        Kind::Calendar => theme.page("calendar.html", &CalendarView::new(garden, findings))?,
        Kind::Holds => theme.page("holds.html", &HoldsView::new(garden, findings))?,
        Kind::Climate => theme.page("climate.html", &ClimateView::new(garden, findings))?,
        Kind::Lost => theme.page("404.html", &LostView::new(garden))?,
        Kind::TaskFeed(crop) => {
            let earlier = earlier_feeds.get(&page.path).map(Vec::as_slice);
            task_feed(garden, findings, earlier, theme, *crop)?
        }
        Kind::JournalFeed => journal_feed(garden, theme)?,
        Kind::HarvestTable => csv::harvests(&harvests::rows(garden)),
        Kind::Data => data(garden, findings, theme)?,
        Kind::Sitemap(pages) => {
            let site = garden.settings.site_address.clone().unwrap_or_default();
            sitemap::bytes(&SitemapView::new(site, pages.clone())).unwrap_or_default()
        }
        Kind::Asset => files.find(&page.path).map_or(Vec::new(), |file| file.bytes.clone()),
    };
    let path = SitePath::new(page.path.as_str()).map_err(|bad| Broken {
        template: String::new(),
        span: None,
        message: format!("{} cannot be a page address: {bad}", page.path),
    })?;
    Ok((path, bytes))
}

/// A sheet of `mixes/` is a mix or a feed.
fn mix(
    garden: &Garden,
    findings: &Findings,
    theme: &Theme,
    index: usize,
) -> Result<Vec<u8>, PageError> {
    let sheet = &garden.mixes[index];
    let coming = || tasks::plantings_to_feed(garden, &findings.tasks, sheet);
    Ok(match (MixView::new(garden, sheet), FeedView::new(garden, sheet, coming())) {
        (Some(mix), _) => theme.page("mix.html", &mix)?,
        (None, Some(feed)) => theme.page("feed.html", &feed)?,
        (None, None) => Vec::new(),
    })
}

fn task_feed(
    garden: &Garden,
    findings: &Findings,
    earlier: Option<&[u8]>,
    theme: &Theme,
    crop: Option<CropId>,
) -> Result<Vec<u8>, PageError> {
    let feed = TaskFeed::new(garden, &findings.tasks, crop);
    let site = garden.settings.site_address.as_deref();
    feed_bytes::bytes(&feed, site, theme.words(), earlier).map_err(|error| match error {
        FeedError::NoWords(missing) => PageError::from(missing),
        FeedError::Fault(fault) => PageError::Broken(Broken {
            template: String::new(),
            span: None,
            message: format!("the task feed contradicts itself: {fault:?}"),
        }),
    })
}

fn journal_feed(garden: &Garden, theme: &Theme) -> Result<Vec<u8>, PageError> {
    let words = theme.words();
    let untitled = |date| words.say(&Message::new("title.day").with("date", date));
    let feed = JournalFeed::new(garden);
    for entry in &feed.entries {
        untitled(entry.entry.published)?;
    }
    let view = feed.filled(|entry| {
        let title = match entry.entry.title.as_str() {
            "" => untitled(entry.entry.published).unwrap_or_default(),
            title => title.to_owned(),
        };
        (title, markdown::to_html(&entry.prose))
    });
    let view = view.map_err(|repeated| Broken {
        template: String::new(),
        span: None,
        message: format!("two entries have the same id: {repeated:?}"),
    })?;
    Ok(atom::bytes(&view))
}

fn data(garden: &Garden, findings: &Findings, theme: &Theme) -> Result<Vec<u8>, PageError> {
    let mut whys = Vec::new();
    for task in &findings.tasks {
        whys.push(theme.words().say(&tasks::why(task.why))?);
    }
    let data = Data::new(garden, findings, |index| whys[index].clone());
    let mut bytes = serde_json::to_vec_pretty(&data).unwrap_or_default();
    bytes.push(b'\n');
    Ok(bytes)
}
