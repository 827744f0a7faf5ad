//! The page for an address that does not exist.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::frame::Frame;
use crate::site::message::Message;
use crate::site::page::{Area, Page, Part};

/// The page for an address that does not exist.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LostView {
    pub frame: Frame,
}

impl Page for LostView {
    type Key = ();

    const PART: Part = Part { key: "lost", href: "404.html", area: Area::More };
    const TEMPLATE: &'static str = "404.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    /// A host shows it at any depth, so its links start from the site's own address where one is known.
    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let mut frame = Frame::new::<Self>(garden, &(), Message::new("title.lost"));
        if let Some(site) = &garden.settings.site_address {
            let path = site.split_once("://").and_then(|(_, rest)| rest.split_once('/'));
            frame.root = format!("/{}", path.map_or("", |(_, path)| path));
        }
        LostView { frame }
    }
}
