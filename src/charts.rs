//! Geometry of plots as numbers: scales, ticks, bars. Markup is the templates' business.

pub mod axis;
pub mod year_strip;
