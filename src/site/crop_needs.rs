//! What a crop sheet says, line by line, each with where it comes from.

use serde::Serialize;

use crate::catalogue::sheet::{AfterStage, CropSheet, Way};
use crate::catalogue::traits::{EatenPart, EndOfSeason, Pollination, SeedTreatment};
use crate::catalogue::{Catalogue, Crop};
use crate::garden::model::Garden;
use crate::site::amount::{Amount, decimals};
use crate::site::message::{Arg, Message};
use crate::site::tasks;
use crate::units::{Celsius, Days, Hours, Length, Range, System};

/// A value of the crop sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Need {
    pub what: Message,
    pub value: Message,
    /// The number of its source; nothing for the grower's own.
    pub footnote: Option<usize>,
}

/// Where values of a crop come from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Footnote {
    pub source: String,
    /// Whether it was read; it is told from memory otherwise.
    pub was_read: bool,
}

/// Everything that a crop sheet says, and the sources.
pub(super) fn of_crop(garden: &Garden, crop: &Crop) -> (Vec<Need>, Vec<Footnote>) {
    let mut list = List {
        crop,
        catalogue: &garden.catalogue,
        system: garden.settings.units,
        needs: Vec::new(),
        footnotes: Vec::new(),
    };
    list.plant(&crop.sheet);
    list.seed(&crop.sheet);
    list.beginning(&crop.sheet);
    list.room(&crop.sheet);
    list.growth(&crop.sheet);
    list.cold_and_heat(&crop.sheet);
    list.harvest(&crop.sheet);
    (list.needs, list.footnotes)
}

struct List<'a> {
    crop: &'a Crop,
    catalogue: &'a Catalogue,
    system: System,
    needs: Vec<Need>,
    footnotes: Vec<Footnote>,
}

impl List<'_> {
    /// A line, `source` being the key of its source on the sheet.
    fn add(&mut self, key: &str, source: &str, value: Option<Message>) {
        let Some(value) = value else { return };
        let note = self.crop.sources.get(source);
        let told = note.map(|note| Footnote {
            // The grower's own sheets name their sources in full.
            source: self.catalogue.source(&note.from).unwrap_or(&note.from).to_owned(),
            was_read: note.was_read,
        });
        let footnote = told.map(|told| {
            let known = self.footnotes.iter().position(|one| *one == told);
            1 + known.unwrap_or_else(|| {
                self.footnotes.push(told);
                self.footnotes.len() - 1
            })
        });
        self.needs.push(Need { what: Message::new(format!("need.{key}")), value, footnote });
    }

    fn plant(&mut self, sheet: &CropSheet) {
        self.add("family", "family", sheet.family.as_deref().map(text));
        self.add("species", "species", sheet.species.as_deref().map(text));
        let lasts = sheet.is_perennial.filter(|lasts| *lasts);
        self.add("lasts", "lasts", lasts.map(|_| Message::new("value.years-long")));
        self.add("habit", "habit", sheet.habit.as_deref().map(text));
        let fixes = sheet.fixes_nitrogen.map(|fixes| {
            Message::new(if fixes { "value.own-nitrogen" } else { "value.no-own-nitrogen" })
        });
        self.add("fixes-nitrogen", "fixes-nitrogen", fixes);
        let kinds: Vec<&str> = self.crop.varieties.iter().map(|(name, _)| name.as_str()).collect();
        let kinds = Some(kinds).filter(|kinds| !kinds.is_empty()).map(|kinds| kinds.join(", "));
        self.add("varieties", "varieties", kinds.as_deref().map(text));
    }

    fn seed(&mut self, sheet: &CropSheet) {
        let system = self.system;
        let treated = sheet.seed_treatment.as_ref().map(|all| each(all, SeedTreatment::word));
        self.add("before-sowing", "seed.before-sowing", treated);
        self.add("depth", "seed.depth", sheet.sowing_depth.map(|range| lengths(range, system)));
        let station = sheet.seeds_per_station.map(numbers);
        self.add("per-station", "seed.per-station", station);
        for (key, celsius) in [
            ("lowest", sheet.germination_lowest),
            ("best", sheet.germination_best),
            ("highest", sheet.germination_highest),
        ] {
            let value = celsius.map(|celsius| degrees(celsius, system));
            self.add(&format!("germination-{key}"), &format!("germination.{key}"), value);
        }
        self.add("germination-days", "germination.days", sheet.germination_days.map(days));
        self.add("emerges-in", "emerges-in", sheet.emerges_in.map(days));
        let share = sheet.comes_up.map(|share| amount(Amount::percent(share)));
        self.add("comes-up", "seed.comes-up", share);
        self.add("seed-keeps", "seed.keeps", sheet.seed_keeps.map(years));
    }

    fn beginning(&mut self, sheet: &CropSheet) {
        let system = self.system;
        let ways = sheet.begun_as.as_ref().map(|all| each(all, Way::word));
        self.add("begun-as", "begun-as", ways);
        self.add("under-cover", "weeks-under-cover", sheet.under_cover.map(weeks));
        let sown = sheet.sow_outdoors_after_frost.map(around_frost);
        self.add("sow-after-frost", "sow-outdoors.after-last-frost", sown);
        let planted = sheet.plant_out_after_frost.map(around_frost);
        self.add("plant-after-frost", "plant-out.after-last-frost", planted);
        for (key, source, celsius) in [
            ("soil", "sow-outdoors.soil", sheet.sow_outdoors_soil),
            ("night-low", "plant-out.night-low", sheet.plant_out_night_low),
            ("day-high", "plant-out.day-high-below", sheet.plant_out_day_high),
            ("autumn-night-low", "autumn-planting.night-low-below", sheet.autumn_night_low),
        ] {
            self.add(key, source, celsius.map(|celsius| degrees(celsius, system)));
        }
        let before = sheet.autumn_before_frost.map(weeks);
        self.add("autumn-before-frost", "autumn-planting.weeks-before-first-frost", before);
    }

    fn room(&mut self, sheet: &CropSheet) {
        let system = self.system;
        self.add("in-row", "spacing.in-row", sheet.in_row.map(|range| lengths(range, system)));
        let rows = sheet.between_rows.map(|range| lengths(range, system));
        self.add("between-rows", "spacing.between-rows", rows);
        let spread = sheet.leaf_spread.map(|length| amount(Amount::length(length, system)));
        self.add("leaf-spread", "leaf-spread", spread);
        let pot = sheet.container.map(|volume| amount(Amount::volume(volume, system)));
        self.add("container", "container", pot);
        self.add("sun", "sun", sheet.sun.map(hours));
        self.add("rest-years", "rest-years", sheet.rest_years.map(years));
    }

    fn growth(&mut self, sheet: &CropSheet) {
        let system = self.system;
        self.add("grows-at", "grows-at", sheet.grows_at.map(|range| temperatures(range, system)));
        if let Some(warmth) = &sheet.degree_days {
            self.add("warmth-from", "degree-days.base", Some(degrees(warmth.base, system)));
            let upper = warmth.upper.map(|upper| degrees(upper, system));
            self.add("warmth-to", "degree-days.upper", upper);
            for (key, sum) in [
                ("to-flowering", warmth.to_flowering),
                ("to-harvest", warmth.to_harvest),
                ("each-year", warmth.each_year),
            ] {
                let sum = sum.map(|sum| degree_days(sum, system));
                self.add(&format!("warmth-{key}"), &format!("degree-days.{key}"), sum);
            }
        }
        let kc = sheet.kc.map(|kc| of_stages("value.kc", &kc, 2));
        self.add("kc", "water.kc", kc);
        let stages = sheet.kc_days.map(|days| of_stages("value.kc-days", &days, 0));
        self.add("kc-days", "water.days", stages);
        let share = sheet.depletion.map(|share| amount(Amount::percent(share)));
        self.add("depletion", "water.depletion", share);
        self.add("roots", "water.roots", sheet.roots.map(|range| lengths(range, system)));
    }

    fn cold_and_heat(&mut self, sheet: &CropSheet) {
        let system = self.system;
        let hardiness = sheet
            .hardiness
            .map(|hardiness| Message::new(format!("hardiness.{}", hardiness.word())));
        self.add("hardiness", "hardiness", hardiness);
        self.add("killed-at", "killed-at", sheet.killed_at.map(|c| degrees(c, system)));
        let chill = sheet.chill.map(|chill| {
            Message::new("value.chill")
                .with("time", weeks(chill.days))
                .with("degrees", Amount::temperature(chill.below, system))
        });
        self.add("chill", "chill", chill);
        if let Some(bolting) = &sheet.bolting {
            let cold = bolting.cold_below.map(|below| match bolting.cold_days {
                Some(time) => Message::new("value.chill")
                    .with("time", days(time))
                    .with("degrees", Amount::temperature(below, system)),
                None => degrees(below, system),
            });
            self.add("bolts-cold", "bolting", cold);
            self.add("bolts-warm", "bolting", bolting.warm_above.map(|c| degrees(c, system)));
            let long = bolting.day_length.map(|hours| amount(Amount::hours(hours.0)));
            self.add("bolts-days", "bolting", long);
        }
        self.add("bulbing", "bulbing-day-length", sheet.bulbing_day_length.map(hours));
        if let Some(set) = &sheet.fruit_set {
            let night = set.night.map(|range| temperatures(range, system));
            self.add("fruit-set-night", "fruit-set", night);
            let day = set.day.map(|range| temperatures(range, system));
            self.add("fruit-set-day", "fruit-set", day);
        }
        self.add("flowers", "flowers", sheet.flowers.as_deref().map(text));
        let pollination = sheet.pollination.map(Pollination::word).map(text);
        self.add("pollination", "pollination", pollination);
    }

    fn harvest(&mut self, sheet: &CropSheet) {
        let system = self.system;
        self.add("flowering", "flowering", sheet.flowering.map(after_stage));
        self.add("first-harvest", "first-harvest", sheet.first_harvest.map(after_stage));
        self.add("ripe-when", "ripe-when", sheet.ripe_when.as_deref().map(text));
        self.add("picking-every", "picking-every", sheet.picking_every.map(days));
        self.add("harvest-lasts", "harvest-lasts", sheet.harvest_lasts.map(weeks));
        self.add("harvest-unit", "harvest-unit", sheet.harvest_unit.as_deref().map(text));
        self.add("pieces", "pieces", sheet.pieces.map(numbers));
        let at = |time: Range<Days>, at: Option<Range<Celsius>>| match at {
            Some(at) => Message::new("value.time-at")
                .with("time", days(time))
                .with("degrees", temperatures(at, system)),
            None => days(time),
        };
        self.add("curing", "curing", sheet.curing.map(|curing| at(curing.days, curing.at)));
        self.add("keeping", "keeping", sheet.keeping.map(|keeping| at(keeping.days, keeping.at)));
        self.add("eaten", "eaten", sheet.eaten.map(EatenPart::word).map(text));
        let end = sheet.end_of_season.map(EndOfSeason::word).map(text);
        self.add("end-of-season", "end-of-season", end);
    }
}

fn text(text: &str) -> Message {
    Message::new("title.name").with("name", text)
}

fn each<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Message {
    text(&all.iter().map(|one| word(*one)).collect::<Vec<_>>().join(", "))
}

fn amount(amount: Amount) -> Message {
    Message::new("value.amount").with("amount", amount)
}

fn degrees(celsius: Celsius, system: System) -> Message {
    amount(Amount::temperature(celsius, system))
}

/// `5 to 7`, or `6` where both ends are the same.
fn range(from: impl Into<Arg>, to: impl Into<Arg>) -> Message {
    let (from, to) = (from.into(), to.into());
    if from == to {
        return Message::new("value.amount").with("amount", from);
    }
    Message::new("value.range").with("from", from).with("to", to)
}

fn temperatures(c: Range<Celsius>, system: System) -> Message {
    range(Amount::temperature(c.low, system), Amount::temperature(c.high, system))
}

fn lengths(lengths: Range<Length>, system: System) -> Message {
    range(Amount::length(lengths.low, system), Amount::length(lengths.high, system))
}

fn hours(hours: Range<Hours>) -> Message {
    range(Amount::hours(hours.low.0), Amount::hours(hours.high.0))
}

fn numbers(numbers: Range<f64>) -> Message {
    range(decimals(numbers.low, 0), decimals(numbers.high, 0))
}

fn years(years: u32) -> Message {
    Message::new("value.years").with("count", u64::from(years))
}

/// Sums on a sheet are kept in degrees Celsius.
fn degree_days(sum: f64, system: System) -> Message {
    let (sum, key) = match system {
        System::Metric => (sum, "value.degree-days-c"),
        System::Us => (sum * 1.8, "value.degree-days-f"),
    };
    Message::new(key).with("sum", decimals(sum, 0))
}

fn of_stages(key: &str, values: &[f64], places: usize) -> Message {
    let names = ["first", "second", "third", "fourth"];
    let with = |message: Message, (name, value): (&'static str, &f64)| {
        message.with(name, decimals(*value, places))
    };
    names.into_iter().zip(values).fold(Message::new(key), with)
}

fn after_stage(after: AfterStage) -> Message {
    Message::new("value.days-after")
        .with("from", after.days.low.0.to_string())
        .with("to", after.days.high.0.to_string())
        .with("stage", tasks::reaching(after.stage))
}

/// Weeks before or after the last frost of spring.
fn around_frost(range: Range<Days>) -> Message {
    let key = match (range.low.0, range.high.0) {
        (low, _) if low >= 0 => "value.after-frost",
        (_, high) if high <= 0 => "value.before-frost",
        _ => "value.around-frost",
    };
    let weeks = |days: i32| decimals(f64::from(days.abs()) / 7.0, 0);
    let (first, last) = (weeks(range.low.0), weeks(range.high.0));
    // "2 to 4 weeks before", whichever of the two is earlier.
    let (from, to) = if key == "value.before-frost" { (last, first) } else { (first, last) };
    Message::new(key).with("from", from).with("to", to)
}

pub(super) fn days(range: Range<Days>) -> Message {
    span("value.days", range, 1)
}

fn weeks(range: Range<Days>) -> Message {
    span("value.weeks", range, 7)
}

/// `5 to 7 weeks`, or `6 weeks` where both ends are the same.
fn span(key: &str, range: Range<Days>, unit: u32) -> Message {
    let (low, high) = (range.low.0.unsigned_abs() / unit, range.high.0.unsigned_abs() / unit);
    if low == high {
        return Message::new(format!("{key}.single")).with("count", u64::from(low));
    }
    Message::new(key).with("from", low.to_string()).with("to", high.to_string())
}
