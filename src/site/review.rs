//! The review of a season: what was grown and what it gave, how the dates held, what to do next year.

use chrono::NaiveDate;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::records::EntryId;
use crate::results::review::{self, CropSeason, Extremes, Review};
use crate::results::yields::book::Among;
use crate::results::yields::losses::Trouble;
use crate::results::yields::measures::{Per, Rate, Weighed};
use crate::site::amount::Amount;
use crate::site::came_of_it::{self, LossRow};
use crate::site::entry::linked;
use crate::site::frame::{EntryLink, Frame, Link};
use crate::site::growth_lines::{self, GrowthView};
use crate::site::harvests;
use crate::site::learned::{ScoreRow, score_row};
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::Span;
use crate::site::sums::{By, sums};
use crate::site::yields::YieldView;
use crate::units::{AreaUnit, MassUnit, System};

/// The review of a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReviewView {
    pub frame: Frame,
    /// All seasons, newest first.
    pub seasons: Vec<Link>,
    /// All that was picked, beside the season before.
    pub picked: Option<Message>,
    /// The fullest seven days of picking.
    pub best_week: Option<Message>,
    /// How many plantings of how many crops, and up to which day.
    pub lead: Message,
    /// The crops that grew.
    pub crops: Vec<CropRow>,
    /// The season as lines.
    pub year: Option<GrowthView>,
    /// What was weighed together from several crops.
    pub together: Option<YieldView>,
    pub total: YieldView,
    /// How the dates held that came.
    pub dates: Option<ScoreRow>,
    /// Plants that were lost.
    pub losses: Vec<LossRow>,
    /// The best and the worst of each crop that can be measured.
    pub extremes: Vec<ExtremesRow>,
    /// Pests and diseases.
    pub seen: Vec<TroubleRow>,
    /// What was used against them.
    pub treated: Vec<TroubleRow>,
    pub costs: Vec<CostRow>,
    /// The sum of it.
    pub spent: Option<Amount>,
    /// What the notes say for next year.
    pub notes: Vec<NoteRow>,
}

/// A crop in the season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropRow {
    pub crop: Link,
    /// The plantings that grew.
    pub plantings: Vec<Link>,
    /// What was picked of this crop alone.
    pub harvest: YieldView,
}

/// The best and the worst of a crop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExtremesRow {
    pub crop: Link,
    /// Which gave most.
    pub best: Link,
    pub best_gave: Message,
    /// Which gave least.
    pub worst: Link,
    pub worst_gave: Message,
    /// Among how many plantings.
    pub among: usize,
}

/// Something seen on plants, or used on them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TroubleRow {
    /// What; nothing if that is private.
    pub what: Option<String>,
    /// Against what it was used.
    pub against: Option<String>,
    /// First and last day.
    pub days: Span,
    /// On how many days.
    pub times: Message,
    pub plantings: Vec<Link>,
}

/// Money spent.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CostRow {
    pub date: NaiveDate,
    /// For what; nothing if that is private.
    pub what: Option<String>,
    pub price: Amount,
}

/// What an entry says for next year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NoteRow {
    pub entry: EntryLink,
    /// What it says, as Markdown: whole if it is short, else its beginning.
    pub prose: String,
    /// Whether there is more on its page.
    pub is_cut: bool,
}

/// A note of up to so many words stands in full; the review is to fit two sheets of paper.
const WORDS: usize = 120;

impl Page for ReviewView {
    type Key = Season;

    const PART: Part = Part { key: "review", href: "review/index.html", area: Area::Picked };
    const TEMPLATE: &'static str = "review.html";

    fn keys(garden: &Garden) -> Vec<Season> {
        review::seasons(garden)
    }

    fn path(garden: &Garden, &season: &Season) -> String {
        Self::PART.of_season(garden, season)
    }

    fn view(garden: &Garden, findings: &Findings, &season: &Season) -> Self {
        let review = Review::of(garden, &findings.forecasts, season);
        let system = garden.settings.units;
        let title = Message::new("title.review").with("season", season.name());
        let frame = Frame::new::<Self>(garden, &season, title);
        let currency = garden.settings.currency.as_deref();
        let costs: Vec<_> = review.costs.iter().map(|index| &garden.costs[*index]).collect();
        let spent: f64 = costs.iter().map(|cost| cost.price).sum();
        ReviewView {
            seasons: Self::keys(garden)
                .into_iter()
                .map(|season| Link::new(season.name(), Self::path(garden, &season)))
                .collect(),
            picked: harvests::in_a_sentence(garden, season),
            best_week: best_week(garden, findings, season),
            lead: lead(&review),
            year: growth_lines::of_season(garden, findings, season),
            crops: review.crops.iter().map(|season| crop_row(garden, season)).collect(),
            together: (review.together.pickings > 0)
                .then(|| YieldView::new(&review.together, system)),
            total: YieldView::new(&review.total, system),
            dates: review.dates.map(|score| score_row(Message::new("holds.all"), &score)),
            losses: review.losses.iter().map(|loss| LossRow::new(garden, loss)).collect(),
            extremes: review.extremes.iter().map(|best| extremes_row(garden, best)).collect(),
            seen: review.seen.iter().map(|trouble| trouble_row(garden, trouble)).collect(),
            treated: review.treated.iter().map(|trouble| trouble_row(garden, trouble)).collect(),
            spent: (!costs.is_empty()).then(|| Amount::money(spent, currency)),
            costs: costs
                .into_iter()
                .map(|cost| CostRow {
                    date: cost.date,
                    what: Some(cost.what.to_string()).filter(|what| !what.is_empty()),
                    price: Amount::money(cost.price, currency),
                })
                .collect(),
            notes: review.notes.iter().filter_map(|id| note_row(garden, *id, &frame)).collect(),
            frame,
        }
    }
}

fn best_week(garden: &Garden, findings: &Findings, season: Season) -> Option<Message> {
    let of_season = sums(garden, &findings.book, By::Season, Among::Season(season.days.from));
    let peak = came_of_it::rows(garden, &of_season).into_iter().next()?.peak?;
    Some(Message::new("review.best-week").with("from", peak.from).with("amount", peak.amount))
}

/// `37 plantings of 18 crops grew, up to 20 June.`
fn lead(review: &Review) -> Message {
    let plantings: usize = review.crops.iter().map(|season| season.plantings.len()).sum();
    let crops = Message::new("review.crops").with("count", review.crops.len() as u64);
    let key = match (plantings, review.is_over) {
        (0, _) => "review.nothing",
        (_, true) => "review.lead",
        (_, false) => "review.lead-so-far",
    };
    Message::new(key)
        .with("count", plantings as u64)
        .with("crops", crops)
        .with("to", review.days.to)
}

fn crop_row(garden: &Garden, season: &CropSeason) -> CropRow {
    CropRow {
        crop: Link::crop(garden, season.crop),
        plantings: season.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
        harvest: YieldView::new(&season.harvest, garden.settings.units),
    }
}

fn extremes_row(garden: &Garden, extremes: &Extremes) -> ExtremesRow {
    let gave = |rate: Rate| rate_of(rate, extremes.per, extremes.weighed, garden.settings.units);
    ExtremesRow {
        crop: Link::crop(garden, extremes.crop),
        best: Link::planting(garden, extremes.best.0),
        best_gave: gave(extremes.best.1),
        worst: Link::planting(garden, extremes.worst.0),
        worst_gave: gave(extremes.worst.1),
        among: extremes.among,
    }
}

/// `2.1 kg a plant`, `840 g dried for each square foot`.
fn rate_of(rate: Rate, per: Per, weighed: Weighed, system: System) -> Message {
    let (key, one) = match (per, system) {
        (Per::Plant, _) => ("plant", 1.0),
        (Per::SquareMetre, System::Metric) => ("area", 1.0),
        (Per::SquareMetre, System::Us) => {
            ("area-us", AreaUnit::SquareMetre.measure(AreaUnit::SquareFoot.of(1.0)))
        }
        (Per::Litre, _) => unreachable!("a review compares plants and areas"),
    };
    let dried = if weighed == Weighed::Dried { "-dried" } else { "" };
    let amount = Amount::mass(MassUnit::Gram.of(rate.grams * one), system);
    Message::new(format!("review.per-{key}{dried}"))
        .with("amount", Amount { about: rate.is_about, ..amount })
}

fn trouble_row(garden: &Garden, trouble: &Trouble) -> TroubleRow {
    TroubleRow {
        what: trouble.what.clone().map(String::from),
        against: trouble.against.clone().map(String::from),
        days: Span { from: trouble.first, to: trouble.last },
        times: Message::new("review.times").with("count", u64::from(trouble.days)),
        plantings: trouble.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
    }
}

fn note_row(garden: &Garden, id: EntryId, frame: &Frame) -> Option<NoteRow> {
    let prose = &garden.entry(id).prose;
    let shown = beginning(prose);
    Some(NoteRow {
        entry: Link::entry(garden, id)?,
        prose: linked(garden, shown, &frame.root),
        is_cut: shown.len() < prose.len(),
    })
}

/// Whole paragraphs up to so many words, and always the first.
fn beginning(prose: &str) -> &str {
    let ends = prose.match_indices("\n\n").map(|(at, _)| at).chain([prose.len()]);
    let fits = |end: &usize| prose[..*end].split_whitespace().count() <= WORDS;
    let first = prose.find("\n\n").unwrap_or(prose.len());
    let end = ends.filter(fits).max().unwrap_or(first);
    prose[..end.max(first)].trim_end()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_is_cut_between_paragraphs() {
        assert_eq!(beginning("One.\n\nTwo."), "One.\n\nTwo.");
        assert_eq!(beginning(""), "");
        let long = format!("{}\n\nEnd.", "word ".repeat(WORDS + 1));
        assert_eq!(beginning(&long), "word ".repeat(WORDS + 1).trim_end());
        let second = format!("First.\n\n{}", "word ".repeat(WORDS));
        assert_eq!(beginning(&second), "First.");
    }
}
