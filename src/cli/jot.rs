//! `trug jot`: today's entry, with what is due as lines to keep or strike.

use std::path::{Path, PathBuf};

use crate::care::tasks::model::Task;
use crate::cli::arguments::Jot;
use crate::cli::{Failure, Outcome, folders, start, tell};
use crate::findings;
use crate::garden::model::Garden;
use crate::jobs::{CARE, Job};
use crate::names;
use crate::publish;

pub(super) fn run(arguments: &Jot) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, _) = publish::read(&inputs);
    let folder =
        arguments.content.content.join("journal").join(garden.today.format("%Y").to_string());
    let title = one_line(&arguments.title);
    let (title, path) = free(&garden, &folder, &title).ok_or_else(|| {
        Failure("there are too many entries of this title on that day; give it another".to_owned())
    })?;
    start::write_new(&path, &entry(&garden, &title))?;
    tell::out(&format!("{}\n", path.display()));
    Ok(Outcome::Fine)
}

/// A title and a path that no entry of the day has yet. The second of a title is numbered, because
/// its page address is made of it.
fn free(garden: &Garden, folder: &Path, title: &str) -> Option<(String, PathBuf)> {
    (1..100).find_map(|number| {
        let (title, slug) = match (number, title) {
            (1, title) => (title.to_owned(), names::slug(title)),
            (number, "") => (String::new(), format!("{}-{number}", names::slug(""))),
            (number, title) => {
                let title = format!("{title} ({number})");
                let slug = names::slug(&title);
                (title, slug)
            }
        };
        let path = folder.join(format!("{}-{slug}.md", garden.today));
        let address = format!("{}-{slug}", garden.today.format("%Y/%m/%d"));
        let is_taken = path.exists() || garden.entries.iter().any(|entry| entry.address == address);
        (!is_taken).then_some((title, path))
    })
}

/// An entry that is right as it stands; lines behind `#` count once the sign is taken away.
fn entry(garden: &Garden, title: &str) -> String {
    let tasks = findings::tasks(garden);
    let due = tasks.iter().filter(|task| task.due <= garden.today);
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

/// A text on one line, without signs that YAML does not take.
fn one_line(text: &str) -> String {
    let is_taken =
        |char: &char| !char.is_control() && !matches!(char, '\u{feff}' | '\u{fffe}' | '\u{ffff}');
    let words =
        text.split_whitespace().map(|word| word.chars().filter(is_taken).collect::<String>());
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A text as YAML reads it back: in quotes unless it is made of letters, digits and spaces only.
fn quoted(text: &str) -> String {
    let one_line = one_line(text);
    let is_plain = !one_line.is_empty()
        && one_line.starts_with(char::is_alphabetic)
        && one_line.chars().all(|c| c.is_alphanumeric() || c == ' ' || c == '-')
        && !["y", "n", "yes", "no", "on", "off", "true", "false", "null"]
            .contains(&one_line.to_lowercase().as_str());
    if is_plain { one_line } else { format!("'{}'", one_line.replace('\'', "''")) }
}
