//! Sums of pickings as they are shown: weights, numbers, and what they come to for each plant, area
//! and volume of soil.

use chrono::NaiveDate;
use serde::Serialize;

use crate::results::yields::Yield;
use crate::results::yields::lot::{Lot, Mean, Pooled};
use crate::results::yields::measures::{Per, Weighed};
use crate::results::yields::why_not::WhyNot;
use crate::site::amount::{Amount, grams, rounded};
use crate::site::heading::Heading;
use crate::site::message::Message;
use crate::units::{AreaUnit, Mass, MassUnit, System, VolumeUnit};

/// A sum of pickings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YieldView {
    /// What it is a sum of, for whoever reads the page by program: a [`Heading::key`].
    pub of: Option<String>,
    /// Fresh weight.
    pub fresh: Option<Amount>,
    /// The same in grams, to a tenth.
    pub fresh_g: Option<f64>,
    /// Weight after drying.
    pub cured: Option<Amount>,
    /// The same in grams, to a tenth.
    pub cured_g: Option<f64>,
    /// Numbers by what was counted.
    pub counts: Vec<Amount>,
    pub pickings: u32,
    /// How many of them nobody weighed.
    pub unweighed: u32,
    pub first: Option<NaiveDate>,
    pub last: Option<NaiveDate>,
}

impl YieldView {
    /// A sum as it is shown in the garden's units.
    pub fn new(sum: &Yield, system: System) -> YieldView {
        YieldView {
            of: None,
            fresh: sum.fresh.map(|mass| Amount::mass(mass, system)),
            fresh_g: sum.fresh.map(grams),
            cured: sum.cured.map(|mass| Amount::mass(mass, system)),
            cured_g: sum.cured.map(grams),
            counts: sum.counts.iter().map(|(unit, number)| Amount::count(*number, unit)).collect(),
            pickings: sum.pickings,
            unweighed: sum.unweighed,
            first: sum.first,
            last: sum.last,
        }
    }

    /// With what it is a sum of.
    pub fn about(self, heading: &Heading) -> YieldView {
        YieldView { of: Some(heading.key()), ..self }
    }
}

/// A row of a table of sums.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LotRow {
    /// What it is a sum of, in words.
    pub name: Message,
    /// The page of that, from the root.
    pub href: Option<String>,
    /// More about it, as the kind of place of a planting.
    pub note: Option<Message>,
    /// The style of its dates: with the year, where there are several.
    pub style: &'static str,
    /// The sum.
    pub harvest: YieldView,
    /// How many plantings were picked.
    pub plantings: usize,
    pub per_plant: RateCell,
    /// For each square metre or square foot.
    pub per_area: RateCell,
    /// For each litre or gallon of soil.
    pub per_soil: RateCell,
    /// The mean weight of a piece.
    pub means: Vec<MeanView>,
    /// The seven days of most weight.
    pub peak: Option<PeakView>,
}

/// Weights for each of something.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RateCell {
    /// Fresh, then dried; as far as they are known.
    pub rates: Vec<RateView>,
    /// Why there is none, or between which weights it must lie.
    pub why_not: Option<Message>,
}

/// A weight for each of something.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RateView {
    /// The weight.
    pub amount: Amount,
    /// Grams for each plant, square metre or litre, to a thousandth.
    pub exact: f64,
    /// The key of this figure in garden.json.
    pub what: &'static str,
    /// Whether it was weighed after drying.
    pub is_dried: bool,
    /// Of how many plantings, where not of all, or what it was divided by.
    pub from: Option<Message>,
    /// The weight for each of the plants that lived to the first picking, where some did not.
    pub bearing: Option<Message>,
}

/// The mean weight of a piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeanView {
    /// The weight.
    pub amount: Amount,
    /// Grams, to a thousandth.
    pub exact: f64,
    /// What was counted.
    pub unit: String,
    /// Whether it was weighed after drying.
    pub is_dried: bool,
    /// How many it is from.
    pub pieces: Amount,
}

/// The seven days of most weight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PeakView {
    /// The first of them.
    pub from: NaiveDate,
    /// What was picked in them.
    pub amount: Amount,
    /// Grams, to a tenth.
    pub exact: f64,
}

impl LotRow {
    pub fn new(lot: &Lot, system: System, heading: &Heading, name: Message) -> LotRow {
        let cell = |per| RateCell::new(lot, per, system);
        let means = lot.means.iter().map(|((unit, weighed), mean)| MeanView {
            amount: piece(mean.weight, system),
            exact: piece_g(mean),
            unit: unit.clone(),
            is_dried: *weighed == Weighed::Dried,
            pieces: Amount::count(mean.pieces, unit),
        });
        LotRow {
            name,
            href: None,
            note: None,
            style: if heading.season.is_some() { "day" } else { "full" },
            harvest: YieldView::new(&lot.sum, system).about(heading),
            plantings: lot.plantings.len(),
            per_plant: cell(Per::Plant),
            per_area: cell(Per::SquareMetre),
            per_soil: cell(Per::Litre),
            means: means.collect(),
            peak: lot.peak.map(|peak| PeakView {
                from: peak.from,
                amount: Amount::mass(peak.weight, system),
                exact: grams(peak.weight),
            }),
        }
    }

    /// With a page behind its name.
    pub fn linked(self, href: String) -> LotRow {
        LotRow { href: Some(href), ..self }
    }
}

impl RateCell {
    fn new(lot: &Lot, per: Per, system: System) -> RateCell {
        let both =
            [Weighed::Fresh, Weighed::Dried].map(|weighed| (weighed, lot.rate(per, weighed)));
        let rates = both.iter().filter_map(|(weighed, rate)| {
            rate.as_ref().ok().map(|rate| RateView::new(*rate, per, *weighed, system))
        });
        let rates: Vec<RateView> = rates.collect();
        let mut reasons = both.into_iter().filter_map(|(_, rate)| rate.err());
        let why = reasons.find(|why| *why != WhyNot::NothingWeighed);
        let is_weighed = lot.sum.fresh.is_some() || lot.sum.cured.is_some();
        let why = why.filter(|_| is_weighed && rates.is_empty());
        let bounds = lot.bounds_per_plant.filter(|_| per == Per::Plant).map(|(least, most)| {
            let mass = |grams: f64| piece(MassUnit::Gram.of(grams), system);
            Message::new("yields.between").with("least", mass(least)).with("most", mass(most))
        });
        RateCell { why_not: bounds.or(why.as_ref().map(why_not)), rates }
    }
}

impl RateView {
    fn new(rate: Pooled, per: Per, weighed: Weighed, system: System) -> RateView {
        let one = match per {
            Per::Plant => 1.0,
            Per::SquareMetre => AreaUnit::SquareMetre.measure(system.area_unit().of(1.0)),
            Per::Litre => VolumeUnit::Litre.measure(soil_unit(system).of(1.0)),
        };
        let amount = piece(MassUnit::Gram.of(rate.grams * one), system);
        let from = (rate.plantings < rate.of).then(|| {
            Message::new("yields.from")
                .with("count", u64::from(rate.of))
                .with("some", rate.plantings.to_string())
        });
        RateView {
            amount: Amount { about: rate.is_about, ..amount },
            exact: rounded(rate.grams, 3),
            what: key(per, weighed),
            is_dried: weighed == Weighed::Dried,
            from,
            bearing: rate.bearing.map(|grams| {
                Message::new("yields.bearing").with("each", piece(MassUnit::Gram.of(grams), system))
            }),
        }
    }
}

/// The unit in which soil is told: a litre or a gallon.
pub fn soil_unit(system: System) -> VolumeUnit {
    match system {
        System::Metric => VolumeUnit::Litre,
        System::Us => VolumeUnit::Gallon,
    }
}

/// The key of a rate in garden.json.
pub fn key(per: Per, weighed: Weighed) -> &'static str {
    match (per, weighed) {
        (Per::Plant, Weighed::Fresh) => "per_plant_g",
        (Per::Plant, Weighed::Dried) => "per_plant_cured_g",
        (Per::SquareMetre, Weighed::Fresh) => "per_m2_g",
        (Per::SquareMetre, Weighed::Dried) => "per_m2_cured_g",
        (Per::Litre, Weighed::Fresh) => "per_litre_g",
        (Per::Litre, Weighed::Dried) => "per_litre_cured_g",
    }
}

/// Why a figure is withheld, in a few words.
pub fn why_not(why: &WhyNot) -> Message {
    Message::new(match why {
        WhyNot::NothingWeighed => "why-not.not-weighed",
        WhyNot::WeighedTogether => "why-not.together",
        WhyNot::FreshAndDried => "why-not.fresh-and-dried",
        WhyNot::NotCounted => "why-not.not-counted",
        WhyNot::NoPlace => "why-not.no-place",
        WhyNot::SeveralPlaces => "why-not.several-places",
        WhyNot::NotAlone(_) => "why-not.not-alone",
        WhyNot::Unmeasured(_) => "why-not.unmeasured",
        WhyNot::NoDepth(_) => "why-not.no-depth",
        WhyNot::NoContainers(_) => "why-not.no-containers",
        WhyNot::InContainers(_) => "why-not.in-containers",
        WhyNot::RowWidth => "why-not.row-width",
        WhyNot::NoCosts => "why-not.no-costs",
    })
}

/// A weight that may be of one berry: below ten grams to a tenth.
fn piece(mass: Mass, system: System) -> Amount {
    let amount = Amount::mass(mass, system);
    let grams = MassUnit::Gram.measure(mass);
    if system == System::Metric && grams < 9.95 {
        let number = crate::site::amount::decimals(grams, 1);
        return Amount { number, ..amount };
    }
    amount
}

/// Grams of one piece, to a thousandth.
pub(super) fn piece_g(mean: &Mean) -> f64 {
    rounded(MassUnit::Gram.measure(mean.weight), 3)
}
