//! What happened to plantings: stages reached, plants that went.

use chrono::NaiveDate;

use crate::dates;
use crate::diagnostics::problem::Problems;
use crate::happening::Happening;
use crate::journal::problems;
use crate::journal::start::check_id;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::source::fields::Fields;
use crate::source::front_matter::{Map, Node, Value};
use crate::stage::Stage;
use crate::units::{self, Count, Uses};

/// One line under `events`.
#[derive(Clone, Debug)]
pub struct Event {
    pub subject: Subject,
    pub is: Written<Happening>,
    /// How many reached the stage, or went.
    pub count: Option<Written<Count>>,
    /// The id under which these plants go on as a planting of their own.
    pub becomes: Option<Written<String>>,
    /// Which variety of the crop those of the new id are.
    pub variety: Option<Written<String>>,
    /// Where they came to; of plants that went for good, where they stood.
    pub place: Option<Written<String>>,
    /// Where they stood.
    pub from: Option<Written<String>>,
    /// How much room they take from now on.
    pub uses: Option<Written<Uses>>,
    /// The pot they went into.
    pub pot: Option<Written<String>>,
    /// The mix they went into.
    pub mix: Option<Written<String>>,
    /// Why.
    pub because: Option<Written<String>>,
    /// When, if not on the entry's date.
    pub on: Option<Written<NaiveDate>>,
    pub note: Option<Written<String>>,
}

impl Event {
    /// It happened to them: nothing else is said.
    pub(crate) fn of(subject: Subject, is: Written<Happening>) -> Event {
        Event {
            subject,
            is,
            count: None,
            becomes: None,
            variety: None,
            place: None,
            from: None,
            uses: None,
            pot: None,
            mix: None,
            because: None,
            on: None,
            note: None,
        }
    }

    pub(super) fn read(map: &Map, problems: &mut Problems) -> Option<Event> {
        let mut fields = Fields::new(map, "an event", problems);
        let (subject, place) = Subject::take_for_event(&mut fields, problems);
        let is = fields.word("is", &happenings(), problems);
        let is = match stage_as_key(&mut fields, problems) {
            true => None,
            false => fields.demand("is", is, "planted out"),
        };
        let count = fields.read("count", problems, units::count);
        let becomes = fields.text("as", problems).and_then(|id| check_id(id, problems));
        let variety = fields.name("variety", problems);
        if let (Some(variety), false) = (&variety, fields.is_meant("as")) {
            problems.add(problems::variety_without_as(variety.at));
        }
        let uses = fields.read("uses", problems, units::uses);
        let from = fields.text("from", problems);
        let pot = fields.text("pot", problems);
        let mix = fields.text("mix", problems);
        let because = fields.text("because", problems);
        let on = fields.read("on", problems, dates::date);
        let note = fields.text("note", problems);
        fields.finish(problems);
        Some(Event {
            subject,
            is: is?,
            count,
            becomes,
            variety,
            place,
            from,
            uses,
            pot,
            mix,
            because,
            on,
            note,
        })
    }
}

/// `emerged: 7` on a line under `events`, as people write it who know short lines.
fn stage_as_key(fields: &mut Fields<'_>, problems: &mut Problems) -> bool {
    if fields.key_at("is").is_some() {
        return false;
    }
    let plain = |word: &str| word.replace('-', " ");
    let words: Vec<&str> = happenings().into_iter().map(|(word, _)| word).collect();
    let found = fields.keys().find_map(|key| {
        let word = words.iter().find(|word| **word == plain(&key.to_lowercase()))?;
        Some((key, *word))
    });
    let Some((key, word)) = found else { return false };
    let is_count = matches!(fields.peek(key), Some(Node { value: Value::Text(text), .. }) if units::count(&text.text).is_ok());
    if let Some(at) = fields.pass_over(key) {
        problems.add(problems::stage_as_key(key, at, word, is_count));
    }
    true
}

fn happenings() -> Vec<(&'static str, Happening)> {
    Stage::NOTED
        .iter()
        .map(|stage| Happening::Reached(*stage))
        .chain(Happening::OTHERS.iter().copied())
        .map(|happening| (happening.word(), happening))
        .collect()
}
