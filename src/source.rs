//! What was written: files in memory, their front matter as a tree, their tables as rows.
//!
//! Nothing here knows what an entry or a crop is. Reading never fails: it returns what it could read,
//! and problems.

pub mod announced;
pub mod fields;
pub mod files;
pub mod front_matter;
pub mod nodes;
pub mod problems;
pub mod table;
pub mod theme;
pub mod walk;

mod depth;
mod fences;
mod long_lists;
mod mistake_words;
mod mistakes;
mod syntax;
mod traps;
