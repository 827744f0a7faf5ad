//! The climate of the garden: daily normals, frost, the sun, evapotranspiration and warmth.

pub mod air_of_year;
pub mod conditions;
pub mod degree_days;
pub mod evapotranspiration;
pub mod frost;
pub mod frost_of_normals;
pub mod frost_record;
pub mod half_year;
pub mod normals;
mod poleward;
pub mod sun;
pub mod world;
