//! A care rule of a crop sheet: what is to be done, between which stages, how often.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words;
use crate::jobs::Job;
use crate::origin::{Origin, Written};
use crate::source::fields::Fields;
use crate::source::front_matter::Map;
use crate::stage::Stage;
use crate::units::{self, Days, Range};
use crate::worded::worded;

/// A care rule as written.
#[derive(Clone, Debug, PartialEq)]
pub struct CareRule {
    /// Unique on its sheet.
    pub id: String,
    /// What is to be done.
    pub task: Written<Job>,
    /// With which feed or product.
    pub with: Option<Written<String>>,
    /// What a feed is for, where any that serves will do.
    pub purpose: Option<Purpose>,
    /// The stage that starts it.
    pub from: Stage,
    /// The stage that ends it; `finished` if nothing is said.
    pub until: Stage,
    /// What it is counted from, if not from the stage that starts it.
    pub when: Option<Turn>,
    /// Days before that.
    pub before: Option<Range<Days>>,
    /// Days after that, or after the stage that starts it.
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

worded! {
    /// A turn of the year that work is counted from.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Turn {
        /// The first picking, as it came or is expected.
        FirstPicking = "first picking",
        /// The end of the harvest.
        LastPicking = "last picking",
        /// Days grow too cold for growth.
        GrowthEnds = "growth ends",
    }
}

worded! {
    /// What a feed is for.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Purpose {
        /// Leaves and stems: at least as much nitrogen as potassium.
        Leaves = "leaves",
        /// Flowers and fruit: more potassium than nitrogen.
        Fruit = "fruit",
    }
}

/// How often a rule asks for its work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Repeat {
    Once,
    Every(Range<Days>),
}

/// A change to a rule of the crop that a sheet is based on: only what is written changes.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleChange {
    /// The id of the rule.
    pub id: Written<String>,
    with: Option<Written<String>>,
    until: Option<Stage>,
    after: Option<Range<Days>>,
    every: Option<Range<Days>>,
    why: Option<String>,
    turned_on: Option<bool>,
    caution: Option<String>,
}

/// One line under `care` of a crop sheet.
pub(super) enum RuleLine {
    /// A rule with everything it needs.
    Rule(CareRule),
    /// A change to a rule that is there already.
    Change(RuleChange),
}

impl RuleChange {
    /// The rule with what this changes.
    pub(super) fn apply(&self, rule: &CareRule) -> CareRule {
        CareRule {
            with: self.with.clone().or_else(|| rule.with.clone()),
            until: self.until.unwrap_or(rule.until),
            after: self.after.or(rule.after),
            repeat: self.every.map_or(rule.repeat, Repeat::Every),
            why: self.why.clone().or_else(|| rule.why.clone()),
            is_off: self.turned_on.map_or(rule.is_off, |on| !on),
            caution: self.caution.clone().or_else(|| rule.caution.clone()),
            ..rule.clone()
        }
    }
}

/// A sheet's own rules and changes laid over those of the crop it is based on, which keep their order.
pub(super) fn laid_over(
    own: Vec<CareRule>,
    changes: &[RuleChange],
    base: &[CareRule],
) -> Vec<CareRule> {
    let changed = |rule: &CareRule| {
        let change = changes.iter().rev().find(|change| change.id.value == rule.id);
        change.map_or_else(|| rule.clone(), |change| change.apply(rule))
    };
    let mut rules: Vec<CareRule> = Vec::new();
    for rule in base {
        match own.iter().find(|other| other.id == rule.id) {
            Some(other) => rules.push(other.clone()),
            None => rules.push(changed(rule)),
        }
    }
    let is_new = |rule: &CareRule| !base.iter().any(|other| other.id == rule.id);
    rules.extend(own.iter().filter(|rule| is_new(rule)).cloned());
    rules
}

/// A change to a rule that is not there.
pub(super) fn nothing_to_change(change: &RuleChange, known: &[CareRule]) -> Problem {
    let id = &change.id;
    let message = format!("no care rule is called `{}` that this line could change", id.value);
    let problem = Problem::new(Code::UnknownTask, id.at, message).label("unknown rule");
    let ids: Vec<&str> = known.iter().map(|rule| rule.id.as_str()).collect();
    match words::nearest(&id.value, ids.iter().copied()) {
        Some(near) => problem.mend(id.at, near, format!("did you mean `{near}`?")),
        None => problem.hint(
            "a new rule needs `task` and `from`, as in {id: leaf, task: feed, from: planted out}",
        ),
    }
}

/// Reads one line under `care` of a crop sheet.
pub(super) fn read_rule(map: &Map, problems: &mut Problems) -> Option<RuleLine> {
    let stages: Vec<_> = Stage::NOTED.iter().map(|stage| (stage.word(), *stage)).collect();
    let mut fields = Fields::new(map, "a care rule", problems);
    let id = fields.text("id", problems);
    let id = fields.demand("id", id, "leaf");
    let is_change = ["task", "from"].iter().all(|key| fields.key_at(key).is_none());
    let mut task = fields.text("task", problems);
    let with = fields.text("with", problems);
    let purpose = fields.word("for", Purpose::ALL, problems).map(|purpose| purpose.value);
    let mut from = fields.word("from", &stages, problems);
    if !is_change {
        task = fields.demand("task", task, "feed");
        from = fields.demand("from", from, "planted out");
    }
    let until = fields.word("until", &stages, problems);
    let when = fields.word("when", Turn::ALL, problems).map(|when| when.value);
    let before = fields.read("before", problems, units::days_range).map(|days| days.value);
    let after = fields.read("after", problems, units::days_range).map(|after| after.value);
    let every = fields.read("every", problems, units::days_range);
    let why = fields.text("why", problems).map(|why| why.value);
    let on = fields.flag("turned-on", problems).map(|on| on.value);
    let caution = fields.text("caution", problems).map(|caution| caution.value);
    fields.finish(problems);
    if let (Some(until), Some(from)) = (&until, &from)
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
    let (id, until) = (id?, until.map(|until| until.value));
    let every = every.map(|every| every.value);
    if is_change {
        let turned_on = on;
        let change = RuleChange { id, with, until, after, every, why, turned_on, caution };
        return Some(RuleLine::Change(change));
    }
    Some(RuleLine::Rule(CareRule {
        id: id.value,
        task: task?.map(|word| Job::of_word(&word)),
        with,
        purpose,
        from: from?.value,
        until: until.unwrap_or(Stage::Finished),
        when,
        before,
        after,
        repeat: every.map_or(Repeat::Once, Repeat::Every),
        why,
        is_off: on == Some(false),
        caution,
    }))
}

fn ends_before_it_starts(until: Origin, from: Origin) -> Problem {
    Problem::new(Code::UnknownWord, until, "this rule ends before it starts")
        .label("until")
        .also(from, "from")
        .hint("`until` has to be a later stage than `from`")
}
