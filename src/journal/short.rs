//! Short lines: keys in the past tense that say whom and how much, `picked: {pepper: 300 g}`.
//!
//! They become the same lines as those under `events`, `care` and the rest; only whom they are about
//! is still as the grower calls it, and is looked up when the garden is made.

mod phrase;
mod values;
pub mod words;

use crate::diagnostics::problem::Problems;
use crate::journal::care::Care;
use crate::journal::event::Event;
use crate::journal::harvest::Harvest;
use crate::journal::notes::{Cost, Seen};
use crate::journal::problems;
use crate::journal::short::phrase::Phrase;
use crate::journal::short::words::{Tells, Way};
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Node, Value};
use crate::stage::Stage;
use crate::units::Count;

/// What the short lines of an entry say.
#[derive(Debug, Default)]
pub(super) struct ShortLines {
    pub(super) beginnings: Vec<Beginning>,
    pub(super) events: Vec<Event>,
    pub(super) care: Vec<Care>,
    pub(super) harvests: Vec<Harvest>,
    pub(super) seen: Vec<Seen>,
    pub(super) costs: Vec<Cost>,
    /// Whoever is named in lines that could not be read.
    pub(super) doubtful: Vec<String>,
}

/// A planting that a short line begins. What is grown is not yet told apart from where.
#[derive(Clone, Debug)]
pub struct Beginning {
    /// A crop, a variety, or both; perhaps with `in` and a place. Or the id of what was intended.
    pub called: Written<String>,
    pub way: Way,
    pub count: Written<Count>,
    /// The stage in which young plants were bought.
    pub stage: Option<Written<Stage>>,
    /// Where it stands, if the amount says so.
    pub place: Option<Written<String>>,
    /// Where it is meant to end up.
    pub destined: Option<Written<String>>,
    /// The id it is to have.
    pub id: Option<Written<String>>,
}

/// Whom a line is about, and what is said of them.
struct Said<'a> {
    called: Phrase<'a>,
    value: Option<Phrase<'a>>,
}

/// Takes every short line of an entry; `own` are the garden's own words for work.
pub(super) fn take(fields: &mut Fields<'_>, own: &[String], problems: &mut Problems) -> ShortLines {
    let mut lines = ShortLines::default();
    let keys = words::KEYS.iter().map(|(key, _, _)| *key);
    let found = fields.those(keys, |key, node| {
        // A list under `seen` is the long form.
        let is_long = key == "seen" && matches!(node.value, Value::List(_));
        words::tells(key, own).filter(|_| !is_long)
    });
    let others = fields.those([], |key, _| words::meant(key));
    for (meant, key, node) in others {
        problems.add(problems::word_meant(key, meant));
        lines.doubtful.extend(
            said(key, node, &mut Problems::new())
                .into_iter()
                .map(|said| said.called.text.to_owned()),
        );
    }
    for (tells, key, node) in found {
        for said in said(key, node, problems) {
            let before = problems.len();
            lines.read(&tells, key, &said, problems);
            if problems.len() > before {
                lines.doubtful.push(said.called.text.to_owned());
            }
        }
    }
    lines
}

impl ShortLines {
    fn read(
        &mut self,
        tells: &Tells,
        key: &Written<String>,
        said: &Said<'_>,
        problems: &mut Problems,
    ) {
        match tells {
            Tells::Did(job) => self.care.extend(values::care(job, key, said, problems)),
            Tells::Happened(what) => self.events.extend(values::event(*what, key, said, problems)),
            Tells::Picked => self.harvests.extend(values::harvest(key, said, problems)),
            Tells::Began(way) => {
                self.beginnings.extend(values::beginning(*way, key, said, problems));
            }
            Tells::Seen => self.seen.extend(values::seen(key, said, problems)),
            Tells::Cost => self.costs.extend(values::cost(key, said, problems)),
        }
    }
}

/// A name, a list of names, or names with amounts.
fn said<'a>(key: &'a Written<String>, node: &'a Node, problems: &mut Problems) -> Vec<Said<'a>> {
    let mut all = Vec::new();
    match &node.value {
        Value::Damaged => {}
        Value::Empty => problems.add(problems::nothing_said(key, words::example(&key.value))),
        Value::Text(text) => {
            let Some(phrase) = Phrase::of_node(node) else { return all };
            let names = if text.quoted { vec![phrase] } else { phrase.at_commas() };
            all.extend(names.into_iter().map(|called| Said { called, value: None }));
        }
        Value::List(items) => {
            for item in items {
                match &item.value {
                    Value::Text(_) => {
                        all.extend(Phrase::of_node(item).map(|called| Said { called, value: None }))
                    }
                    _ => pairs(key, item, &mut all, problems),
                }
            }
        }
        Value::Map(_) => pairs(key, node, &mut all, problems),
    }
    all.retain(|said| !said.called.text.is_empty());
    all
}

fn pairs<'a>(
    key: &Written<String>,
    node: &'a Node,
    all: &mut Vec<Said<'a>>,
    problems: &mut Problems,
) {
    let Value::Map(map) = &node.value else {
        if !matches!(node.value, Value::Damaged) {
            problems.add(problems::not_short(key, node.at, words::example(&key.value)));
        }
        return;
    };
    for (name, value) in &map.pairs {
        let called = Phrase::of_key(name);
        match &value.value {
            Value::Damaged => {}
            Value::Empty => all.push(Said { called, value: None }),
            Value::List(items) => {
                all.extend(items.iter().map(|item| Said { called, value: Phrase::of_node(item) }))
            }
            _ => match Phrase::of_node(value) {
                Some(value) => all.push(Said { called, value: Some(value) }),
                None => {
                    problems.add(problems::not_short(key, value.at, words::example(&key.value)))
                }
            },
        }
    }
}
