//! A season in the life of a planting that is too long before its last one for the planting's own page.

use chrono::NaiveDate;
use serde::Serialize;

use crate::dates::Period;
use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::planting::PlantingId;
use crate::site::frame::{Frame, Link};
use crate::site::moments::{self, MonthOfMoments, timeline};
use crate::site::page::{Page, Part};
use crate::site::planting::PlantingView;
use crate::site::seasons;

/// A season of a planting that stands for years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlantingSeasonView {
    pub frame: Frame,
    /// All seasons that have such a page, newest first.
    pub seasons: Vec<Link>,
    /// What happened, was done and was picked, oldest first.
    pub timeline: Vec<MonthOfMoments>,
}

impl PlantingSeasonView {
    /// To the seasons of a planting that have such a page.
    pub fn links(garden: &Garden, planting: PlantingId) -> Vec<Link> {
        seasons::links::<Self>(garden, older(garden, planting), |season| (planting, season))
    }
}

/// What the planting's own page tells: its whole history, and what else was of its last seasons.
pub(super) fn last_of(garden: &Garden, id: PlantingId) -> Vec<MonthOfMoments> {
    let last = garden.planting(id).finished.unwrap_or(garden.today);
    let all = Period { from: NaiveDate::MIN, to: NaiveDate::MAX };
    timeline(garden, id, all, seasons::near(garden, last))
}

fn older(garden: &Garden, id: PlantingId) -> Vec<Season> {
    let last = garden.planting(id).finished.unwrap_or(garden.today);
    seasons::older(garden, last, moments::days(garden, id))
}

impl Page for PlantingSeasonView {
    type Key = (PlantingId, Season);

    const PART: Part = PlantingView::PART;
    const TEMPLATE: &'static str = "planting-season.html";

    fn keys(garden: &Garden) -> Vec<(PlantingId, Season)> {
        let plantings = garden.plantings().map(|(id, _)| id);
        let seasons =
            |id: PlantingId| older(garden, id).into_iter().map(move |season| (id, season));
        plantings.flat_map(seasons).collect()
    }

    fn path(garden: &Garden, &(planting, season): &Self::Key) -> String {
        seasons::path_below(&PlantingView::path(garden, &planting), season)
    }

    fn view(garden: &Garden, _: &Findings, key: &Self::Key) -> Self {
        let (planting, season) = *key;
        let link = Link::planting(garden, planting);
        let title = seasons::title(link.name(), season);
        PlantingSeasonView {
            frame: Frame::new::<Self>(garden, key, title).below(&link),
            seasons: Self::links(garden, planting),
            timeline: timeline(garden, planting, season.days, season.days),
        }
    }
}
