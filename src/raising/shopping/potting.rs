//! Pots for seedlings, and the mix that goes into them and into containers.

use chrono::NaiveDate;

use crate::calendar::plan::Plans;
use crate::care::mixes;
use crate::care::tasks::model::Task;
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::{Group, Planting, PlantingId, Step, StepWord, Way};
use crate::garden::shown::Shown;
use crate::garden::vessel;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::names::folded;
use crate::stage::Stage;
use crate::units::{self, Range, Uses, Volume};

/// Pots for a planting, as the last of its crop had them.
#[derive(Clone, Debug, PartialEq)]
pub struct PotNeed {
    pub planting: PlantingId,
    /// The planting after whose pattern it is raised.
    pub like: PlantingId,
    /// About when.
    pub day: NaiveDate,
    /// Pricked out or potted on.
    pub stage: Stage,
    /// The pot, in the grower's words.
    pub pot: Shown,
    /// The mix, in the grower's words.
    pub mix: Option<Shown>,
    /// About how many.
    pub number: u32,
    /// Where they stood then.
    pub place: Option<PlaceId>,
}

/// A mix, and what it is to fill.
#[derive(Clone, Debug, PartialEq)]
pub struct MixNeed {
    /// Its name in the grower's words.
    pub name: String,
    /// Which of the garden's mixes it is, if there is a recipe.
    pub recipe: Option<usize>,
    /// What the pots take; nothing if there are none, or none has a size.
    pub pots: Option<Range<Volume>>,
    /// Containers that are planted in this time and have not been filled in the last twelve months, with what they
    /// take: to be filled anew, or kept.
    pub containers: Vec<(PlaceId, Range<Volume>)>,
}

/// A container that was filled so lately is not filled again. Common practice, no source.
const FILLED_DAYS: i64 = 365;

/// Pots for what is on its way to its place, in these days.
pub(crate) fn pots(garden: &Garden, plans: &Plans, days: Period) -> Vec<PotNeed> {
    let mut needs = Vec::new();
    for (id, planting) in garden.plantings() {
        let is_on_its_way = planting.finished.is_none() && planting.stage() < Stage::PlantedOut;
        if !is_on_its_way || !matches!(planting.way, Way::Intended | Way::Sown) {
            continue;
        }
        let sow = plans.get(&id).and_then(|plan| plan.sow);
        // What is still to be sown is not sown in the past.
        let to_sow = planting.sow_on().or(sow.map(|sow| sow.from)).map(|day| day.max(garden.today));
        let Some(begun) = planting.begun().or(to_sow) else {
            continue;
        };
        let Some(like) = precedent(garden, id, planting) else { continue };
        let pattern = garden.planting(like);
        let Some(first) = pattern.begun() else { continue };
        let done = pottings(planting).count();
        for step in pottings(pattern).skip(done) {
            let Some(pot) = word(step, StepWord::Pot) else { continue };
            let day = shift(begun, (step.date - first).num_days()).max(garden.today);
            let Happening::Reached(stage) = step.what else { continue };
            let Some(number) = number(planting, pattern, step) else { continue };
            if days.contains(day) {
                let mix = word(step, StepWord::Mix);
                let place = step.place;
                needs.push(PotNeed { planting: id, like, day, stage, pot, mix, number, place });
            }
        }
    }
    needs.sort_by_key(|need| (need.day, need.planting));
    needs
}

/// The last planting of the same crop that was raised from seed here and planted out, of the same variety if there
/// is one.
fn precedent(garden: &Garden, id: PlantingId, planting: &Planting) -> Option<PlantingId> {
    let variety = |planting: &Planting| planting.variety.as_deref().map(folded);
    let of_crop = garden.plantings_of(planting.crop).iter();
    let raised =
        of_crop.map(|other| (*other, garden.planting(*other))).filter(|(other, before)| {
            *other != id && before.way == Way::Sown && before.reached(Stage::PlantedOut).is_some()
        });
    raised
        .max_by_key(|(other, before)| {
            (variety(before) == variety(planting), before.begun(), *other)
        })
        .map(|(other, _)| other)
}

fn pottings(planting: &Planting) -> impl Iterator<Item = &Step> {
    planting
        .history
        .iter()
        .filter(|step| matches!(step.what, Happening::Reached(Stage::PrickedOut | Stage::PottedOn)))
}

/// As many to each plant wanted as the pattern had; without a number there, as many as are wanted or stand.
fn number(planting: &Planting, pattern: &Planting, step: &Step) -> Option<u32> {
    let most = standing(planting);
    let at_most = |number: u32| most.map_or(number, |most| number.min(most));
    let were = step.count.unwrap_or(step.plants_after).number;
    if let (Some(aim), Some(were), Some(wanted)) = (planting.aim, were, pattern.aim) {
        let number = (u64::from(aim) * u64::from(were)).div_ceil(u64::from(wanted.max(1)));
        return Some(at_most(number as u32)).filter(|number| *number > 0);
    }
    let wanted = planting.aim.or(planting.plants().number.filter(|_| planting.way == Way::Sown));
    wanted.map(at_most).filter(|number| *number > 0)
}

/// Plants that can go into a next pot: of those that came up the ones that are furthest on, as long as they are not in
/// their place; the rest stayed behind. Nothing before any came up, or if nobody counted.
fn standing(planting: &Planting) -> Option<u32> {
    let raised = |group: &&Group| (Stage::Emerged..Stage::PlantedOut).contains(&group.stage);
    let furthest = planting.groups.iter().filter(raised).map(|group| group.stage).max()?;
    let next = planting.groups.iter().filter(|group| group.stage == furthest);
    next.map(|group| group.plants.number).sum()
}

fn word(step: &Step, kind: StepWord) -> Option<Shown> {
    step.words.iter().find(|(word, _)| *word == kind).map(|(_, text)| text.clone())
}

/// The mixes for these pots, and for the containers that are planted by these tasks.
pub(super) fn mixes(garden: &Garden, pots: &[PotNeed], tasks: &[Task]) -> Vec<MixNeed> {
    let mut needs: Vec<MixNeed> = Vec::new();
    for pot in pots {
        let Some(mix) = &pot.mix else { continue };
        let need = need_of(garden, &mut needs, mix);
        let one = units::pot(&pot.pot).ok().map(vessel::pot_range);
        if let Some(one) = one {
            let all = one.map(|one| one * f64::from(pot.number));
            need.pots = Some(need.pots.map_or(all, |before| mixes::and(before, all)));
        }
    }
    let mut told: Vec<PlaceId> = Vec::new();
    for task in tasks.iter().filter(|task| task.job == Job::PlantOut) {
        let Some(planting) = task.key.planting.map(|id| garden.planting(id)) else { continue };
        let Some(place) = planting.destined.filter(|place| !told.contains(place)) else { continue };
        let (Some(fill), Some(soil)) = (fill(garden, planting, place), &garden.place(place).soil)
        else {
            continue;
        };
        if !is_filled(garden, place) {
            told.push(place);
            need_of(garden, &mut needs, soil).containers.push((place, fill));
        }
    }
    needs
}

fn need_of<'a>(garden: &Garden, needs: &'a mut Vec<MixNeed>, name: &str) -> &'a mut MixNeed {
    let recipe = garden.mixes.iter().position(|sheet| mixes::is_called(sheet, name));
    let is_it = |need: &MixNeed| match recipe {
        Some(_) => need.recipe == recipe,
        None => folded(&need.name) == folded(name),
    };
    let at = needs.iter().position(is_it).unwrap_or_else(|| {
        let name = recipe.map_or(name.to_owned(), |index| garden.mixes[index].name.value.clone());
        needs.push(MixNeed { name, recipe, pots: None, containers: Vec::new() });
        needs.len() - 1
    });
    &mut needs[at]
}

/// What the containers that a planting uses take; those of the whole place if it does not say how many.
fn fill(garden: &Garden, planting: &Planting, place: PlaceId) -> Option<Range<Volume>> {
    let vessel = garden.place(place).vessel?;
    let number = match planting.uses {
        Some(Uses::Containers(number)) => number,
        _ => garden.place(place).containers.unwrap_or(1),
    };
    Some(vessel.holds.map(|one| one * f64::from(number)))
}

fn is_filled(garden: &Garden, place: PlaceId) -> bool {
    let since = shift(garden.today, -FILLED_DAYS);
    garden.care_in(place).any(|care| care.did == Job::Refill && care.date >= since)
}
