//! The review of a season: what was grown and what it gave, how the dates held, what to do next year.

use chrono::NaiveDate;
use serde::Serialize;

use crate::agronomy::findings::Findings;
use crate::agronomy::review::{self, CropSeason, Loss, Review, Sighting};
use crate::garden::model::{Garden, Season};
use crate::garden::records::EntryId;
use crate::views::amount::Amount;
use crate::views::frame::{EntryLink, Frame, Link};
use crate::views::journal::linked;
use crate::views::learned::{ScoreRow, score_row};
use crate::views::message::Message;
use crate::views::plantings::Span;
use crate::views::yields::YieldView;

/// The review of a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReviewView {
    /// Title, menu, root.
    pub frame: Frame,
    /// The season's name.
    pub season: String,
    /// All seasons, newest first.
    pub seasons: Vec<Link>,
    /// How many plantings of how many crops, and up to which day.
    pub lead: Message,
    /// The crops that grew.
    pub crops: Vec<CropRow>,
    /// What was weighed together from several crops.
    pub together: Option<YieldView>,
    /// All of it.
    pub total: YieldView,
    /// How the dates held that came.
    pub dates: Option<ScoreRow>,
    /// Plants that were lost.
    pub losses: Vec<LossRow>,
    /// Pests and diseases.
    pub seen: Vec<SeenRow>,
    /// Money spent.
    pub costs: Vec<CostRow>,
    /// The sum of it.
    pub spent: Option<Amount>,
    /// What the notes say for next year.
    pub notes: Vec<NoteRow>,
}

/// A crop in the season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropRow {
    /// The crop.
    pub crop: Link,
    /// The plantings that grew.
    pub plantings: Vec<Link>,
    /// What was picked of this crop alone.
    pub harvest: YieldView,
}

/// Plants that were lost.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LossRow {
    /// When.
    pub date: NaiveDate,
    /// Of which planting.
    pub planting: Link,
    /// How many, if anybody counted.
    pub plants: Option<Amount>,
    /// Why.
    pub because: Option<String>,
}

/// Something seen on plants.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeenRow {
    /// What.
    pub what: String,
    /// First and last day.
    pub days: Span,
    /// How often.
    pub times: Message,
}

/// Money spent.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CostRow {
    /// When.
    pub date: NaiveDate,
    /// For what; nothing if that is private.
    pub what: Option<String>,
    /// How much.
    pub price: Amount,
}

/// What an entry says for next year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NoteRow {
    /// To its page.
    pub entry: EntryLink,
    /// What it says, as Markdown: whole if it is short, else its beginning.
    pub prose: String,
    /// Whether there is more on its page.
    pub is_cut: bool,
}

/// A note of up to so many words stands in full; the review is to fit two sheets of paper.
const WORDS: usize = 120;

/// The page of a season's review; the current season has the room's front page.
pub fn path_of(garden: &Garden, season: Season) -> String {
    if season == garden.season() {
        return "review/index.html".to_owned();
    }
    format!("review/{}/index.html", season.name().replace('/', "-"))
}

impl ReviewView {
    /// The page of a season.
    pub fn new(garden: &Garden, findings: &Findings, season: Season) -> ReviewView {
        let review = Review::of(garden, &findings.forecasts, season);
        let system = garden.settings.units;
        let title = Message::new("title.review").with("season", season.name());
        let frame = Frame::new(garden, &path_of(garden, season), "review", title);
        let currency = garden.settings.currency.as_deref();
        let costs: Vec<_> = review.costs.iter().map(|index| &garden.costs[*index]).collect();
        let spent: f64 = costs.iter().map(|cost| cost.price).sum();
        ReviewView {
            season: season.name(),
            seasons: review::seasons(garden)
                .into_iter()
                .map(|season| Link { text: season.name(), href: path_of(garden, season) })
                .collect(),
            lead: lead(&review),
            crops: review.crops.iter().map(|season| crop_row(garden, season)).collect(),
            together: (review.together.pickings > 0)
                .then(|| YieldView::new(&review.together, system)),
            total: YieldView::new(&review.total, system),
            dates: review.dates.map(|score| score_row(Message::new("holds.all"), &score)),
            losses: review.losses.iter().map(|loss| loss_row(garden, loss)).collect(),
            seen: review.seen.iter().map(seen_row).collect(),
            spent: (!costs.is_empty()).then(|| Amount::money(spent, currency)),
            costs: costs
                .into_iter()
                .map(|cost| CostRow {
                    date: cost.date,
                    what: Some(cost.what.clone()).filter(|what| !what.is_empty()),
                    price: Amount::money(cost.price, currency),
                })
                .collect(),
            notes: review.notes.iter().filter_map(|id| note_row(garden, *id, &frame)).collect(),
            frame,
        }
    }
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

fn loss_row(garden: &Garden, loss: &Loss) -> LossRow {
    LossRow {
        date: loss.date,
        planting: Link::planting(garden, loss.planting),
        plants: Amount::plants(loss.plants),
        because: loss.because.clone(),
    }
}

fn seen_row(sighting: &Sighting) -> SeenRow {
    SeenRow {
        what: sighting.what.clone(),
        days: Span::from(sighting.days),
        times: Message::new("review.times").with("count", u64::from(sighting.times)),
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
