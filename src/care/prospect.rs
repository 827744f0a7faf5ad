//! What is expected of a garden: the ground on which its tasks are worked out, computed once for all of them.

use crate::calendar::plan::{Plan, Plans};
use crate::care::water::{self, PlaceWater};
use crate::climate::conditions::Conditions;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::taught::Taught;
use crate::stages::{self, StageDates};

/// The stages of each planting and the water of each place, with what they are made of.
#[derive(Clone, Debug)]
pub struct Prospect<'a> {
    /// The garden with what was learned in its sheets.
    pub taught: &'a Taught,
    /// Climate and frost.
    pub conditions: &'a Conditions,
    /// When intended plantings may be sown and raised ones set out.
    pub plans: &'a Plans,
    /// Stages, passed and expected, by planting.
    pub stages: Vec<Vec<StageDates>>,
    /// What grows and how much water it takes, by place; places without plants are left out.
    pub water: Vec<PlaceWater>,
}

impl<'a> Prospect<'a> {
    /// Computes them.
    pub fn of(taught: &'a Taught, conditions: &'a Conditions, plans: &'a Plans) -> Prospect<'a> {
        let stages = taught.garden().plantings().map(|(id, _)| {
            let plan = plans.get(&id).copied().unwrap_or_default();
            stages::of_planting(taught, conditions, id, plan)
        });
        let stages: Vec<Vec<StageDates>> = stages.collect();
        let water = water::of_garden(taught, conditions, &stages);
        Prospect { taught, conditions, plans, stages, water }
    }

    pub(super) fn garden(&self) -> &'a Garden {
        self.taught.garden()
    }

    pub(super) fn plan_of(&self, id: PlantingId) -> Plan {
        self.plans.get(&id).copied().unwrap_or_default()
    }
}
