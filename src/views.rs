//! What is shown, as plain values: rounding is done here, wording is not, and nothing knows a file format.

pub mod amount;
pub mod away;
pub mod batch;
pub mod calendar;
pub mod came_of_it;
pub mod climate;
pub mod comparisons;
pub mod costs;
pub mod crops;
pub mod data;
pub mod feeds;
pub mod frame;
pub mod harvests;
pub mod heading;

pub mod home;
pub mod journal;
pub mod journal_feed;
pub mod learned;
pub mod lost;
pub mod measured;
pub mod message;
pub mod mix_uses;
pub mod mixes;
pub mod moments;
pub mod place_use;
pub mod places;
pub mod plantings;
pub mod plots;
pub mod review;
pub mod rooting;
pub mod sums;
pub mod task_event;
pub mod task_feed;
pub mod tasks;
pub mod timeline;
pub mod water;
pub mod yields;

pub mod atom;
pub mod feed;
pub mod identity;
pub mod seed;
pub mod sitemap;
pub mod sowing;
pub mod table;
