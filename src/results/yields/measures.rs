//! What a planting gave, for each plant, square metre and litre of soil.

use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::HarvestRecord;
use crate::results::yields::Yield;
use crate::results::yields::ground::{self, Ground};
use crate::results::yields::plants::{self, PlantCount};
use crate::results::yields::why_not::WhyNot;
use crate::units::{AreaUnit, Mass, MassUnit, VolumeUnit};

/// What a planting gave, and what that is to be divided by.
#[derive(Clone, Debug, PartialEq)]
pub struct Measures {
    /// What was picked from it alone.
    pub sum: Yield,
    /// Whether some of it was weighed together with others, and is not in the sum.
    pub is_part: bool,
    /// All that was weighed together with others; nothing if some of that was not weighed.
    pub together: Option<Yield>,
    /// How many of the plants lived to the first picking, if it is known and fewer than were set out.
    pub bore: Option<u32>,
    pub plants: Result<PlantCount, WhyNot>,
    /// The ground and the soil.
    pub ground: Ground,
}

/// What a weight is divided by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Per {
    Plant,
    SquareMetre,
    /// A litre of soil or mix.
    Litre,
}

/// Whether it was weighed as picked or after drying.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weighed {
    /// As picked.
    Fresh,
    /// After drying.
    Dried,
}

/// A weight for each plant, square metre or litre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    pub grams: f64,
    /// Whether what it was divided by is a guess.
    pub is_about: bool,
}

/// Of all that was picked from a planting.
pub fn of_planting(garden: &Garden, id: PlantingId) -> Measures {
    let all = Period { from: chrono::NaiveDate::MIN, to: chrono::NaiveDate::MAX };
    in_period(garden, id, all)
}

/// Of what was picked from a planting within some days: the season of a perennial, or to a day.
pub fn in_period(garden: &Garden, id: PlantingId, days: Period) -> Measures {
    let of_it = garden.harvests_of(id).filter(|harvest| days.contains(harvest.date));
    let (own, shared): (Vec<_>, Vec<_>) = of_it.partition(|harvest| harvest.plantings == [id]);
    Measures {
        sum: Yield::of(own),
        is_part: !shared.is_empty(),
        together: together(&shared),
        bore: plants::that_bore(garden, id),
        plants: plants::of_planting(garden, id),
        ground: ground::of_planting(garden, id),
    }
}

fn together(shared: &[&HarvestRecord]) -> Option<Yield> {
    let is_whole = !shared.is_empty() && shared.iter().all(|harvest| harvest.weight.is_some());
    is_whole.then(|| Yield::of(shared.iter().copied()))
}

impl Measures {
    /// Grams for each plant at least and at most, where some was weighed together with others: between nothing and all of
    /// that was its own.
    pub fn bounds_per_plant(&self) -> Option<(f64, f64)> {
        let weighed = self.sum.weighed().ok()?;
        let together = self.together.as_ref().filter(|_| self.is_part)?;
        if together.weighed() != Ok(weighed) {
            return None;
        }
        let (plants, _) = self.divisor(Per::Plant).ok()?;
        let grams = |sum: &Yield| sum.weight(weighed).map(|weight| MassUnit::Gram.measure(weight));
        let (own, more) = (grams(&self.sum)?, grams(together)?);
        Some((own / plants, (own + more) / plants))
    }

    /// Grams for each of the plants that lived to bear, where some did not.
    pub fn per_bearing(&self, weighed: Weighed) -> Option<f64> {
        let bore = self.bore.filter(|_| !self.is_part)?;
        Some(MassUnit::Gram.measure(self.sum.weight(weighed)?) / f64::from(bore))
    }

    /// The weight for each plant, square metre or litre, or why there is none. Pickings that nobody
    /// weighed are not in it: [`Yield::unweighed`] says how many.
    pub fn per(&self, per: Per, weighed: Weighed) -> Result<Rate, WhyNot> {
        if self.is_part {
            return Err(WhyNot::WeighedTogether);
        }
        let weight = self.sum.weight(weighed).ok_or(WhyNot::NothingWeighed)?;
        let (divisor, is_about) = self.divisor(per)?;
        Ok(Rate { grams: MassUnit::Gram.measure(weight) / divisor, is_about })
    }

    /// How many plants, square metres or litres there were, and whether that is a guess.
    pub fn divisor(&self, per: Per) -> Result<(f64, bool), WhyNot> {
        let ground = &self.ground;
        let (divisor, is_about) = match per {
            Per::Plant => {
                let plants = self.plants.clone()?;
                (f64::from(plants.number), plants.is_about)
            }
            Per::SquareMetre => {
                (AreaUnit::SquareMetre.measure(ground.area.clone()?), ground.is_about)
            }
            Per::Litre => (VolumeUnit::Litre.measure(ground.soil.clone()?), ground.is_about),
        };
        if divisor > 0.0 { Ok((divisor, is_about)) } else { Err(WhyNot::NoPlace) }
    }
}

impl Yield {
    /// The fresh or the dried weight.
    pub fn weight(&self, weighed: Weighed) -> Option<Mass> {
        match weighed {
            Weighed::Fresh => self.fresh,
            Weighed::Dried => self.cured,
        }
    }

    /// As it was weighed, where it was weighed in one way only.
    pub fn weighed(&self) -> Result<Weighed, WhyNot> {
        match (self.fresh, self.cured) {
            (Some(_), None) => Ok(Weighed::Fresh),
            (None, Some(_)) => Ok(Weighed::Dried),
            (Some(_), Some(_)) => Err(WhyNot::FreshAndDried),
            (None, None) => Err(WhyNot::NothingWeighed),
        }
    }
}
