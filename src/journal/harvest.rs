//! What was picked.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::journal::problems;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::units::{self, Mass};

/// One line under `harvests`, or one row of a table of pickings.
#[derive(Clone, Debug)]
pub struct Harvest {
    /// From whom.
    pub subject: Subject,
    pub weight: Option<Written<Mass>>,
    pub count: Option<Written<u32>>,
    /// How many of what; fruits if nothing is said.
    pub unit: Option<Written<String>>,
    /// How good it was, in the grower's words.
    pub quality: Option<Written<String>>,
    /// Whether it was weighed after drying.
    pub is_cured: bool,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl Harvest {
    /// Something was picked of them: nobody says how much.
    pub(crate) fn of(subject: Subject) -> Harvest {
        Harvest {
            subject,
            weight: None,
            count: None,
            unit: None,
            quality: None,
            is_cured: false,
            on: None,
            note: None,
        }
    }

    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Harvest> {
        let mut fields = Fields::new(map, "a harvest", problems);
        // `count: some` is a picking that was neither weighed nor counted.
        let is_some = matches!(fields.peek("count"), Some(Node { value: Value::Text(text), .. }) if text.text == "some");
        let harvest = Harvest {
            subject: Subject::take(&mut fields, problems),
            weight: fields.read("weight", problems, units::mass),
            count: match is_some {
                true => fields.node("count", problems).and(None),
                false => fields.whole("count", problems),
            },
            unit: fields.text("unit", problems),
            quality: fields.text("quality", problems),
            is_cured: fields.flag("cured", problems).is_some_and(|cured| cured.value),
            on: fields.read("on", problems, dates::date),
            note: fields.text("note", problems),
        };
        if ["weight", "count"].iter().all(|key| !fields.is_meant(key)) && !is_some {
            problems.add(problems::nothing_picked(harvest.subject.at));
        }
        fields.finish(problems);
        Some(harvest)
    }
}
