//! What is recorded besides the history of plantings: entries, care, pickings, weather, money.

use chrono::NaiveDate;

use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::shown::{Kept, Shown};
use crate::jobs::Job;
use crate::origin::Origin;
use crate::units::{Amount, Mass};

/// Which entry, as an index into the garden's entries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(pub usize);

/// Where a record comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The entry; nothing for a row of a table.
    pub entry: Option<EntryId>,
    pub at: Origin,
    /// Whether only its figures may be shown: no words, no link.
    pub is_private: bool,
}

/// An entry as it is shown. A private one has no words here at all.
#[derive(Clone, Debug)]
pub struct EntryRecord {
    /// The day it is about.
    pub date: NaiveDate,
    /// Its heading, if it has one.
    pub title: Option<Shown>,
    /// Its page address below `journal/`: `2026/02/22-sunday-catching-up`.
    pub address: Shown,
    /// The prose, as Markdown.
    pub prose: Shown,
    /// A remark on the day's weather.
    pub sky: Option<Shown>,
    /// Words by which entries are found again.
    pub tags: Vec<Shown>,
    /// Photographs to be shown with it.
    pub photos: Vec<Photo>,
    /// Whether only its figures may be shown; such an entry has no page.
    pub is_private: bool,
    /// Plantings it tells about, in the order of the page.
    pub plantings: Vec<PlantingId>,
}

/// A photograph of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// Its path in the content folder.
    pub file: Shown,
    /// What it shows, in the grower's words.
    pub shows: Shown,
    /// Where it is written.
    pub at: Origin,
}

/// Whom a record is about, after names were looked up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    pub plantings: Vec<PlantingId>,
    /// Places that were named themselves.
    pub places: Vec<PlaceId>,
}

/// Work that was done.
#[derive(Clone, Debug)]
pub struct CareRecord {
    pub date: NaiveDate,
    pub about: About,
    pub did: Job,
    /// The total.
    pub amount: Option<Amount>,
    /// For each plant or container.
    pub each: Option<Amount>,
    /// With which feed, mix or product, in the grower's words.
    pub with: Option<Shown>,
    /// Against which pest or disease.
    pub against: Option<Shown>,
    /// Days to wait before picking.
    pub wait_days: Option<u32>,
    /// The share of old mix that stayed, 0 to 1.
    pub old_share: Option<f64>,
    /// The rule that a `skip` moves on.
    pub task: Option<Kept>,
    pub note: Option<Shown>,
    /// Where it is written.
    pub source: Source,
}

impl CareRecord {
    /// With what, where a page says so.
    pub(crate) fn shown_with(&self) -> Option<&str> {
        self.with.as_deref().filter(|_| !self.source.is_private)
    }
}

#[derive(Clone, Debug)]
pub struct HarvestRecord {
    pub date: NaiveDate,
    /// From which plantings: more than one if they were weighed together, and then never split.
    pub plantings: Vec<PlantingId>,
    pub weight: Option<Mass>,
    pub count: Option<u32>,
    pub unit: Shown,
    /// How good it was, in the grower's words.
    pub quality: Option<Shown>,
    /// Whether it was weighed after drying.
    pub is_cured: bool,
    /// How many of the count were counted before, when they were fresh.
    pub counted_before: u32,
    /// Whether all of it was picked before, and is only weighed once more now that it is dry.
    pub is_same_picking: bool,
    pub note: Option<Shown>,
    /// Where it is written.
    pub source: Source,
}

/// A pest, a disease, or something else worth a note.
#[derive(Clone, Debug)]
pub struct SightRecord {
    pub date: NaiveDate,
    pub about: About,
    pub what: Shown,
    pub how_bad: Option<Shown>,
    pub note: Option<Shown>,
    /// Where it is written.
    pub source: Source,
}

#[derive(Clone, Debug)]
pub struct TestRecord {
    pub date: NaiveDate,
    pub seed: Kept,
    /// Seeds tried.
    pub tried: u32,
    pub sprouted: u32,
    /// Days it took.
    pub days: Option<u32>,
    pub note: Option<Shown>,
    /// Where it is written.
    pub source: Source,
}

#[derive(Clone, Debug)]
pub struct CostRecord {
    pub date: NaiveDate,
    pub what: Shown,
    pub amount: Option<Amount>,
    /// In the garden's currency.
    pub price: f64,
    /// The plantings it was for.
    pub about: About,
    pub note: Option<Shown>,
    /// Where it is written.
    pub source: Source,
}

/// The weather of a day, as far as it was observed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Weather {
    /// Lowest temperature, °C.
    pub low_c: Option<f64>,
    /// Highest temperature, °C.
    pub high_c: Option<f64>,
    /// Rain, mm.
    pub rain_mm: Option<f64>,
    /// Whether there was ground frost.
    pub ground_frost: Option<bool>,
}
