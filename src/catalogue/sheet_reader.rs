//! Reading a crop sheet: its front matter, key by key.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::rule::{CareRule, RuleChange, RuleLine, read_rule};
use crate::catalogue::sheet::{
    AfterStage, CropFile, CropSheet, DegreeDays, Hardiness, SourceNote, Way,
};
use crate::catalogue::traits;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::{Origin, Written};
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::source::nodes::number_of;
use crate::stage::Stage;
use crate::units::{self, Days, Range, TemperatureUnit, TimeUnit};

/// Reads the front matter of a crop sheet.
pub(super) fn read_crop(map: &Map, stem: &str, problems: &mut Problems) -> Option<CropFile> {
    let mut fields = Fields::new(map, "a crop sheet", problems);
    let name = fields.name("crop", problems);
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
    let written = written_keys(map);
    Some(CropFile { name: name?, also_called, based_on, sheet, varieties, sources, written })
}

/// `sun`, `spacing.in-row`: the keys as `sources` names them.
fn written_keys(map: &Map) -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    for (key, node) in &map.pairs {
        keys.insert(key.value.clone());
        if let Value::Map(part) = &node.value {
            keys.extend(part.pairs.iter().map(|(own, _)| format!("{}.{}", key.value, own.value)));
        }
    }
    keys
}

fn read_variety(map: &Map, problems: &mut Problems) -> Option<(Written<String>, CropSheet)> {
    let mut fields = Fields::new(map, "a variety", problems);
    let name = fields.name("name", problems);
    let name = fields.demand("name", name, "Long Red");
    let sheet = read_values(&mut fields, problems);
    fields.finish(problems);
    Some((name?, sheet))
}

fn read_values(fields: &mut Fields<'_>, problems: &mut Problems) -> CropSheet {
    let habits = [("cordon", "cordon"), ("bush", "bush"), ("climbing", "climbing")];
    let pollen = [("self", "self"), ("insects", "insects"), ("wind", "wind"), ("hand", "hand")];
    let text = |value: Option<Written<String>>| value.map(|text| text.value);
    let (rules, changes) = care(fields, problems);
    let mut sheet = CropSheet {
        family: text(fields.text("family", problems)),
        species: text(fields.text("species", problems)),
        hardiness: value(fields.word("hardiness", Hardiness::ALL, problems)),
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
    traits::read(fields, &mut sheet, problems);
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
        sheet.sowing_depth = value(part.read("depth", problems, units::length_range));
        sheet.seeds_per_station = value(part.read("per-station", problems, units::number_range));
        sheet.seed_treatment = traits::seed_treatment(&mut part, problems);
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
    let each_year = part.number("each-year", 1.0, 20_000.0, wanted, problems);
    part.finish(problems);
    let (base, unit) = base?.value;
    let to_celsius = match unit {
        TemperatureUnit::Celsius => 1.0,
        TemperatureUnit::Fahrenheit => 5.0 / 9.0,
    };
    let sum = |number: Option<Written<f64>>| number.map(|number| number.value * to_celsius);
    Some(DegreeDays {
        base,
        upper,
        to_flowering: sum(flowering),
        to_harvest: sum(harvest),
        each_year: sum(each_year),
    })
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
    Some(AfterStage { stage: after?.value, days: days?.value, is_of_calendar: false })
}

fn ways(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<Vec<Way>> {
    words(fields, "begun-as", Way::ALL, problems)
}

/// One word of a list, or several; none where nothing was written or nothing understood.
pub(super) fn words<T: Copy>(
    fields: &mut Fields<'_>,
    key: &'static str,
    words: &[(&'static str, T)],
    problems: &mut Problems,
) -> Option<Vec<T>> {
    let texts = fields.texts(key, problems);
    let mut found = Vec::new();
    for text in &texts {
        let node = Node {
            at: text.at,
            value: Value::Text(crate::source::front_matter::Text {
                text: text.value.clone(),
                quoted: true,
            }),
        };
        found.extend(
            crate::source::nodes::word_of(key, &node, words, problems).map(|word| word.value),
        );
    }
    (!found.is_empty()).then_some(found)
}

/// The rules of a sheet, and its changes to rules of the crop it is based on.
fn care(
    fields: &mut Fields<'_>,
    problems: &mut Problems,
) -> (Option<Vec<CareRule>>, Option<Vec<RuleChange>>) {
    let key = fields.key_at("care");
    let (mut rules, mut changes): (Vec<CareRule>, Vec<RuleChange>) = (Vec::new(), Vec::new());
    for (index, map) in fields.maps("care", problems).into_iter().enumerate() {
        if index == MOST_RULES {
            problems.add(too_many_rules(map.at));
            break;
        }
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

/// Each rule is tried on each planting of its crop, so a sheet has no more than a person would follow.
const MOST_RULES: usize = 100;

fn too_many_rules(at: Origin) -> Problem {
    let message = format!("a crop sheet has at most {MOST_RULES} care rules");
    Problem::new(Code::ListTooLong, at, message)
        .label("the first that was not read")
        .hint("keep those that you will follow, or let one rule return with `every`")
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

pub(super) fn value<T>(written: Option<Written<T>>) -> Option<T> {
    written.map(|written| written.value)
}

fn weeks(text: &str) -> Result<Range<Days>, units::Trouble> {
    units::days_range_in(text, TimeUnit::Week)
}

fn bare_days(text: &str) -> Result<Range<Days>, units::Trouble> {
    units::days_range_in(text, TimeUnit::Day)
}
