//! When a planting is meant to be sown and set out, as far as a plan says so.
//!
//! The planting calendar fills it; whoever needs a date for what has not happened yet asks here first.

use std::collections::BTreeMap;

use crate::dates::Period;
use crate::garden::planting::PlantingId;

/// The plan of one planting; what is not planned is left to its crop sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// When it is to be sown.
    pub sow: Option<Period>,
    /// When it may be set out at its place.
    pub plant_out: Option<Period>,
}

/// Plans by planting; a planting without one has none of its own.
pub type Plans = BTreeMap<PlantingId, Plan>;
