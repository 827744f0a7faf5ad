//! Plantings of a crop side by side: every one as a mark and as a row, and what may be said of the difference.

pub mod left_out;

use serde::Serialize;

use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::bootstrap::FEWEST;
use crate::results::comparisons::{Comparison, Member, Question, What};
use crate::results::yields::measures::Per;
use crate::site::amount::Amount;
use crate::site::comparisons::{
    ComparisonsView, caution_words, likely_words, own, question, question_key, question_title,
    rate, side_name, verdict,
};
use crate::site::frame::{Frame, Link, TrailStep};
use crate::site::harvests::HarvestsView;
use crate::site::message::{Arg, Message};
use crate::site::page::{Page, Part};
use crate::site::plots::dots::{self, DotsPlot, MarkKey};
use crate::site::plots::weight;

/// Plantings of a crop under one question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SideBySideView {
    pub frame: Frame,
    /// What the marks stand for.
    pub key: MarkKey,
    /// For each plant, and for each square metre.
    pub comparisons: Vec<ComparisonView>,
}

/// One comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComparisonView {
    /// The page it is told on.
    pub href: String,
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
    pub side: Message,
    pub planting: Link,
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
    pub planting: Link,
    pub why: Message,
}

impl Page for SideBySideView {
    type Key = (CropId, Question);

    const PART: Part = HarvestsView::PART;
    const TEMPLATE: &'static str = "side-by-side.html";

    /// A planting alone has nobody beside it.
    fn keys(garden: &Garden) -> Vec<(CropId, Question)> {
        let crops = garden.catalogue.crops().map(|(crop, _)| crop);
        let crops = crops.filter(|crop| garden.plantings_of(*crop).len() > 1);
        crops.flat_map(|crop| Question::ALL.map(|question| (crop, question))).collect()
    }

    fn is_needed(findings: &Findings, (crop, question): &(CropId, Question)) -> bool {
        own(findings, *crop, *question).next().is_some()
    }

    fn path(garden: &Garden, (crop, question): &(CropId, Question)) -> String {
        let slug = &garden.catalogue.get(*crop).slug;
        format!("comparisons/{slug}-{}/index.html", question_key(*question))
    }

    fn view(garden: &Garden, findings: &Findings, key: &(CropId, Question)) -> Self {
        let (crop, question) = *key;
        let title = Message::new("compare.title")
            .with("crop", garden.catalogue.get(crop).name.as_str())
            .with("question", question_title(garden, question));
        let mut frame = Frame::new::<Self>(garden, key, title);
        let list = ComparisonsView::path(garden, &());
        frame.trail.push(TrailStep { name: Message::new("title.comparisons"), href: list });
        let others = garden.catalogue.crops().map(|(crop, _)| crop);
        let others = others.filter(|other| *other != crop).filter_map(|other| {
            own(findings, other, question).next()?;
            let name = garden.catalogue.get(other).name.as_str();
            Some(Link::new(name, Self::path(garden, &(other, question))))
        });
        let mut others: Vec<Link> = others.collect();
        others.sort();
        let all = own(findings, crop, question);
        SideBySideView {
            frame: frame.beside(others),
            key: dots::key(),
            comparisons: all.map(|comparison| ComparisonView::new(garden, comparison)).collect(),
        }
    }
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
            href: SideBySideView::path(garden, &(comparison.crop, comparison.question)),
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
        stood: dots::stood_words(member.stood),
        season: garden.season_of(member.season.from).name(),
        amount: Amount { about: member.is_about, ..amount },
        unweighed: member.unweighed,
    }
}

/// What may be said of the differences; that there are too few plantings, if nothing.
fn verdicts(garden: &Garden, comparison: &Comparison) -> Vec<Message> {
    let mut verdicts: Vec<Message> =
        comparison.gaps.iter().map(|gap| verdict(garden, comparison, gap)).collect();
    let few = comparison.sides.iter().filter(|side| side.members.len() < FEWEST);
    let few: Vec<Arg> = few.map(|side| side_name(garden, &side.what).into()).collect();
    let likely = likely_words(garden, comparison);
    if verdicts.is_empty() {
        let key = if likely.is_some() { "verdict.how-much" } else { "verdict.too-few" };
        verdicts.extend(likely);
        verdicts.push(Message::new(key).with("fewest", FEWEST.to_string()));
        return verdicts;
    }
    verdicts.extend(likely);
    if !few.is_empty() {
        verdicts.push(Message::new("verdict.others-too-few").with("sides", few));
    }
    if comparison.gaps.len() > 1 {
        verdicts.push(Message::new("verdict.many"));
    }
    verdicts
}
