//! When the stages of a planting are to be expected, beside when they came.
//!
//! A stage is expected so long after the one it follows from: by thermal time where the crop sheet has a
//! sum and the temperatures of the place are known, else by the days of the sheet. What follows a stage
//! that really came is counted from that day. A stage keeps the range that followed from what came before
//! it, so that expected and actual can stand side by side.
//!
//! Ranges, never single days: a sum of warmth is taken as met within a tenth of it, and emergence lies
//! between the sheet's days at the best temperature and the heat sum at the temperature there is. What
//! the grower does (sowing, setting out) and has not done yet is not expected to lie in the past when
//! later stages are counted from it.

pub(crate) mod course;
pub(crate) mod usual_weather;

mod forecast;
mod warmth;
mod yearly;

pub(crate) use forecast::ROOTS_FILL_DAYS;

use chrono::NaiveDate;

use crate::calendar::plan::Plan;
use crate::climate::conditions::Conditions;
use crate::dates::Period;
use crate::garden::planting::PlantingId;
use crate::garden::taught::Taught;
use crate::stage::Stage;
use crate::stages::course::Course;
use crate::stages::forecast::Forecast;

/// Whether the temperature where a planting stands is not known, so that its stages are told by days alone:
/// under glass or a roof whose own temperature nobody wrote down, or in a garden without a climate.
pub fn is_without_warmth(taught: &Taught, conditions: &Conditions, id: PlantingId) -> bool {
    let garden = taught.garden();
    let course = Course::of(garden, conditions, id, Plan::default());
    course.temperatures(garden.today, course.stage()).is_none()
}

/// A stage of a planting: when it was expected, and when it came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageDates {
    /// The stage, or the first picking.
    pub what: Milestone,
    /// The range in which it was or is expected, from what came before it.
    pub expected: Option<Period>,
    /// The day it came.
    pub actual: Option<NaiveDate>,
}

/// What can be expected of a planting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Milestone {
    /// A stage of growth.
    Stage(Stage),
    /// The first picking.
    FirstHarvest,
}

impl Milestone {
    /// `emerged`, `first harvest`: what garden.json calls it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Milestone::Stage(stage) => stage.word(),
            Milestone::FirstHarvest => "first harvest",
        }
    }

    /// Whether it comes by the grower's hand, not by itself.
    pub fn is_work(self) -> bool {
        match self {
            Milestone::Stage(Stage::Emerged | Stage::Flowering | Stage::Fruiting) => false,
            Milestone::Stage(_) => true,
            Milestone::FirstHarvest => false,
        }
    }
}

/// The stages a planting has passed and those that may be expected, in their order.
///
/// A stage that was never noted although a later one was is left out. The stages of a perennial are
/// those of the season of the garden's day.
pub fn of_planting(
    taught: &Taught,
    conditions: &Conditions,
    id: PlantingId,
    plan: Plan,
) -> Vec<StageDates> {
    of_course(Course::of(taught.garden(), conditions, id, plan))
}

/// The same of a course, which may be that of an earlier day.
pub(crate) fn of_course(course: Course<'_>) -> Vec<StageDates> {
    Forecast::of(course).into_dates()
}
