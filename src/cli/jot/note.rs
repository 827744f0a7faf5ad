//! A note as it was sent from the phone: a date, short lines, an empty line, prose.

use chrono::NaiveDate;

use crate::cli::jot::entry_text::{self, Block};
use crate::dates;

/// What a note says of one day.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Note {
    /// Its day; nothing if it does not say.
    pub(super) date: Option<NaiveDate>,
    pub(super) blocks: Vec<Block>,
    pub(super) prose: String,
}

impl Note {
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty() && self.prose.is_empty()
    }
}

/// A note taken apart, and the lines that are none of it: what stands before the date, and the signature.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Read {
    pub(super) notes: Vec<Note>,
    pub(super) left_out: Vec<String>,
}

/// Reads what a phone, a mail program or the site's ticks made of a note.
///
/// # Errors
/// If a line can only be meant as its date and is none; with the words for it.
pub(super) fn read(text: &str) -> Result<Read, String> {
    let mut lines = plain_lines(text);
    let mut left_out = Vec::new();
    let is_signature =
        |line: &String| ["--", "-- ", "—"].contains(&line.as_str()) || is_sent_from(line);
    if let Some(at) = lines.iter().rposition(is_signature)
        && lines[at..].iter().filter(|line| !line.trim().is_empty()).count() <= 6
        && lines[..at].iter().any(|line| !line.trim().is_empty())
    {
        left_out.extend(lines.drain(at..));
    }
    let mut days: Vec<(Option<NaiveDate>, Vec<String>)> = vec![(None, Vec::new())];
    for line in lines {
        match date_alone(&line)? {
            Some(date) => days.push((Some(date), Vec::new())),
            None => days.last_mut().map(|(_, lines)| lines.push(line)).unwrap_or_default(),
        }
    }
    // What stands before the first date is a mail's own lines.
    if days.len() > 1 {
        let (_, before) = days.remove(0);
        left_out.splice(0..0, before.into_iter().filter(|line| !is_fence(line)));
    }
    left_out.retain(|line| !line.trim().is_empty());
    let notes = days.into_iter().map(|(date, lines)| note(date, &lines)).collect();
    Ok(Read { notes, left_out })
}

fn note(date: Option<NaiveDate>, lines: &[String]) -> Note {
    let is_empty = |line: &&String| line.trim().is_empty() || is_fence(line);
    let lines: Vec<&String> = lines.iter().skip_while(is_empty).collect();
    let is_told = |line: &str| {
        let key =
            line.split_once(':').map(|(key, rest)| (key, rest.is_empty() || rest.starts_with(' ')));
        line.starts_with([' ', '#', '-'])
            || key.is_some_and(|(key, is_key)| {
                is_key && !key.is_empty() && key.split_whitespace().count() <= 4
            })
    };
    let end = lines
        .iter()
        .position(|line| line.trim().is_empty() || is_fence(line) || !is_told(line))
        .unwrap_or(lines.len());
    let mut blocks = Vec::new();
    for block in entry_text::blocks(lines[..end].iter().map(|line| line.as_str())) {
        entry_text::add(&mut blocks, vec![block]);
    }
    let prose: Vec<&str> =
        lines[end..].iter().filter(|line| !is_fence(line)).map(|line| line.as_str()).collect();
    Note { date, blocks, prose: prose.join("\n").trim().to_owned() }
}

/// The lines without what programs add on the way: a byte order mark, marks of quotation, spaces of a kind of
/// their own, tabs.
fn plain_lines(text: &str) -> Vec<String> {
    let plain = |c: char| match c {
        '\u{a0}' | '\u{202f}' | '\u{2007}' | '\t' => Some(' '),
        '\u{feff}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2060}' => None,
        c => Some(c),
    };
    let whole: String = text.replace("\r\n", "\n").replace('\r', "\n").replace('\t', "  ");
    let whole: String = whole.chars().filter_map(plain).collect();
    let is_quoted = whole
        .lines()
        .any(|line| date_alone(unquoted(line)).is_ok_and(|d| d.is_some()) && line.starts_with('>'));
    let line = |line: &str| {
        let line = if is_quoted { unquoted(line) } else { line };
        // Two hyphens and a space begin a signature.
        if line == "-- " { line.to_owned() } else { line.trim_end().to_owned() }
    };
    whole.lines().map(line).collect()
}

/// A line without a mail's marks of quotation.
fn unquoted(line: &str) -> &str {
    let mut line = line;
    while let Some(rest) = line.strip_prefix('>') {
        line = rest.strip_prefix(' ').unwrap_or(rest);
    }
    line
}

/// A date that is alone on its line, with or without `date:`.
fn date_alone(line: &str) -> Result<Option<NaiveDate>, String> {
    let trimmed = line.trim_matches(|c: char| c.is_whitespace() || c == '*' || c == '#');
    let bare = match trimmed.get(..5) {
        Some(key) if key.eq_ignore_ascii_case("date:") => trimmed[5..].trim(),
        _ => trimmed,
    };
    let is_figures = bare.len() >= 6
        && bare.starts_with(|c: char| c.is_ascii_digit())
        && bare.chars().all(|c| c.is_ascii_digit() || "-./".contains(c))
        && bare.matches(['-', '.', '/']).count() == 2;
    // A mail has a line `Date: Sat, 20 Jun …` of its own.
    if !is_figures {
        return Ok(None);
    }
    dates::date(bare).map(Some).map_err(|trouble| match trouble.mended() {
        Some(mended) => format!("{}; write {mended}", trouble.message()),
        None => format!("{}: {bare}", trouble.message()),
    })
}

/// `---`, as phones write it, too.
fn is_fence(line: &str) -> bool {
    let line = line.trim();
    let hyphens: usize = line.chars().map(|c| if c == '-' { 1 } else { 2 }).sum();
    hyphens >= 3 && line.chars().all(|c| ['-', '–', '—'].contains(&c))
}

/// The line that a phone's mail program puts below.
fn is_sent_from(line: &str) -> bool {
    let line = line.to_lowercase();
    let begins = [
        "sent from my ",
        "sent via ",
        "get outlook for ",
        "von meinem ",
        "envoyé de mon ",
        "enviado desde mi ",
    ];
    begins.iter().any(|start| line.starts_with(start))
}
