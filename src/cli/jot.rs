//! `trug jot`: today's entry, with what is due as lines to keep or strike.

use std::path::PathBuf;

use crate::agronomy::findings::Findings;
use crate::agronomy::tasks::model::Task;
use crate::cli::arguments::Jot;
use crate::cli::{Failure, Outcome, folders, start, tell};
use crate::garden::model::Garden;
use crate::jobs::{CARE, Job};
use crate::names;
use crate::publish;

pub(super) fn run(arguments: &Jot) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, _) = publish::proof(&inputs);
    let date = garden.today;
    let name = format!("{date}-{}", names::slug(&arguments.title));
    let folder = arguments.content.content.join("journal").join(date.format("%Y").to_string());
    let free = |path: &PathBuf| !path.exists();
    let plain = folder.join(format!("{name}.md"));
    let numbered = (2..100).map(|number| folder.join(format!("{name}-{number}.md")));
    let path = std::iter::once(plain).chain(numbered).find(free);
    let path = path.ok_or_else(|| Failure(format!("there are too many entries called {name}")))?;
    start::write_new(&path, &entry(&garden, &arguments.title))?;
    tell::out(&format!("{}\n", path.display()));
    Ok(Outcome::Fine)
}

/// An entry that is right as it stands; lines behind `#` count once the sign is taken away.
fn entry(garden: &Garden, title: &str) -> String {
    let findings = Findings::of(garden);
    let due = findings.tasks.iter().filter(|task| task.due <= garden.today);
    let mut care: Vec<(String, Vec<String>)> = Vec::new();
    let mut pickings = Vec::new();
    for task in due {
        let Some(id) = task.key.planting.map(|id| garden.planting(id).id.clone()) else { continue };
        if task.job == Job::LookForHarvest {
            pickings.push(format!("#   - {{planting: {id}, weight: 250 g}}\n"));
        } else if let Some(what) = care_words(task) {
            match care.iter_mut().find(|(known, _)| *known == what) {
                Some((_, ids)) => ids.push(id),
                None => care.push((what, vec![id])),
            }
        }
    }
    let mut text = format!("---\ndate: {}\ntitle: {}\n", garden.today, quoted(title));
    if !care.is_empty() || !pickings.is_empty() {
        text.push_str("# Due today: take the # away where it was done, and strike the rest.\n");
    }
    if !care.is_empty() {
        text.push_str("# care:\n");
        for (what, ids) in care {
            text.push_str(&format!("#   - {{planting: [{}], {what}}}\n", ids.join(", ")));
        }
    }
    if !pickings.is_empty() {
        text.push_str("# harvests:\n");
        pickings.iter().for_each(|line| text.push_str(line));
    }
    text.push_str("---\n\n");
    text
}

/// The task as a care line says it; other tasks are events, whose lines need more thought.
fn care_words(task: &Task) -> Option<String> {
    if !CARE.contains(&task.job) {
        return None;
    }
    let with = task.with.as_ref().map_or(String::new(), |with| format!(", with: {}", quoted(with)));
    Some(format!("did: {}{with}", task.job))
}

/// A text as YAML reads it back: in quotes unless it is made of letters, digits and spaces only.
fn quoted(text: &str) -> String {
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_plain = !one_line.is_empty()
        && one_line.starts_with(char::is_alphabetic)
        && one_line.chars().all(|c| c.is_alphanumeric() || c == ' ' || c == '-')
        && !["y", "n", "yes", "no", "on", "off", "true", "false", "null"]
            .contains(&one_line.to_lowercase().as_str());
    if is_plain { one_line } else { format!("'{}'", one_line.replace('\'', "''")) }
}
