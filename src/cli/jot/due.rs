//! What is due, as short lines to keep or strike.

use crate::cli::jot::entry_text::{self, Block};
use crate::diagnostics::words::behind_key;
use crate::findings;
use crate::garden::model::Garden;
use crate::site::short_lines;

/// Whom, and perhaps how much or with what.
type Item = (String, Option<String>);

/// Everything that is due today, watering and the work of whole places included, one key each. Only names and
/// feeds stand there: what was picked or sown nobody can know before.
pub(super) fn blocks(garden: &Garden) -> Vec<Block> {
    let mut keys: Vec<(&str, Vec<Item>)> = Vec::new();
    let tasks = findings::tasks(garden);
    for task in tasks.iter().filter(|task| task.due <= garden.today) {
        let Some(whom) = short_lines::whom(garden, task) else { continue };
        let key = task.job.done();
        let one = (behind_key(&whom), short_lines::amount(task).as_deref().map(behind_key));
        match keys.iter_mut().find(|(known, _)| *known == key) {
            Some((_, all)) if all.contains(&one) => {}
            Some((_, all)) => all.push(one),
            None => keys.push((key, vec![one])),
        }
    }
    let lines: Vec<String> = keys.iter().flat_map(|(key, all)| lines(key, all)).collect();
    entry_text::blocks(lines.iter().map(String::as_str))
}

/// Short ones in one line; else each name in a line of its own, to be struck by itself.
fn lines(key: &str, all: &[Item]) -> Vec<String> {
    let pair = |(whom, amount): &Item| match amount {
        Some(amount) => format!("{whom}: {amount}"),
        None => whom.clone(),
    };
    let has_amounts = all.iter().any(|(_, amount)| amount.is_some());
    match all {
        [one] if has_amounts => vec![format!("{key}: {{{}}}", pair(one))],
        [(whom, _)] => vec![format!("{key}: {whom}")],
        _ => {
            let item = |one: &Item| match one.1 {
                Some(_) => format!("  - {{{}}}", pair(one)),
                None => format!("  - {}", one.0),
            };
            std::iter::once(format!("{key}:")).chain(all.iter().map(item)).collect()
        }
    }
}
