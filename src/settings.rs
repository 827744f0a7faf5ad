//! garden.yaml: the garden's name, position, climate, and how its feed should be.

pub mod away;
pub mod position;
pub mod stock;
pub mod switches;
pub mod weather;

use chrono_tz::Tz;
use url::Url;

use crate::dates::{self, MonthDay};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::{Origin, Written};
use crate::settings::away::Away;
use crate::settings::position::Position;
use crate::settings::stock::Stock;
use crate::settings::switches::TaskSwitch;
use crate::settings::weather::{FrostGiven, MonthlyMeans};
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::source::nodes::text_of;
use crate::units::{self, System};

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
                .map_or(MonthlyMeans::default(), |map| weather::read_climate(map, units, problems)),
            frost: frost.map_or(FrostGiven::default(), |map| weather::read_frost(map, problems)),
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
                .filter_map(|map| stock::read(map, &mut stock_pots, problems))
                .collect(),
            stock_pots,
            away: fields
                .maps("away", problems)
                .into_iter()
                .filter_map(|map| away::read(map, problems))
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
