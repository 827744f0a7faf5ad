//! trug compiles a grower's dated journal into a site, a calendar feed and a data file.
#![forbid(unsafe_code)]
#![deny(missing_docs, unreachable_pub)]

pub mod dates;
pub mod origin;
pub mod units;
