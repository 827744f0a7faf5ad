//! The list of crops, and the page of each: what it needs, what grew, what it gave.

use chrono::NaiveDate;
use serde::Serialize;

use crate::catalogue::{Crop, CropId};
use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting_names::Around;
use crate::results::yields::measures::Weighed;
use crate::results::yields::{self, Whose, Yield};
use crate::site::amount::Amount;
use crate::site::calendar::{self, CalendarRow, KeyRow};
use crate::site::came_of_it::CropYields;
use crate::site::care_rules::{self, RuleView};
use crate::site::comparisons::{self, ComparedCrop};
use crate::site::crop_season::CropSeasonView;
use crate::site::frame::{Frame, Link, named};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::heading::Heading;
use crate::site::learned::{self, LearnedRow};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::PlantingSummary;
use crate::site::plots;
use crate::site::plots::seasons::SeasonsPlot;
use crate::site::seasons;
use crate::site::task_feed::feed_path;
use crate::site::yields::YieldView;
use crate::units::{Days, Range};

/// The list of crops.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropsView {
    /// Title, menu, root.
    pub frame: Frame,
    /// Crops that are or were grown here.
    pub grown: Vec<CropRow>,
    /// Crops of the table that were never grown here.
    pub others: Vec<Link>,
}

/// A crop in the list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropRow {
    /// To its page.
    pub link: Link,
    /// Its family.
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
    /// Title, menu, root.
    pub frame: Frame,
    /// Other names.
    pub also_called: Vec<String>,
    /// A sentence or two, as Markdown.
    pub prose: String,
    /// What it needs.
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
    /// What came of it.
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

/// Something a crop needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Need {
    /// What, as a key of words.
    pub what: Message,
    /// The value, as a sentence.
    pub value: Message,
    /// The number of the footnote that says where it comes from; none for the grower's own.
    pub footnote: Option<usize>,
}

/// Where values of a crop come from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Footnote {
    /// The source.
    pub source: String,
    /// Whether it was read; otherwise it is remembered.
    pub was_read: bool,
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
        let table = yields::by_crop_and_month(garden, season);
        let mut grown = Vec::new();
        let mut others = Vec::new();
        for (id, crop) in garden.catalogue.crops() {
            let own = garden.plantings_of(id).iter().map(|id| garden.planting(*id));
            let own: Vec<_> = own.collect();
            if own.is_empty() {
                others.push(Link::crop(garden, id));
                continue;
            }
            let mut sum = Yield::default();
            if table.contains_key(&Whose::Crop(id)) {
                sum = Yield::of(garden.harvests_of_crop(id).filter(|harvest| {
                    season.contains(harvest.date)
                        && yields::whose(garden, harvest) == Whose::Crop(id)
                }));
            }
            grown.push(CropRow {
                link: Link::crop(garden, id),
                family: crop.sheet.family.clone(),
                growing: own.iter().filter(|planting| planting.is_growing()).count(),
                plantings: own.len(),
                harvest: YieldView::new(&sum, garden.settings.units).about(
                    &Heading::default().season(garden, garden.today).crop(garden, Whose::Crop(id)),
                ),
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
        let (needs, footnotes) = needs(garden, crop);
        CropView {
            frame: Frame::new::<Self>(garden, &id, named(&crop.name)),
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

/// What the crop sheet says, line by line, and where that comes from.
fn needs(garden: &Garden, crop: &Crop) -> (Vec<Need>, Vec<Footnote>) {
    let sheet = &crop.sheet;
    let system = garden.settings.units;
    let mut needs = Vec::new();
    let mut footnotes: Vec<Footnote> = Vec::new();
    let mut add = |key: &str, source: &str, value: Option<Message>| {
        let Some(value) = value else { return };
        let note = crop.sources.get(source);
        let told = note.and_then(|note| {
            let source = garden.catalogue.source(&note.from)?.to_owned();
            Some(Footnote { source, was_read: note.was_read })
        });
        let footnote = told.map(|told| {
            let known = footnotes.iter().position(|one| *one == told);
            1 + known.unwrap_or_else(|| {
                footnotes.push(told);
                footnotes.len() - 1
            })
        });
        needs.push(Need { what: Message::new(format!("need.{key}")), value, footnote });
    };
    let text = |text: &Option<String>| {
        text.as_ref().map(|text| Message::new("title.name").with("name", text.as_str()))
    };
    let amount = |amount: Amount| Message::new("value.amount").with("amount", amount);
    add("family", "family", text(&sheet.family));
    add("species", "species", text(&sheet.species));
    let hardiness = sheet.hardiness.map(|hardiness| {
        let key = match hardiness {
            crate::catalogue::sheet::Hardiness::Tender => "hardiness.tender",
            crate::catalogue::sheet::Hardiness::HalfHardy => "hardiness.half-hardy",
            crate::catalogue::sheet::Hardiness::Hardy => "hardiness.hardy",
        };
        Message::new(key)
    });
    add("hardiness", "hardiness", hardiness);
    add("under-cover", "weeks-under-cover", sheet.under_cover.map(weeks));
    let night = sheet.plant_out_night_low.map(|low| amount(Amount::temperature(low, system)));
    add("night-low", "plant-out.night-low", night);
    let sprouts = sheet.germination_lowest.map(|low| amount(Amount::temperature(low, system)));
    add("germination-lowest", "germination.lowest", sprouts);
    add("germination-days", "germination.days", sheet.germination_days.map(days));
    let harvest = sheet.first_harvest.map(|after| {
        Message::new("value.days-after")
            .with("from", after.days.low.0.to_string())
            .with("to", after.days.high.0.to_string())
            .with("stage", crate::site::tasks::stage(after.stage))
    });
    add("first-harvest", "first-harvest", harvest);
    add("picking-every", "picking-every", sheet.picking_every.map(days));
    add("harvest-lasts", "harvest-lasts", sheet.harvest_lasts.map(weeks));
    let lengths = |range: Range<crate::units::Length>| {
        Message::new("value.range")
            .with("from", Amount::length(range.low, system))
            .with("to", Amount::length(range.high, system))
    };
    add("in-row", "spacing.in-row", sheet.in_row.map(lengths));
    add("between-rows", "spacing.between-rows", sheet.between_rows.map(lengths));
    add("container", "container", sheet.container.map(|v| amount(Amount::volume(v, system))));
    let rest =
        sheet.rest_years.map(|years| Message::new("value.years").with("count", u64::from(years)));
    add("rest-years", "rest-years", rest);
    (needs, footnotes)
}

pub(super) fn days(range: Range<Days>) -> Message {
    span("value.days", range, 1)
}

fn weeks(range: Range<Days>) -> Message {
    span("value.weeks", range, 7)
}

/// `5 to 7 weeks`, or `6 weeks` where both ends are the same.
fn span(key: &str, range: Range<Days>, unit: u32) -> Message {
    let (low, high) = (range.low.0.unsigned_abs() / unit, range.high.0.unsigned_abs() / unit);
    if low == high {
        return Message::new(format!("{key}.single")).with("count", u64::from(low));
    }
    Message::new(key).with("from", low.to_string()).with("to", high.to_string())
}
