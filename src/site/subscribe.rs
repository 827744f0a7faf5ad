//! How the tasks come into a phone's calendar.

use serde::Serialize;

use crate::charts::qr_code::QrCode;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::site::frame::Frame;
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::task_feed::{feed_path, remind_hours};
use crate::site::tasks::TasksView;

/// How the tasks come into a phone's calendar.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SubscribeView {
    pub frame: Frame,
    /// Where the feed can be subscribed to, if the address of the site is known.
    pub address: Option<FeedAddress>,
    /// The reminder that the feed asks for, and what to expect of it.
    pub remind: Option<Message>,
}

/// Where a feed can be subscribed to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedAddress {
    /// For a calendar that asks for an address.
    pub web: String,
    /// The same as a link that opens a calendar instead of a download.
    pub webcal: String,
    /// That link for a camera.
    pub code: Option<QrCode>,
}

impl FeedAddress {
    fn new(site: &str, path: &str) -> FeedAddress {
        let web = format!("{site}{path}");
        let rest = web.split_once("://").map_or(web.as_str(), |(_, rest)| rest);
        let webcal = format!("webcal://{rest}");
        FeedAddress { code: QrCode::new(&webcal), webcal, web }
    }
}

impl Page for SubscribeView {
    type Key = ();

    const PART: Part = TasksView::PART;
    const TEMPLATE: &'static str = "subscribe.html";

    fn keys(_: &Garden) -> Vec<()> {
        vec![()]
    }

    fn path(_: &Garden, (): &()) -> String {
        "tasks/subscribe/index.html".to_owned()
    }

    fn view(garden: &Garden, _: &Findings, (): &()) -> Self {
        let site = garden.settings.site_address.as_deref();
        SubscribeView {
            frame: Frame::new::<Self>(garden, &(), Message::new("title.subscribe")),
            address: site.map(|site| FeedAddress::new(site, &feed_path(garden, None))),
            remind: remind_hours(garden)
                .map(|hours| Message::new("subscribe.remind").with("count", u64::from(hours))),
        }
    }
}
