//! What is shown, as plain values: rounding is done here, wording is not, and nothing knows a file format.

pub mod atom;
pub mod feed;
pub mod identity;
pub mod sitemap;
pub mod table;
