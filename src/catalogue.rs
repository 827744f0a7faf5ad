//! The crops that trug knows: the built-in table, and the grower's changes to it.
//!
//! The built-in table is made of crop sheets in the very form the grower writes ([`sheet`]), embedded
//! in the binary, each value with its source.

pub mod family;
pub mod sheet;
pub mod table;
pub mod traits;

mod built_in;
mod rule;
mod sheet_reader;

pub use rule::{CareRule, Purpose, Repeat, Turn};
pub use sheet::CropSheet;
pub use table::{Catalogue, Crop, CropId};
