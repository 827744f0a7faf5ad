//! A season of a place that is too long ago for the place's own page.

use serde::Serialize;

use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::garden::place::PlaceId;
use crate::site::frame::{Frame, Link};
use crate::site::page::{Page, Part};
use crate::site::places::{self, PlaceCare, PlaceView};
use crate::site::seasons;
use crate::site::timeline::{self, StayRow};

/// A season of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceSeasonView {
    pub frame: Frame,
    /// All seasons that have such a page, newest first.
    pub seasons: Vec<Link>,
    /// Who left in it, newest first.
    pub stays: Vec<StayRow>,
    /// Work done to the place itself, newest first.
    pub care: Vec<PlaceCare>,
}

impl PlaceSeasonView {
    /// To the seasons of a place that have such a page.
    pub fn links(garden: &Garden, place: PlaceId) -> Vec<Link> {
        seasons::links::<Self>(garden, older(garden, place), |season| (place, season))
    }
}

fn older(garden: &Garden, place: PlaceId) -> Vec<Season> {
    let plantings = garden.plantings_in(place).iter().map(|id| garden.planting(*id));
    let stays = plantings.flat_map(|planting| &planting.stays).filter(|stay| stay.place == place);
    let left = stays.filter_map(|stay| stay.to);
    let care = garden.care_in(place).map(|care| care.date);
    seasons::older(garden, garden.today, left.chain(care))
}

impl Page for PlaceSeasonView {
    type Key = (PlaceId, Season);

    const PART: Part = PlaceView::PART;
    const TEMPLATE: &'static str = "place-season.html";

    fn keys(garden: &Garden) -> Vec<(PlaceId, Season)> {
        let places = garden.places().map(|(id, _)| id);
        let seasons = |id: PlaceId| older(garden, id).into_iter().map(move |season| (id, season));
        places.flat_map(seasons).collect()
    }

    fn path(garden: &Garden, &(place, season): &Self::Key) -> String {
        seasons::path_below(&PlaceView::path(garden, &place), season)
    }

    fn view(garden: &Garden, findings: &Findings, key: &Self::Key) -> Self {
        let (place, season) = *key;
        let link = Link::place(garden, place);
        let title = seasons::title(link.name(), season);
        PlaceSeasonView {
            frame: Frame::new::<Self>(garden, key, title).below(&link),
            seasons: Self::links(garden, place),
            stays: timeline::stays(garden, findings, place, season.days),
            care: places::care(garden, place, season.days),
        }
    }
}
