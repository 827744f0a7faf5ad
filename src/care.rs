//! What the plants ask for: tasks by stage, water, mixes and feeds.

pub mod feeds;
pub mod mixes;
pub mod prospect;
pub mod tasks;
pub mod water;
