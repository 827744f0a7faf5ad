//! What can be compared in this garden: every planting as a mark, and what may be said of the difference.

pub mod left_out;

use serde::Serialize;

use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::bootstrap::{Difference, FEWEST};
use crate::results::comparisons::{Caution, Comparison, Gap, Member, Question, What};
use crate::results::yields::measures::{Per, Weighed};
use crate::site::amount::Amount;
use crate::site::frame::{Frame, Link};
use crate::site::harvests::HarvestsView;
use crate::site::message::{Arg, Message};
use crate::site::page::{Page, Part};
use crate::site::plots::dots::{self, DotsPlot};
use crate::site::plots::weight;
use crate::units::{AreaUnit, System};

/// Everything that can be compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparisonsView {
    /// Title, menu, root.
    pub frame: Frame,
    /// By question, those that have anything to show.
    pub questions: Vec<QuestionView>,
}

/// All crops under one question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuestionView {
    /// The key of the question, and the id of its heading.
    pub key: &'static str,
    /// What is compared.
    pub title: Message,
    /// The comparisons, by crop.
    pub comparisons: Vec<ComparisonView>,
}

/// One comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparisonView {
    /// The crop.
    pub crop: Link,
    /// What is compared.
    pub title: Message,
    /// Every planting as a mark.
    pub plot: DotsPlot,
    /// What may be said of the difference.
    pub verdicts: Vec<Message>,
    /// What else differs.
    pub cautions: Vec<Message>,
    /// Every planting, side by side.
    pub rows: Vec<ComparedRow>,
    /// Plantings that are not compared, and why.
    pub left_out: Vec<LeftOutRow>,
}

/// A planting that is compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparedRow {
    /// Its side.
    pub side: Message,
    /// The planting.
    pub planting: Link,
    /// Where it stood.
    pub stood: Message,
    /// The name of its season.
    pub season: String,
    /// What it gave for each plant or square metre.
    pub amount: Amount,
    /// Pickings that nobody weighed.
    pub unweighed: u32,
}

/// A planting that is not compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LeftOutRow {
    /// The planting.
    pub planting: Link,
    /// Why.
    pub why: Message,
}

impl Page for ComparisonsView {
    type Key = ();

    const PART: Part = HarvestsView::PART;
    const TEMPLATE: &'static str = "comparisons.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn path(_: &Garden, (): &()) -> String {
        "comparisons/index.html".to_owned()
    }

    fn view(garden: &Garden, findings: &Findings, (): &()) -> Self {
        let all = [Question::ContainerOrSoil, Question::Variety, Question::SeasonToDate];
        let questions = all.into_iter().filter_map(|question| {
            let own = findings.comparisons.iter().filter(|one| one.question == question);
            let mut comparisons: Vec<ComparisonView> =
                own.map(|comparison| ComparisonView::new(garden, comparison)).collect();
            comparisons.sort_by(|a, b| a.crop.cmp(&b.crop));
            let title = question_title(garden, question);
            let key = question_key(question);
            (!comparisons.is_empty()).then_some(QuestionView { key, title, comparisons })
        });
        let title = Message::new("title.comparisons");
        ComparisonsView {
            frame: Frame::new::<Self>(garden, &(), title),
            questions: questions.collect(),
        }
    }
}

/// The comparisons of a crop.
pub fn of_crop(garden: &Garden, findings: &Findings, crop: CropId) -> Vec<ComparisonView> {
    let own = findings.comparisons.iter().filter(|comparison| comparison.crop == crop);
    own.map(|comparison| ComparisonView::new(garden, comparison)).collect()
}

impl ComparisonView {
    /// A comparison as it is shown.
    pub fn new(garden: &Garden, comparison: &Comparison) -> ComparisonView {
        let crop = garden.catalogue.get(comparison.crop);
        let per = match comparison.per {
            Per::Plant => "plant",
            Per::SquareMetre => "area",
            Per::Litre => "soil",
        };
        let id = format!("{}-{}-{per}", crop.slug, question_key(comparison.question));
        let rows = comparison.sides.iter().flat_map(|side| {
            side.members.iter().map(|member| row(garden, comparison, &side.what, member))
        });
        let left_out = comparison.left_out.iter().map(|(planting, why)| LeftOutRow {
            planting: Link::planting(garden, *planting),
            why: left_out::words(garden, why),
        });
        ComparisonView {
            crop: Link::crop(garden, comparison.crop),
            title: question(garden, comparison),
            plot: dots::of(garden, comparison, id),
            verdicts: verdicts(garden, comparison),
            cautions: comparison.cautions.iter().map(|caution| caution_words(*caution)).collect(),
            rows: rows.collect(),
            left_out: left_out.collect(),
        }
    }
}

fn row(garden: &Garden, comparison: &Comparison, what: &What, member: &Member) -> ComparedRow {
    let system = garden.settings.units;
    let amount = weight(rate(member.grams, comparison.per, system), system);
    ComparedRow {
        side: side_name(garden, what),
        planting: Link::planting(garden, member.planting),
        stood: Message::new(format!("stood.{}", dots::shape(member.stood))),
        season: garden.season_of(member.season.from).name(),
        amount: Amount { about: member.is_about, ..amount },
        unweighed: member.unweighed,
    }
}

/// Grams for each plant, or for each square metre or square foot as the garden measures.
pub fn rate(grams: f64, per: Per, system: System) -> f64 {
    match per {
        Per::SquareMetre => grams * AreaUnit::SquareMetre.measure(system.area_unit().of(1.0)),
        Per::Plant | Per::Litre => grams,
    }
}

/// What a weight is divided by, and whether it is fresh or dried.
pub fn unit(comparison: &Comparison, system: System) -> Message {
    let weighed = match comparison.weighed {
        Weighed::Fresh => "compare.fresh",
        Weighed::Dried => "compare.dried",
    };
    Message::new(weighed).with("per", per_words(comparison.per, system))
}

fn per_words(per: Per, system: System) -> Message {
    let key = match (per, system) {
        (Per::Plant, _) => "per.plant",
        (Per::SquareMetre, System::Metric) => "per.m2",
        (Per::SquareMetre, System::Us) => "per.ft2",
        (Per::Litre, _) => "per.litre",
    };
    Message::new(key)
}

fn question_key(question: Question) -> &'static str {
    match question {
        Question::ContainerOrSoil => "places",
        Question::Variety => "varieties",
        Question::SeasonToDate => "seasons",
    }
}

fn question_title(garden: &Garden, question: Question) -> Message {
    match question {
        Question::ContainerOrSoil => Message::new("question.places"),
        Question::Variety => Message::new("question.varieties"),
        Question::SeasonToDate => Message::new("question.seasons").with("day", garden.today),
    }
}

/// Crop and question.
pub fn question(garden: &Garden, comparison: &Comparison) -> Message {
    Message::new("compare.title")
        .with("crop", garden.catalogue.get(comparison.crop).name.as_str())
        .with("question", question_title(garden, comparison.question))
}

/// What the plantings of a side have in common.
pub fn side_name(garden: &Garden, what: &What) -> Message {
    match what {
        What::Containers => Message::new("side.containers"),
        What::Soil => Message::new("side.soil"),
        What::Variety(name) => Message::new("title.name").with("name", name.as_str()),
        What::ThisSeason => Message::new("side.this-season").with("season", garden.season().name()),
        What::EarlierSeasons => Message::new("side.earlier"),
    }
}

/// What may be said of the differences; that there are too few plantings, if nothing.
fn verdicts(garden: &Garden, comparison: &Comparison) -> Vec<Message> {
    let mut verdicts: Vec<Message> =
        comparison.gaps.iter().map(|gap| verdict(garden, comparison, gap)).collect();
    let few = comparison.sides.iter().filter(|side| side.members.len() < FEWEST);
    let few: Vec<Arg> = few.map(|side| side_name(garden, &side.what).into()).collect();
    if verdicts.is_empty() {
        let key = Message::new("verdict.too-few").with("fewest", FEWEST.to_string());
        verdicts.push(key);
    } else if !few.is_empty() {
        verdicts.push(Message::new("verdict.others-too-few").with("sides", few));
    }
    if comparison.gaps.len() > 1 {
        verdicts.push(Message::new("verdict.many"));
    }
    verdicts
}

fn verdict(garden: &Garden, comparison: &Comparison, gap: &Gap) -> Message {
    let system = garden.settings.units;
    let (first, second) = (&comparison.sides[gap.first], &comparison.sides[gap.second]);
    let is_about = first.is_about() || second.is_about();
    let amount = |grams: f64| {
        let amount = weight(rate(grams.abs(), comparison.per, system), system);
        Amount { about: is_about, ..amount }
    };
    let names = |key: &str, more: &What, less: &What| {
        Message::new(key)
            .with("more", side_name(garden, more))
            .with("less", side_name(garden, less))
            .with("per", per_words(comparison.per, system))
    };
    let Ok(found) = gap.difference else {
        return names("verdict.alike", &first.what, &second.what);
    };
    let (key, is_turned, low, high) = key_and_ends(found);
    let (more, less) = if is_turned { (second, first) } else { (first, second) };
    names(key, &more.what, &less.what)
        .with("middle", amount(found.middle))
        .with("low", amount(low))
        .with("high", amount(high))
}

/// A difference as it is said of the side that gave more: key, whether that is the second, lower and upper end.
fn key_and_ends(found: Difference) -> (&'static str, bool, f64, f64) {
    let is_turned = found.middle < 0.0;
    let (low, high) = if is_turned { (-found.high, -found.low) } else { (found.low, found.high) };
    let key = if low > 0.0 { "verdict.more" } else { "verdict.unclear" };
    (key, is_turned, low, high)
}

fn caution_words(caution: Caution) -> Message {
    Message::new(match caution {
        Caution::NoKindInCommon => "compare.no-kind",
        Caution::NoSeasonInCommon => "compare.no-season",
        Caution::NoVarietyInCommon => "compare.no-variety",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_metre_is_ten_square_feet_and_more() {
        // 1 ft² = 0.09290304 m² exactly (international yard and pound agreement, 1959).
        assert!((rate(1000.0, Per::SquareMetre, System::Us) - 92.903_04).abs() < 1e-9);
        assert_eq!(rate(1000.0, Per::SquareMetre, System::Metric), 1000.0);
        assert_eq!(rate(1000.0, Per::Plant, System::Us), 1000.0);
    }

    #[test]
    fn a_difference_is_said_of_the_side_that_gave_more() {
        let said = |middle, low, high| key_and_ends(Difference { middle, low, high });
        assert_eq!(said(-750.0, -1000.0, -500.0), ("verdict.more", true, 500.0, 1000.0));
        assert_eq!(said(750.0, 500.0, 1000.0), ("verdict.more", false, 500.0, 1000.0));
        assert_eq!(said(-100.0, -300.0, 100.0), ("verdict.unclear", true, -100.0, 300.0));
    }
}
