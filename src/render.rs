//! Bytes: what a view becomes, and the sink that takes it.
//!
//! A renderer is handed a view and returns bytes: no clock, no environment, no disk. Where the bytes
//! go is decided by whoever hands in the [`sink::Sink`]: memory in a test, a folder in a publish.

pub mod atom;
pub mod csv;
pub mod feed;
pub mod html;
pub mod sink;
pub mod site_path;
pub mod sitemap;
pub mod task_feed;
pub mod task_list;
pub mod words;

mod content_line;
mod earlier_feed;
pub mod markdown;
pub mod mix_text;
mod plain_text;
mod uri;
mod xml;
