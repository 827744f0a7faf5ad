//! Finished plantings as members of a comparison.

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, Way};
use crate::happening::Happening;
use crate::results::comparisons::standing::{self, Stood};
use crate::results::comparisons::{LeftOut, Member, Question, What};
use crate::results::yields::measures::{self, Measures, Per, Rate, Weighed};
use crate::results::yields::why_not::WhyNot;

/// A planting, and its side and figure or why it has none.
pub(super) type Told = (PlantingId, Result<(What, Member), LeftOut>);

/// Every planting of a crop that was begun, and how most of them were weighed.
pub(super) fn members(
    garden: &Garden,
    crop: CropId,
    question: Question,
    per: Per,
) -> (Weighed, Vec<Told>) {
    let begun: Vec<PlantingId> = garden
        .plantings()
        .filter(|(_, planting)| planting.crop == crop && planting.way != Way::Intended)
        .map(|(id, _)| id)
        .collect();
    let measured = |id: &PlantingId| measures::of_planting(garden, *id);
    let weighed = usual_way(begun.iter().map(measured));
    let told = begun.iter().map(|id| (*id, member(garden, *id, question, per, weighed)));
    (weighed, told.collect())
}

/// Fresh, unless more of them were weighed after drying.
pub(super) fn usual_way(all: impl Iterator<Item = Measures>) -> Weighed {
    let (mut fresh, mut dried) = (0_u32, 0_u32);
    for measures in all {
        match measures.sum.weighed() {
            Ok(Weighed::Fresh) => fresh += 1,
            Ok(Weighed::Dried) => dried += 1,
            Err(_) => {}
        }
    }
    if dried > fresh { Weighed::Dried } else { Weighed::Fresh }
}

fn member(
    garden: &Garden,
    id: PlantingId,
    question: Question,
    per: Per,
    weighed: Weighed,
) -> Result<(What, Member), LeftOut> {
    let planting = garden.planting(id);
    if planting.is_perennial {
        return Err(LeftOut::StandsForYears);
    }
    if planting.finished.is_none() {
        return Err(LeftOut::Growing);
    }
    if planting.is_older_than_journal {
        return Err(LeftOut::OlderThanJournal);
    }
    let stood = standing::stood(garden, planting);
    let what = match question {
        Question::Variety => {
            What::Variety(planting.variety.clone().ok_or(LeftOut::NoVariety)?.into())
        }
        _ => match stood {
            Stood::Containers => What::Containers,
            Stood::Soil => What::Soil,
            Stood::UnderCover => return Err(LeftOut::UnderCover),
            Stood::Several => return Err(LeftOut::InSeveral),
            Stood::Unknown => return Err(LeftOut::NoPlace),
        },
    };
    let measures = measures::of_planting(garden, id);
    let gave_nothing = measures.sum.pickings == 0;
    if gave_nothing && !measures.is_part && !ended_in_loss(planting) {
        return Err(LeftOut::NothingPicked);
    }
    let Rate { grams, is_about } = rate(&measures, per, weighed)?;
    let season = garden.season_of(planting.begun().unwrap_or(planting.noted)).days;
    let unweighed = measures.sum.unweighed;
    Ok((what, Member { planting: id, grams, is_about, unweighed, stood, season }))
}

/// Of so many pickings one may be unweighed without the planting being left out: common practice, no source.
const PICKINGS_TO_ONE_UNWEIGHED: u32 = 10;

/// Grams for each. A planting that gave nothing gave nothing for each.
pub(super) fn rate(measures: &Measures, per: Per, weighed: Weighed) -> Result<Rate, LeftOut> {
    let sum = &measures.sum;
    if measures.is_part {
        return Err(LeftOut::Withheld(WhyNot::WeighedTogether));
    }
    if sum.pickings == 0 {
        let (_, is_about) = measures.divisor(per).map_err(LeftOut::Withheld)?;
        return Ok(Rate { grams: 0.0, is_about });
    }
    if sum.unweighed * PICKINGS_TO_ONE_UNWEIGHED > sum.pickings {
        return Err(LeftOut::NotWeighed(sum.unweighed));
    }
    if sum.weighed().map_err(LeftOut::Withheld)? != weighed {
        return Err(LeftOut::WeighedOtherwise);
    }
    measures.per(per, weighed).map_err(LeftOut::Withheld)
}

/// Whether the last that is written of it is that its plants died.
fn ended_in_loss(planting: &Planting) -> bool {
    planting.history.last().is_some_and(|step| step.what == Happening::Lost)
}
