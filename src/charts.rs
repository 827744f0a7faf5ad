//! Geometry of plots as numbers: scales, ticks, bars. Markup is the templates' business.
//!
//! Drawings for reading ([`bars`], [`curves`], [`dots`], [`ground_plan`]) are [`FRAME`] units wide, as a phone is in its own:
//! letters keep the size they have there.

pub mod axis;
pub mod bars;
pub mod bucket;
pub mod card;
pub mod curves;
pub mod dots;
pub mod ground_plan;
pub mod growth_line;
pub mod qr_code;
pub mod water_strip;
pub mod week_bars;
pub mod year_strip;

/// The width of a drawing.
pub const FRAME: f64 = 360.0;
