//! Problems as text: for a person, a line each for an editor, or JSON for a program.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;
use std::rc::Rc;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode, ThemeCharacters,
    ThemeStyles,
};
use serde_json::{Value, json};

use crate::diagnostics::codes::Severity;
use crate::diagnostics::page_text::{PageText, Position, mask};
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words;
use crate::origin::{FileId, Origin};

/// A file as the report needs it: the name to show, and its text.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    /// The name, as the person would type it.
    pub name: &'a str,
    /// The whole text (with replacement characters where it is not UTF-8).
    pub text: &'a str,
}

/// Finds the file that an origin names.
pub type LookUp<'a> = &'a dyn Fn(FileId) -> Option<Page<'a>>;

/// How the form for people is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Drawing {
    /// Whether colours may be used: only where a person's terminal shows them.
    pub colour: bool,
    /// Columns to wrap at.
    pub width: usize,
}

/// Every problem with the line it is about, for a person.
pub fn human(problems: &[Problem], look_up: LookUp<'_>, drawing: Drawing) -> String {
    let theme = GraphicalTheme {
        characters: ThemeCharacters::unicode(),
        styles: if drawing.colour { ThemeStyles::ansi() } else { ThemeStyles::none() },
    };
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_links(false)
        .without_syntax_highlighting()
        .with_context_lines(0)
        .with_width(drawing.width);
    let pages = Pages::new(look_up);
    let mut text = String::new();
    for problem in problems {
        let shown = Shown::new(problem, &pages);
        // Writing to a String cannot fail, and every span was clamped to its text.
        let _ = handler.render_report(&mut text, &shown);
        text.push('\n');
    }
    text
}

/// `path:line:column: error[code]: message (hint)`, one line each.
pub fn lines(problems: &[Problem], look_up: LookUp<'_>) -> String {
    let pages = Pages::new(look_up);
    let mut text = String::new();
    for problem in problems {
        let place = pages.place(problem.at);
        let hint = problem.hints.first().map_or(String::new(), |hint| format!(" ({})", hint.words));
        let line = format!(
            "{place}: {}[{}]: {}{hint}",
            problem.severity().word(),
            problem.code.word(),
            problem.message
        );
        text.push_str(&one_line(&line));
        text.push('\n');
    }
    text
}

/// One JSON document: the problems and how many there are of each kind, those that are left out of the list among them.
pub fn json(problems: &[Problem], left_out: &[Problem], look_up: LookUp<'_>) -> String {
    let pages = Pages::new(look_up);
    let list: Vec<Value> = problems.iter().map(|problem| as_json(problem, &pages)).collect();
    let document = json!({
        "format": 1,
        "errors": number_of(problems, Severity::Error) + number_of(left_out, Severity::Error),
        "warnings": number_of(problems, Severity::Warning) + number_of(left_out, Severity::Warning),
        "problems": list,
    });
    format!("{document:#}\n")
}

/// `3 errors and 1 warning in 2 files`.
pub fn tally(problems: &[Problem]) -> String {
    let mut files: Vec<_> = problems.iter().filter_map(|problem| problem.at.file()).collect();
    files.sort_unstable();
    files.dedup();
    let counts: Vec<String> = [Severity::Error, Severity::Warning]
        .into_iter()
        .map(|severity| (severity, number_of(problems, severity)))
        .filter(|(_, number)| *number > 0)
        .map(|(severity, number)| words::count(number, severity.word()))
        .collect();
    match (counts.is_empty(), files.len()) {
        (true, _) => "no problems".to_owned(),
        (false, 0) => words::all_of(&counts),
        (false, number) => {
            format!("{} in {}", words::all_of(&counts), words::count(number, "file"))
        }
    }
}

fn number_of(problems: &[Problem], severity: Severity) -> usize {
    problems.iter().filter(|problem| problem.severity() == severity).count()
}

/// The files of a report, each masked and measured once however many problems it has.
struct Pages<'a> {
    look_up: LookUp<'a>,
    known: RefCell<BTreeMap<FileId, Option<Rc<PageText>>>>,
}

impl<'a> Pages<'a> {
    fn new(look_up: LookUp<'a>) -> Pages<'a> {
        Pages { look_up, known: RefCell::default() }
    }

    fn get(&self, at: Origin) -> Option<Rc<PageText>> {
        let file = at.file()?;
        let mut known = self.known.borrow_mut();
        let page = known.entry(file).or_insert_with(|| {
            let page = (self.look_up)(file)?;
            Some(Rc::new(PageText::new(page.name, page.text)))
        });
        page.clone()
    }

    /// `path:line:column`, as far as it is known.
    fn place(&self, at: Origin) -> String {
        match self.get(at) {
            None => "trug".to_owned(),
            Some(page) => {
                let Position { line, column } = position(at, &page);
                format!("{}:{line}:{column}", page.name())
            }
        }
    }
}

fn position(at: Origin, page: &PageText) -> Position {
    page.position(at.range().map_or(0, |range| range.start))
}

/// A text on one line, without anything that could steer a terminal.
pub fn one_line(text: &str) -> String {
    mask(text).replace(['\n', '\r', '\t'], " ")
}

fn as_json(problem: &Problem, pages: &Pages<'_>) -> Value {
    let hints: Vec<Value> = problem
        .hints
        .iter()
        .map(|hint| {
            let replace = hint.replace.as_ref().map(|(at, text)| {
                let mut value = origin_as_json(*at, pages);
                value["text"] = json!(text);
                value
            });
            json!({"words": hint.words, "replace": replace})
        })
        .collect();
    let others: Vec<Value> = problem
        .others
        .iter()
        .map(|other| {
            let mut value = origin_as_json(other.at, pages);
            value["words"] = json!(other.words);
            value
        })
        .collect();
    let mut value = origin_as_json(problem.at, pages);
    value["severity"] = json!(problem.severity().word());
    value["code"] = json!(problem.code.word());
    value["message"] = json!(problem.message);
    value["label"] = json!(problem.label);
    value["others"] = json!(others);
    value["hints"] = json!(hints);
    value
}

/// File, line and column in characters, offset and length in bytes.
fn origin_as_json(at: Origin, pages: &Pages<'_>) -> Value {
    match pages.get(at) {
        None => json!({"file": null}),
        Some(page) => {
            let Position { line, column } = position(at, &page);
            let range = at.range().unwrap_or(0..0);
            json!({
                "file": page.name(), "line": line, "column": column,
                "offset": range.start, "length": range.len(),
            })
        }
    }
}

/// A problem dressed for `miette`.
#[derive(Debug)]
struct Shown {
    code: String,
    message: String,
    severity: miette::Severity,
    help: Option<String>,
    labels: Vec<LabeledSpan>,
    page: Option<Rc<PageText>>,
}

impl Shown {
    fn new(problem: &Problem, pages: &Pages<'_>) -> Shown {
        let page = pages.get(problem.at);
        let mut labels = Vec::new();
        let mut elsewhere = Vec::new();
        if let Some(page) = &page {
            // A file as a whole is shown by its first line.
            let range = problem.at.range().unwrap_or(0..0);
            let (start, end) = page.on_one_line(range.start, range.end);
            labels.push(LabeledSpan::new_primary_with_span(
                problem.label.as_deref().map(mask),
                (start, end - start),
            ));
        }
        for other in &problem.others {
            match (&page, other.at.range()) {
                (Some(page), Some(range)) if other.at.file() == problem.at.file() => {
                    let (start, end) = page.on_one_line(range.start, range.end);
                    labels.push(LabeledSpan::new(Some(mask(&other.words)), start, end - start));
                }
                _ => elsewhere.push(format!("{}: {}", pages.place(other.at), other.words)),
            }
        }
        let help: Vec<String> = problem
            .hints
            .iter()
            .map(|hint| hint.words.clone())
            .chain(elsewhere)
            .map(|line| one_line(&line))
            .collect();
        Shown {
            code: format!("{}[{}]", problem.severity().word(), problem.code.word()),
            message: one_line(&problem.message),
            severity: match problem.severity() {
                Severity::Error => miette::Severity::Error,
                Severity::Warning => miette::Severity::Warning,
            },
            help: (!help.is_empty()).then(|| help.join("\n")),
            labels,
            page,
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.code))
    }
    fn severity(&self) -> Option<miette::Severity> {
        Some(self.severity)
    }
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }
    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.page.as_deref().map(|page| page as &dyn SourceCode)
    }
    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::codes::Code;

    const TEXT: &str = "---\ndate: 2026-02-22\nevents: [{planting: tom, is: flowring}]\n---\n";

    fn problem() -> Problem {
        let start = TEXT.find("flowring").unwrap();
        let at = Origin::span(FileId(0), start, start + 8);
        Problem::new(Code::UnknownWord, at, "`flowring` is not a stage").label("not a stage").mend(
            at,
            "flowering",
            "write `flowering`",
        )
    }

    fn look_up(_: FileId) -> Option<Page<'static>> {
        Some(Page { name: "journal/a.md", text: TEXT })
    }

    #[test]
    fn for_a_person() {
        let drawing = Drawing { colour: false, width: 80 };
        insta::assert_snapshot!(human(&[problem()], &look_up, drawing), @r"
        error[unknown-word]

          × `flowring` is not a stage
           ╭─[journal/a.md:3:30]
         3 │ events: [{planting: tom, is: flowring}]
           ·                              ────┬───
           ·                                  ╰── not a stage
           ╰────
          help: write `flowering`
        ");
    }

    #[test]
    fn for_an_editor() {
        assert_eq!(
            lines(&[problem()], &look_up),
            "journal/a.md:3:30: error[unknown-word]: `flowring` is not a stage (write `flowering`)\n"
        );
        assert_eq!(tally(&[problem()]), "1 error in 1 file");
    }

    #[test]
    fn a_file_cannot_steer_the_terminal() {
        let text = "title: \u{1b}[31mred\u{7}\r stays";
        let look_up = |_| Some(Page { name: "\u{1b}]0;x", text });
        let at = Origin::span(FileId(0), 7, 10);
        let problem = Problem::new(Code::UnknownKey, at, "bad \u{1b}[2J").hint("\u{202e}x");
        let drawing = Drawing { colour: false, width: 80 };
        for shown in
            [human(std::slice::from_ref(&problem), &look_up, drawing), lines(&[problem], &look_up)]
        {
            assert!(!shown.contains(['\u{1b}', '\u{7}', '\r', '\u{202e}']), "{shown:?}");
        }
    }
}
