//! What the grower's plantings taught, and how well past dates held.

use chrono::NaiveDate;
use serde::Serialize;

use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::learning::estimate::{Estimate, Level};
use crate::learning::lessons::Lesson;
use crate::learning::quantity::{Beginning, Kind, Quantity, Span, TimeOfYear};
use crate::learning::said::{self, Ahead, Kept};
use crate::learning::scores::{self, Forecast, Score};
use crate::site::amount::Amount;
use crate::site::calendar::CalendarView;
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::tasks;
use crate::stages::Milestone;

/// The page 'how well do these dates hold?'.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldsView {
    pub frame: Frame,
    /// How well the ranges held that were shown, by what came and how long before.
    pub shown: Vec<ShownRow>,
    /// Where clearly fewer held than should.
    pub short: Vec<Message>,
    /// All forecasts that can be compared, together.
    pub overall: Option<ScoreRow>,
    /// By what was forecast.
    pub spans: Vec<ScoreRow>,
    /// The newest forecasts, newest first.
    pub newest: Vec<ForecastRow>,
}

/// How well shown ranges held.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShownRow {
    pub what: Message,
    /// How long before.
    pub ahead: Message,
    /// How many ranges.
    pub number: u32,
    /// The share in which it came.
    pub held: Amount,
    /// From the first day of a range to its last, on average.
    pub width: Amount,
    /// From the middle of a range to the day it came, on average.
    pub off: Amount,
}

/// How far off forecasts were.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ScoreRow {
    pub what: Message,
    /// How many forecasts.
    pub number: u32,
    /// The table's mean error.
    pub table: Amount,
    /// The mean error of what was learned by then.
    pub learned: Amount,
    /// How many came within the range that was given.
    pub in_interval: u32,
}

/// A past forecast beside what came.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForecastRow {
    pub planting: Link,
    pub what: Message,
    /// The day the table alone would have said.
    pub table: Option<NaiveDate>,
    /// The day that was forecast from what was learned by then.
    pub learned: Option<NaiveDate>,
    pub came: NaiveDate,
}

/// Something learned, as a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LearnedRow {
    pub what: Message,
    /// In which kind of beginning.
    pub kind: Option<Message>,
    /// The expected range.
    pub value: Message,
    /// From how many plantings, or neighbours' gardens if there were none here.
    pub from: Message,
    /// From how many neighbours' gardens besides.
    pub neighbours: Option<Message>,
}

/// So many forecasts stand on the page.
const NEWEST: usize = 60;

impl Page for HoldsView {
    type Key = ();

    const PART: Part = CalendarView::PART;
    const TEMPLATE: &'static str = "holds.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn path(_: &Garden, (): &()) -> String {
        "calendar/holds/index.html".to_owned()
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let forecasts = &findings.forecasts;
        let all = Message::new("holds.all");
        let shown = said::scored(&findings.told);
        let short = shown.iter().filter(|(_, _, kept)| kept.is_short());
        HoldsView {
            frame: Frame::new::<Self>(garden, &(), Message::new("title.holds")),
            short: short.map(short_words).collect(),
            shown: shown.iter().map(shown_row).collect(),
            overall: scores::score(forecasts).map(|score| score_row(all, &score)),
            spans: scores::by_span(forecasts)
                .iter()
                .map(|(span, score)| score_row(span_words(*span), score))
                .collect(),
            newest: forecasts
                .iter()
                .rev()
                .take(NEWEST)
                .map(|forecast| forecast_row(garden, forecast))
                .collect(),
        }
    }
}

fn shown_row((what, ahead, kept): &(Milestone, Ahead, Kept)) -> ShownRow {
    ShownRow {
        what: tasks::milestone(*what),
        ahead: ahead_words(*ahead),
        number: kept.number,
        held: Amount::percent(kept.share()),
        width: Amount::days(kept.width_days),
        off: Amount::days(kept.off_days),
    }
}

fn short_words((what, ahead, kept): &(Milestone, Ahead, Kept)) -> Message {
    Message::new("holds.short")
        .with("what", tasks::milestone(*what))
        .with("ahead", ahead_words(*ahead))
        .with("held", Amount::percent(kept.share()))
}

fn ahead_words(ahead: Ahead) -> Message {
    Message::new(match ahead {
        Ahead::First => "holds.first",
        Ahead::Month => "holds.month",
        Ahead::Fortnight => "holds.fortnight",
    })
}

/// How far off forecasts were, as a row.
pub fn score_row(what: Message, score: &Score) -> ScoreRow {
    ScoreRow {
        what,
        number: score.number,
        table: Amount::days(score.table_days),
        learned: Amount::days(score.learned_days),
        in_interval: score.in_interval,
    }
}

fn forecast_row(garden: &Garden, forecast: &Forecast) -> ForecastRow {
    let day =
        |estimate: &Option<Estimate>| estimate.as_ref().map(|estimate| forecast.day(estimate));
    ForecastRow {
        planting: Link::planting(garden, forecast.planting),
        what: span_words(forecast.span),
        table: day(&forecast.table),
        learned: day(&forecast.learned),
        came: forecast.came,
    }
}

/// What the plantings of a crop taught, in each kind of beginning.
pub fn of_crop(garden: &Garden, findings: &Findings, crop: CropId) -> Vec<LearnedRow> {
    let learned = findings.learned.of_crop(garden, crop).into_iter();
    // Sums of warmth are in the data file; a page of days says more to a person.
    let in_words = learned.filter(|(quantity, ..)| !matches!(quantity, Quantity::Warmth(_)));
    in_words
        .map(|(quantity, kind, estimate)| LearnedRow {
            kind: Some(kind_words(kind)),
            ..row(quantity, &estimate)
        })
        .collect()
}

/// What a planting's dates rest on.
pub fn of_planting(lessons: &[Lesson]) -> Vec<LearnedRow> {
    lessons.iter().map(|lesson| row(lesson.quantity, &lesson.estimate)).collect()
}

fn row(quantity: Quantity, estimate: &Estimate) -> LearnedRow {
    let value = match quantity {
        Quantity::Warmth(_) => Message::new("learned.days-it-likes")
            .with("from", Amount::whole(estimate.low))
            .with("to", Amount::whole(estimate.high)),
        Quantity::Germination => Message::new("learned.share")
            .with("from", Amount::percent(estimate.low))
            .with("to", Amount::percent(estimate.high)),
        _ => Message::new("value.days")
            .with("from", Amount::whole(estimate.low))
            .with("to", Amount::whole(estimate.high)),
    };
    let own = u64::from(estimate.from_plantings);
    let neighbours = u64::from(estimate.neighbours);
    let from = match estimate.level {
        Level::Variety => Message::new("learned.from-variety").with("count", own),
        Level::Neighbours => Message::new("learned.from-neighbours").with("count", neighbours),
        Level::Crop | Level::Table => Message::new("learned.from").with("count", own),
    };
    let is_besides = estimate.level != Level::Neighbours && neighbours > 0;
    LearnedRow {
        what: quantity_words(quantity),
        kind: None,
        value,
        from,
        neighbours: is_besides
            .then(|| Message::new("learned.and-neighbours").with("count", neighbours)),
    }
}

fn quantity_words(quantity: Quantity) -> Message {
    match quantity {
        Quantity::Days(span) | Quantity::Warmth(span) => span_words(span),
        Quantity::Germination => Message::new("learned.germination"),
        Quantity::PickingInterval => Message::new("learned.picking-interval"),
        Quantity::SeasonLength => Message::new("learned.season-length"),
    }
}

/// `from sowing to first picking`
fn span_words(span: Span) -> Message {
    let from = Message::new(match span.from {
        Beginning::Sown => "reaching.sown",
        Beginning::PlantedOut => "reaching.planted-out",
        Beginning::Planted => "reaching.planted",
    });
    Message::new("learned.span").with("from", from).with("to", tasks::milestone(span.to))
}

fn kind_words(kind: Kind) -> Message {
    let key = match (kind.is_under_cover, kind.time) {
        (true, TimeOfYear::Spring) => "learned.cover-spring",
        (true, TimeOfYear::Summer) => "learned.cover-summer",
        (true, TimeOfYear::Autumn) => "learned.cover-autumn",
        (false, TimeOfYear::Spring) => "learned.open-spring",
        (false, TimeOfYear::Summer) => "learned.open-summer",
        (false, TimeOfYear::Autumn) => "learned.open-autumn",
    };
    Message::new(key)
}
