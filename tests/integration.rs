//! The tests of what belongs to no room, as one program: each program would be linked with the whole of trug anew.
//!
//! `cargo test --test integration theme::` runs those of one file. What needs a process of its own stands in `Cargo.toml`.

mod atom_bytes;
mod calendars;
mod campaign;
mod commands;
mod comparisons;
mod demo;
mod feed_bytes;
mod feed_seasons;
mod fuzz;
mod house;
mod learning;
mod obedient;
mod odd_files;
mod output;
mod preview;
mod problems;
mod publish;
mod readme;
mod seeds;
mod short_lines;
mod tasks;
mod theme;
mod thirty_years;
mod water;
mod yields;

/// What several of them use.
mod support {
    pub(crate) mod garden;
    pub(crate) mod grower;
    pub(crate) mod run;
}

#[path = "../examples/large-garden/garden.rs"]
mod large_garden;
