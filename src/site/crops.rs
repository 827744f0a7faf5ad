//! The list of crops, and the page of each: what it needs, what grew, what it gave.

use chrono::NaiveDate;
use serde::Serialize;

use crate::catalogue::CropId;
use crate::catalogue::traits::EatenPart;
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::{PlantingId, Plants};
use crate::garden::planting_names::Around;
use crate::garden::records::HarvestRecord;
use crate::results::yields::measures::Weighed;
use crate::results::yields::{self, Whose, Yield};
use crate::site::amount::Amount;
use crate::site::calendar::{self, CalendarRow, KeyRow};
use crate::site::came_of_it::CropYields;
use crate::site::care_rules::{self, RuleView};
use crate::site::comparisons::{self, ComparedCrop};
use crate::site::crop_needs::{self, Footnote, Need};
use crate::site::crop_season::CropSeasonView;
use crate::site::frame::{Frame, Link, named};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::heading::Heading;
use crate::site::learned::{self, LearnedRow};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::{self, NextView, PlantingSummary};
use crate::site::plots;
use crate::site::plots::seasons::SeasonsPlot;
use crate::site::seasons;
use crate::site::task_feed::feed_path;
use crate::site::yields::YieldView;

/// The list of crops.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropsView {
    pub frame: Frame,
    /// Crops that are or were grown here.
    pub grown: Vec<CropRow>,
    /// Crops of the table that were never grown here.
    pub others: Vec<Link>,
}

/// A crop in the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropRow {
    pub link: Link,
    /// Which part is eaten, for a small picture.
    pub eaten: Option<&'static str>,
    pub family: Option<String>,
    /// Plantings of it that are alive.
    pub growing: usize,
    /// Plantings of it in all.
    pub plantings: usize,
    /// What it gave this season.
    pub harvest: YieldView,
}

/// The page of a crop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropView {
    pub frame: Frame,
    /// Which part is eaten, for a small picture.
    pub eaten: Option<&'static str>,
    /// Other names.
    pub also_called: Vec<String>,
    /// A sentence or two, as Markdown.
    pub prose: String,
    /// What it does this season.
    pub now: Option<CropThisSeason>,
    pub needs: Vec<Need>,
    /// Where that comes from.
    pub footnotes: Vec<Footnote>,
    /// What is asked for in its care.
    pub rules: Vec<RuleView>,
    /// The line of garden.yaml that turns one of them off or on.
    pub switch: Option<String>,
    /// Its plantings that are not over, newest first.
    pub plantings: Vec<PlantingSummary>,
    /// Those that are, of the last seasons.
    pub finished: Vec<PlantingSummary>,
    /// Seasons before those, newest first.
    pub older: Vec<Link>,
    /// When it can be begun and picked here, and what was done this season.
    pub calendar: CalendarRow,
    /// Its windows as lines.
    pub windows: Option<GrowthView>,
    /// What each kind of stroke stands for.
    pub key: Vec<KeyRow>,
    /// What its plantings taught.
    pub learned: Vec<LearnedRow>,
    pub came_of_it: Option<CropYields>,
    /// Its seasons as lines.
    pub years: Option<GrowthView>,
    /// How this season's harvest grew beside earlier ones, drawn.
    pub seasons_plot: Option<SeasonsPlot>,
    /// What can be said of its plantings beside each other.
    pub comparisons: Vec<ComparedCrop>,
    /// Whether some of it was weighed together with other crops.
    pub is_partly_grouped: bool,
    /// Its own task feed, from this page.
    pub feed: Option<String>,
    /// Whether the grower's own sheet changes the table.
    pub has_own_sheet: bool,
}

/// A crop in the season that runs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropThisSeason {
    pub season: String,
    /// What it gave so far.
    pub harvest: YieldView,
    /// How many plants stand.
    pub plants: Option<Amount>,
    /// What is expected next of any of them.
    pub next: Option<NextView>,
}

impl Page for CropsView {
    type Key = ();

    const PART: Part = Part { key: "crops", href: "crops/index.html", area: Area::Growing };
    const TEMPLATE: &'static str = "crops.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let season = garden.season().days;
        let mut grown = Vec::new();
        let mut others = Vec::new();
        for (id, crop) in garden.catalogue.crops() {
            let own = garden.plantings_of(id).iter().map(|id| garden.planting(*id));
            let own: Vec<_> = own.collect();
            if own.is_empty() {
                others.push(Link::crop(garden, id));
                continue;
            }
            grown.push(CropRow {
                link: Link::crop(garden, id),
                eaten: crop.sheet.eaten.map(EatenPart::word),
                family: crop.sheet.family.clone(),
                growing: own.iter().filter(|planting| planting.is_growing()).count(),
                plantings: own.len(),
                harvest: harvested(garden, id, season),
            });
        }
        grown.sort_by(|a, b| a.link.cmp(&b.link));
        others.sort();
        let title = Message::new("part.crops");
        CropsView { frame: Frame::new::<Self>(garden, &(), title), grown, others }
    }
}

impl Page for CropView {
    type Key = CropId;

    const PART: Part = CropsView::PART;
    const TEMPLATE: &'static str = "crop.html";

    fn keys(garden: &Garden) -> Vec<CropId> {
        garden.catalogue.crops().map(|(id, _)| id).collect()
    }

    fn path(garden: &Garden, &id: &CropId) -> String {
        format!("crops/{}/index.html", garden.catalogue.get(id).slug)
    }

    fn view(garden: &Garden, findings: &Findings, &id: &CropId) -> Self {
        let crop = garden.catalogue.get(id);
        let near = seasons::near(garden, garden.today);
        let harvests: Vec<_> = garden
            .harvests_of_crop(id)
            .filter(|harvest| yields::whose(garden, harvest) == Whose::Crop(id))
            .collect();
        let weighed = Yield::of(harvests.iter().copied()).weighed().unwrap_or(Weighed::Fresh);
        let is_partly_grouped = garden
            .harvests_of_crop(id)
            .any(|harvest| yields::whose(garden, harvest) == Whose::Several);
        let windows = calendar::row_of(garden, findings, id);
        let (needs, footnotes) = crop_needs::of_crop(garden, crop);
        CropView {
            frame: Frame::new::<Self>(garden, &id, named(&crop.name)),
            eaten: crop.sheet.eaten.map(EatenPart::word),
            now: now(garden, findings, id),
            also_called: crop.also_called.clone(),
            prose: crop.prose.clone(),
            needs,
            footnotes,
            rules: care_rules::of_crop(garden, id),
            switch: care_rules::switch(garden, id),
            calendar: windows.clone(),
            windows: calendar::lines(garden, findings, std::slice::from_ref(&windows)),
            key: calendar::key(),
            learned: learned::of_crop(garden, findings, id),
            feed: (!garden.plantings_of(id).is_empty()).then(|| feed_path(garden, Some(id))),
            plantings: summaries(garden, findings, id, |finished| finished.is_none()),
            finished: finished(garden, findings, id, near),
            older: CropSeasonView::links(garden, id),
            came_of_it: CropYields::new(garden, findings, id, near),
            years: growth_lines::of_crop(garden, findings, id),
            seasons_plot: plots::seasons::of(garden, garden.season(), Some(id), weighed),
            comparisons: comparisons::of_crop(garden, findings, id),
            is_partly_grouped,
            has_own_sheet: crop.own_sheet.is_some(),
        }
    }
}

/// What was picked of a crop alone in the season that runs.
fn harvested(garden: &Garden, id: CropId, season: Period) -> YieldView {
    let own = |harvest: &&HarvestRecord| yields::whose(garden, harvest) == Whose::Crop(id);
    let sum = Yield::of(garden.harvests_in(season).iter().filter(own));
    let heading = Heading::default().season(garden, garden.today).crop(garden, Whose::Crop(id));
    YieldView::new(&sum, garden.settings.units).about(&heading)
}

/// What a crop does this season; nothing if none of it grows, is meant to, or was picked.
fn now(garden: &Garden, findings: &Findings, id: CropId) -> Option<CropThisSeason> {
    let season = garden.season();
    let own = || garden.plantings_of(id).iter().copied();
    let is_there = |id: &PlantingId| garden.planting(*id).finished.is_none();
    let harvest = harvested(garden, id, season.days);
    let standing = own().filter(|id| garden.planting(*id).is_growing());
    let standing: Vec<Plants> = standing.map(|id| garden.planting(id).plants()).collect();
    let number: Option<u32> = standing.iter().map(|plants| plants.number).sum();
    let is_about = standing.iter().any(|plants| plants.is_about);
    let next = own().filter(is_there).filter_map(|id| plantings::next(garden, findings, id));
    (harvest.pickings > 0 || own().any(|id| is_there(&id))).then(|| CropThisSeason {
        season: season.name(),
        harvest,
        plants: number.and_then(|number| Amount::plants(Plants { number: Some(number), is_about })),
        next: next.min_by_key(|next| next.when.from),
    })
}

/// Plantings of a crop that were over on some days, newest first.
pub(super) fn finished(
    garden: &Garden,
    findings: &Findings,
    crop: CropId,
    days: Period,
) -> Vec<PlantingSummary> {
    let is_in = |finished: Option<NaiveDate>| finished.is_some_and(|day| days.contains(day));
    summaries(garden, findings, crop, is_in)
}

/// Plantings of a crop by the day they were over, newest first.
fn summaries(
    garden: &Garden,
    findings: &Findings,
    crop: CropId,
    is_shown: impl Fn(Option<NaiveDate>) -> bool,
) -> Vec<PlantingSummary> {
    let own = garden.plantings_of(crop).iter().copied();
    let mut own: Vec<_> = own.filter(|id| is_shown(garden.planting(*id).finished)).collect();
    own.sort_by_key(|id| std::cmp::Reverse(garden.planting(*id).noted));
    let summary = |id| PlantingSummary::around(garden, findings, id, Around::Crop);
    own.into_iter().map(summary).collect()
}
