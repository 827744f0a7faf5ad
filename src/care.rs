//! What the plants ask for: tasks by stage, water, mixes and feeds.

pub mod feeds;
mod manure;
pub mod mixes;
pub mod prospect;
pub mod tasks;
pub mod water;
