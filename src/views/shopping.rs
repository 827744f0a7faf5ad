//! What to get: seed, pots, mixes and feeds for the next weeks or the rest of the season, and the jobs they are for.

use serde::Serialize;

use crate::agronomy::findings::Findings;
use crate::agronomy::mixes::Recipe;
use crate::agronomy::shopping::{ContainerLine, FeedLine, PotLine, SeedLine, Shopping};
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::units::{self, VolumeUnit};
use crate::views::amount::Amount;
use crate::views::batch::BatchView;
use crate::views::frame::{Frame, Link, mix_path};
use crate::views::message::Message;
use crate::views::tasks::{self, TaskGroup};

/// A list of what to get.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShoppingView {
    /// Title, menu, root.
    pub frame: Frame,
    /// Which days it is for, and how far the tasks reach.
    pub lead: Message,
    /// The lists for other spans.
    pub spans: Vec<SpanLink>,
    /// Seed, sets and tubers.
    pub seed: Vec<Line>,
    /// Mixes, each with what goes into it.
    pub mixes: Vec<MixLine>,
    /// Pots and containers.
    pub pots: Vec<Line>,
    /// Feeds.
    pub feeds: Vec<Line>,
    /// The jobs of these days.
    pub jobs: Vec<TaskGroup>,
}

/// To the list of a span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpanLink {
    /// The span.
    pub words: Message,
    /// Its page, from the root.
    pub href: &'static str,
    /// Whether it is this page.
    pub is_here: bool,
}

/// Something to get.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Line {
    /// For whom, or of what; nothing for a feed without a sheet.
    pub link: Option<Link>,
    /// The crop it is for, or a name without a page.
    pub name: Option<String>,
    /// Of which variety.
    pub variety: Option<String>,
    /// What.
    pub says: Vec<Message>,
    /// Whether something is surely lacking.
    pub is_lacking: bool,
}

/// A mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixLine {
    /// To its page.
    pub link: Link,
    /// What goes into it, against the store.
    pub batch: BatchView,
}

/// The days a list is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Four weeks from the garden's day.
    FourWeeks,
    /// To the end of the season.
    Season,
}

impl Reach {
    /// The lists there are.
    pub const ALL: [Reach; 2] = [Reach::FourWeeks, Reach::Season];

    /// The page of its list.
    pub fn path(self) -> &'static str {
        match self {
            Reach::FourWeeks => "shopping/index.html",
            Reach::Season => "shopping/season/index.html",
        }
    }

    fn words(self) -> Message {
        Message::new(match self {
            Reach::FourWeeks => "shopping.four-weeks",
            Reach::Season => "shopping.season",
        })
    }

    fn days(self, garden: &Garden) -> Period {
        let from = garden.today;
        let to = match self {
            Reach::FourWeeks => shift(from, 27),
            Reach::Season => garden.season().days.to,
        };
        Period { from, to }
    }
}

impl ShoppingView {
    /// The list for some days.
    pub fn new(garden: &Garden, findings: &Findings, reach: Reach) -> ShoppingView {
        let days = reach.days(garden);
        let shopping = Shopping::of(garden, findings, days);
        let ahead = shift(garden.today, i64::from(garden.settings.feed.look_ahead_days));
        let key = if ahead < days.to { "shopping.lead-ahead" } else { "shopping.lead" };
        let pots = shopping.pots.iter().map(|line| pot_line(garden, line));
        let containers = shopping.containers.iter().map(|line| container_line(garden, line));
        ShoppingView {
            frame: Frame::new(garden, reach.path(), "shopping", Message::new("title.shopping")),
            lead: Message::new(key)
                .with("from", days.from)
                .with("to", days.to)
                .with("ahead", ahead.min(days.to)),
            spans: Reach::ALL
                .iter()
                .map(|other| SpanLink {
                    words: other.words(),
                    href: other.path(),
                    is_here: *other == reach,
                })
                .collect(),
            seed: shopping.seed.iter().map(|line| seed_line(garden, line)).collect(),
            mixes: shopping
                .mixes
                .iter()
                .filter_map(|(index, fill)| {
                    let sheet = &garden.mixes[*index];
                    let (stock, system) = (&garden.settings.stock, garden.settings.units);
                    Some(MixLine {
                        link: Link { text: sheet.name.value.clone(), href: mix_path(sheet) },
                        batch: BatchView::new(&Recipe::of(sheet)?, *fill, stock, system),
                    })
                })
                .collect(),
            pots: pots.chain(containers).collect(),
            feeds: shopping.feeds.iter().map(|line| feed_line(garden, line)).collect(),
            jobs: tasks::groups(
                garden,
                findings.tasks.iter().filter(|task| days.contains(task.due)),
            ),
        }
    }
}

fn line(garden: &Garden, id: PlantingId, says: Vec<Message>) -> Line {
    let planting = garden.planting(id);
    Line {
        link: Some(Link::planting(garden, id)),
        name: Some(garden.catalogue.get(planting.crop).name.clone()),
        variety: planting.variety.clone(),
        says,
        is_lacking: false,
    }
}

fn seed_line(garden: &Garden, seed: &SeedLine) -> Line {
    let count = |number: u32, noun: &str| Amount::count(number, noun);
    let mut says = vec![match (seed.seeds, seed.plants) {
        (Some(seeds), Some(plants)) => Message::new("shopping.seeds")
            .with("seeds", Amount { about: true, ..count(seeds, "seeds") })
            .with("plants", count(plants, "plants")),
        (Some(seeds), None) => Message::new("value.amount")
            .with("amount", Amount { about: true, ..count(seeds, "seeds") }),
        (None, Some(plants)) => {
            Message::new("shopping.plants").with("plants", count(plants, "plants"))
        }
        (None, None) => Message::new("shopping.not-told"),
    }];
    says.extend(
        seed.left.map(|left| Message::new("shopping.left").with("seeds", count(left, "seeds"))),
    );
    let lacking = seed.lacking.filter(|lacking| *lacking > 0);
    says.extend(
        lacking.map(|lacking| {
            Message::new("shopping.lacking").with("amount", count(lacking, "seeds"))
        }),
    );
    Line { is_lacking: lacking.is_some(), ..line(garden, seed.planting, says) }
}

fn pot_line(garden: &Garden, pots: &PotLine) -> Line {
    let number = Amount::plants_as(pots.plants, "pots");
    let number = number.map_or(Message::new("shopping.pots-uncounted"), |number| {
        Message::new("value.amount").with("amount", number)
    });
    let last = match (&pots.pot, &pots.mix) {
        (Some(pot), Some(mix)) => {
            Message::new("shopping.pot-and-mix").with("pot", pot.as_str()).with("mix", mix.as_str())
        }
        (Some(pot), None) => Message::new("shopping.pot").with("pot", pot.as_str()),
        (None, Some(mix)) => Message::new("shopping.mix").with("mix", mix.as_str()),
        (None, None) => Message::new("shopping.no-pot"),
    };
    line(garden, pots.planting, vec![number, last])
}

fn container_line(garden: &Garden, line_of: &ContainerLine) -> Line {
    let place = garden.place(line_of.place);
    let says = match line_of.containers {
        Some(number) => Message::new("shopping.containers")
            .with("containers", Amount::count(number, "containers"))
            .with("place", place.name.as_str()),
        None => Message::new("shopping.containers-unknown").with("place", place.name.as_str()),
    };
    line(garden, line_of.planting, vec![says])
}

fn feed_line(garden: &Garden, feed: &FeedLine) -> Line {
    let system = garden.settings.units;
    let mut says = vec![Message::new("shopping.feedings").with("count", u64::from(feed.feedings))];
    if VolumeUnit::Litre.measure(feed.water) > 0.0 {
        says.push(
            Message::new("shopping.water")
                .with("water", about(units::Amount::Volume(feed.water), garden)),
        );
    }
    says.extend(
        feed.concentrate.map(|amount| {
            Message::new("shopping.concentrate").with("amount", about(amount, garden))
        }),
    );
    if feed.unknown > 0 {
        says.push(Message::new("shopping.unknown").with("count", u64::from(feed.unknown)));
    }
    let kept = garden.settings.stock.iter().find(|line| {
        let name = feed.sheet.map_or(feed.with.as_str(), |index| &garden.mixes[index].name.value);
        crate::names::folded(&line.what.value) == crate::names::folded(name)
    });
    says.extend(kept.map(|line| {
        Message::new("shopping.there").with("amount", Amount::measured(line.amount, system))
    }));
    let sheet = feed.sheet.map(|index| &garden.mixes[index]);
    Line {
        link: sheet.map(|sheet| Link { text: sheet.name.value.clone(), href: mix_path(sheet) }),
        name: sheet.is_none().then(|| feed.with.clone()),
        variety: None,
        says,
        is_lacking: false,
    }
}

/// A sum of what was given before is only about right.
fn about(amount: units::Amount, garden: &Garden) -> Amount {
    Amount { about: true, ..Amount::measured(amount, garden.settings.units) }
}
