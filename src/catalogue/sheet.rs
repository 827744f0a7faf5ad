//! A crop sheet as written: what a crop needs and how it grows. Every value may be missing.

use std::collections::BTreeMap;

use crate::catalogue::rule::{self, CareRule, RuleChange, RuleLine, read_rule};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::{Origin, Written};
use crate::source::fields::{Fields, number_of};
use crate::source::front_matter::{Map, Node, Value};
use crate::stage::Stage;
use crate::units::{self, Celsius, Days, Hours, Length, Range, TemperatureUnit, TimeUnit, Volume};

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
    /// This sheet, with what it leaves out taken from `base`; care rules are taken one by one.
    pub fn over(self, base: &CropSheet) -> CropSheet {
        let own = self.care.clone().unwrap_or_default();
        let changes = self.care_changes.clone().unwrap_or_default();
        let rules = rule::laid_over(own, &changes, base.care.as_deref().unwrap_or_default());
        let care = (self.care.is_some() || base.care.is_some()).then_some(rules);
        CropSheet { care, care_changes: None, ..self.filled_from(base) }
    }
}

/// How a crop stands frost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hardiness {
    /// Killed by the lightest frost.
    Tender,
    /// Stands a light frost.
    HalfHardy,
    /// Stands frost.
    Hardy,
}

/// A way to begin a crop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Seed under cover, planted out later.
    SeedUnderCover,
    /// Seed where it will grow.
    SeedOutdoors,
    /// Sets.
    Sets,
    /// Cloves.
    Cloves,
    /// Tubers.
    Tubers,
    /// Crowns.
    Crowns,
    /// Rooted cuttings.
    Slips,
    /// Young plants from elsewhere.
    YoungPlants,
}

impl Way {
    /// The ways with their words.
    pub const ALL: &'static [(&'static str, Way)] = &[
        ("seed under cover", Way::SeedUnderCover),
        ("seed outdoors", Way::SeedOutdoors),
        ("sets", Way::Sets),
        ("cloves", Way::Cloves),
        ("tubers", Way::Tubers),
        ("crowns", Way::Crowns),
        ("slips", Way::Slips),
        ("young plants", Way::YoungPlants),
    ];
}

/// Days counted from a stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AfterStage {
    /// The stage they count from.
    pub stage: Stage,
    /// How many.
    pub days: Range<Days>,
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
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceNote {
    /// The id of the source.
    pub from: String,
    /// Whether the source was read, or is remembered.
    pub was_read: bool,
}

/// Reads the front matter of a crop sheet.
pub fn read_crop(map: &Map, stem: &str, problems: &mut Problems) -> Option<CropFile> {
    let mut fields = Fields::new(map, "a crop sheet", problems);
    let name = fields.text("crop", problems);
    let name = fields.demand("crop", name, stem);
    let also_called = fields.texts("also-called", problems);
    let based_on = fields.text("based-on", problems);
    let sheet = read_values(&mut fields, problems);
    let varieties = fields
        .maps("varieties", problems)
        .into_iter()
        .filter_map(|map| read_variety(map, problems))
        .collect();
    let sources = fields.map("sources", problems);
    let sources = sources.map_or(BTreeMap::new(), |map| read_sources(map, problems));
    fields.finish(problems);
    Some(CropFile { name: name?, also_called, based_on, sheet, varieties, sources })
}

fn read_variety(map: &Map, problems: &mut Problems) -> Option<(Written<String>, CropSheet)> {
    let mut fields = Fields::new(map, "a variety", problems);
    let name = fields.text("name", problems);
    let name = fields.demand("name", name, "Long Red");
    let sheet = read_values(&mut fields, problems);
    fields.finish(problems);
    Some((name?, sheet))
}

fn read_values(fields: &mut Fields<'_>, problems: &mut Problems) -> CropSheet {
    let hardiness = [
        ("tender", Hardiness::Tender),
        ("half-hardy", Hardiness::HalfHardy),
        ("hardy", Hardiness::Hardy),
    ];
    let habits = [("cordon", "cordon"), ("bush", "bush"), ("climbing", "climbing")];
    let pollen = [("self", "self"), ("insects", "insects"), ("wind", "wind"), ("hand", "hand")];
    let text = |value: Option<Written<String>>| value.map(|text| text.value);
    let (rules, changes) = care(fields, problems);
    let mut sheet = CropSheet {
        family: text(fields.text("family", problems)),
        species: text(fields.text("species", problems)),
        hardiness: value(fields.word("hardiness", &hardiness, problems)),
        begun_as: ways(fields, problems),
        under_cover: value(fields.read("weeks-under-cover", problems, weeks)),
        emerges_in: value(fields.read("emerges-in", problems, units::days_range)),
        harvest_lasts: value(fields.read("harvest-lasts", problems, units::days_range)),
        picking_every: value(fields.read("picking-every", problems, units::days_range)),
        leaf_spread: value(fields.read("leaf-spread", problems, units::length)),
        container: value(fields.read("container", problems, units::volume)),
        rest_years: value(fields.whole("rest-years", problems)),
        sun: value(fields.read("sun", problems, units::hours_range)),
        grows_at: value(fields.read("grows-at", problems, units::temperature_range)),
        harvest_unit: text(fields.text("harvest-unit", problems)),
        is_perennial: fields.word("lasts", &[("years", true)], problems).map(|w| w.value),
        habit: fields.word("habit", &habits, problems).map(|word| word.value.to_owned()),
        flowers: fields.word("flowers", &pollen, problems).map(|word| word.value.to_owned()),
        fixes_nitrogen: value(fields.flag("fixes-nitrogen", problems)),
        first_harvest: after_stage(fields, "first-harvest", problems),
        flowering: after_stage(fields, "flowering", problems),
        care: rules,
        care_changes: changes,
        ..CropSheet::default()
    };
    read_planting(fields, &mut sheet, problems);
    read_growth(fields, &mut sheet, problems);
    sheet
}

/// When and how it goes into the ground.
fn read_planting(fields: &mut Fields<'_>, sheet: &mut CropSheet, problems: &mut Problems) {
    if let Some(map) = fields.map("plant-out", problems) {
        let mut part = Fields::new(map, "plant-out", problems);
        sheet.plant_out_after_frost =
            value(part.read("after-last-frost", problems, units::offset_range));
        sheet.plant_out_night_low = value(part.read("night-low", problems, units::temperature));
        sheet.plant_out_day_high = value(part.read("day-high-below", problems, units::temperature));
        part.finish(problems);
    }
    if let Some(map) = fields.map("sow-outdoors", problems) {
        let mut part = Fields::new(map, "sow-outdoors", problems);
        sheet.sow_outdoors_after_frost =
            value(part.read("after-last-frost", problems, units::offset_range));
        sheet.sow_outdoors_soil = value(part.read("soil", problems, units::temperature));
        part.finish(problems);
    }
    if let Some(map) = fields.map("autumn-planting", problems) {
        let mut part = Fields::new(map, "autumn-planting", problems);
        sheet.autumn_night_low = value(part.read("night-low-below", problems, units::temperature));
        sheet.autumn_before_frost = value(part.read("weeks-before-first-frost", problems, weeks));
        part.finish(problems);
    }
    if let Some(map) = fields.map("germination", problems) {
        let mut part = Fields::new(map, "germination", problems);
        sheet.germination_lowest = value(part.read("lowest", problems, units::temperature));
        sheet.germination_best = value(part.read("best", problems, units::temperature));
        sheet.germination_highest = value(part.read("highest", problems, units::temperature));
        sheet.germination_days = value(part.read("days", problems, bare_days));
        part.finish(problems);
    }
    if let Some(map) = fields.map("seed", problems) {
        let mut part = Fields::new(map, "seed", problems);
        sheet.comes_up =
            value(part.read("comes-up", problems, units::percent)).map(|share| share.0);
        sheet.seed_keeps = value(part.whole("keeps", problems));
        part.finish(problems);
    }
    if let Some(map) = fields.map("spacing", problems) {
        let mut part = Fields::new(map, "spacing", problems);
        sheet.in_row = value(part.read("in-row", problems, units::length_range));
        sheet.between_rows = value(part.read("between-rows", problems, units::length_range));
        part.finish(problems);
    }
}

/// Warmth and water.
fn read_growth(fields: &mut Fields<'_>, sheet: &mut CropSheet, problems: &mut Problems) {
    if let Some(map) = fields.map("degree-days", problems) {
        sheet.degree_days = degree_days(map, problems);
    }
    if let Some(map) = fields.map("water", problems) {
        let mut part = Fields::new(map, "water", problems);
        sheet.kc = numbers(part.node("kc", problems), "kc", 0.0, 2.0, problems);
        sheet.kc_days = numbers(part.node("days", problems), "days", 0.0, 400.0, problems);
        let wanted = "a share between 0 and 1";
        sheet.depletion = value(part.number("depletion", 0.05, 0.95, wanted, problems));
        sheet.roots = value(part.read("roots", problems, units::length_range));
        part.finish(problems);
    }
}

/// Sums are in degree days of the unit that the base is written in.
fn degree_days(map: &Map, problems: &mut Problems) -> Option<DegreeDays> {
    let mut part = Fields::new(map, "degree-days", problems);
    let base = part.read("base", problems, units::temperature_as_written);
    let base = part.demand("base", base, "10 °C");
    let upper = value(part.read("upper", problems, units::temperature));
    let wanted = "a number of degree days";
    let flowering = part.number("to-flowering", 1.0, 20_000.0, wanted, problems);
    let harvest = part.number("to-harvest", 1.0, 20_000.0, wanted, problems);
    part.finish(problems);
    let (base, unit) = base?.value;
    let to_celsius = match unit {
        TemperatureUnit::Celsius => 1.0,
        TemperatureUnit::Fahrenheit => 5.0 / 9.0,
    };
    let sum = |number: Option<Written<f64>>| number.map(|number| number.value * to_celsius);
    Some(DegreeDays { base, upper, to_flowering: sum(flowering), to_harvest: sum(harvest) })
}

fn after_stage(
    fields: &mut Fields<'_>,
    key: &'static str,
    problems: &mut Problems,
) -> Option<AfterStage> {
    let map = fields.map(key, problems)?;
    let mut part = Fields::new(map, key, problems);
    let stages = [("sown", Stage::Sown), ("planted out", Stage::PlantedOut)];
    let after = part.word("after", &stages, problems);
    let after = part.demand("after", after, "planted out");
    let days = part.read("days", problems, bare_days);
    let days = part.demand("days", days, "70-90");
    part.finish(problems);
    Some(AfterStage { stage: after?.value, days: days?.value })
}

fn ways(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<Vec<Way>> {
    let texts = fields.texts("begun-as", problems);
    let mut ways = Vec::new();
    for text in &texts {
        let node = Node {
            at: text.at,
            value: Value::Text(crate::source::front_matter::Text {
                text: text.value.clone(),
                quoted: true,
            }),
        };
        ways.extend(
            crate::source::fields::word_of("begun-as", &node, Way::ALL, problems).map(|w| w.value),
        );
    }
    (!ways.is_empty()).then_some(ways)
}

/// The rules of a sheet, and its changes to rules of the crop it is based on.
fn care(
    fields: &mut Fields<'_>,
    problems: &mut Problems,
) -> (Option<Vec<CareRule>>, Option<Vec<RuleChange>>) {
    let key = fields.key_at("care");
    let (mut rules, mut changes): (Vec<CareRule>, Vec<RuleChange>) = (Vec::new(), Vec::new());
    for map in fields.maps("care", problems) {
        match read_rule(map, problems) {
            Some(RuleLine::Rule(rule)) => {
                if rules.iter().any(|other| other.id == rule.id) {
                    problems.add(repeated_rule(&rule.id, rule.task.at));
                }
                rules.push(rule);
            }
            Some(RuleLine::Change(change)) => changes.push(change),
            None => {}
        }
    }
    (key.map(|_| rules), (!changes.is_empty()).then_some(changes))
}

fn repeated_rule(id: &str, at: Origin) -> Problem {
    Problem::new(Code::RepeatedName, at, format!("two care rules have the id `{id}`"))
        .label("the second of the two")
        .hint("give one of them another id: skipped tasks are found by it")
}

fn read_sources(map: &Map, problems: &mut Problems) -> BTreeMap<String, SourceNote> {
    let mut sources = BTreeMap::new();
    for (key, node) in &map.pairs {
        let Value::Map(map) = &node.value else { continue };
        let mut part = Fields::new(map, "a source", problems);
        let from = part.text("from", problems);
        let was_read = part.word("seen", &[("read", true), ("memory", false)], problems);
        part.finish(problems);
        if let (Some(from), Some(was_read)) = (from, was_read) {
            let note = SourceNote { from: from.value, was_read: was_read.value };
            sources.insert(key.value.clone(), note);
        }
    }
    sources
}

fn numbers<const N: usize>(
    node: Option<&Node>,
    key: &str,
    lowest: f64,
    highest: f64,
    problems: &mut Problems,
) -> Option<[f64; N]> {
    let node = node?;
    let items: &[Node] = match &node.value {
        Value::List(items) => items,
        _ => &[],
    };
    if items.len() != N {
        problems.add(
            Problem::new(Code::WrongShape, node.at, format!("`{key}` should be {N} numbers"))
                .hint(format!("write a list of {N} numbers in square brackets")),
        );
        return None;
    }
    let wanted = format!("a number from {lowest} to {highest}");
    let numbers: Vec<f64> = items
        .iter()
        .filter_map(|item| number_of(key, item, lowest, highest, &wanted, problems))
        .map(|number| number.value)
        .collect();
    numbers.try_into().ok()
}

fn value<T>(written: Option<Written<T>>) -> Option<T> {
    written.map(|written| written.value)
}

fn weeks(text: &str) -> Result<Range<Days>, units::Trouble> {
    units::days_range_in(text, TimeUnit::Week)
}

fn bare_days(text: &str) -> Result<Range<Days>, units::Trouble> {
    units::days_range_in(text, TimeUnit::Day)
}
