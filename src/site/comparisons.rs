//! What can be compared in this garden, in a sentence each. The drawings are on pages of their own.

use serde::Serialize;

use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::bootstrap::Difference;
use crate::results::comparisons::{Caution, Comparison, Gap, Question, What};
use crate::results::yields::measures::{Per, Weighed};
use crate::site::amount::Amount;
use crate::site::frame::{Frame, Link};
use crate::site::harvests::HarvestsView;
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::side_by_side::SideBySideView;
use crate::units::{AreaUnit, MassUnit, System};

/// Everything that can be compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparisonsView {
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
    /// Crops of which something can be told.
    pub told: Vec<ComparedCrop>,
    /// Crops of which nothing can be told yet.
    pub not_yet: Vec<Link>,
}

/// What is told of a crop under one question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparedCrop {
    /// Its plantings side by side, under the name of the crop.
    pub link: Link,
    /// What is compared.
    pub question: Message,
    /// The first of what may be said of the differences, the clear ones before the others.
    pub verdicts: Vec<Message>,
    /// So many more differences are told beside the drawing.
    pub more: usize,
    /// What else differs.
    pub cautions: Vec<Message>,
}

/// So many differences are told of a crop in a list.
const FIRST: usize = 3;

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
        let questions = Question::ALL.into_iter().filter_map(|question| {
            let crops = garden.catalogue.crops();
            let all = crops.filter_map(|(crop, _)| compared(garden, findings, crop, question));
            let (mut told, not_yet): (Vec<_>, Vec<_>) =
                all.partition(|crop| !crop.verdicts.is_empty());
            let mut not_yet: Vec<Link> = not_yet.into_iter().map(|crop| crop.link).collect();
            told.sort_by(|a, b| a.link.cmp(&b.link));
            not_yet.sort();
            let (key, title) = (question_key(question), question_title(garden, question));
            let is_empty = told.is_empty() && not_yet.is_empty();
            (!is_empty).then_some(QuestionView { key, title, told, not_yet })
        });
        let title = Message::new("title.comparisons");
        ComparisonsView {
            frame: Frame::new::<Self>(garden, &(), title),
            questions: questions.collect(),
        }
    }
}

/// What is told of a crop, question by question.
pub fn of_crop(garden: &Garden, findings: &Findings, crop: CropId) -> Vec<ComparedCrop> {
    let of = |question| compared(garden, findings, crop, question);
    Question::ALL.into_iter().filter_map(of).collect()
}

/// The comparisons of a crop under a question: for each plant and for each square metre, as far as there are any.
pub fn own(
    findings: &Findings,
    crop: CropId,
    question: Question,
) -> impl Iterator<Item = &Comparison> {
    let is_own = move |one: &&Comparison| one.crop == crop && one.question == question;
    findings.comparisons.iter().filter(is_own)
}

fn compared(
    garden: &Garden,
    findings: &Findings,
    crop: CropId,
    question: Question,
) -> Option<ComparedCrop> {
    own(findings, crop, question).next()?;
    let (mut clear, mut others, mut cautions) = (Vec::new(), Vec::new(), Vec::new());
    for comparison in own(findings, crop, question) {
        for gap in &comparison.gaps {
            let verdicts = if is_clear(gap) { &mut clear } else { &mut others };
            verdicts.push(verdict(garden, comparison, gap));
        }
        cautions.extend(comparison.cautions.iter().copied());
    }
    let likely = own(findings, crop, question).filter_map(|one| likely_words(garden, one));
    others.splice(0..0, likely.collect::<Vec<_>>());
    cautions.sort();
    cautions.dedup();
    clear.append(&mut others);
    let name = garden.catalogue.get(crop).name.as_str();
    Some(ComparedCrop {
        link: Link::new(name, SideBySideView::path(garden, &(crop, question))),
        question: question_title(garden, question),
        more: clear.len().saturating_sub(FIRST),
        verdicts: clear.into_iter().take(FIRST).collect(),
        cautions: cautions.into_iter().map(caution_words).collect(),
    })
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

/// The key of a question.
pub fn question_key(question: Question) -> &'static str {
    match question {
        Question::ContainerOrSoil => "places",
        Question::Variety => "varieties",
        Question::SeasonToDate => "seasons",
    }
}

/// What is compared.
pub fn question_title(garden: &Garden, question: Question) -> Message {
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

/// What may be said of a difference.
pub fn verdict(garden: &Garden, comparison: &Comparison, gap: &Gap) -> Message {
    let system = garden.settings.units;
    let (first, second) = (&comparison.sides[gap.first], &comparison.sides[gap.second]);
    let amount = |grams: f64| {
        let rate = rate(grams.abs(), comparison.per, system);
        Amount::estimated_mass(MassUnit::Gram.of(rate), system)
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

/// A smaller chance is hardly more than a coin's.
const LEAST_CHANCE: f64 = 0.7;
/// Chances are told to a twentieth, and never as certain.
const MOST_CHANCE: f64 = 0.95;

/// Which side probably gave more than its nearest rival that can be told from it, where no range can be given.
pub fn likely_words(garden: &Garden, comparison: &Comparison) -> Option<Message> {
    let likely = comparison.likely.iter().find(|likely| likely.chance >= LEAST_CHANCE)?;
    let side = |number: usize| side_name(garden, &comparison.sides[number].what);
    let chance = ((likely.chance * 20.0).round() / 20.0).min(MOST_CHANCE);
    let words = Message::new("verdict.likely")
        .with("more", side(likely.first))
        .with("less", side(likely.second))
        .with("per", per_words(comparison.per, garden.settings.units))
        .with("chance", Amount::percent(chance));
    Some(words)
}

/// Whether it is told which side gave more.
fn is_clear(gap: &Gap) -> bool {
    gap.difference.is_ok_and(|found| key_and_ends(found).0 == "verdict.more")
}

/// A difference as it is said of the side that gave more: key, whether that is the second, lower and upper end.
fn key_and_ends(found: Difference) -> (&'static str, bool, f64, f64) {
    let is_turned = found.middle < 0.0;
    let (low, high) = if is_turned { (-found.high, -found.low) } else { (found.low, found.high) };
    let key = if low > 0.0 { "verdict.more" } else { "verdict.unclear" };
    (key, is_turned, low, high)
}

/// What else differs.
pub fn caution_words(caution: Caution) -> Message {
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
