//! The shopping list: what to get, what there is, and the work of the same time.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::mixes::Recipe;
use crate::care::tasks::model::Task;
use crate::findings::Findings;
use crate::garden::model::Garden;
use crate::garden::vessel::middle;
use crate::raising::seeds::SeedBox;
use crate::raising::shopping::feeding::{FeedNeed, lacking};
use crate::raising::shopping::potting::{MixNeed, PotNeed};
use crate::raising::shopping::{SeedNeed, Shopping, Span as Time, Supply};
use crate::site::amount::Amount;
use crate::site::batch::BatchView;
use crate::site::frame::{Frame, Link};
use crate::site::message::{Arg, Message};
use crate::site::mixes::mix_path;
use crate::site::page::{Area, Page, Part};
use crate::site::plantings::Span;
use crate::site::seed::PacketName;
use crate::site::tasks;
use crate::units::{Range, Volume, VolumeUnit};

/// The shopping list of a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShoppingView {
    /// Title, menu, root.
    pub frame: Frame,
    /// From when to when.
    pub lead: Message,
    /// The lists of other times.
    pub times: Vec<TimeLink>,
    /// Seed.
    pub seeds: Vec<SeedRow>,
    /// Pots.
    pub pots: Vec<PotRow>,
    /// Potting mix for the pots.
    pub mixes: Vec<MixRow>,
    /// Potting mix for containers, if they are filled anew.
    pub containers: Vec<MixRow>,
    /// Feed.
    pub feeds: Vec<FeedRow>,
    /// The work of that time.
    pub jobs: Vec<JobRow>,
}

/// The list of a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TimeLink {
    /// Its words.
    pub words: Message,
    /// Its page, from the root.
    pub href: String,
    /// Whether it is this page.
    pub is_here: bool,
}

/// Seed for a sowing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeedRow {
    /// The crop.
    pub crop: Link,
    /// The variety.
    pub variety: Option<String>,
    /// For which planting.
    pub planting: Link,
    /// When it is sown.
    pub when: Span,
    /// How many seeds, or that this cannot be told.
    pub seeds: Message,
    /// Where they are.
    pub supply: Message,
    /// The packet they are in.
    pub packet: Option<PacketName>,
    /// Whether seed has to be got.
    pub is_lacking: bool,
}

/// Pots for a planting.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PotRow {
    /// How many of which.
    pub pots: Message,
    /// For which planting.
    pub planting: Link,
    /// About when.
    pub day: NaiveDate,
    /// The work they are for.
    pub stage: Message,
    /// The planting after whose pattern.
    pub like: Link,
}

/// A potting mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixRow {
    /// Its name.
    pub name: String,
    /// Its page, if it has a recipe.
    pub href: Option<String>,
    /// Containers that it is for.
    pub places: Vec<Link>,
    /// What goes into it; nothing without a recipe.
    pub batch: Option<BatchView>,
    /// How much of it, where there is no recipe.
    pub fill: Amount,
}

/// A feed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedRow {
    /// Its name.
    pub name: String,
    /// Its page.
    pub href: Option<String>,
    /// How many feedings, and how much of it they take.
    pub needed: Message,
    /// Feedings of which nobody wrote how much they took.
    pub untold: Option<Message>,
    /// What the store says.
    pub store: Message,
    /// Whether something has to be got.
    pub is_lacking: bool,
    /// For which plantings.
    pub plantings: Vec<Link>,
}

/// A job of that time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JobRow {
    /// What.
    pub job: Message,
    /// To whom and when.
    pub items: Vec<JobItem>,
}

/// To whom and when.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JobItem {
    /// The planting or the place.
    pub whom: Link,
    /// The days: each, or from when to when and how often.
    pub days: Message,
}

impl Page for ShoppingView {
    type Key = Time;

    const PART: Part = Part { key: "shopping", href: "shopping/index.html", area: Area::More };
    const TEMPLATE: &'static str = "shopping.html";

    fn keys(_: &Garden) -> Vec<Time> {
        Time::ALL.to_vec()
    }

    fn path(_: &Garden, time: &Time) -> String {
        match time {
            Time::FourWeeks => Self::PART.href.to_owned(),
            Time::Season => "shopping/season/index.html".to_owned(),
        }
    }

    fn view(garden: &Garden, findings: &Findings, &time: &Time) -> Self {
        let title = Message::new("part.shopping");
        let frame = Frame::new::<Self>(garden, &time, title);
        let times = Time::ALL.into_iter().map(|other| TimeLink {
            words: Message::new(match other {
                Time::FourWeeks => "shopping.four-weeks",
                Time::Season => "shopping.season",
            }),
            href: Self::path(garden, &other),
            is_here: other == time,
        });
        let days = time.days(garden);
        let lead = Message::new("shopping.lead").with("from", days.from).with("to", days.to);
        let none = ShoppingView {
            frame,
            lead,
            times: times.collect(),
            seeds: Vec::new(),
            pots: Vec::new(),
            mixes: Vec::new(),
            containers: Vec::new(),
            feeds: Vec::new(),
            jobs: Vec::new(),
        };
        match findings.shopping.iter().find(|shopping| shopping.span == time) {
            Some(shopping) => none.filled(garden, &findings.seeds, shopping),
            None => none,
        }
    }
}

impl ShoppingView {
    fn filled(self, garden: &Garden, seeds: &SeedBox, shopping: &Shopping) -> ShoppingView {
        let pots = shopping
            .mixes
            .iter()
            .filter_map(|need| Some(mix_row(garden, need, need.pots?, Vec::new())));
        let containers = shopping.mixes.iter().filter_map(|need| {
            let fill = need.containers.iter().map(|(_, fill)| *fill);
            let fill = fill.reduce(crate::care::mixes::and)?;
            let places = need.containers.iter().map(|(id, _)| Link::place(garden, *id));
            Some(mix_row(garden, need, fill, places.collect()))
        });
        ShoppingView {
            seeds: shopping.seeds.iter().map(|need| seed_row(garden, seeds, need)).collect(),
            pots: shopping.pots.iter().map(|need| pot_row(garden, need)).collect(),
            mixes: pots.collect(),
            containers: containers.collect(),
            feeds: shopping.feeds.iter().map(|need| feed_row(garden, need)).collect(),
            jobs: jobs(garden, &shopping.tasks),
            ..self
        }
    }
}

fn seed_row(garden: &Garden, seeds: &SeedBox, need: &SeedNeed) -> SeedRow {
    let planting = garden.planting(need.planting);
    let (supply, packet) = match need.from {
        Supply::Enough(packet) => (Message::new("shopping.in-the-box"), Some(packet)),
        Supply::Unsure(packet) => (Message::new("shopping.look"), Some(packet)),
        Supply::Nowhere => (Message::new("shopping.no-packet"), None),
        Supply::Short(left) => {
            let left = Amount::plants_as(left, "seeds").unwrap_or(Amount::count(0, "seeds"));
            (Message::new("shopping.short").with("left", left), None)
        }
    };
    SeedRow {
        crop: Link::crop(garden, planting.crop),
        variety: planting.variety.clone(),
        planting: Link::planting(garden, need.planting),
        when: Span::from(need.when),
        seeds: match need.seeds {
            Some(number) => {
                Message::new("value.amount").with("amount", Amount::seeds_to_sow(number))
            }
            None => Message::new("shopping.seeds-unknown"),
        },
        supply,
        packet: packet.map(|index| PacketName::new(garden, &seeds.packets[index])),
        is_lacking: matches!(need.from, Supply::Nowhere | Supply::Short(_)),
    }
}

fn pot_row(garden: &Garden, need: &PotNeed) -> PotRow {
    PotRow {
        pots: Message::new("shopping.pots")
            .with("number", about(Amount::whole(f64::from(need.number))))
            .with("pot", need.pot.as_str()),
        planting: Link::planting(garden, need.planting),
        day: need.day,
        stage: tasks::stage(need.stage),
        like: Link::planting(garden, need.like),
    }
}

fn mix_row(garden: &Garden, need: &MixNeed, fill: Range<Volume>, places: Vec<Link>) -> MixRow {
    let (stock, system) = (&garden.settings.stock, garden.settings.units);
    let sheet = need.recipe.map(|index| &garden.mixes[index]);
    MixRow {
        name: need.name.clone(),
        href: sheet.map(mix_path),
        places,
        batch: sheet
            .and_then(Recipe::of)
            .map(|recipe| BatchView::new(&recipe, fill, stock, system)),
        fill: about(Amount::measured_volume(middle(fill), system)),
    }
}

fn feed_row(garden: &Garden, need: &FeedNeed) -> FeedRow {
    let system = garden.settings.units;
    let measured = |amount| about(Amount::measured(amount, system));
    let told = need.feedings - need.untold;
    let feedings = u64::from(if told > 0 { told } else { need.feedings });
    let is_ready = VolumeUnit::Litre.measure(need.ready) > 0.0;
    let needed = match need.product {
        Some(product) => Message::new("shopping.feed").with("product", measured(product)),
        None if is_ready => Message::new("shopping.feed-ready")
            .with("ready", about(Amount::measured_volume(need.ready, system))),
        None => Message::new("shopping.feed-untold"),
    };
    let lack = need.product.zip(need.stored).and_then(|(wanted, there)| lacking(wanted, there));
    let store = match (need.stored, lack) {
        (None, _) => Message::new("shopping.store-not-told"),
        (Some(there), None) => {
            Message::new("shopping.store-enough").with("there", Amount::measured(there, system))
        }
        (Some(there), Some(lack)) => Message::new("shopping.feed-lacking")
            .with("there", Amount::measured(there, system))
            .with("lacking", measured(lack)),
    };
    FeedRow {
        name: need.name.clone(),
        href: need.sheet.map(|index| mix_path(&garden.mixes[index])),
        needed: needed.with("count", feedings),
        untold: (need.untold > 0 && need.untold < need.feedings).then(|| {
            Message::new("shopping.feed-some-untold").with("count", u64::from(need.untold))
        }),
        is_lacking: lack.is_some(),
        store,
        plantings: need.plantings.iter().map(|id| Link::planting(garden, *id)).collect(),
    }
}

/// A planting or a place, and its days.
type WhomDays = (Link, Vec<NaiveDate>);

/// By job, each planting with its days.
fn jobs(garden: &Garden, list: &[Task]) -> Vec<JobRow> {
    let mut rows: Vec<(Message, Vec<WhomDays>)> = Vec::new();
    for task in list {
        let whom = task.key.planting.map(|id| Link::planting(garden, id));
        let Some(whom) = whom.or(task.key.place.map(|id| Link::place(garden, id))) else {
            continue;
        };
        let job = tasks::job_with(&task.job, task.with.as_deref());
        let at = rows.iter().position(|row| row.0 == job).unwrap_or_else(|| {
            rows.push((job, Vec::new()));
            rows.len() - 1
        });
        let items = &mut rows[at].1;
        match items.iter_mut().find(|(other, _)| *other == whom) {
            Some((_, days)) if days.contains(&task.due) => {}
            Some((_, days)) => days.push(task.due),
            None => items.push((whom, vec![task.due])),
        }
    }
    let item = |(whom, days): WhomDays| JobItem { whom, days: days_words(&days) };
    let row = |(job, items): (Message, Vec<_>)| JobRow {
        job,
        items: items.into_iter().map(item).collect(),
    };
    rows.into_iter().map(row).collect()
}

/// More days than these are counted, not listed.
const MOST_DAYS: usize = 3;

fn days_words(days: &[NaiveDate]) -> Message {
    match (days, days.last()) {
        ([first, ..], Some(last)) if days.len() > MOST_DAYS => Message::new("shopping.days-often")
            .with("from", *first)
            .with("to", *last)
            .with("count", days.len() as u64),
        _ => {
            let days = days
                .iter()
                .map(|day| Arg::Message(Message::new("shopping.one-day").with("date", *day)));
            Message::new("shopping.days").with("days", days.collect::<Vec<_>>())
        }
    }
}

/// A number that is only about right.
fn about(amount: Amount) -> Amount {
    Amount { about: true, ..amount }
}
