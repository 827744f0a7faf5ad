//! What is told to the grower when something they wrote cannot be right.
//!
//! A [`problem::Problem`] is data: a code, a place, facts. [`report`] turns a list of them into text
//! for a person, a line for an editor, or JSON. Only `report` and `page_text` know how a problem is drawn.

pub mod asked;
pub mod codes;
pub mod problem;
pub mod report;
pub mod words;

mod page_text;
