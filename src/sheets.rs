//! The grower's sheets as written: places, mixes and feeds; and the tables of weather and pickings.

pub mod mix;
pub mod pickings;
pub mod place;
pub mod weather;
