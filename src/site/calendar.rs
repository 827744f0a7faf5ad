//! The planting calendar: a year at a glance, one row a crop; plan as bars, what was done as marks.

use chrono::NaiveDate;
use serde::Serialize;

use crate::calendar::{How, Reason, Refusal, Round, SowNow};
use crate::catalogue::CropId;
use crate::charts::year_strip::{Bar, MonthTick, YearStrip};
use crate::dates::Period;
use crate::findings::{CropPlan, Findings};
use crate::garden::model::Garden;
use crate::garden::planting::Planting;
use crate::site::amount::Amount;
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::Span;
use crate::stage::Stage;
use crate::units::{Celsius, System};

/// The planting calendar.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CalendarView {
    /// Title, menu, root.
    pub frame: Frame,
    /// The season's name.
    pub season: String,
    /// The months, from left to right.
    pub months: Vec<MonthTick>,
    /// Where today is.
    pub today: Option<f64>,
    /// Crops that are or were grown here.
    pub grown: Vec<CalendarRow>,
    /// The other crops of the table.
    pub others: Vec<CalendarRow>,
    /// What can be begun today.
    pub sow_now: Vec<SowNowRow>,
    /// Whether the usual temperatures are known; without them there is no calendar.
    pub has_climate: bool,
}

/// A crop's row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CalendarRow {
    /// The crop.
    pub crop: Link,
    /// Its windows.
    pub bars: Vec<PlanBar>,
    /// What was really done.
    pub marks: Vec<DoneMark>,
    /// Why it cannot be begun in some way.
    pub refusals: Vec<Message>,
}

/// A window as a bar.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlanBar {
    /// Which kind, for a style and a lane: `under-cover`, `outdoors`, `plant-out`, `harvest`.
    pub kind: &'static str,
    /// Its words.
    pub what: Message,
    /// Where it is drawn.
    pub bar: Bar,
    /// Its days.
    pub span: Span,
}

/// Something done, as a mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoneMark {
    /// Which kind, for a style and a lane.
    pub kind: &'static str,
    /// Its words.
    pub what: Message,
    /// Where it is drawn.
    pub x: f64,
    /// When.
    pub date: NaiveDate,
    /// Of which planting.
    pub planting: Link,
}

/// Something that can be begun today.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SowNowRow {
    /// The crop.
    pub crop: Link,
    /// The variety, if only that one is begun so.
    pub variety: Option<String>,
    /// How, and until when, in one way or several.
    pub ways: Vec<Message>,
    /// Whether this crop was grown here before.
    pub is_grown: bool,
}

impl Page for CalendarView {
    type Key = ();

    const PART: Part = Part { key: "calendar", href: "calendar/index.html", area: Area::More };
    const TEMPLATE: &'static str = "calendar.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let season = garden.season();
        let strip = YearStrip::new(season.days);
        let (mut grown, mut others) = (Vec::new(), Vec::new());
        for (id, _) in garden.catalogue.crops() {
            let row = row(garden, findings.calendar_of(id), id, &strip, season.days);
            if is_grown(garden, id) { grown.push(row) } else { others.push(row) }
        }
        grown.sort_by(|a, b| a.crop.cmp(&b.crop));
        others.sort_by(|a, b| a.crop.cmp(&b.crop));
        let title = Message::new("title.calendar").with("season", season.name());
        CalendarView {
            frame: Frame::new::<Self>(garden, &(), title),
            season: season.name(),
            months: strip.months(),
            today: strip.x(garden.today),
            grown,
            others,
            sow_now: sow_now(garden, &findings.sow_now),
            has_climate: findings.conditions.normals.is_some(),
        }
    }
}

/// The row of one crop, for its own page.
pub fn row_of(garden: &Garden, findings: &Findings, id: CropId) -> CalendarRow {
    let season = garden.season().days;
    row(garden, findings.calendar_of(id), id, &YearStrip::new(season), season)
}

fn is_grown(garden: &Garden, id: CropId) -> bool {
    !garden.plantings_of(id).is_empty()
}

/// What can be begun today, crops that are grown here first.
pub fn sow_now(garden: &Garden, list: &[SowNow]) -> Vec<SowNowRow> {
    let mut rows: Vec<SowNowRow> = Vec::new();
    for item in list {
        let crop = Link::crop(garden, item.crop);
        let way =
            Message::new("calendar.way").with("how", how(item.how)).with("until", item.window.to);
        let same = |row: &&mut SowNowRow| row.crop == crop && row.variety == item.variety;
        match rows.iter_mut().find(same) {
            Some(row) => row.ways.push(way),
            None => rows.push(SowNowRow {
                crop,
                variety: item.variety.clone(),
                ways: vec![way],
                is_grown: is_grown(garden, item.crop),
            }),
        }
    }
    rows.sort_by_key(|row| !row.is_grown);
    rows
}

fn row(
    garden: &Garden,
    plan: &CropPlan,
    id: CropId,
    strip: &YearStrip,
    season: Period,
) -> CalendarRow {
    let bars = plan.rounds.iter().flat_map(|round| bars(round, strip)).collect();
    let mut marks = Vec::new();
    for planting_id in garden.plantings_of(id).iter().copied() {
        let planting = garden.planting(planting_id);
        let first_picking =
            garden.harvests_of(planting_id).next().map(|harvest| ("harvest", harvest.date));
        let begun = begun_marks(planting).into_iter().chain(first_picking);
        for (kind, date) in begun.filter(|(_, date)| season.contains(*date)) {
            if let Some(x) = strip.x(date) {
                let what = Message::new(format!("done.{kind}"));
                let planting = Link::planting(garden, planting_id);
                marks.push(DoneMark { kind, what, x, date, planting });
            }
        }
    }
    marks.sort_by_key(|mark| mark.date);
    CalendarRow {
        crop: Link::crop(garden, id),
        bars,
        marks,
        refusals: plan.refusals.iter().map(|refusal| refused(refusal, garden)).collect(),
    }
}

/// Sowings and plantings out of a planting.
fn begun_marks(planting: &Planting) -> Vec<(&'static str, NaiveDate)> {
    let sown = planting.reached(Stage::Sown);
    let out = planting.reached(Stage::PlantedOut);
    // Sown and never moved: it was sown where it grows.
    let moved = [Stage::PrickedOut, Stage::PottedOn, Stage::HardeningOff, Stage::PlantedOut];
    let is_raised = moved.iter().any(|stage| planting.reached(*stage).is_some());
    let sowing = if is_raised { "under-cover" } else { "outdoors" };
    sown.map(|date| (sowing, date)).into_iter().chain(out.map(|date| ("plant-out", date))).collect()
}

fn bars(round: &Round, strip: &YearStrip) -> Vec<PlanBar> {
    let windows = [
        ("under-cover", round.sow_under_cover),
        ("outdoors", round.sow_outdoors),
        ("plant-out", round.plant_out),
        ("harvest", round.harvest),
    ];
    let mut bars = Vec::new();
    for (kind, window) in windows {
        if let Some((window, bar)) = window.and_then(|window| Some((window, strip.bar(window)?))) {
            let what = Message::new(format!("plan.{kind}"));
            bars.push(PlanBar { kind, what, bar, span: Span::from(window) });
        }
    }
    bars
}

fn how(how: How) -> Message {
    Message::new(match how {
        How::SowUnderCover => "how.under-cover",
        How::SowOutdoors => "how.outdoors",
        How::PlantOut => "how.plant-out",
        How::BeginInAutumn => "how.autumn",
    })
}

/// Why a crop cannot be begun in some way, as a sentence.
fn refused(refusal: &Refusal, garden: &Garden) -> Message {
    let system: System = garden.settings.units;
    let degrees = |celsius| Amount::temperature(Celsius(celsius), system);
    let days = |days: i64| Amount::count(u32::try_from(days).unwrap_or(0), "days");
    let why = match refusal.why {
        Reason::NoClimate => Message::new("refused.no-climate"),
        Reason::Indoors => Message::new("refused.indoors"),
        Reason::SheetLacks(key) => Message::new("refused.sheet-lacks").with("key", key),
        Reason::NeverWarmEnough { needs_c, warmest_c } => Message::new("refused.never-warm")
            .with("needs", degrees(needs_c))
            .with("warmest", degrees(warmest_c)),
        Reason::NeverCools { needs_c, coolest_c } => Message::new("refused.never-cools")
            .with("needs", degrees(needs_c))
            .with("coolest", degrees(coolest_c)),
        Reason::TooHot => Message::new("refused.too-hot"),
        Reason::SeasonTooShort { needs_days, has_days } => Message::new("refused.too-short")
            .with("needs", days(needs_days))
            .with("has", days(has_days)),
        Reason::TooLittleWarmth { needs_degree_days_c, has_degree_days_c } => {
            let needs = needs_degree_days_c.round() as u64;
            let has = has_degree_days_c.round() as u64;
            Message::new("refused.too-little-warmth").with("needs", needs).with("has", has)
        }
    };
    Message::new("refused").with("how", how(refusal.how)).with("why", why)
}
