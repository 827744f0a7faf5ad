//! The care rules of a crop as its page shows them: what they ask for, when, and by which ids they are turned off.

use serde::Serialize;

use crate::catalogue::{CareRule, CropId, Repeat};
use crate::garden::model::Garden;
use crate::site::crop_needs::days;
use crate::site::message::Message;
use crate::site::tasks;
use crate::stage::Stage;

/// A care rule of a crop.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RuleView {
    /// What it is called in garden.yaml and on crop sheets.
    pub id: String,
    /// What it asks for.
    pub job: Message,
    /// From when, until when, how often.
    pub when: Vec<Message>,
    /// Why, in the sheet's own sentence.
    pub why: Option<String>,
    /// What to be careful of, in the sheet's own words.
    pub caution: Option<String>,
    /// Whether it is asked for in this garden.
    pub is_on: bool,
}

/// The rules of a crop, in the order of its sheet.
pub fn of_crop(garden: &Garden, id: CropId) -> Vec<RuleView> {
    let rules = garden.catalogue.get(id).sheet.care.as_deref().unwrap_or_default();
    let view = |rule: &CareRule| RuleView {
        id: rule.id.clone(),
        job: match rule.purpose.filter(|_| rule.with.is_none()) {
            Some(purpose) => tasks::feed_for(purpose),
            None => {
                let with = rule.with.as_ref().map(|with| with.value.as_str());
                tasks::job_with(&rule.task.value, with)
            }
        },
        when: when(rule),
        why: rule.why.clone(),
        caution: rule.caution.clone(),
        is_on: garden.switches.turns_on(id, rule),
    };
    rules.iter().map(view).collect()
}

/// The line of garden.yaml that turns the first of them the other way.
pub fn switch(garden: &Garden, id: CropId) -> Option<String> {
    let rule = of_crop(garden, id).into_iter().next()?;
    let to = if rule.is_on { "off" } else { "on" };
    Some(format!("tasks: {{{}: {{{}: {to}}}}}", garden.catalogue.get(id).name, rule.id))
}

fn when(rule: &CareRule) -> Vec<Message> {
    let mut said = vec![start(rule)];
    if let Repeat::Every(every) = rule.repeat {
        said.push(Message::new("rule.every").with("days", days(every)));
    }
    if rule.until != Stage::Finished {
        said.push(Message::new("rule.until").with("stage", tasks::reaching(rule.until)));
    }
    said
}

fn start(rule: &CareRule) -> Message {
    let (span, direction) = match (rule.before, rule.after) {
        (Some(before), _) => (Some(before), "before"),
        (None, Some(after)) => (Some(after), "after"),
        (None, None) => (None, "at"),
    };
    let (key, what) = match rule.when {
        Some(turn) => ("turn", Message::new(format!("turn.{}", tasks::key(turn.word())))),
        None => ("stage", tasks::reaching(rule.from)),
    };
    let start = Message::new(format!("rule.{direction}-{key}")).with(key, what);
    match span {
        Some(span) => start.with("days", days(span)),
        None => start,
    }
}
