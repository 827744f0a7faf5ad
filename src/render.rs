//! Bytes: what a view becomes, and the sink that takes it.
//!
//! A renderer is handed a view and returns bytes; it opens no file. Where the bytes go is decided by
//! whoever hands in the [`sink::Sink`]: memory in a test, a folder in a real publish.

pub mod sink;
pub mod site_path;
