//! The comparisons in garden.json.

use schemars::JsonSchema;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::results::bootstrap::NoInterval;
use crate::results::comparisons::{
    Caution, Comparison, Gap, LeftOut, Likely, Member, Question, Side, What,
};
use crate::results::yields::measures::{Per, Weighed};
use crate::results::yields::why_not::WhyNot;
use crate::site::amount::rounded;
use crate::site::data::id_of;
use crate::site::plots::dots::stood_key;

/// Plantings of a crop side by side.
#[derive(Debug, JsonSchema, Serialize)]
pub(super) struct ComparisonData {
    /// A slug.
    crop: String,
    /// `containers or soil`, `varieties` or `season to date`.
    question: &'static str,
    /// `plant` or `m2`.
    per: &'static str,
    /// `fresh` or `dried`.
    weighed: &'static str,
    /// What is compared.
    sides: Vec<SideData>,
    /// Every two sides.
    differences: Vec<DifferenceData>,
    /// The side that most likely gave the most against each of the others with which it has no interval, the nearest first.
    likely: Vec<LikelyData>,
    /// What the sides never had in common.
    cautions: Vec<&'static str>,
    /// Plantings that are on no side.
    left_out: Vec<LeftOutData>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct SideData {
    /// What its plantings have in common.
    side: String,
    /// Its plantings.
    plantings: Vec<MemberData>,
    /// From five plantings on; to 0.1 g.
    mean_g: Option<f64>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct MemberData {
    /// Its id.
    planting: String,
    /// The season in which it was picked.
    season: String,
    /// The kind of place it stood in.
    stood: &'static str,
    /// What it gave for each plant or square metre, to 0.1 g.
    g: f64,
    /// Whether a guess is in it.
    about: bool,
    /// Pickings that nobody weighed.
    unweighed: u32,
}

#[derive(Debug, JsonSchema, Serialize)]
struct DifferenceData {
    /// A side.
    first: String,
    /// The other side.
    second: String,
    /// First less second, to 0.1 g.
    middle_g: Option<f64>,
    /// The lower end of its 90 % interval.
    low_g: Option<f64>,
    /// The upper end.
    high_g: Option<f64>,
    /// Why there is no interval.
    why_not: Option<&'static str>,
}

#[derive(Debug, JsonSchema, Serialize)]
struct LikelyData {
    /// The side that most likely gave the most of all.
    first: String,
    /// The other.
    second: String,
    /// How likely the first gives more than the other, 0.5 to 1, to 0.01.
    chance: f64,
}

#[derive(Debug, JsonSchema, Serialize)]
struct LeftOutData {
    /// Its id.
    planting: String,
    /// Why it is on no side.
    why: &'static str,
}

/// All comparisons, grams to a tenth.
pub(super) fn of(garden: &Garden, findings: &Findings) -> Vec<ComparisonData> {
    findings.comparisons.iter().map(|comparison| data(garden, comparison)).collect()
}

fn data(garden: &Garden, comparison: &Comparison) -> ComparisonData {
    let side = |side: &Side| SideData {
        side: side_key(&side.what),
        plantings: side.members.iter().map(|one| member(garden, one)).collect(),
        mean_g: side.mean().map(|grams| rounded(grams, 1)),
    };
    let left_out = comparison
        .left_out
        .iter()
        .map(|(id, why)| LeftOutData { planting: id_of(garden, *id), why: left_out_key(why) });
    let likely = |likely: &Likely| LikelyData {
        first: side_key(&comparison.sides[likely.first].what),
        second: side_key(&comparison.sides[likely.second].what),
        chance: rounded(likely.chance, 2),
    };
    ComparisonData {
        crop: garden.catalogue.get(comparison.crop).slug.clone(),
        question: match comparison.question {
            Question::ContainerOrSoil => "containers or soil",
            Question::Variety => "varieties",
            Question::SeasonToDate => "season to date",
        },
        per: match comparison.per {
            Per::Plant => "plant",
            Per::SquareMetre => "m2",
            Per::Litre => "litre of soil",
        },
        weighed: match comparison.weighed {
            Weighed::Fresh => "fresh",
            Weighed::Dried => "dried",
        },
        sides: comparison.sides.iter().map(side).collect(),
        differences: comparison.gaps.iter().map(|gap| difference(comparison, gap)).collect(),
        likely: comparison.likely.iter().map(likely).collect(),
        cautions: comparison.cautions.iter().map(|caution| caution_key(*caution)).collect(),
        left_out: left_out.collect(),
    }
}

fn member(garden: &Garden, member: &Member) -> MemberData {
    MemberData {
        planting: id_of(garden, member.planting),
        season: garden.season_of(member.season.from).name(),
        stood: stood_key(member.stood),
        g: rounded(member.grams, 1),
        about: member.is_about,
        unweighed: member.unweighed,
    }
}

fn difference(comparison: &Comparison, gap: &Gap) -> DifferenceData {
    let found = gap.difference.ok();
    DifferenceData {
        first: side_key(&comparison.sides[gap.first].what),
        second: side_key(&comparison.sides[gap.second].what),
        middle_g: found.map(|found| rounded(found.middle, 1)),
        low_g: found.map(|found| rounded(found.low, 1)),
        high_g: found.map(|found| rounded(found.high, 1)),
        why_not: gap.difference.err().map(|why| match why {
            NoInterval::TooFew => "too few",
            NoInterval::NoScatter => "too much alike",
        }),
    }
}

fn side_key(what: &What) -> String {
    match what {
        What::Containers => "containers".to_owned(),
        What::Soil => "soil".to_owned(),
        What::Variety(name) => name.clone(),
        What::ThisSeason => "this season".to_owned(),
        What::EarlierSeasons => "earlier seasons".to_owned(),
    }
}

fn caution_key(caution: Caution) -> &'static str {
    match caution {
        Caution::NoKindInCommon => "no kind of place in common",
        Caution::NoSeasonInCommon => "no season in common",
        Caution::NoVarietyInCommon => "no variety in common",
    }
}

fn left_out_key(why: &LeftOut) -> &'static str {
    match why {
        LeftOut::Growing => "growing",
        LeftOut::StandsForYears => "stands for years",
        LeftOut::OlderThanJournal => "older than the journal",
        LeftOut::NothingPicked => "nothing picked",
        LeftOut::NotWeighed(_) => "not weighed",
        LeftOut::WeighedOtherwise => "weighed otherwise",
        LeftOut::UnderCover => "under cover",
        LeftOut::InSeveral => "several kinds of place",
        LeftOut::NoPlace => "no place",
        LeftOut::NoVariety => "no variety",
        LeftOut::Withheld(WhyNot::NothingWeighed) => "not weighed",
        LeftOut::Withheld(WhyNot::WeighedTogether) => "weighed together",
        LeftOut::Withheld(WhyNot::FreshAndDried) => "fresh and dried",
        LeftOut::Withheld(WhyNot::NotCounted) => "plants not counted",
        LeftOut::Withheld(WhyNot::NotAlone(_)) => "not alone in its place",
        LeftOut::Withheld(_) => "ground not known",
    }
}
