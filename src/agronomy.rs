//! What is computed about growing: pure functions from numbers and dates to numbers and dates.
//!
//! Deliberately absent: a clock, files, rounding for display. Nothing in here knows what day it is.
//! Every function names its units and the source of its method; the tests name an outside check.

pub mod basis;
pub mod bootstrap;
pub mod calendar;
pub mod climate;
pub mod comparisons;
pub mod conditions;
pub mod degree_days;
pub mod evapotranspiration;
pub mod feeds;
pub mod findings;
pub mod frost;
pub mod frost_record;
pub mod half_year;
pub mod learning;
pub mod mixes;
pub mod places;
pub mod plan;
pub mod raising;
pub mod review;
pub mod rooting;
pub mod seeds;
pub mod shopping;
pub mod stages;
pub mod sun;
pub mod tasks;
pub mod water;
pub mod yields;
