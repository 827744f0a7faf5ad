//! The planting calendar: a year at a glance, one row a crop; plan as bars, what was done as marks.

use chrono::NaiveDate;
use serde::Serialize;

use crate::calendar::{How, Reason, Refusal, Round, SowNow};
use crate::catalogue::CropId;
use crate::charts::growth_line::{self, Drawing};
use crate::charts::year_strip::YearStrip;
use crate::dates::{Period, shift};
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::planting::Planting;
use crate::site::amount::Amount;
use crate::site::frame::{Frame, Link};
use crate::site::growth_lines::{self, GrowthRow, GrowthView};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::Span;
use crate::site::why_window::{self, Teller};
use crate::stage::Stage;
use crate::units::{Celsius, System};

/// The planting calendar.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CalendarView {
    pub frame: Frame,
    pub season: String,
    /// What each kind of stroke stands for.
    pub key: Vec<KeyRow>,
    /// The windows of crops that are or were grown here, as lines.
    pub grown_lines: Option<GrowthView>,
    /// Those of the other crops.
    pub other_lines: Option<GrowthView>,
    /// Crops that are or were grown here.
    pub grown: Vec<CalendarRow>,
    /// The other crops of the table.
    pub others: Vec<CalendarRow>,
    /// What can be begun today, by how soon it is too late.
    pub sow_now: Vec<SowNowGroup>,
    /// Whether the usual temperatures are known; without them there is no calendar.
    pub has_climate: bool,
}

/// A sample of a stroke, and what it stands for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeyRow {
    /// What it stands for.
    pub name: Message,
    /// The sample.
    pub drawing: Drawing,
}

/// A crop's row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CalendarRow {
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
    /// Which kind: `under-cover`, `outdoors`, `plant-out`, `harvest`.
    pub kind: &'static str,
    pub what: Message,
    /// Its days.
    pub span: Span,
    /// Why it opens and closes then, as a sentence; nothing for picking.
    pub why: Option<Message>,
}

/// Something done, as a mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoneMark {
    pub kind: &'static str,
    pub what: Message,
    pub date: NaiveDate,
    pub planting: Link,
}

/// What can be begun today and closes at about one time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SowNowGroup {
    /// How soon it is too late.
    pub says: Message,
    /// Crops that are grown here first, of those what closes first.
    pub rows: Vec<SowNowRow>,
}

/// Something that can be begun today.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SowNowRow {
    pub crop: Link,
    /// The variety, if only that one is begun so.
    pub variety: Option<String>,
    /// How, and until when, in one way or several.
    pub ways: Vec<Message>,
    /// The last day of the way that closes last.
    pub until: NaiveDate,
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
        let (mut grown, mut others) = (Vec::new(), Vec::new());
        for (id, _) in garden.catalogue.crops() {
            let row = row(garden, findings, id, season.days);
            if is_grown(garden, id) { grown.push(row) } else { others.push(row) }
        }
        grown.sort_by(|a, b| a.crop.cmp(&b.crop));
        others.sort_by(|a, b| a.crop.cmp(&b.crop));
        let title = Message::new("title.calendar").with("season", season.name());
        CalendarView {
            frame: Frame::new::<Self>(garden, &(), title),
            season: season.name(),
            key: key(),
            grown_lines: lines(garden, findings, &grown),
            other_lines: lines(garden, findings, &others),
            grown,
            others,
            sow_now: by_closing(garden, &sow_now(garden, &findings.sow_now)),
            has_climate: findings.conditions.normals.is_some(),
        }
    }
}

/// The row of one crop, for its own page.
pub fn row_of(garden: &Garden, findings: &Findings, id: CropId) -> CalendarRow {
    let season = garden.season().days;
    row(garden, findings, id, season)
}

/// Windows of crops as lines under each other; nothing if none has any.
pub fn lines(garden: &Garden, findings: &Findings, rows: &[CalendarRow]) -> Option<GrowthView> {
    let strip = YearStrip::new(garden.season().days);
    let shown = rows.iter().filter(|row| !row.bars.is_empty() || !row.marks.is_empty());
    let row = |row: &CalendarRow| {
        let period = |span: Span| Period { from: span.from, to: span.to };
        let windows: Vec<_> =
            row.bars.iter().map(|bar| (stroke(bar.kind), period(bar.span))).collect();
        let done: Vec<_> = row.marks.iter().map(|mark| (stroke(mark.kind), mark.date)).collect();
        let drawing = growth_line::windows(&strip, &windows, &done);
        GrowthRow { link: Some(row.crop.clone()), drawing }
    };
    let rows: Vec<GrowthRow> = shown.map(row).collect();
    (!rows.is_empty()).then(|| growth_lines::figure(garden, findings, "windows", &strip, rows))
}

/// How a window of a kind is drawn.
fn stroke(kind: &str) -> &'static str {
    match kind {
        "under-cover" => growth_line::WINDOWS[0],
        "outdoors" => growth_line::WINDOWS[1],
        "plant-out" => growth_line::WINDOWS[2],
        _ => growth_line::WINDOWS[3],
    }
}

/// A sample of each kind of stroke.
pub fn key() -> Vec<KeyRow> {
    let day = |day: u32| NaiveDate::from_ymd_opt(2024, 1, day).unwrap_or_default();
    let days = Period { from: day(1), to: day(20) };
    let sample = |kind: &'static str| KeyRow {
        name: Message::new(format!("plan.{kind}")),
        drawing: growth_line::windows(&YearStrip::new(days), &[(stroke(kind), days)], &[]),
    };
    let mut key: Vec<KeyRow> =
        ["under-cover", "outdoors", "plant-out", "harvest"].map(sample).into();
    let done = [(growth_line::WINDOWS[1], day(10))];
    key.push(KeyRow {
        name: Message::new("calendar.done"),
        drawing: growth_line::windows(&YearStrip::new(days), &[], &done),
    });
    key
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
            Some(row) => {
                row.ways.push(way);
                row.until = row.until.max(item.window.to);
            }
            None => rows.push(SowNowRow {
                crop,
                variety: item.variety.clone(),
                ways: vec![way],
                until: item.window.to,
                is_grown: is_grown(garden, item.crop),
            }),
        }
    }
    rows.sort_by_key(|row| !row.is_grown);
    rows
}

/// What closes within a week, within four weeks, later.
fn by_closing(garden: &Garden, rows: &[SowNowRow]) -> Vec<SowNowGroup> {
    let mut groups: Vec<SowNowGroup> = Vec::new();
    let (week, four_weeks) = (shift(garden.today, 7), shift(garden.today, 28));
    for (key, from, to) in [
        ("calendar.closes-week", garden.today, week),
        ("calendar.closes-month", shift(week, 1), four_weeks),
        ("calendar.closes-later", shift(four_weeks, 1), NaiveDate::MAX),
    ] {
        let closing = |row: &&SowNowRow| (from..=to).contains(&row.until);
        let rows: Vec<SowNowRow> = rows.iter().filter(closing).cloned().collect();
        if !rows.is_empty() {
            groups.push(SowNowGroup { says: Message::new(key).with("to", to), rows });
        }
    }
    groups
}

fn row(garden: &Garden, findings: &Findings, id: CropId, season: Period) -> CalendarRow {
    let plan = findings.calendar_of(id);
    let teller = Teller { system: garden.settings.units, risk: findings.conditions.risk };
    let bars = plan.rounds.iter().flat_map(|round| bars(teller, round, season)).collect();
    let mut marks = Vec::new();
    for planting_id in garden.plantings_of(id).iter().copied() {
        let planting = garden.planting(planting_id);
        let first_picking =
            garden.harvests_of(planting_id).next().map(|harvest| ("harvest", harvest.date));
        let begun = begun_marks(planting).into_iter().chain(first_picking);
        for (kind, date) in begun.filter(|(_, date)| season.contains(*date)) {
            let what = Message::new(format!("done.{kind}"));
            let planting = Link::planting(garden, planting_id);
            marks.push(DoneMark { kind, what, date, planting });
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

fn bars(teller: Teller, round: &Round, season: Period) -> Vec<PlanBar> {
    let windows = [
        ("under-cover", round.sow_under_cover),
        ("outdoors", round.sow_outdoors),
        ("plant-out", round.plant_out),
        ("harvest", round.harvest),
    ];
    let mut bars = Vec::new();
    for (kind, window) in windows {
        if let Some(window) = window.filter(|window| window.overlap(&season).is_some()) {
            let what = Message::new(format!("plan.{kind}"));
            let why = why_window::sentence(teller, round, kind, window);
            bars.push(PlanBar { kind, what, span: Span::from(window), why });
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
        Reason::TooLittleChill { needs_hours, has_hours } => {
            let hours = |hours: f64| (hours / 10.0).round() as u64 * 10;
            Message::new("refused.too-little-chill")
                .with("needs", hours(needs_hours))
                .with("has", hours(has_hours))
        }
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
