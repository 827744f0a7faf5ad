//! What was spent, and what a kilogram or pound came to.

use serde::Serialize;

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::results::yields::costs::{self, Spent};
use crate::results::yields::why_not::WhyNot;
use crate::results::yields::{Whose, Yield};
use crate::site::amount::{Amount, rounded};
use crate::site::frame::Link;
use crate::site::heading::Heading;
use crate::site::message::Message;
use crate::site::yields::why_not;
use crate::units::{MassUnit, System};

/// What was spent on something.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CostView {
    /// What it was spent on, for whoever reads the page by program.
    pub of: String,
    /// The sum.
    pub spent: Amount,
    /// The sum to a hundredth.
    pub spent_exact: f64,
    /// How many cost lines it is from.
    pub lines: u32,
    /// What a kilogram or a pound came to.
    pub each: Option<Amount>,
    /// What a kilogram came to, to a hundredth.
    pub per_kg_exact: Option<f64>,
    /// Of what: `kg` or `lb`, fresh or dried.
    pub each_of: Message,
    /// Why that is not known.
    pub why_not: Option<Message>,
    /// How many pickings nobody weighed.
    pub unweighed: u32,
}

/// What was spent in a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonCosts {
    /// On each crop and its plantings, by name.
    pub crops: Vec<(Link, CostView)>,
    /// On what names a place or nothing.
    pub no_crop: Option<CostView>,
    pub all: CostView,
}

impl SeasonCosts {
    /// Each of them.
    pub fn views(&self) -> impl Iterator<Item = &CostView> {
        self.crops.iter().map(|(_, cost)| cost).chain(&self.no_crop).chain([&self.all])
    }

    /// Nothing if nothing was spent.
    pub fn new(garden: &Garden, days: Period) -> Option<SeasonCosts> {
        let season = || Heading::default().season(garden, days.from);
        let view = |spent, heading: &Heading| {
            CostView::new(garden, spent, (spent, &Yield::default()), heading)
        };
        let crop = |id: CropId| {
            let spent = costs::spent(garden, garden.costs_in(days), |whom| {
                costs::is_of_crop(garden, whom, id)
            });
            let heading = season().crop(garden, Whose::Crop(id));
            view(spent, &heading).map(|cost| (Link::crop(garden, id), cost))
        };
        let mut crops: Vec<_> = garden.catalogue.crops().filter_map(|(id, _)| crop(id)).collect();
        crops.sort_by(|a, b| a.0.cmp(&b.0));
        let no_crop = Heading { crop: Some("(none)".to_owned()), ..season() };
        let all = costs::spent(garden, garden.costs_in(days), |_| true);
        Some(SeasonCosts {
            crops,
            no_crop: view(costs::on_no_crop(garden, days), &no_crop),
            all: view(all, &season())?,
        })
    }
}

impl CostView {
    /// On a planting from which `sum` was picked alone.
    pub fn of_planting(garden: &Garden, id: PlantingId, sum: &Yield) -> Option<CostView> {
        let spent = costs::of_planting(garden, id);
        CostView::new(garden, spent, (spent, sum), &Heading::default().planting(garden, id))
    }

    /// On a crop and its plantings, from which `sum` was picked so far.
    pub fn of_crop(garden: &Garden, id: CropId, sum: &Yield) -> Option<CostView> {
        let (spent, so_far) = (costs::of_crop(garden, id), costs::of_crop_so_far(garden, id));
        let heading = Heading::default().crop(garden, Whose::Crop(id));
        CostView::new(garden, spent, (so_far, sum), &heading)
    }

    /// Nothing if nothing was spent; a kilogram is of `sum` and of what was spent on that.
    pub fn new(
        garden: &Garden,
        spent: Spent,
        (so_far, sum): (Spent, &Yield),
        heading: &Heading,
    ) -> Option<CostView> {
        if spent.lines == 0 {
            return None;
        }
        let (currency, system) = (garden.settings.currency.as_deref(), garden.settings.units);
        let kilogram = costs::per_kilogram(so_far, sum);
        let pound = match system {
            System::Metric => 1.0,
            System::Us => MassUnit::Kilogram.measure(MassUnit::Pound.of(1.0)),
        };
        let unit = match system {
            System::Metric => "kg",
            System::Us => "lb",
        };
        let is_dried = sum.fresh.is_none() && sum.cured.is_some();
        let each_of = if is_dried { "costs.each-dried" } else { "costs.each" };
        Some(CostView {
            of: heading.key(),
            spent: Amount::money(spent.sum, currency),
            spent_exact: rounded(spent.sum, 2),
            lines: spent.lines,
            each: kilogram.as_ref().ok().map(|each| Amount::money(each * pound, currency)),
            per_kg_exact: kilogram.as_ref().ok().map(|each| rounded(*each, 2)),
            each_of: Message::new(each_of).with("unit", unit),
            why_not: kilogram.err().filter(|why| *why != WhyNot::NoCosts).as_ref().map(why_not),
            unweighed: sum.unweighed,
        })
    }
}
