//! The coming tasks as plain text for a terminal.

use crate::diagnostics::report::one_line;
use crate::render::words::{NoWords, Words};
use crate::site::message::Message;
use crate::site::tasks::{TaskGroup, TasksView};

/// Day by day, soonest first; what is overdue stands on top.
///
/// # Errors
/// If the theme lacks words.
pub fn text(view: &TasksView, words: &Words) -> Result<String, NoWords> {
    let mut text = String::new();
    if !view.overdue.is_empty() {
        text.push_str(&format!("{}\n", words.word("tasks.overdue")?));
        add_groups(&view.overdue, words, &mut text)?;
    }
    for day in &view.days {
        let name = if day.date == view.today {
            words.word("tasks.today")?.to_owned()
        } else {
            words.date(day.date, "weekday")?
        };
        text.push_str(&format!("{name}\n"));
        add_groups(&day.groups, words, &mut text)?;
    }
    if text.is_empty() {
        text.push_str(&format!("{}\n", words.word("tasks.none")?));
    }
    Ok(text)
}

/// What can be begun on the day, one line a crop.
///
/// # Errors
/// If the theme lacks words.
pub fn sow_text(view: &TasksView, words: &Words) -> Result<String, NoWords> {
    let mut text = String::new();
    for row in &view.sow_now {
        let ways: Result<Vec<String>, NoWords> =
            row.ways.iter().map(|way| words.say(way)).collect();
        let variety = row.variety.as_ref().map_or(String::new(), |variety| format!(" {variety}"));
        let line = format!("{}{variety}: {}", row.crop.text, ways?.join("; "));
        text.push_str(&format!("{}\n", one_line(&line)));
    }
    if text.is_empty() {
        text.push_str(&format!("{}\n", words.word("calendar.nothing-now")?));
    }
    Ok(text)
}

fn add_groups(groups: &[TaskGroup], words: &Words, text: &mut String) -> Result<(), NoWords> {
    for group in groups {
        text.push_str(&format!("  {}\n", one_line(&words.say(&group.job)?)));
        for item in &group.items {
            let whom = item.whom.as_ref().map(|link| words.say(&link.name())).transpose()?;
            let mut line = whom.unwrap_or_default();
            if !item.only.is_empty() {
                let only = item.only.iter().map(|link| words.say(&link.name()));
                line.push_str(&format!(" ({})", only.collect::<Result<Vec<_>, _>>()?.join(", ")));
            }
            if let Some(amount) = &item.amount {
                line.push_str(&format!(": {}", words.say(amount)?));
            }
            let joint = if item.amount.is_some() { ';' } else { ':' };
            line.push_str(&format!("{joint} {}", words.say(&item.why)?));
            if let Some(seeds) = &item.seeds {
                line.push_str(&format!("; {}", words.say(seeds)?));
            }
            if let Some(since) = item.overdue_since {
                let overdue = Message::new("task.overdue-since")
                    .with("date", crate::site::message::Arg::Text(words.date(since, "day")?));
                line.push_str(&format!(" — {}", words.say(&overdue)?));
            }
            text.push_str(&format!("    {}\n", one_line(&line)));
        }
        for caution in &group.cautions {
            text.push_str(&format!("    ! {}\n", one_line(&words.say(caution)?)));
        }
    }
    Ok(())
}
