//! Journal entries as written: every key of an entry in a typed form, with its place in the file.
//!
//! Names are not looked up here: what an entry means is found in `garden`.

pub mod care;
pub mod entry;
pub mod event;
pub mod harvest;
mod lost;
pub mod notes;
pub mod prose;
pub mod short;
pub mod start;
pub mod subject;

mod problems;
