//! Pickings under one heading: their sum, their peak, the mean weight of a piece, and what they come
//! to for each plant, square metre and litre.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use crate::garden::model::Garden;
use crate::garden::place::{Place, PlaceId};
use crate::garden::planting::PlantingId;
use crate::garden::records::HarvestRecord;
use crate::results::yields::Yield;
use crate::results::yields::ground::is_vessel;
use crate::results::yields::measures::{Measures, Per, Weighed};
use crate::results::yields::why_not::WhyNot;
use crate::units::{AreaUnit, Mass, MassUnit, VolumeUnit};

/// Pickings under one heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    pub sum: Yield,
    /// The seven days of most weight.
    pub peak: Option<Peak>,
    /// The mean weight of one piece, by what was counted.
    pub means: BTreeMap<(String, Weighed), Mean>,
    /// Everybody that was picked.
    pub plantings: BTreeSet<PlantingId>,
    /// What they come to for each plant, square metre and litre.
    pub rates: BTreeMap<(Per, Weighed), Result<Pooled, WhyNot>>,
    /// Grams for each plant at least and at most, where that is all that can be said: some was weighed together with others.
    pub bounds_per_plant: Option<(f64, f64)>,
}

/// The seven days of most weight: of all runs of seven days the heaviest, of equal ones the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// The first of the seven.
    pub from: NaiveDate,
    /// What was picked in them.
    pub weight: Mass,
}

/// The mean weight of one piece, from pickings that were both weighed and counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// Of one piece.
    pub weight: Mass,
    /// How many pieces it is from.
    pub pieces: u32,
}

/// A rate of several plantings together: all their weight by all their plants, or all their ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    pub grams: f64,
    /// Whether a number of plants or an area in it is a guess.
    pub is_about: bool,
    /// How many plantings it is from.
    pub plantings: u32,
    /// How many there were; those beyond are left out, weight and all, since something is not known.
    pub of: u32,
    /// Grams for each of the plants that lived to the first picking, where some did not.
    pub bearing: Option<f64>,
}

/// Fewer days of picking have no peak.
const LEAST_DAYS: usize = 3;

impl Lot {
    /// Of pickings, oldest first.
    pub fn of(garden: &Garden, measures: &[Measures], pickings: &[&HarvestRecord]) -> Lot {
        let plantings: BTreeSet<PlantingId> =
            pickings.iter().flat_map(|picking| picking.plantings.iter().copied()).collect();
        let pool = Pool::of(garden, measures, pickings);
        let pers = [Per::Plant, Per::SquareMetre, Per::Litre];
        let keys = pers
            .into_iter()
            .flat_map(|per| [Weighed::Fresh, Weighed::Dried].map(move |weighed| (per, weighed)));
        Lot {
            sum: Yield::of(pickings.iter().copied()),
            peak: peak(pickings),
            means: means(garden, pickings),
            bounds_per_plant: pool.bounds_per_plant(pickings),
            rates: keys.map(|(per, weighed)| ((per, weighed), pool.rate(per, weighed))).collect(),
            plantings,
        }
    }

    /// The same, by the whole ground of some places instead of what the plantings take of it.
    pub fn on(mut self, garden: &Garden, places: &[PlaceId]) -> Lot {
        let ground = |size: &dyn Fn(&Place) -> Option<f64>, why: &dyn Fn(PlaceId) -> WhyNot| {
            places.iter().try_fold(0.0, |sum, id| {
                size(garden.place(*id)).map(|size| sum + size).ok_or_else(|| why(*id))
            })
        };
        let area = ground(
            &|place| {
                let area = place.area.filter(|_| !is_vessel(place));
                area.map(|area| AreaUnit::SquareMetre.measure(area))
            },
            &|id| match is_vessel(garden.place(id)) {
                true => WhyNot::InContainers(id),
                false => WhyNot::Unmeasured(id),
            },
        );
        let soil = ground(
            &|place| place.soil_volume.map(|soil| VolumeUnit::Litre.measure(soil)),
            &WhyNot::NoDepth,
        );
        let of = self.plantings.len() as u32;
        for (per, all) in [(Per::SquareMetre, area), (Per::Litre, soil)] {
            for weighed in [Weighed::Fresh, Weighed::Dried] {
                let rate = self.sum.weight(weighed).ok_or(WhyNot::NothingWeighed);
                let rate = rate.and_then(|weight| match &all {
                    Ok(all) if *all > 0.0 => {
                        let grams = MassUnit::Gram.measure(weight) / all;
                        Ok(Pooled { grams, is_about: false, plantings: of, of, bearing: None })
                    }
                    Ok(_) => Err(WhyNot::NoPlace),
                    Err(why) => Err(why.clone()),
                });
                self.rates.insert((per, weighed), rate);
            }
        }
        self
    }

    /// The rate, fresh or dried.
    pub fn rate(&self, per: Per, weighed: Weighed) -> Result<Pooled, WhyNot> {
        self.rates.get(&(per, weighed)).cloned().unwrap_or(Err(WhyNot::NothingWeighed))
    }
}

/// What each planting gave alone, with what it is divided by.
struct Pool<'a> {
    garden: &'a Garden,
    measures: &'a [Measures],
    own: BTreeMap<PlantingId, Yield>,
    number: u32,
}

impl<'a> Pool<'a> {
    fn of(garden: &'a Garden, measures: &'a [Measures], pickings: &[&HarvestRecord]) -> Pool<'a> {
        let mut own: BTreeMap<PlantingId, Yield> = BTreeMap::new();
        let mut all: BTreeSet<PlantingId> = BTreeSet::new();
        for picking in pickings {
            all.extend(&picking.plantings);
            if let [only] = picking.plantings.as_slice() {
                own.entry(*only).or_default().add(picking);
            }
        }
        Pool { garden, measures, own, number: all.len() as u32 }
    }

    fn rate(&self, per: Per, weighed: Weighed) -> Result<Pooled, WhyNot> {
        let mut known: BTreeMap<PlantingId, (f64, f64, bool)> = BTreeMap::new();
        let mut why = WhyNot::NothingWeighed;
        for (id, sum) in &self.own {
            let Some(weight) = sum.weight(weighed) else { continue };
            let measures = &self.measures[id.0];
            match measures.divisor(per) {
                _ if measures.is_part => why = WhyNot::WeighedTogether,
                Ok((divisor, is_about)) => {
                    let grams = MassUnit::Gram.measure(weight);
                    known.insert(*id, (grams, divisor, is_about));
                }
                Err(reason) => why = reason,
            }
        }
        let mut pooled =
            Pooled { grams: 0.0, is_about: false, plantings: 0, of: self.number, bearing: None };
        let (mut all, mut bore) = (0.0, 0.0);
        for (id, (grams, divisor, is_about)) in &known {
            pooled.grams += grams;
            pooled.plantings += 1;
            pooled.is_about |= is_about;
            // The ground of two that share it counts once.
            let host = self.garden.planting(*id).shares_with;
            let is_counted =
                per != Per::Plant && host.is_some_and(|host| known.contains_key(&host));
            all += if is_counted { 0.0 } else { *divisor };
            bore += self.measures[id.0].bore.map_or(*divisor, f64::from);
        }
        if known.is_empty() || all <= 0.0 {
            return Err(why);
        }
        let bearing = (per == Per::Plant && bore > 0.0 && bore < all).then(|| pooled.grams / bore);
        Ok(Pooled { grams: pooled.grams / all, bearing, ..pooled })
    }
}

impl Pool<'_> {
    /// Between what is certainly theirs and that with all of what was weighed together with others in the same seasons;
    /// nothing where a rate can be told, where plants were not counted, or where not all of it was weighed fresh.
    fn bounds_per_plant(&self, pickings: &[&HarvestRecord]) -> Option<(f64, f64)> {
        if self.rate(Per::Plant, Weighed::Fresh) != Err(WhyNot::WeighedTogether) {
            return None;
        }
        let season = |picking: &HarvestRecord| self.garden.season_of(picking.date).days.from;
        let seasons: BTreeSet<NaiveDate> = pickings.iter().map(|picking| season(picking)).collect();
        let members: BTreeSet<PlantingId> =
            pickings.iter().flat_map(|picking| picking.plantings.iter().copied()).collect();
        let mut plants = 0.0;
        let mut shared = Vec::new();
        for id in &members {
            plants += self.measures[id.0].divisor(Per::Plant).ok()?.0;
            shared.extend(self.garden.harvests_of(*id).filter(|picking| {
                let first = picking.plantings.iter().find(|id| members.contains(id));
                let has_others = picking.plantings.iter().any(|id| !members.contains(id));
                first == Some(id) && has_others && seasons.contains(&season(picking))
            }));
        }
        let (own, shared) = (Yield::of(pickings.iter().copied()), Yield::of(shared));
        let is_whole = shared.unweighed == 0 && shared.cured.is_none() && own.cured.is_none();
        let grams = |sum: &Yield| sum.fresh.map(|weight| MassUnit::Gram.measure(weight));
        let (least, more) = grams(&own).zip(grams(&shared)).filter(|_| is_whole)?;
        Some((least / plants, (least + more) / plants))
    }
}

fn peak(pickings: &[&HarvestRecord]) -> Option<Peak> {
    let is_fresh = pickings.iter().any(|picking| !picking.is_cured && picking.weight.is_some());
    let mut days: BTreeMap<NaiveDate, Mass> = BTreeMap::new();
    for picking in pickings.iter().filter(|picking| picking.is_cured != is_fresh) {
        if let Some(weight) = picking.weight {
            *days.entry(picking.date).or_insert(MassUnit::Gram.of(0.0)) += weight;
        }
    }
    if days.len() < LEAST_DAYS {
        return None;
    }
    let run = |from: NaiveDate| {
        let end = from.checked_add_days(Days::new(7))?;
        let weight = days.range(from..end).fold(MassUnit::Gram.of(0.0), |sum, (_, day)| sum + *day);
        Some(Peak { from, weight })
    };
    // The heaviest run begins on a day of picking, or can be moved until it does.
    days.keys().filter_map(|day| run(*day)).reduce(|best, next| {
        // Two equal runs may differ in the last bit of their sums.
        let more = MassUnit::Gram.measure(next.weight - best.weight);
        if more > 1e-6 { next } else { best }
    })
}

/// A bunch is no piece, a fruit is one, and so is whatever a crop is counted in (roots, heads, bulbs).
fn means(garden: &Garden, pickings: &[&HarvestRecord]) -> BTreeMap<(String, Weighed), Mean> {
    let mut sums: BTreeMap<(String, Weighed), (Mass, u32)> = BTreeMap::new();
    for picking in pickings {
        let is_piece = picking.plantings.iter().all(|id| {
            let usual = garden.planting(*id).sheet.harvest_unit.as_deref();
            *picking.unit == *"fruits" || usual == Some(picking.unit.as_str())
        });
        let (Some(weight), Some(count)) = (picking.weight, picking.count) else { continue };
        if !is_piece || *picking.unit == *"bunches" || count == 0 {
            continue;
        }
        let weighed = if picking.is_cured { Weighed::Dried } else { Weighed::Fresh };
        let sum =
            sums.entry((picking.unit.to_string(), weighed)).or_insert((MassUnit::Gram.of(0.0), 0));
        *sum = (sum.0 + weight, sum.1.saturating_add(count));
    }
    sums.into_iter()
        .map(|(key, (weight, pieces))| (key, Mean { weight: weight / f64::from(pieces), pieces }))
        .collect()
}
