//! The garden as it is known on a day: every name resolved, every event in its order.
//!
//! A [`model::Garden`] is made once by [`build`] and never changed. What was written after the day
//! it is made for does not exist in it, so nothing computed from it can know the future.

pub mod build;
mod ledger;
pub mod model;
pub mod place;
pub mod planting;
pub mod planting_names;
pub mod records;
pub mod shown;
pub mod switches;
pub mod taught;
pub mod vessel;
pub mod waits;
