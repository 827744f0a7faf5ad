//! Comparisons between plantings that do not say more than is known.
//!
//! The planting is the replicate: plants of one planting had one sowing, one place and one grower's year in common, and
//! count once. Nothing here was drawn by lot, so what differs besides is said ([`Caution`]). A planting of which a part is
//! not known is left out with its reason, not counted as less; one that is still growing is never held against the
//! total of one that is finished. (How the difference is told from chance: [`crate::results::bootstrap`].)

mod chance;
pub mod curve;
pub mod sides;
pub mod standing;
pub mod to_date;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::names::folded;
use crate::results::bootstrap::{self, Difference, FEWEST, InBlock, NoInterval};
pub use crate::results::comparisons::chance::Likely;
use crate::results::comparisons::standing::Stood;
use crate::results::yields::measures::{Per, Weighed};
use crate::results::yields::why_not::WhyNot;

/// Plantings of one crop side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    pub crop: CropId,
    /// What is compared.
    pub question: Question,
    /// What the weights are divided by.
    pub per: Per,
    /// Whether they are fresh or dried weights.
    pub weighed: Weighed,
    /// The sides, each with at least one planting; two or more.
    pub sides: Vec<Side>,
    /// Differences between sides that have five plantings or more each; empty where none have.
    pub gaps: Vec<Gap>,
    /// The side that most likely gave the most against each of the others with which it has no interval.
    pub likely: Vec<Likely>,
    /// Plantings of the crop that are in no side, with the reason.
    pub left_out: Vec<(PlantingId, LeftOut)>,
    /// What else differs between the sides.
    pub cautions: Vec<Caution>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Question {
    /// Grown in containers or in soil, out of doors.
    ContainerOrSoil,
    /// One variety or another.
    Variety,
    /// This season or earlier ones, each to the same day.
    SeasonToDate,
}

impl Question {
    /// In the order in which they are asked.
    pub const ALL: [Question; 3] =
        [Question::ContainerOrSoil, Question::Variety, Question::SeasonToDate];
}

/// One side of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// What its plantings have in common.
    pub what: What,
    /// Its plantings, earliest first.
    pub members: Vec<Member>,
}

/// What the plantings of a side have in common.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// They stood in containers.
    Containers,
    /// They stood in beds or open ground.
    Soil,
    /// They are of this variety.
    Variety(String),
    /// They stood in this season, until today.
    ThisSeason,
    /// They stood in earlier seasons, until the same day.
    EarlierSeasons,
}

/// A planting in a comparison.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    pub planting: PlantingId,
    /// Grams for each plant or square metre.
    pub grams: f64,
    /// Whether the plants or the ground are a guess.
    pub is_about: bool,
    /// Pickings that nobody weighed, so that it gave a little more; at most one in ten.
    pub unweighed: u32,
    pub stood: Stood,
    /// The season of its first day, or the one that is compared.
    pub season: Period,
}

/// The difference between two sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The number of the first side.
    pub first: usize,
    /// The number of the second.
    pub second: usize,
    /// The mean of the first less that of the second, grams, or why nothing can be said.
    pub difference: Result<Difference, NoInterval>,
}

/// Why a planting is in no side.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftOut {
    /// It is still growing: its total is not known yet.
    Growing,
    /// It stands for years, and has no total.
    StandsForYears,
    /// It is older than the journal, which may not know its first pickings.
    OlderThanJournal,
    /// Nothing is written down of what was picked, nor that all was lost.
    NothingPicked,
    /// Nobody weighed more than one picking in ten; that many.
    NotWeighed(u32),
    /// It was weighed after drying and the others fresh, or the other way round.
    WeighedOtherwise,
    /// It grew under glass or a roof.
    UnderCover,
    /// It grew both in containers and in soil, or both out of doors and under cover.
    InSeveral,
    /// It is not written down where it grew.
    NoPlace,
    NoVariety,
    /// A figure is withheld.
    Withheld(WhyNot),
}

/// What else differs between the sides, so that the difference may be due to that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Some sides never stood in the same kind of place.
    NoKindInCommon,
    /// Some sides were never grown in the same season.
    NoSeasonInCommon,
    /// Some sides have no variety in common.
    NoVarietyInCommon,
}

/// Everything that can be compared in a garden, by crop; for each plant first, then for each square metre.
pub fn of_garden(garden: &Garden) -> Vec<Comparison> {
    let mut all = Vec::new();
    for (crop, _) in garden.catalogue.crops() {
        if garden.plantings_of(crop).is_empty() {
            continue;
        }
        for question in Question::ALL {
            let by_plant = of_crop(garden, crop, question, Per::Plant);
            // A sum to a day is looked at once: by plants where they were counted.
            let is_enough = question == Question::SeasonToDate && by_plant.is_some();
            all.extend(by_plant);
            if !is_enough {
                all.extend(of_crop(garden, crop, question, Per::SquareMetre));
            }
        }
    }
    all
}

/// One comparison, if there is a planting on two sides.
pub fn of_crop(garden: &Garden, crop: CropId, question: Question, per: Per) -> Option<Comparison> {
    let (weighed, told) = match question {
        Question::SeasonToDate => to_date::members(garden, crop, per),
        _ => sides::members(garden, crop, question, per),
    };
    let mut sides: Vec<Side> = Vec::new();
    let mut left_out = Vec::new();
    for (planting, told) in told {
        match told {
            Ok((what, member)) => match sides.iter_mut().find(|side| is_same(&side.what, &what)) {
                Some(side) => side.members.push(member),
                None => sides.push(Side { what, members: vec![member] }),
            },
            Err(why) => left_out.push((planting, why)),
        }
    }
    if sides.len() < 2 {
        return None;
    }
    let gave_nothing = |side: &Side| side.members.iter().all(|member| member.grams == 0.0);
    if question == Question::SeasonToDate && sides.iter().all(gave_nothing) {
        return None;
    }
    sides.sort_by(|a, b| a.what.cmp(&b.what));
    for side in &mut sides {
        side.members.sort_by_key(|member| (member.season.from, member.planting));
    }
    let cautions = cautions(garden, question, &sides);
    let in_blocks = in_blocks(garden, question, &sides);
    let gaps = gaps(&in_blocks);
    let is_told = |likely: &Likely| {
        let both = [likely.first, likely.second];
        gaps.iter().any(|gap| both.contains(&gap.first) && both.contains(&gap.second))
    };
    // Seasons that are held against each other are their own blocks, so no chance is told of them.
    let mut likely =
        if question == Question::SeasonToDate { Vec::new() } else { likely(&in_blocks) };
    likely.retain(|likely| !is_told(likely));
    Some(Comparison { crop, question, per, weighed, sides, gaps, likely, left_out, cautions })
}

impl Side {
    /// Grams of each planting.
    pub fn values(&self) -> Vec<f64> {
        self.members.iter().map(|member| member.grams).collect()
    }

    /// The mean of its plantings, grams; nothing below five of them, where it would hide more than it tells.
    pub fn mean(&self) -> Option<f64> {
        bootstrap::mean(&self.values()).filter(|_| self.members.len() >= FEWEST)
    }
}

fn is_same(a: &What, b: &What) -> bool {
    match (a, b) {
        (What::Variety(a), What::Variety(b)) => folded(a) == folded(b),
        _ => a == b,
    }
}

/// What the plantings of each side gave, each in its block: what a season did, to a kind of place where varieties are held
/// against each other and to a variety where kinds of place are, is one draw. Seasons are all in one block.
fn in_blocks(garden: &Garden, question: Question, sides: &[Side]) -> Vec<Vec<InBlock>> {
    let block = |member: &Member| {
        let variety = || garden.planting(member.planting).variety.as_deref().map(folded);
        match question {
            Question::Variety => Some((member.season.from, Some(member.stood), None)),
            Question::ContainerOrSoil => Some((member.season.from, None, variety())),
            Question::SeasonToDate => None,
        }
    };
    let mut blocks: Vec<_> = sides.iter().flat_map(|side| &side.members).map(block).collect();
    blocks.sort();
    blocks.dedup();
    let number = |member: &Member| blocks.binary_search(&block(member)).unwrap_or_default();
    let of_side = |side: &Side| -> Vec<InBlock> {
        side.members.iter().map(|member| (number(member), member.grams)).collect()
    };
    sides.iter().map(of_side).collect()
}

/// The side that most likely gave the most against each of the others.
fn likely(sides: &[Vec<InBlock>]) -> Vec<Likely> {
    let given = sides.iter().flatten().map(|(_, grams)| *grams).filter(|grams| *grams > 0.0);
    let Some(least) = given.reduce(f64::min) else { return Vec::new() };
    // What gave nothing gave less than any: half of the least stands for it, as nothing has no logarithm.
    let nothing = least / 2.0;
    let of_side = |(side, values): (usize, &Vec<InBlock>)| {
        let planting = |(block, grams): &InBlock| chance::Planting {
            side,
            block: *block,
            grams: grams.max(nothing),
        };
        values.iter().map(planting).collect::<Vec<_>>()
    };
    let plantings: Vec<_> = sides.iter().enumerate().flat_map(of_side).collect();
    chance::likely(&plantings)
}

/// Differences between all sides of which each has enough plantings.
fn gaps(sides: &[Vec<InBlock>]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for (first, one) in sides.iter().enumerate() {
        for (second, two) in sides.iter().enumerate().skip(first + 1) {
            let difference = bootstrap::difference_of_means(one, two);
            if difference != Err(NoInterval::TooFew) {
                gaps.push(Gap { first, second, difference });
            }
        }
    }
    gaps
}

fn cautions(garden: &Garden, question: Question, sides: &[Side]) -> Vec<Caution> {
    if question == Question::SeasonToDate {
        return Vec::new();
    }
    let variety = |member: &Member| garden.planting(member.planting).variety.as_deref().map(folded);
    let mut cautions = Vec::new();
    if question == Question::Variety && is_apart(sides, |member| member.stood) {
        cautions.push(Caution::NoKindInCommon);
    }
    if is_apart(sides, |member| member.season.from) {
        cautions.push(Caution::NoSeasonInCommon);
    }
    if question == Question::ContainerOrSoil && is_apart(sides, variety) {
        cautions.push(Caution::NoVarietyInCommon);
    }
    cautions
}

/// Whether there are two sides that have nothing of a kind in common.
fn is_apart<T: PartialEq>(sides: &[Side], what: impl Fn(&Member) -> T) -> bool {
    let has = |side: &Side, wanted: &T| side.members.iter().any(|member| what(member) == *wanted);
    sides.iter().enumerate().any(|(index, one)| {
        let others = &sides[index + 1..];
        others.iter().any(|two| !one.members.iter().any(|member| has(two, &what(member))))
    })
}
