//! The smaller lines of an entry: pests seen, germination tests, weather, costs, pictures.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::journal::problems;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::Map;
use crate::units::{self, Amount, Celsius, Length};

/// One line under `seen`: a pest, a disease, or anything worth a note.
#[derive(Clone, Debug)]
pub struct Seen {
    pub subject: Subject,
    pub what: Written<String>,
    /// How bad it was, in the grower's words.
    pub how_bad: Option<Written<String>>,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl Seen {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Seen> {
        let mut fields = Fields::new(map, "a line under seen", problems);
        let subject = Subject::take(&mut fields, problems);
        let what = fields.text("what", problems);
        let what = fields.demand("what", what, "aphids");
        let how_bad = fields.text("how-bad", problems);
        let on = fields.read("on", problems, dates::date);
        let note = fields.text("note", problems);
        fields.finish(problems);
        Some(Seen { subject, what: what?, how_bad, on, note })
    }
}

/// One line under `tests`: how many seeds of a packet still sprout.
#[derive(Clone, Debug)]
pub struct SeedTest {
    /// Which seed, in the grower's words.
    pub seed: Written<String>,
    /// Seeds tried.
    pub tried: Written<u32>,
    pub sprouted: Written<u32>,
    /// Days it took.
    pub days: Option<Written<u32>>,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl SeedTest {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<SeedTest> {
        let mut fields = Fields::new(map, "a germination test", problems);
        let seed = fields.text("seed", problems);
        let seed = fields.demand("seed", seed, "'kale-24 seed'");
        let tried = fields.whole("tried", problems);
        let tried = fields.demand("tried", tried, "10");
        let sprouted = fields.whole("sprouted", problems);
        let sprouted = fields.demand("sprouted", sprouted, "6");
        let days = fields.whole("days", problems);
        let on = fields.read("on", problems, dates::date);
        let note = fields.text("note", problems);
        fields.finish(problems);
        let (tried, sprouted) = (tried?, sprouted?);
        if sprouted.value > tried.value {
            problems.add(crate::journal::problems::more_sprouted(sprouted.at, tried.value));
            return None;
        }
        Some(SeedTest { seed: seed?, tried, sprouted, days, on, note })
    }
}

/// The weather of the entry's day.
#[derive(Clone, Debug)]
pub struct WeatherNote {
    /// The lowest temperature.
    pub low: Option<Written<Celsius>>,
    /// The highest temperature.
    pub high: Option<Written<Celsius>>,
    /// How much rain fell.
    pub rain: Option<Written<Length>>,
    /// Whether there was ground frost.
    pub ground_frost: Option<Written<bool>>,
    pub note: Option<Written<String>>,
}

impl WeatherNote {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> WeatherNote {
        let mut fields = Fields::new(map, "weather", problems);
        let weather = WeatherNote {
            low: fields.read("low", problems, units::temperature),
            high: fields.read("high", problems, units::temperature),
            rain: fields.read("rain", problems, units::length),
            ground_frost: fields.flag("ground-frost", problems),
            note: fields.text("note", problems),
        };
        fields.finish(problems);
        if let (Some(low), Some(high)) = (&weather.low, &weather.high)
            && low.value.0 > high.value.0
        {
            problems.add(crate::journal::problems::low_above_high(low.at, high.at));
        }
        weather
    }
}

/// One line under `costs`.
#[derive(Clone, Debug)]
pub struct Cost {
    /// What was paid for.
    pub what: Written<String>,
    pub amount: Option<Written<Amount>>,
    /// What it cost, in the garden's currency.
    pub price: Written<f64>,
    /// The planting, crop or place it was for.
    pub destined: Option<Written<String>>,
    /// Whether it was written as a short line.
    pub is_short: bool,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl Cost {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Cost> {
        let mut fields = Fields::new(map, "a cost", problems);
        let what = fields.text("what", problems);
        let what = fields.demand("what", what, "seed compost");
        let amount = fields.read("amount", problems, units::amount);
        let price = fields.number("price", 0.0, 1e9, "a sum of money such as 7.20", problems);
        let price = fields.demand("price", price, "7.20");
        let destined = fields.text("for", problems);
        let on = fields.read("on", problems, dates::date);
        let note = fields.text("note", problems);
        fields.finish(problems);
        Some(Cost { what: what?, amount, price: price?, destined, is_short: false, on, note })
    }
}

/// One line under `photos`.
#[derive(Clone, Debug)]
pub struct Photo {
    /// The file, beside the entry or in `photos/`.
    pub file: Written<String>,
    /// What it shows, for those who cannot see it.
    pub shows: Written<String>,
}

impl Photo {
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Photo> {
        let mut fields = Fields::new(map, "a photo", problems);
        let file = fields.text("file", problems);
        let file = fields.demand("file", file, "chillies.jpg");
        let is_silent = fields.key_at("shows").is_none();
        let shows = fields.text("shows", problems);
        fields.finish(problems);
        let file = file?;
        if is_silent {
            problems.add(problems::photo_without_words(file.at));
        }
        Some(Photo { file, shows: shows? })
    }
}
