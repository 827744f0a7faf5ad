//! When the coming stages of a planting are to be expected.

use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::planting::Planting;
use crate::stage::Stage;
use chrono::NaiveDate;

/// A stage of a planting: when it was expected, and when it came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageDates {
    /// The stage, or the first picking.
    pub what: Milestone,
    /// The range in which it was or is expected.
    pub expected: Option<Period>,
    /// The day it came.
    pub actual: Option<NaiveDate>,
}

/// What can be expected of a planting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Milestone {
    /// A stage of growth.
    Stage(Stage),
    /// The first picking.
    FirstHarvest,
}

/// The stages a planting has passed, and those that may be expected.
pub fn of_planting(garden: &Garden, planting: &Planting) -> Vec<StageDates> {
    let _ = garden;
    Stage::NOTED
        .iter()
        .filter(|stage| **stage != Stage::SownAgain)
        .filter_map(|stage| {
            let actual = planting.reached(*stage)?;
            Some(StageDates {
                what: Milestone::Stage(*stage),
                expected: None,
                actual: Some(actual),
            })
        })
        .collect()
}
