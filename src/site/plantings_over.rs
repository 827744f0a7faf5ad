//! The plantings that were over in a season long ago.

use chrono::NaiveDate;
use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::planting::PlantingId;
use crate::site::frame::{Frame, Link};
use crate::site::message::Message;
use crate::site::page::{Page, Part};
use crate::site::plantings::{PlantingSummary, PlantingsView};
use crate::site::seasons;

/// The plantings that were over in a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OverView {
    pub frame: Frame,
    /// All seasons that have such a page, newest first.
    pub seasons: Vec<Link>,
    /// The plantings, newest first.
    pub plantings: Vec<PlantingSummary>,
}

impl OverView {
    /// To the seasons that have such a page.
    pub fn links(garden: &Garden) -> Vec<Link> {
        seasons::links::<Self>(garden, Self::keys(garden), |season| season)
    }
}

impl Page for OverView {
    type Key = Season;

    const PART: Part = PlantingsView::PART;
    const TEMPLATE: &'static str = "over.html";

    fn keys(garden: &Garden) -> Vec<Season> {
        let finished = garden.plantings().filter_map(|(_, planting)| planting.finished);
        seasons::older(garden, garden.today, finished)
    }

    /// Beside the pages of plantings, and never one of theirs.
    fn path(_: &Garden, &season: &Season) -> String {
        seasons::path_below("plantings/over/index.html", season)
    }

    fn view(garden: &Garden, findings: &Findings, &season: &Season) -> Self {
        let over = garden.plantings().filter_map(|(id, planting)| Some((planting.finished?, id)));
        let mut over: Vec<(NaiveDate, PlantingId)> =
            over.filter(|(day, _)| season.days.contains(*day)).collect();
        over.sort_by_key(|(day, id)| (std::cmp::Reverse(*day), *id));
        let summary = |(_, id)| PlantingSummary::new(garden, findings, id);
        let title = Message::new("plantings.finished").with("season", season.name());
        OverView {
            frame: Frame::new::<Self>(garden, &season, title),
            seasons: Self::links(garden),
            plantings: over.into_iter().map(summary).collect(),
        }
    }
}
