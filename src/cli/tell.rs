//! What is printed: problems, counts, failures.

use std::io::{ErrorKind, IsTerminal, Write};
use std::path::Path;

use crate::cli::Failure;
use crate::cli::arguments::{Content, Format};
use crate::diagnostics::codes::Severity;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::report::{self, Drawing, Page};
use crate::origin::FileId;
use crate::publish::Inputs;

/// Prints problems: for a person on the error stream, for programs on the output stream.
///
/// # Errors
/// If a program cannot be given them.
pub(super) fn problems(
    problems: &[Problem],
    inputs: &Inputs,
    content: &Content,
    format: Format,
) -> Result<(), Failure> {
    let (told, left_out) = first(problems);
    let texts = Texts::new(inputs, content);
    let look_up = |id| texts.page(id);
    match format {
        Format::Human => {
            err(&report::human(&told, &look_up, drawing()));
        }
        Format::Line => out(&report::lines(&told, &look_up))?,
        Format::Json => out(&report::json(&told, &left_out, &look_up))?,
    }
    if !left_out.is_empty() {
        let (first, all) = (told.len(), told.len() + left_out.len());
        note(&format!("These are {first} of {all} problems; mend some, and the others are told."));
    }
    Ok(())
}

/// The same for a page: one JSON document.
pub(super) fn as_json(problems: &[Problem], inputs: &Inputs, content: &Content) -> String {
    let (told, left_out) = first(problems);
    let texts = Texts::new(inputs, content);
    report::json(&told, &left_out, &|id| texts.page(id))
}

/// How many problems are printed: whoever has more begins at the top.
const MOST_TOLD: usize = 100;

/// Those that are told and those that are left out: of too many, errors before warnings.
fn first(problems: &[Problem]) -> (Vec<Problem>, Vec<Problem>) {
    let mut told = problems.to_vec();
    if told.len() <= MOST_TOLD {
        return (told, Vec::new());
    }
    told.sort_by_key(|problem| problem.severity() != Severity::Error);
    let left_out = told.split_off(MOST_TOLD);
    (told, left_out)
}

/// Whether somebody sits at both ends.
pub(super) fn is_to_a_person() -> bool {
    std::io::stdout().is_terminal() && std::io::stdin().is_terminal()
}

/// A sentence for a person.
pub(super) fn note(sentence: &str) {
    err(&format!("{sentence}\n"));
}

/// Why a command could not do its work.
pub(super) fn failure(message: &str) {
    err(&format!("trug: {}\n", report::one_line(message)));
}

/// What a command was asked for.
///
/// # Errors
/// If it cannot be printed whole: what was asked for would be lost without a word.
pub(super) fn out(text: &str) -> Result<(), Failure> {
    let mut stdout = std::io::stdout().lock();
    match stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush()) {
        // A reader that has gone away (`| head`) is no failure of ours.
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::of_machine("cannot print what was asked for", &error))
        }
        _ => Ok(()),
    }
}

fn err(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// Colour only where a person sees it; the width of the terminal, else 80 columns.
#[expect(clippy::disallowed_methods, reason = "the commands are where the environment is read")]
fn drawing() -> Drawing {
    let is_terminal = std::io::stderr().is_terminal();
    let wants_none = std::env::var("NO_COLOR").is_ok_and(|value| !value.is_empty());
    let width = match terminal_size::terminal_size_of(std::io::stderr()) {
        Some((width, _)) if is_terminal => usize::from(width.0).clamp(40, 120),
        _ => 80,
    };
    Drawing { colour: is_terminal && !wants_none, width }
}

/// Names and texts of all files, as a person would type the names.
struct Texts {
    files: Vec<(FileId, String, String)>,
}

impl Texts {
    fn new(inputs: &Inputs, content: &Content) -> Texts {
        let theme = content.theme.as_deref().unwrap_or(Path::new("theme"));
        let name = |folder: &Path, path: &str| folder.join(path).to_string_lossy().into_owned();
        let own = inputs.content.iter().map(|file| (file, name(&content.content, &file.path)));
        let theme = inputs.theme.iter().map(|file| (file, name(theme, &file.path)));
        let files = own
            .chain(theme)
            .map(|(file, name)| (file.id, name, file.text_to_show().into_owned()))
            .collect();
        Texts { files }
    }

    fn page(&self, id: FileId) -> Option<Page<'_>> {
        let (_, name, text) = self.files.iter().find(|(known, _, _)| *known == id)?;
        Some(Page { name, text })
    }
}
