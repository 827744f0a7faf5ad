//! `tasks` in garden.yaml: kinds of work, and single rules of a crop, that are turned on or off.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::Tick;
use crate::origin::{Origin, Written};
use crate::source::front_matter::{Map, Node, Value};

/// Work that is asked for, or is not, because the grower says so.
#[derive(Clone, Debug)]
pub struct TaskSwitch {
    /// Of which crop; of all if there is none.
    pub crop: Option<Written<String>>,
    /// A kind of work, or a rule of the crop.
    pub task: Written<String>,
    /// Whether it is asked for.
    pub is_on: bool,
}

/// Reads `{weed: off, tomato: {side-shoots: off}}`.
pub(super) fn read(map: &Map, problems: &mut Problems) -> Vec<TaskSwitch> {
    let mut switches = Vec::new();
    for (name, node) in &map.pairs {
        match &node.value {
            Value::Map(tasks) => {
                for (task, node) in &tasks.pairs {
                    switches.extend(switch(Some(name), task, node, problems));
                }
            }
            _ => switches.extend(switch(None, name, node, problems)),
        }
    }
    switches
}

fn switch(
    crop: Option<&Written<String>>,
    task: &Written<String>,
    node: &Node,
    problems: &mut Problems,
) -> Option<TaskSwitch> {
    let text = text_of_switch(node);
    let is_on = match text {
        Some("on") => true,
        Some("off") => false,
        _ => {
            problems.add(neither_on_nor_off(task, text, node.at));
            return None;
        }
    };
    Some(TaskSwitch { crop: crop.cloned(), task: task.clone(), is_on })
}

fn text_of_switch(node: &Node) -> Option<&str> {
    match &node.value {
        Value::Text(text) => Some(text.text.trim()),
        _ => None,
    }
}

fn neither_on_nor_off(task: &Written<String>, text: Option<&str>, at: Origin) -> Problem {
    let message = format!("{} should be on or off", Tick(&task.value));
    let problem = Problem::new(Code::UnknownWord, at, message).label("on or off?");
    let mended = match text {
        Some("yes" | "true" | "On") => "on",
        Some("no" | "false" | "Off" | "never" | "none") => "off",
        _ => return problem.hint("write `off` to be asked no more, `on` to be asked"),
    };
    problem.mend(at, mended, format!("write `{mended}`"))
}
