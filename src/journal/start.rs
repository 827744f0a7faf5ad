//! A planting as it is begun, or as it is intended.

use chrono::NaiveDate;

use crate::dates::{self, MonthDay};
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::journal::care::whole_days;
use crate::journal::problems;
use crate::names;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Value};
use crate::source::nodes::read_node;
use crate::stage::Stage;
use crate::units::{self, Count, Uses};

/// One line under `plantings`.
#[derive(Clone, Debug)]
pub struct Start {
    /// Its id, unique for ever.
    pub id: Written<String>,
    /// Whether trug made the id, of crop and day.
    pub is_id_made: bool,
    /// What is grown.
    pub crop: Option<Written<String>>,
    pub variety: Option<Written<String>>,
    pub place: Option<Written<String>>,
    /// Where it is meant to end up.
    pub destined: Option<Written<String>>,
    /// How it was begun; intended if nothing says so.
    pub begun: Begun,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    /// Older than the journal.
    pub since: Option<Written<Since>>,
    /// How many plants are wanted.
    pub aim: Option<Written<u32>>,
    /// How much room it takes.
    pub uses: Option<Written<Uses>>,
    /// The packet the seed came from.
    pub seed: Option<Seed>,
    /// Sown again at an interval.
    pub sow_again: Option<SowAgain>,
    /// The planting between whose plants it stands.
    pub shares_with: Option<Written<String>>,
    /// Whether it stands for years.
    pub is_perennial: bool,
    pub note: Option<Written<String>>,
}

/// How a planting was begun.
#[derive(Clone, Debug)]
pub enum Begun {
    /// Not yet: it has a plan, and a sowing task.
    Intended,
    /// Seeds sown.
    Sown(Written<Count>),
    /// Cloves, sets, tubers or crowns planted.
    Planted(Written<Count>),
    /// Young plants bought, in the stage they were in.
    Bought(Written<Count>, Option<Written<Stage>>),
}

/// Since when a planting stands that is older than the journal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Since {
    Day(NaiveDate),
    /// Since some day of this year.
    Year(i32),
    /// Nobody knows.
    Unknown,
}

/// The packet the seed came from.
#[derive(Clone, Debug)]
pub struct Seed {
    /// Who it came from.
    pub from: Option<Written<String>>,
    /// The year printed on the packet.
    pub year: Option<Written<u32>>,
    /// Seeds in a packet.
    pub packet: Option<Written<u32>>,
}

/// Sowing again at an interval.
#[derive(Clone, Debug)]
pub struct SowAgain {
    /// Days between two sowings.
    pub every_days: Written<u32>,
    /// The last day on which it is worth while.
    pub until: Option<Written<MonthDay>>,
}

const WHAT: &str = "a planting";

impl Start {
    /// Reads one line; without an id there is nothing that could be named later.
    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Start> {
        let mut fields = Fields::new(map, WHAT, problems);
        let id = fields.text("id", problems);
        let id = fields.demand("id", id, "tomato-26");
        let crop = fields.name("crop", problems);
        let crop = fields.demand("crop", crop, "tomato");
        let start = Start {
            crop,
            variety: fields.name("variety", problems),
            place: fields.text("place", problems),
            destined: fields.text("for", problems),
            begun: begun(&mut fields, problems),
            on: fields.read("on", problems, dates::date),
            since: since(&mut fields, problems),
            aim: fields.whole("aim", problems),
            uses: fields.read("uses", problems, units::uses),
            seed: fields.map("seed", problems).map(|map| seed(map, problems)),
            sow_again: fields.map("sow-again", problems).and_then(|map| sow_again(map, problems)),
            shares_with: fields.text("shares-with", problems),
            is_perennial: fields.word("lasts", &[("years", ())], problems).is_some(),
            note: fields.text("note", problems),
            id: check_id(id?, problems)?,
            is_id_made: false,
        };
        fields.finish(problems);
        Some(start)
    }
}

/// An id of the right form, in NFC.
pub(super) fn check_id(id: Written<String>, problems: &mut Problems) -> Option<Written<String>> {
    if names::is_id(&id.value) {
        return Some(id);
    }
    problems.add(problems::bad_id(&id, &names::as_id(&id.value)));
    None
}

fn begun(fields: &mut Fields<'_>, problems: &mut Problems) -> Begun {
    let sown = fields.read("sown", problems, units::count);
    let planted = fields.read("planted", problems, units::count);
    let bought = fields.read("bought", problems, units::count);
    let stages: Vec<_> = Stage::NOTED.iter().map(|stage| (stage.word(), *stage)).collect();
    let at = fields.word("at", &stages, problems);
    let ways = ["sown", "planted", "bought"].map(|key| fields.key_at(key));
    let mut written = ways.into_iter().flatten();
    if let (Some(first), Some(second)) = (written.next(), written.next()) {
        problems.add(problems::begun_twice(second, first));
    }
    if let (Some(at), true) = (&at, bought.is_none() && ways[2].is_none()) {
        problems.add(problems::at_without_bought(at.at));
    }
    // A count that cannot be read is told; the planting has begun all the same.
    let begun = |way: usize, count: Option<Written<Count>>| {
        count.or_else(|| ways[way].map(|at| Written::new(Count::Unknown, at)))
    };
    match (begun(0, sown), begun(1, planted), begun(2, bought)) {
        (Some(count), _, _) => Begun::Sown(count),
        (_, Some(count), _) => Begun::Planted(count),
        (_, _, Some(count)) => Begun::Bought(count, at),
        (None, None, None) => Begun::Intended,
    }
}

fn since(fields: &mut Fields<'_>, problems: &mut Problems) -> Option<Written<Since>> {
    let node = fields.node("since", problems)?;
    match &node.value {
        Value::Text(text) if text.text == "unknown" => Some(Written::new(Since::Unknown, node.at)),
        Value::Text(text) if dates::year(&text.text).is_some() => {
            dates::year(&text.text).map(|year| Written::new(Since::Year(year), node.at))
        }
        _ => Some(read_node("since", node, problems, dates::date)?.map(Since::Day)),
    }
}

fn seed(map: &Map, problems: &mut Problems) -> Seed {
    let mut fields = Fields::new(map, "seed", problems);
    let seed = Seed {
        from: fields.text("from", problems),
        year: fields
            .number("year", 1900.0, 2200.0, "a year", problems)
            .map(|year| year.map(|year| year as u32)),
        packet: fields.whole("packet", problems),
    };
    fields.finish(problems);
    seed
}

fn sow_again(map: &Map, problems: &mut Problems) -> Option<SowAgain> {
    let mut fields = Fields::new(map, "sow-again", problems);
    let every = fields.read("every", problems, units::days);
    let every = fields.demand("every", every, "3 weeks");
    let until = fields.read("until", problems, dates::month_day);
    fields.finish(problems);
    let every_days = whole_days(every?);
    if every_days.value == 0 {
        let message = "`every` is the time from one sowing to the next, so it is a day or more";
        problems.add(
            Problem::new(Code::BadNumber, every_days.at, message)
                .hint("write `every: 3 weeks`, say"),
        );
        return None;
    }
    Some(SowAgain { every_days, until })
}
