//! The page for an address that does not exist.

use serde::Serialize;

use crate::garden::model::Garden;
use crate::site::frame::Frame;
use crate::site::message::Message;

/// The page for an address that does not exist.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LostView {
    /// Title, menu, root.
    pub frame: Frame,
}

impl LostView {
    /// A host shows it at any depth, so its links start from the site's own address where one is known.
    pub fn new(garden: &Garden) -> LostView {
        let mut frame = Frame::new(garden, "404.html", "lost", Message::new("title.lost"));
        if let Some(site) = &garden.settings.site_address {
            let path = site.split_once("://").and_then(|(_, rest)| rest.split_once('/'));
            frame.root = format!("/{}", path.map_or("", |(_, path)| path));
        }
        LostView { frame }
    }
}
