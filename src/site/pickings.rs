//! Every picking, month by month.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::dates::{Period, shift};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::records::HarvestRecord;
use crate::garden::shown::Shown;
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::harvests::HarvestsView;
use crate::site::message::Message;
use crate::site::page::{Page, Part};

/// Every picking of a month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PickingsView {
    pub frame: Frame,
    /// The months of its season in which something was picked, oldest first.
    pub months: Vec<MonthOfPickings>,
    /// Every picking, newest first.
    pub pickings: Vec<Picking>,
}

/// A month in which something was picked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthOfPickings {
    /// Its first day.
    pub day: NaiveDate,
    /// Its page, from the root.
    pub href: String,
    pub pickings: u64,
}

/// One picking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Picking {
    pub date: NaiveDate,
    pub plantings: Vec<Link>,
    /// Weight, number.
    pub amounts: Vec<Amount>,
    /// Whether it was weighed after drying.
    pub is_cured: bool,
    /// Quality and remark.
    pub words: Vec<String>,
    /// The entry it is written in.
    pub entry: Option<EntryLink>,
}

impl PickingsView {
    /// The months of some days in which something was picked, oldest first.
    pub fn months(garden: &Garden, days: Period) -> Vec<MonthOfPickings> {
        let mut months: BTreeMap<NaiveDate, u64> = BTreeMap::new();
        for harvest in garden.harvests_in(days) {
            *months.entry(first_of(harvest.date)).or_default() += 1;
        }
        let month = |(day, pickings)| {
            let href = Self::path(garden, &day);
            MonthOfPickings { day, href, pickings }
        };
        months.into_iter().map(month).collect()
    }
}

fn first_of(day: NaiveDate) -> NaiveDate {
    day.with_day(1).unwrap_or(day)
}

impl Page for PickingsView {
    type Key = NaiveDate;

    const PART: Part = HarvestsView::PART;
    const TEMPLATE: &'static str = "pickings.html";

    /// The first day of each month in which something was picked.
    fn keys(garden: &Garden) -> Vec<NaiveDate> {
        let mut months: Vec<NaiveDate> =
            garden.harvests.iter().map(|harvest| first_of(harvest.date)).collect();
        months.dedup();
        months
    }

    /// A season of two years is called `2011-12`, which is no month.
    fn path(_: &Garden, day: &NaiveDate) -> String {
        format!("harvests/{}/index.html", day.format("%Y/%m"))
    }

    fn view(garden: &Garden, _: &Findings, &day: &NaiveDate) -> Self {
        let days = Period { from: day, to: shift(first_of(shift(day, 31)), -1) };
        let season = garden.season_of(day);
        let title = Message::new("title.pickings").with("month", day);
        let above = Link::new(season.name(), HarvestsView::path(garden, &season));
        PickingsView {
            frame: Frame::new::<Self>(garden, &day, title).below(&above),
            months: Self::months(garden, season.days),
            pickings: garden
                .harvests_in(days)
                .iter()
                .rev()
                .map(|one| picking(garden, one))
                .collect(),
        }
    }
}

fn picking(garden: &Garden, harvest: &HarvestRecord) -> Picking {
    let system = garden.settings.units;
    let weight = harvest.weight.map(|weight| Amount::mass(weight, system));
    let count = harvest.count.map(|count| Amount::count(count, &harvest.unit));
    Picking {
        date: harvest.date,
        plantings: harvest.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
        amounts: weight.into_iter().chain(count).collect(),
        is_cured: harvest.is_cured,
        words: harvest.quality.iter().chain(&harvest.note).map(Shown::to_string).collect(),
        entry: harvest.source.entry.and_then(|entry| Link::entry(garden, entry)),
    }
}
