//! garden.yaml: the garden's name, position, climate, and how its feed should be.

pub mod position;
pub mod switches;

use chrono::NaiveDate;
use chrono_tz::Tz;
use url::Url;

use crate::dates::{self, MonthDay};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::Tick;
use crate::origin::{Origin, Written};
use crate::settings::position::Position;
use crate::settings::switches::TaskSwitch;
use crate::source::fields::{Fields, number_of, text_of};
use crate::source::front_matter::{Map, Node, Value};
use crate::units::{self, Amount, System, TemperatureUnit};

/// The file, relative to the content folder.
pub const FILE: &str = "garden.yaml";

/// The garden as a whole.
#[derive(Clone, Debug)]
pub struct Settings {
    pub name: String,
    /// What tells it from every other garden, if given.
    pub garden_id: Option<String>,
    /// The language of pages and dates: one the theme has words for.
    pub language: Written<String>,
    /// Where the site will be published, with a `/` at the end.
    pub site_address: Option<String>,
    /// Where the garden is.
    pub position: Position,
    /// The units that pages show.
    pub units: System,
    /// The currency of prices, as its three letters.
    pub currency: Option<String>,
    /// The day on which a season starts.
    pub season_starts: MonthDay,
    /// Monthly means, if given.
    pub climate: MonthlyMeans,
    /// Frost dates, if given.
    pub frost: FrostGiven,
    /// How the feed should be.
    pub feed: FeedWishes,
    /// The grower's own words for work.
    pub jobs: Vec<String>,
    /// Tasks that are turned on or off.
    pub tasks: Vec<TaskSwitch>,
    /// Places, plantings or crops that are called by one name in short lines.
    pub groups: Vec<Group>,
    /// What is in the store.
    pub stock: Vec<Stock>,
    /// Pots in the store, by number.
    pub stock_pots: Vec<(String, u32)>,
    /// When nobody, or somebody else, looks after the garden.
    pub away: Vec<Away>,
    /// Where other gardens' garden.json lie: files or folders below the content folder.
    pub neighbours: Vec<Written<String>>,
}

/// Monthly means, January first.
#[derive(Clone, Copy, Debug, Default)]
pub struct MonthlyMeans {
    /// Mean daily low, °C.
    pub low_c: Option<[f64; 12]>,
    /// Mean daily high, °C.
    pub high_c: Option<[f64; 12]>,
    /// Rain of the month, mm.
    pub rain_mm: Option<[f64; 12]>,
}

/// Frost dates as given.
#[derive(Clone, Copy, Debug, Default)]
pub struct FrostGiven {
    /// Dates of the last frost of spring.
    pub last_spring: FrostLevels,
    /// Dates of the first frost of autumn.
    pub first_autumn: FrostLevels,
    /// The share of years that have any frost, 0 to 1, where that was said.
    pub share_of_years: Option<f64>,
    /// The chance of frost the grower is willing to take, 0 to 1.
    pub risk: Option<f64>,
}

/// Dates at three levels of chance.
#[derive(Clone, Copy, Debug, Default)]
pub struct FrostLevels {
    /// Nine years of ten.
    pub p90: Option<MonthDay>,
    /// One year of two.
    pub p50: Option<MonthDay>,
    /// One year of ten.
    pub p10: Option<MonthDay>,
}

/// How the feed should be.
#[derive(Clone, Debug)]
pub struct FeedWishes {
    /// How far ahead it looks.
    pub look_ahead_days: u32,
    /// Where that was written.
    pub look_ahead_at: Origin,
    /// Whether each planting has an event of its own.
    pub is_per_planting: bool,
    /// How many events a day it has at most.
    pub events_a_day: usize,
    /// Its name in the phone.
    pub title: Option<String>,
    /// Hours before midnight of the day at which the phone may remind, if wanted.
    pub remind_hours: Option<f64>,
}

/// A name for several places, plantings or crops.
#[derive(Clone, Debug)]
pub struct Group {
    /// What it is called.
    pub name: Written<String>,
    /// Who belongs to it.
    pub members: Vec<Written<String>>,
}

/// Something in the store.
#[derive(Clone, Debug)]
pub struct Stock {
    pub what: Written<String>,
    pub amount: Amount,
    /// What it is sold in: the bag, sack or bottle.
    pub bag: Option<Amount>,
}

/// Days on which the grower is away.
#[derive(Clone, Debug)]
pub struct Away {
    /// First day: of a certain year, or of every year.
    pub from: AwayDay,
    /// Last day.
    pub to: AwayDay,
    /// Who looks after the garden.
    pub helper: Option<String>,
}

/// A day of a certain year, or of every year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AwayDay {
    /// Of a certain year.
    Date(NaiveDate),
    Yearly(MonthDay),
}

const WHAT: &str = "garden.yaml";

impl Settings {
    /// What a garden is taken for while its garden.yaml cannot be read, so that the journal can be
    /// checked all the same. Nothing is published from it.
    pub fn stand_in() -> Settings {
        Settings {
            name: "Garden".to_owned(),
            language: Written::new("en".to_owned(), Origin::Nowhere),
            garden_id: None,
            site_address: None,
            position: Position {
                latitude_deg: 0.0,
                longitude_deg: 0.0,
                town: None,
                elevation: None,
                time_zone: Tz::UTC,
                is_shown_exactly: false,
            },
            units: System::Metric,
            currency: None,
            season_starts: MonthDay::new(1, 1).expect("a day of every year"),
            climate: MonthlyMeans::default(),
            frost: FrostGiven::default(),
            feed: FeedWishes {
                look_ahead_days: 60,
                is_per_planting: false,
                title: None,
                remind_hours: None,
                events_a_day: 5,
                look_ahead_at: Origin::Nowhere,
            },
            jobs: Vec::new(),
            tasks: Vec::new(),
            groups: Vec::new(),
            stock: Vec::new(),
            stock_pots: Vec::new(),
            away: Vec::new(),
            neighbours: Vec::new(),
        }
    }

    /// Reads the keys of garden.yaml.
    pub fn read(map: &Map, problems: &mut Problems) -> Option<Settings> {
        let usual = Settings::stand_in();
        let mut fields = Fields::new(map, WHAT, problems);
        let name = fields.name("name", problems);
        let name = fields.demand("name", name, "Walnut Yard");
        let place = fields.node("place", problems);
        let place = fields.demand("place", place, "Kassel");
        let position = place.and_then(|node| position::read(node, problems));
        let units =
            fields.word("units", &[("metric", System::Metric), ("us", System::Us)], problems);
        let units = units.map_or(System::Metric, |units| units.value);
        let south = position.is_some_and(|position| position.latitude_deg < 0.0);
        let new_year = if south { MonthDay::new(7, 1) } else { MonthDay::new(1, 1) };
        let climate = fields.map("climate", problems);
        let frost = fields.map("frost", problems);
        let feed = fields.map("feed", problems);
        let mut stock_pots = Vec::new();
        let settings = Settings {
            language: fields.text("language", problems).unwrap_or(usual.language),
            garden_id: fields.text("garden-id", problems).map(|id| id.value),
            site_address: fields
                .text("site-address", problems)
                .and_then(|text| site_address(text, problems)),
            units,
            currency: fields.text("currency", problems).map(|text| text.value),
            season_starts: fields
                .read("season-starts", problems, dates::month_day)
                .map(|day| day.value)
                .or(new_year)
                .unwrap_or(usual.season_starts),
            climate: climate
                .map_or(MonthlyMeans::default(), |map| read_climate(map, units, problems)),
            frost: frost.map_or(FrostGiven::default(), |map| read_frost(map, problems)),
            feed: feed.map_or(usual.feed.clone(), |map| read_feed(map, usual.feed, problems)),
            jobs: fields.texts("jobs", problems).into_iter().map(|job| job.value).collect(),
            tasks: fields
                .map("tasks", problems)
                .map_or(Vec::new(), |map| switches::read(map, problems)),
            groups: fields
                .map("groups", problems)
                .map_or(Vec::new(), |map| read_groups(map, problems)),
            stock: fields
                .maps("stock", problems)
                .into_iter()
                .filter_map(|map| read_stock(map, &mut stock_pots, problems))
                .collect(),
            stock_pots,
            away: fields
                .maps("away", problems)
                .into_iter()
                .filter_map(|map| read_away(map, problems))
                .collect(),
            neighbours: fields.texts("neighbours", problems),
            name: name.map_or(usual.name, |name| name.value),
            position: position.unwrap_or(usual.position),
        };
        fields.finish(problems);
        position.map(|_| settings)
    }
}

fn site_address(text: Written<String>, problems: &mut Problems) -> Option<String> {
    let is_web = text.value.starts_with("https://") || text.value.starts_with("http://");
    let is_clean = text.value.is_ascii() && !text.value.contains([' ', '<', '>', '"', '?', '#']);
    let read = Url::parse(&text.value).ok().filter(|_| is_web && is_clean);
    // The standard's reader takes a missing host from the path: `https:///garden` would be the host `garden`.
    let has_host = text.value.split('/').nth(2).is_some_and(|host| !host.is_empty());
    let Some(address) = read.filter(|_| has_host) else {
        problems.add(
            Problem::new(Code::UnknownWord, text.at, "`site-address` should be a web address")
                .hint("write it whole: https://example.org/garden/"),
        );
        return None;
    };
    if !address.username().is_empty() || address.password().is_some() {
        let message = "`site-address` has a user name or password in it, and every page and feed would show it";
        problems.add(
            Problem::new(Code::UnknownWord, text.at, message)
                .hint("write the address without what stands before the `@`"),
        );
        return None;
    }
    Some(format!("{}/", text.value.trim_end_matches('/')))
}

fn read_groups(map: &Map, problems: &mut Problems) -> Vec<Group> {
    let members = |node: &Node, problems: &mut Problems| match &node.value {
        Value::List(items) => {
            items.iter().filter_map(|item| text_of("groups", item, problems)).collect()
        }
        _ => text_of("groups", node, problems).into_iter().collect(),
    };
    let pairs = map.pairs.iter();
    pairs
        .map(|(name, node)| Group { name: name.clone(), members: members(node, problems) })
        .collect()
}

fn read_climate(map: &Map, units: System, problems: &mut Problems) -> MonthlyMeans {
    let mut fields = Fields::new(map, "climate in garden.yaml", problems);
    let to_celsius = |value: f64| match units {
        System::Metric => value,
        System::Us => TemperatureUnit::Fahrenheit.of(value).0,
    };
    let to_mm = |value: f64| match units {
        System::Metric => value,
        System::Us => value * 25.4,
    };
    let low = fields.node("low", problems);
    let high = fields.node("high", problems);
    let rain = fields.node("rain", problems);
    let means = MonthlyMeans {
        low_c: low
            .and_then(|node| twelve("low", node, -150.0, problems))
            .map(|l| l.map(to_celsius)),
        high_c: high
            .and_then(|node| twelve("high", node, -150.0, problems))
            .map(|l| l.map(to_celsius)),
        rain_mm: rain.and_then(|node| twelve("rain", node, 0.0, problems)).map(|l| l.map(to_mm)),
    };
    fields.finish(problems);
    if let (Some(lows), Some(highs), Some(node)) = (means.low_c, means.high_c, low)
        && let Some(month) = (0..12).find(|month| lows[*month] > highs[*month])
    {
        let at = match &node.value {
            Value::List(items) => items[month].at,
            _ => node.at,
        };
        problems.add(
            Problem::new(Code::BadNumber, at, "the low of this month is above its high")
                .hint("perhaps the two lists are exchanged, or a month is missing in one"),
        );
        return MonthlyMeans { low_c: None, high_c: None, ..means };
    }
    means
}

fn twelve(key: &str, node: &Node, lowest: f64, problems: &mut Problems) -> Option<[f64; 12]> {
    let items: &[Node] = match &node.value {
        Value::List(items) => items,
        _ => &[],
    };
    if items.len() != 12 {
        let message = format!(
            "{} should be twelve numbers, January first; here are {}",
            Tick(key),
            items.len()
        );
        problems.add(
            Problem::new(Code::TwelveMonths, node.at, message)
                .hint("write [1.6, 1.5, …] with a mean for every month"),
        );
        return None;
    }
    let numbers: Vec<f64> = items
        .iter()
        .filter_map(|item| number_of(key, item, lowest, 5000.0, "a number", problems))
        .map(|number| number.value)
        .collect();
    numbers.try_into().ok()
}

fn read_frost(map: &Map, problems: &mut Problems) -> FrostGiven {
    let mut fields = Fields::new(map, "frost in garden.yaml", problems);
    let share = fields.read("years", problems, units::percent);
    let share = share.map(|share| Written::new(share.value.0.min(1.0), share.at));
    let mut levels = |key: &'static str, is_spring: bool, problems: &mut Problems| {
        let map = fields.map(key, problems);
        map.map_or(FrostLevels::default(), |map| levels(map, is_spring, share.as_ref(), problems))
    };
    let given = FrostGiven {
        last_spring: levels("last-spring", true, problems),
        first_autumn: levels("first-autumn", false, problems),
        share_of_years: share.as_ref().map(|share| share.value),
        risk: fields.read("risk", problems, units::percent).and_then(|risk| {
            if (0.01..=0.99).contains(&risk.value.0) {
                return Some(risk.value.0);
            }
            problems.add(
                Problem::new(Code::BadNumber, risk.at, "`risk` should be between 1% and 99%")
                    .hint("10% is a usual choice: frost in one year of ten"),
            );
            None
        }),
    };
    fields.finish(problems);
    given
}

/// In spring the safer date is the later one, in autumn the earlier one.
fn levels(
    map: &Map,
    is_spring: bool,
    share: Option<&Written<f64>>,
    problems: &mut Problems,
) -> FrostLevels {
    let mut fields = Fields::new(map, "a list of frost dates", problems);
    let p90 = fields.read("90%", problems, dates::month_day);
    let p50 = fields.read("50%", problems, dates::month_day);
    let p10 = fields.read("10%", problems, dates::month_day);
    fields.finish(problems);
    if let (Some(p50), Some(p10)) = (&p50, &p10)
        && is_exchanged(p50.value, p10.value, is_spring)
    {
        let message = if is_spring {
            "the 10% date should be later than the 50% date: after it, frost comes in only one \
             year of ten"
        } else {
            "the 10% date should be earlier than the 50% date: before it, frost has come in only \
             one year of ten"
        };
        problems.add(
            Problem::new(Code::BadDate, p10.at, message)
                .also(p50.at, "the 50% date")
                .hint("perhaps the two are exchanged"),
        );
    }
    for (chance, day) in [(0.9, &p90), (0.5, &p50), (0.1, &p10)] {
        let (Some(day), Some(share)) = (day, share) else { continue };
        if share.value <= chance {
            let percent = |share: f64| (100.0 * share).round();
            problems.add(
                Problem::new(
                    Code::BadDate,
                    day.at,
                    format!(
                        "there is no {}% date where frost comes in {}% of years",
                        percent(chance),
                        percent(share.value)
                    ),
                )
                .also(share.at, "the years with frost")
                .hint("leave this date out, or the years with frost"),
            );
        }
    }
    let day = |written: Option<Written<MonthDay>>| written.map(|day| day.value);
    FrostLevels { p90: day(p90), p50: day(p50), p10: day(p10) }
}

/// Compared on the shorter way round the year, so that a season may lie across the new year.
fn is_exchanged(p50: MonthDay, p10: MonthDay, is_spring: bool) -> bool {
    let day = |day: MonthDay| i64::from(day.month()) * 31 + i64::from(day.day());
    let ahead = (day(p10) - day(p50)).rem_euclid(372);
    let is_later = ahead < 186;
    ahead != 0 && is_later != is_spring
}

fn read_feed(map: &Map, usual: FeedWishes, problems: &mut Problems) -> FeedWishes {
    let mut fields = Fields::new(map, "feed in garden.yaml", problems);
    let ahead = fields.read("look-ahead", problems, units::days);
    let one_event =
        fields.word("one-event", &[("per job", false), ("per planting", true)], problems);
    let wishes = FeedWishes {
        look_ahead_days: ahead
            .map_or(usual.look_ahead_days, |days| days.value.0.clamp(1, 366) as u32),
        look_ahead_at: ahead.as_ref().map_or(Origin::Nowhere, |days| days.at),
        is_per_planting: one_event.map_or(usual.is_per_planting, |word| word.value),
        events_a_day: fields
            .read("events-a-day", problems, units::count)
            .and_then(|count| count.value.number())
            .map_or(usual.events_a_day, |count| (count as usize).max(1)),
        title: fields.text("title", problems).map(|title| title.value),
        remind_hours: fields.read("remind", problems, units::hours).map(|hours| hours.value.0),
    };
    fields.finish(problems);
    wishes
}

fn read_stock(map: &Map, pots: &mut Vec<(String, u32)>, problems: &mut Problems) -> Option<Stock> {
    let mut fields = Fields::new(map, "a line under stock", problems);
    let what = fields.text("what", problems);
    let what = fields.demand("what", what, "perlite");
    let number = match (&what, fields.peek("amount").map(|node| &node.value)) {
        (Some(what), Some(Value::Text(text))) if is_pot(&what.value) => text.text.parse().ok(),
        _ => None,
    };
    if let Some(number) = number {
        fields.node("amount", problems);
        fields.finish(problems);
        pots.extend(what.map(|what| (what.value, number)));
        return None;
    }
    let amount = fields.read("amount", problems, units::amount);
    let amount = fields.demand("amount", amount, "20 L");
    let bag = fields.read("bag", problems, units::amount);
    fields.finish(problems);
    Some(Stock {
        what: what?,
        amount: amount?.value,
        bag: bag.and_then(|bag| bag_of(bag, problems)),
    })
}

/// Pots are kept by number: `9 cm pots`.
fn is_pot(what: &str) -> bool {
    what.split_whitespace().any(|word| matches!(word.to_lowercase().as_str(), "pot" | "pots"))
}

/// No number of bags that hold nothing is enough.
fn bag_of(bag: Written<Amount>, problems: &mut Problems) -> Option<Amount> {
    let is_empty = match bag.value {
        Amount::Mass(mass) => units::MassUnit::Gram.measure(mass) <= 0.0,
        Amount::Volume(volume) => units::VolumeUnit::Millilitre.measure(volume) <= 0.0,
    };
    if is_empty {
        problems.add(
            Problem::new(Code::BadQuantity, bag.at, "a bag holds more than nothing").hint(
                "write what one bag holds, such as `bag: 20 L`; leave it out if you do not know",
            ),
        );
        return None;
    }
    Some(bag.value)
}

fn read_away(map: &Map, problems: &mut Problems) -> Option<Away> {
    let mut fields = Fields::new(map, "a line under away", problems);
    let from = fields.read("from", problems, away_day);
    let from = fields.demand("from", from, "08-01");
    let to = fields.read("to", problems, away_day);
    let to = fields.demand("to", to, "08-14");
    let helper = fields.text("helper", problems).map(|helper| helper.value);
    fields.finish(problems);
    let (from, to) = (from?, to?);
    let same_kind = matches!(
        (from.value, to.value),
        (AwayDay::Date(_), AwayDay::Date(_)) | (AwayDay::Yearly(_), AwayDay::Yearly(_))
    );
    let is_backwards = matches!(
        (from.value, to.value), (AwayDay::Date(from), AwayDay::Date(to)) if from > to
    );
    if !same_kind || is_backwards {
        problems.add(
            Problem::new(Code::BadDate, to.at, "`to` should be a day after `from`")
                .also(from.at, "from")
                .hint("write both as 08-01 (every year) or both as 2026-08-01"),
        );
        return None;
    }
    Some(Away { from: from.value, to: to.value, helper })
}

fn away_day(text: &str) -> Result<AwayDay, dates::Trouble> {
    if text.len() <= 5 {
        dates::month_day(text).map(AwayDay::Yearly)
    } else {
        dates::date(text).map(AwayDay::Date)
    }
}

/// The garden's own file is there, under another name.
pub fn misnamed(at: Origin, path: &str) -> Problem {
    let message = format!("the garden's own file is called garden.yaml, not {path}");
    Problem::new(Code::GardenMissing, at, message).hint("rename it to garden.yaml")
}

/// Where a problem with the whole of garden.yaml is told.
pub fn missing(at: Origin) -> Problem {
    Problem::new(Code::GardenMissing, at, "there is no garden.yaml in the content folder").hint(
        "write one with two lines, `name: My garden` and `place: Kassel` (the nearest town), \
         or begin with `trug start DIR`",
    )
}
