//! Bytes, made from views and from nothing else: no clock, no environment, no disk.

pub mod atom;
mod content_line;
pub mod csv;
pub mod feed;
mod plain_text;
pub mod sitemap;
mod uri;
mod xml;
