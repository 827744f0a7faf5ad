//! Everything that is computed of a garden, once, for all pages, feeds and commands.

use crate::agronomy::conditions::Conditions;
use crate::agronomy::stages::{self, StageDates};
use crate::agronomy::tasks::{self, model::Task};
use crate::agronomy::yields::{self, Yield};
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;

/// What was computed of a garden.
#[derive(Clone, Debug)]
pub struct Findings {
    /// Climate and frost.
    pub conditions: Conditions,
    /// Stages, passed and expected, by planting.
    pub stages: Vec<Vec<StageDates>>,
    /// Coming tasks, soonest first.
    pub tasks: Vec<Task>,
    /// What each planting gave, by planting.
    pub yields: Vec<Yield>,
}

impl Findings {
    /// Computes them.
    pub fn of(garden: &Garden) -> Findings {
        let conditions = Conditions::of(garden);
        let stages =
            garden.plantings.iter().map(|planting| stages::of_planting(garden, planting)).collect();
        let tasks = tasks::upcoming(garden, &conditions, garden.settings.feed.look_ahead_days);
        let yields = garden.plantings().map(|(id, _)| yields::of_planting(garden, id)).collect();
        Findings { conditions, stages, tasks, yields }
    }

    /// The stages of a planting.
    pub fn stages_of(&self, id: PlantingId) -> &[StageDates] {
        &self.stages[id.0]
    }

    /// What a planting gave.
    pub fn yield_of(&self, id: PlantingId) -> &Yield {
        &self.yields[id.0]
    }
}
