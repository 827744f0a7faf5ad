//! From seed to young plants: how much to sow, where there is room for it, and what has to be got.

pub mod bench;
pub mod seeds;
pub mod shopping;
