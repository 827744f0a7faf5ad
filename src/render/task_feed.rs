//! The words of the task feed: planned events become events with sentences.

use std::num::NonZeroU16;

use crate::render::feed;
use crate::render::words::{NoWords, Words};
use crate::site::feed::{EventView, FeedAbout, FeedFault, FeedView, TWICE_A_DAY};
use crate::site::message::Message;
use crate::site::task_event::{ToldGroup, ToldItem};
use crate::site::task_feed::{PlannedEvent, TaskFeed};

/// What a phone shows of a line before it cuts it off, in characters. Common practice, no source.
const LONGEST_SUMMARY: usize = 40;

/// Why a feed could not be made.
#[derive(Debug)]
pub enum FeedError {
    /// The theme lacks words.
    NoWords(NoWords),
    /// The events contradict each other: a fault of ours.
    Fault(FeedFault),
}

impl From<NoWords> for FeedError {
    fn from(missing: NoWords) -> FeedError {
        FeedError::NoWords(missing)
    }
}

/// The bytes of a task feed, where `earlier` ones stand; see [`feed::bytes`].
///
/// # Errors
/// If the theme lacks words.
pub fn bytes(
    task_feed: &TaskFeed,
    site: Option<&str>,
    words: &Words,
    earlier: Option<&[u8]>,
) -> Result<Vec<u8>, FeedError> {
    let remind = task_feed.remind_hours.and_then(NonZeroU16::new);
    let events: Result<Vec<EventView>, NoWords> =
        task_feed.events.iter().map(|planned| event(planned, site, remind, words)).collect();
    let about = FeedAbout {
        day: task_feed.day,
        title: words.say(&task_feed.title)?,
        description: words.say(&task_feed.description)?,
        page: task_feed.page.clone(),
        source: task_feed.source.clone(),
        refresh_hours: TWICE_A_DAY,
    };
    let view = FeedView::new(about, events?).map_err(FeedError::Fault)?;
    Ok(feed::bytes(&view, earlier))
}

fn event(
    planned: &PlannedEvent,
    site: Option<&str>,
    alarm_hours_before: Option<NonZeroU16>,
    words: &Words,
) -> Result<EventView, NoWords> {
    let told = &planned.told;
    let mut lines = Vec::new();
    for group in &told.groups {
        lines.extend(group_lines(group, words)?);
    }
    Ok(EventView {
        uid: planned.uid.clone(),
        first_day: told.day,
        last_day: told.day,
        summary: summary(&told.summaries, words)?,
        description: lines.join("\n"),
        categories: vec![words.say(&told.category)?],
        url: site.map(|site| format!("{site}{}", told.href)),
        alarm_hours_before,
    })
}

/// The first of the lines that is short enough; if none is, the beginning of the last.
fn summary(lines: &[Message], words: &Words) -> Result<String, NoWords> {
    let mut text = String::new();
    for line in lines {
        text = words.say(line)?;
        if text.chars().count() <= LONGEST_SUMMARY {
            return Ok(text);
        }
    }
    let start: String = text.chars().take(LONGEST_SUMMARY - 1).collect();
    Ok(format!("{}…", start.trim_end()))
}

/// The job, a line for each planting, the reason, how to do it, and what to be careful of.
fn group_lines(group: &ToldGroup, words: &Words) -> Result<Vec<String>, NoWords> {
    let mut lines = vec![words.say(&group.job)?];
    for item in &group.items {
        lines.push(item_line(item, words)?);
    }
    lines.extend(group.reason.clone());
    for more in group.notes.iter().chain(&group.cautions) {
        lines.push(words.say(more)?);
    }
    Ok(lines)
}

fn item_line(item: &ToldItem, words: &Words) -> Result<String, NoWords> {
    let why = words.say(&item.why)?;
    let mut line = "- ".to_owned();
    if let Some(amount) = &item.amount {
        line.push_str(&format!("{}: ", words.say(amount)?));
    }
    line.push_str(&words.say(&item.whom)?);
    if !item.only.is_empty() {
        line.push_str(&format!(" ({})", item.only.join(", ")));
    }
    line.push_str(&format!("; {why}"));
    if let Some(seeds) = &item.seeds {
        line.push_str(&format!("; {}", words.say(seeds)?));
    }
    if let Some(reason) = &item.reason {
        line.push_str(&format!(" ({reason})"));
    }
    if let Some(since) = item.overdue_since {
        let overdue = words.say(&Message::new("task.overdue-since").with("date", since))?;
        line.push_str(&format!(" — {overdue}"));
    }
    Ok(line)
}
