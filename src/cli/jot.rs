//! `trug jot`: today's entry, with what is due as lines to keep or strike; or a note from the phone, filed.

mod due;
mod entry_text;
mod note;

use std::io::Read;
use std::path::Path;

use chrono::NaiveDate;

use crate::cli::arguments::{Format, Jot};
use crate::cli::jot::entry_text::Block;
use crate::cli::jot::note::Note;
use crate::cli::{Failure, Outcome, folders, start, tell};
use crate::diagnostics::codes::Severity;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words;
use crate::garden::model::Garden;
use crate::names;
use crate::publish::{self, Day, Inputs};
use crate::source::files::Files;

pub(super) fn run(arguments: &Jot) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, _) = publish::read(&inputs);
    match &arguments.from {
        Some(from) => file_notes(arguments, inputs, &garden, from),
        None => open_today(arguments, &inputs, &garden),
    }
}

/// Makes the day's entry or adds to it, and opens it where somebody sits at a terminal.
fn open_today(arguments: &Jot, inputs: &Inputs, garden: &Garden) -> Result<Outcome, Failure> {
    let title = one_line(arguments.title.as_deref().unwrap_or_default());
    let standing = standing(inputs, garden.today, &title);
    let blocks = due::blocks(garden);
    let path = match standing {
        Some((path, text)) => {
            let new = entry_text::not_yet_in(&text, blocks);
            // Lines behind `#` are in nobody's way.
            if let Some(whole) = with_due(&text, &new).filter(|_| !new.is_empty()) {
                overwrite(&arguments.content.content.join(&path), &whole)?;
            }
            path
        }
        None => {
            let (title, path) = free(inputs, garden, &title);
            let heading = match title.as_str() {
                "" => String::new(),
                title => format!("title: {}\n", quoted(title)),
            };
            let empty = format!("---\n{heading}---\n");
            let text = with_due(&empty, &blocks).unwrap_or(empty);
            start::write_new(&arguments.content.content.join(&path), &text)?;
            path
        }
    };
    let path = arguments.content.content.join(path);
    tell::out(&format!("{}\n", path.display()))?;
    if arguments.print || !tell::is_to_a_person() {
        return Ok(Outcome::Fine);
    }
    open(&path)
}

/// Files each day of a note, and tells what is wrong in it.
fn file_notes(
    arguments: &Jot,
    mut inputs: Inputs,
    garden: &Garden,
    from: &Path,
) -> Result<Outcome, Failure> {
    let text = read_note(from)?;
    let read =
        note::read(&text).map_err(|words| Failure(format!("{}: {words}", from.display())))?;
    if !read.left_out.is_empty() {
        tell::note(&format!("Left out, as no part of the note: {}", read.left_out.join(" / ")));
    }
    let notes: Vec<&Note> = read.notes.iter().filter(|note| !note.is_empty()).collect();
    if notes.is_empty() {
        return Err(Failure(format!(
            "{} says nothing; a note is a date, short lines, an empty line and prose",
            from.display()
        )));
    }
    let mut has_errors = false;
    for note in notes {
        let date = note.date.unwrap_or(garden.today);
        let (path, text) = match filed(&inputs, note, date) {
            Ok(filed) => filed,
            Err(path) => {
                tell::note(&format!("{path} says all of this already; nothing was added."));
                continue;
            }
        };
        let whole = arguments.content.content.join(&path);
        if inputs.content.find(&path).is_some() {
            overwrite(&whole, &text)?;
        } else {
            start::write_new(&whole, &text)?;
        }
        tell::out(&format!("{}\n", whole.display()))?;
        if note.date.is_none() {
            tell::note(&format!("The note has no date; it was filed under {date}."));
        }
        inputs = with_file(&inputs, &path, &text, date);
        let problems = problems_in(&inputs, &path);
        has_errors |= problems.iter().any(|problem| problem.severity() == Severity::Error);
        tell::problems(&problems, &inputs, &arguments.content, Format::Human)?;
    }
    Ok(if has_errors { Outcome::Problems } else { Outcome::Fine })
}

/// The path of the entry that a note belongs to, and its text with the note; the path alone if the note is in it.
fn filed(inputs: &Inputs, note: &Note, date: NaiveDate) -> Result<(String, String), String> {
    let own = || {
        let text = entry_text::entry(&note.blocks, &note.prose);
        (free_path(inputs, date, ""), text)
    };
    let Some((path, text)) = standing(inputs, date, "") else { return Ok(own()) };
    let is_in = entry_text::not_yet_in(&text, note.blocks.clone()).is_empty();
    if is_in && text.replace("\r\n", "\n").contains(&note.prose) {
        return Err(path);
    }
    let joined = entry_text::added(&text, note.blocks.clone(), &note.prose);
    let errors = |path: &str, text: &str| {
        let (_, problems) = publish::read(&with_file(inputs, path, text, date));
        let is_error = |problem: &&Problem| problem.severity() == Severity::Error;
        problems.into_sorted().iter().filter(is_error).count()
    };
    // Where the two cannot be joined the day has two entries.
    let (own_path, own_text) = own();
    match joined.filter(|joined| errors(&path, joined) <= errors(&own_path, &own_text)) {
        Some(joined) => Ok((path, joined)),
        None => Ok((own_path, own_text)),
    }
}

/// The entry of a day that is added to: the one of that title, or without a title the day's last.
fn standing(inputs: &Inputs, date: NaiveDate, title: &str) -> Option<(String, String)> {
    let day = date.to_string();
    let of_day = |path: &str, text: &str| {
        let name = path.rsplit('/').next().unwrap_or(path);
        let dated = text.lines().skip(1).take_while(|line| line.trim() != "---");
        match dated.filter_map(|line| line.strip_prefix("date:")).next() {
            Some(written) => written.trim().starts_with(&day),
            None => name.starts_with(&day),
        }
    };
    let has_title = |text: &str| {
        let written = [format!("title: {title}"), format!("title: {}", quoted(title))];
        title.is_empty()
            || text.lines().any(|line| written.iter().any(|own| own == line.trim_end()))
    };
    let is_open = |text: &str| !text.lines().any(|line| line.trim() == "private: true");
    let entries = inputs.content.iter().filter(|file| file.is_in("journal") && file.ends_in("md"));
    let mut texts =
        entries.filter_map(|file| Some((file.path.clone(), file.text().ok()?.to_owned())));
    texts.rfind(|(path, text)| of_day(path, text) && has_title(text) && is_open(text))
}

/// A title and a path that no entry of the day has yet. The second of an address is numbered, because that of
/// its page is made of the title.
fn free(inputs: &Inputs, garden: &Garden, title: &str) -> (String, String) {
    let day = garden.today.format("%Y/%m/%d");
    let is_taken = |title: &str| {
        let address = format!("{day}-{}", names::slug(title));
        !title.is_empty() && garden.entries.iter().any(|entry| *entry.address == *address)
    };
    let numbered = (2..).map(|number| format!("{title} ({number})"));
    let mut titles = std::iter::once(title.to_owned()).chain(numbered);
    let title = titles.find(|title| !is_taken(title)).unwrap_or_default();
    let path = free_path(inputs, garden.today, &title);
    (title, path)
}

/// A path that no file has yet: `journal/2026/2026-06-20-first-peas.md`.
fn free_path(inputs: &Inputs, date: NaiveDate, title: &str) -> String {
    let title = if title.is_empty() { String::new() } else { format!("-{}", names::slug(title)) };
    let path = |number: u32| match number {
        1 => format!("journal/{}/{date}{title}.md", date.format("%Y")),
        number => format!("journal/{}/{date}{title}-{number}.md", date.format("%Y")),
    };
    let mut paths = (1..).map(path);
    paths.find(|path| inputs.content.find(path).is_none()).unwrap_or_default()
}

/// An entry with what is due as lines behind `#`.
fn with_due(text: &str, due: &[Block]) -> Option<String> {
    if due.is_empty() {
        return None;
    }
    let lines = due.iter().flat_map(Block::lines).map(|line| format!("# {line}"));
    let heading = "# Due: take the # away where it was done, and strike the rest.".to_owned();
    let heading = (!text.contains(&heading)).then_some(heading);
    let lines: Vec<String> = heading.into_iter().chain(lines).collect();
    entry_text::added(text, entry_text::blocks(lines.iter().map(String::as_str)), "")
}

/// The same content with one file as it is to be, and a day on which it counts.
fn with_file(inputs: &Inputs, path: &str, text: &str, date: NaiveDate) -> Inputs {
    let others = inputs.content.iter().filter(|file| file.path != path);
    let mut all: Vec<_> = others.map(|file| (file.path.clone(), file.bytes.clone())).collect();
    all.push((path.to_owned(), text.as_bytes().to_vec()));
    let day = match inputs.day {
        Day::Fixed(day) => Day::Fixed(day.max(date)),
        at => at,
    };
    let content = Files::new(crate::origin::FileId(0), all);
    let theme = crate::source::theme::laid_over(&Files::default(), content.next_id());
    Inputs {
        content,
        theme,
        day,
        earlier_feeds: inputs.earlier_feeds.clone(),
        earlier_photos: inputs.earlier_photos.clone(),
    }
}

fn problems_in(inputs: &Inputs, path: &str) -> Vec<Problem> {
    let file = inputs.content.find(path).map(|file| file.id);
    let (_, problems) = publish::read(inputs);
    let problems = problems.into_sorted().into_iter();
    problems.filter(|problem| problem.at.file() == file).collect()
}

/// Opens a file in the editor that the environment names.
#[expect(clippy::disallowed_methods, reason = "the commands are where the environment is read")]
fn open(path: &Path) -> Result<Outcome, Failure> {
    let named = |name| std::env::var(name).ok().filter(|editor: &String| !editor.trim().is_empty());
    let Some(editor) = named("VISUAL").or_else(|| named("EDITOR")) else {
        tell::note("To open it at once, name your editor in the environment: EDITOR=nano");
        return Ok(Outcome::Fine);
    };
    let mut parts = editor.split_whitespace();
    let program = parts.next().unwrap_or_default();
    match std::process::Command::new(program).args(parts).arg(path).status() {
        Ok(_) => Ok(Outcome::Fine),
        Err(error) => {
            Err(Failure(format!("cannot open {} with {editor}: {error}", path.display())))
        }
    }
}

#[expect(clippy::disallowed_methods, reason = "commands read what they are given")]
fn read_note(from: &Path) -> Result<String, Failure> {
    let failed =
        |error: std::io::Error| Failure(format!("cannot read {}: {error}", from.display()));
    let bytes = if from == Path::new("-") {
        let mut bytes = Vec::new();
        std::io::stdin().read_to_end(&mut bytes).map_err(failed)?;
        bytes
    } else {
        std::fs::read(from).map_err(failed)?
    };
    String::from_utf8(bytes)
        .map_err(|_| Failure(format!("{} is not UTF-8; save it as UTF-8 text", from.display())))
}

#[expect(clippy::disallowed_methods, reason = "an entry that is added to is written anew")]
fn overwrite(path: &Path, text: &str) -> Result<(), Failure> {
    let failed =
        |error: std::io::Error| Failure(format!("cannot write {}: {error}", path.display()));
    // Beside it first: a full disk must not cost an entry.
    let beside = path.with_extension("md.new");
    std::fs::write(&beside, text).map_err(failed)?;
    std::fs::rename(&beside, path).map_err(failed)
}

/// A text on one line, without signs that YAML does not take.
fn one_line(text: &str) -> String {
    let is_taken = |char: &char| {
        !words::is_hidden(*char) && !matches!(char, '\u{feff}' | '\u{fffe}' | '\u{ffff}')
    };
    let words =
        text.split_whitespace().map(|word| word.chars().filter(is_taken).collect::<String>());
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A text as YAML reads it back: in quotes unless it is made of letters, digits and spaces only.
fn quoted(text: &str) -> String {
    let is_plain = text.starts_with(char::is_alphabetic)
        && text.chars().all(|c| c.is_alphanumeric() || c == ' ' || c == '-')
        && words::behind_key(text) == text;
    if is_plain { text.to_owned() } else { words::quoted(text) }
}
