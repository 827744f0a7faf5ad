//! Geometry of plots as numbers: scales, ticks, bars. Markup is the templates' business.

pub mod water_strip;
pub mod year_strip;
