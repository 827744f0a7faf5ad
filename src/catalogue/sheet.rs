//! A crop sheet as written: what a crop needs and how it grows. Every value may be missing.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::rule::{self, CareRule, RuleChange};
use crate::catalogue::traits::{
    Bolting, Chill, Curing, EatenPart, EndOfSeason, FruitSet, Keeping, Pollination, SeedTreatment,
};
use crate::origin::Written;
use crate::stage::Stage;
use crate::units::{Celsius, Days, Hours, Length, Range, Volume};
use crate::worded::worded;

macro_rules! sheet {
    ($($(#[doc = $doc:literal])+ $field:ident: $type:ty,)+) => {
        /// A crop sheet as written.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct CropSheet {
            $($(#[doc = $doc])+ pub $field: Option<$type>,)+
        }

        impl CropSheet {
            fn filled_from(self, base: &CropSheet) -> CropSheet {
                CropSheet { $($field: self.$field.or_else(|| base.$field.clone()),)+ }
            }
        }
    };
}

sheet! {
    /// Botanical family.
    family: String,
    /// Botanical name.
    species: String,
    /// How it stands frost.
    hardiness: Hardiness,
    /// The ways it is begun, the usual one first.
    begun_as: Vec<Way>,
    /// From sowing under cover to planting out.
    under_cover: Range<Days>,
    /// Planting out, counted from the last frost of spring.
    plant_out_after_frost: Range<Days>,
    /// Nights must be this warm to plant out.
    plant_out_night_low: Celsius,
    /// Days must stay below this to plant out.
    plant_out_day_high: Celsius,
    /// Sowing outdoors, counted from the last frost of spring.
    sow_outdoors_after_frost: Range<Days>,
    /// Soil must be this warm to sow outdoors.
    sow_outdoors_soil: Celsius,
    /// Autumn planting: nights must have cooled to this.
    autumn_night_low: Celsius,
    /// Autumn planting, counted back from the first frost.
    autumn_before_frost: Range<Days>,
    /// From sowing to emergence at the best temperature, days, as it was learned.
    emerges_after: Range<f64>,
    /// Lowest soil temperature at which seed sprouts.
    germination_lowest: Celsius,
    /// Soil temperature at which seed sprouts best.
    germination_best: Celsius,
    /// Highest soil temperature at which seed sprouts.
    germination_highest: Celsius,
    /// Days to emergence at the best temperature.
    germination_days: Range<Days>,
    /// Days to emergence as it is in this garden, whatever the soil's temperature; counts before
    /// `germination_days`.
    emerges_in: Range<Days>,
    /// The share of its seed that comes up, 0 to 1.
    comes_up: f64,
    /// Years for which its seed keeps, stored cool and dry.
    seed_keeps: u32,
    /// How deep it is sown or planted.
    sowing_depth: Range<Length>,
    /// Seeds that go into one hole or cell, of which the strongest stays.
    seeds_per_station: Range<f64>,
    /// What is done to the seed before it is sown, in order.
    seed_treatment: Vec<SeedTreatment>,
    /// Days to first harvest, and from which stage they count.
    first_harvest: AfterStage,
    /// Days to first flowers, and from which stage they count.
    flowering: AfterStage,
    /// From first to last picking.
    harvest_lasts: Range<Days>,
    /// Days between pickings of a crop picked over and over.
    picking_every: Range<Days>,
    /// Between plants in a row.
    in_row: Range<Length>,
    /// Between rows.
    between_rows: Range<Length>,
    /// Width of the leaf cover of a grown plant.
    leaf_spread: Length,
    /// Least volume of a container for a fair crop.
    container: Volume,
    /// Hours of daylight at which it makes bulbs or tubers.
    bulbing_day_length: Range<Hours>,
    /// The cold it needs to bulb, to sprout or to bear.
    chill: Chill,
    /// What makes it run to seed.
    bolting: Bolting,
    /// Nights and days in which its flowers set fruit.
    fruit_set: FruitSet,
    /// The night that kills the grown plant.
    killed_at: Celsius,
    /// What its flowers need to bear.
    pollination: Pollination,
    /// By what one sees that it can be picked.
    ripe_when: String,
    /// How it is dried before it is stored.
    curing: Curing,
    /// How it is stored, and for how long.
    keeping: Keeping,
    /// What is done when its season is over.
    end_of_season: EndOfSeason,
    /// Thermal time.
    degree_days: DegreeDays,
    /// Crop coefficients of the initial stage, mid-season and the end (FAO-56 table 12).
    kc: [f64; 3],
    /// Lengths of the four stages in days (FAO-56 table 11).
    kc_days: [f64; 4],
    /// Share of the soil's water that may be used before growth suffers (FAO-56 table 22).
    depletion: f64,
    /// Depth of roots.
    roots: Range<Length>,
    /// Years before the same family comes back to the same soil.
    rest_years: u32,
    /// Hours of sun a day.
    sun: Range<Hours>,
    /// Temperatures of best growth.
    grows_at: Range<Celsius>,
    /// What is counted when it is picked.
    harvest_unit: String,
    /// Which part of the plant is eaten.
    eaten: EatenPart,
    /// How many pieces one plant gives, where a number can be named.
    pieces: Range<f64>,
    /// Whether it stands for years.
    is_perennial: bool,
    /// How it grows, where that matters for its care.
    habit: String,
    /// What carries its pollen.
    flowers: String,
    /// Whether it takes nitrogen from the air.
    fixes_nitrogen: bool,
    /// Care rules.
    care: Vec<CareRule>,
    /// Changes to care rules of the crop it is based on.
    care_changes: Vec<RuleChange>,
}

impl CropSheet {
    /// Whether what is picked of it comes after flowers.
    pub fn bears_fruit(&self) -> bool {
        let rules = self.care.as_deref().unwrap_or_default();
        self.flowering.is_some()
            || rules.iter().any(|rule| [rule.from, rule.until].contains(&Stage::Fruiting))
    }

    /// The most pieces that a plant can give: what is lifted or cut once as a whole is one.
    pub fn most_pieces(&self) -> Option<u32> {
        let is_whole = matches!(self.harvest_unit.as_deref(), Some("bulbs" | "heads" | "roots"))
            && self.picking_every.is_none()
            && self.is_perennial != Some(true);
        self.pieces.map(|pieces| pieces.high as u32).or(is_whole.then_some(1))
    }

    /// This sheet, with what it leaves out taken from `base`; care rules are taken one by one.
    pub fn over(self, base: &CropSheet) -> CropSheet {
        let own = self.care.clone().unwrap_or_default();
        let changes = self.care_changes.clone().unwrap_or_default();
        let rules = rule::laid_over(own, &changes, base.care.as_deref().unwrap_or_default());
        let care = (self.care.is_some() || base.care.is_some()).then_some(rules);
        CropSheet { care, care_changes: None, ..self.filled_from(base) }
    }
}

worded! {
    /// How a crop stands frost.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Hardiness {
        /// Killed by the lightest frost.
        Tender = "tender",
        /// Stands a light frost.
        HalfHardy = "half-hardy",
        /// Stands frost.
        Hardy = "hardy",
    }
}

worded! {
    /// A way to begin a crop.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Way {
        /// Seed under cover, planted out later.
        SeedUnderCover = "seed under cover",
        /// Seed where it will grow.
        SeedOutdoors = "seed outdoors",
        /// Sets.
        Sets = "sets",
        /// Cloves.
        Cloves = "cloves",
        /// Tubers.
        Tubers = "tubers",
        /// Crowns.
        Crowns = "crowns",
        /// Rooted cuttings.
        Slips = "slips",
        /// Young plants from elsewhere.
        YoungPlants = "young plants",
    }
}

/// Days counted from a stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AfterStage {
    /// The stage they count from.
    pub stage: Stage,
    /// How many.
    pub days: Range<Days>,
    /// Whether they are the calendar's in any weather, as it was learned here; what is written is of usual weather.
    pub is_of_calendar: bool,
}

/// Thermal time of a crop, in °C and degree days of °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DegreeDays {
    /// Below this nothing grows.
    pub base: Celsius,
    /// Above this it grows no faster.
    pub upper: Option<Celsius>,
    /// From planting out (or sowing outdoors) to first flowers.
    pub to_flowering: Option<f64>,
    /// To first harvest.
    pub to_harvest: Option<f64>,
    /// From midwinter to the first picking of a plant that stands for years.
    pub each_year: Option<f64>,
}

/// A whole sheet file: the crop's names, its values, its varieties and sources.
#[derive(Clone, Debug)]
pub struct CropFile {
    /// The crop's name.
    pub name: Written<String>,
    /// Other names that mean this crop.
    pub also_called: Vec<Written<String>>,
    /// The crop from which the rest is taken.
    pub based_on: Option<Written<String>>,
    /// The values.
    pub sheet: CropSheet,
    /// Varieties, each with the values it changes.
    pub varieties: Vec<(Written<String>, CropSheet)>,
    /// Where values come from: dotted key → the source's id, and whether it was read or remembered.
    pub sources: BTreeMap<String, SourceNote>,
    /// The dotted keys of the values that stand in the file itself.
    pub written: BTreeSet<String>,
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceNote {
    /// The id of the source.
    pub from: String,
    /// Whether the source was read, or is remembered.
    pub was_read: bool,
}
