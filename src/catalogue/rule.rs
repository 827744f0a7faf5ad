//! A care rule of a crop sheet: what is to be done, between which stages, how often.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::jobs::Job;
use crate::origin::{Origin, Written};
use crate::source::fields::Fields;
use crate::source::front_matter::Map;
use crate::stage::Stage;
use crate::units::{self, Days, Range};

/// A care rule as written.
#[derive(Clone, Debug, PartialEq)]
pub struct CareRule {
    /// Unique on its sheet.
    pub id: String,
    /// What is to be done.
    pub task: Written<Job>,
    /// With which feed or product.
    pub with: Option<Written<String>>,
    /// The stage that starts it.
    pub from: Stage,
    /// The stage that ends it; `finished` if nothing is said.
    pub until: Stage,
    /// Days after the stage that starts it.
    pub after: Option<Range<Days>>,
    /// How often; once if nothing is said.
    pub repeat: Repeat,
    /// Why, in one sentence.
    pub why: Option<String>,
    /// Offered, but off until the grower turns it on.
    pub is_off: bool,
    /// What to be careful of.
    pub caution: Option<String>,
}

/// How often a rule asks for its work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Repeat {
    /// Once.
    Once,
    /// Every so many days.
    Every(Range<Days>),
}

/// Reads one line under `care` of a crop sheet.
pub(super) fn read_rule(map: &Map, problems: &mut Problems) -> Option<CareRule> {
    let stages: Vec<_> = Stage::NOTED.iter().map(|stage| (stage.word(), *stage)).collect();
    let mut fields = Fields::new(map, "a care rule", problems);
    let id = fields.text("id", problems);
    let id = fields.demand("id", id, "leaf");
    let task = fields.text("task", problems);
    let task = fields.demand("task", task, "feed");
    let with = fields.text("with", problems);
    let from = fields.word("from", &stages, problems);
    let from = fields.demand("from", from, "planted out");
    let until = fields.word("until", &stages, problems);
    let after = fields.read("after", problems, units::days_range);
    let every = fields.read("every", problems, units::days_range);
    let why = fields.text("why", problems).map(|why| why.value);
    let on = fields.flag("turned-on", problems);
    let caution = fields.text("caution", problems).map(|caution| caution.value);
    fields.finish(problems);
    let from = from?;
    if let Some(until) = &until
        && until.value <= from.value
    {
        problems.add(ends_before_it_starts(until.at, from.at));
        return None;
    }
    if let Some(every) = &every
        && every.value.low.0 < 1
    {
        problems.add(
            Problem::new(Code::BadNumber, every.at, "a task comes at most once a day")
                .hint("write `1 day` or more"),
        );
        return None;
    }
    Some(CareRule {
        id: id?.value,
        task: task?.map(|word| Job::of_word(&word)),
        with,
        from: from.value,
        until: until.map_or(Stage::Finished, |until| until.value),
        after: after.map(|after| after.value),
        repeat: every.map_or(Repeat::Once, |every| Repeat::Every(every.value)),
        why,
        is_off: on.is_some_and(|on| !on.value),
        caution,
    })
}

fn ends_before_it_starts(until: Origin, from: Origin) -> Problem {
    Problem::new(Code::UnknownWord, until, "this rule ends before it starts")
        .label("until")
        .also(from, "from")
        .hint("`until` has to be a later stage than `from`")
}
