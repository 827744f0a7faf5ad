//! A season of a crop that is too long ago for the crop's own page.

use serde::Serialize;

use crate::catalogue::CropId;
use crate::findings::Findings;
use crate::garden::model::{Garden, Season};
use crate::results::yields::losses;
use crate::site::came_of_it::{self, Heads, LossRow, TroubleRow};
use crate::site::crops::{self, CropView};
use crate::site::frame::{Frame, Link};
use crate::site::page::{Page, Part};
use crate::site::plantings::PlantingSummary;
use crate::site::seasons;
use crate::site::yields::LotRow;

/// A season of a crop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CropSeasonView {
    pub frame: Frame,
    pub season: String,
    /// All seasons that have such a page, newest first.
    pub seasons: Vec<Link>,
    /// Plantings that were over in it, newest first.
    pub finished: Vec<PlantingSummary>,
    pub heads: Heads,
    /// What they gave, newest first.
    pub plantings: Vec<LotRow>,
    /// Plants that were lost, newest first.
    pub losses: Vec<LossRow>,
    /// Pests and diseases seen and products used.
    pub troubles: Vec<TroubleRow>,
}

impl CropSeasonView {
    /// To the seasons of a crop that have such a page.
    pub fn links(garden: &Garden, crop: CropId) -> Vec<Link> {
        seasons::links::<Self>(garden, older(garden, crop), |season| (crop, season))
    }
}

fn older(garden: &Garden, crop: CropId) -> Vec<Season> {
    let own = garden.plantings_of(crop);
    let finished = own.iter().filter_map(|id| garden.planting(*id).finished);
    let lost = losses::losses(garden, own.iter().copied()).into_iter().map(|loss| loss.date);
    let seen = garden.sights_of_crop(crop).map(|sight| sight.date);
    let treated = garden.care_of_crop(crop).filter(|care| losses::is_treatment(care));
    let treated = treated.map(|care| care.date);
    seasons::older(garden, garden.today, finished.chain(lost).chain(seen).chain(treated))
}

impl Page for CropSeasonView {
    type Key = (CropId, Season);

    const PART: Part = CropView::PART;
    const TEMPLATE: &'static str = "crop-season.html";

    fn keys(garden: &Garden) -> Vec<(CropId, Season)> {
        let crops = garden.catalogue.crops().map(|(id, _)| id);
        let seasons = |id: CropId| older(garden, id).into_iter().map(move |season| (id, season));
        crops.flat_map(seasons).collect()
    }

    fn path(garden: &Garden, &(crop, season): &Self::Key) -> String {
        seasons::path_below(&CropView::path(garden, &crop), season)
    }

    fn view(garden: &Garden, findings: &Findings, key: &Self::Key) -> Self {
        let (crop, Season { days }) = *key;
        let link = Link::crop(garden, crop);
        let title = seasons::title(link.name(), key.1);
        CropSeasonView {
            frame: Frame::new::<Self>(garden, key, title).below(&link),
            season: key.1.name(),
            seasons: Self::links(garden, crop),
            finished: crops::finished(garden, findings, crop, days),
            heads: Heads::new(garden.settings.units),
            plantings: came_of_it::planting_rows(garden, findings, crop, |over| {
                over.is_some_and(|day| days.contains(day))
            }),
            losses: came_of_it::loss_rows(garden, crop, days),
            troubles: came_of_it::trouble_rows(garden, crop, days),
        }
    }
}
