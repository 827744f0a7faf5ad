//! trug compiles a grower's dated journal into a site, a calendar feed and a data file.
#![forbid(unsafe_code)]
#![deny(unreachable_pub)]

// Floor 0: words that everyone may use.
pub mod dates;
pub mod diagnostics;
pub mod happening;
pub mod jobs;
pub mod link_target;
pub mod names;
pub mod origin;
pub mod place_kind;
pub mod stage;
pub mod towns;
pub mod units;
mod worded;

// Floor 1: what was written.
pub mod catalogue;
pub mod journal;
pub mod neighbours;
pub mod pictures;
pub mod settings;
pub mod sheets;
pub mod source;
mod spreadsheets;

pub mod reading;

// Floor 2: the model.
pub mod garden;

// Floor 3: pure computation, in the order in which it builds up.
pub mod calendar;
pub mod care;
pub mod climate;
pub mod findings;
pub mod learning;
pub mod places;
pub mod raising;
pub mod results;
pub mod stages;

// Floor 4: what is shown.
pub mod charts;
pub mod site;

// Floor 5: bytes.
pub mod render;

// Floor 6: the machine.
pub mod cli;
pub mod output;

// The whole trip.
mod long_form;
mod pages;
mod photos;
pub mod preview;
pub mod publish;
pub mod schemas;
pub mod theming;
pub mod warnings;
