//! Tables: a heading row and rows of cells, each with its place in the file.

use csv::{ByteRecord, ReaderBuilder};

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{self, Tick};
use crate::origin::{FileId, Origin, Written};
use crate::source::files::File;
use crate::source::front_matter::read_text;
use crate::source::problems;

/// No table that trug knows has a dozen columns; what a weather service adds is counted among these.
const MOST_COLUMNS: usize = 200;
/// Days of 270 years.
const MOST_ROWS: usize = 100_000;

/// A table as written, every row as long as the heading.
#[derive(Clone, Debug)]
pub struct Table {
    /// The columns by which cells are found.
    pub columns: Vec<String>,
    /// The rows below the heading.
    pub rows: Vec<Row>,
}

#[derive(Clone, Debug)]
pub struct Row {
    pub at: Origin,
    cells: Vec<Written<String>>,
}

impl Table {
    /// The cell of a column, if the column is there and the cell is not empty.
    pub fn cell<'a>(&self, row: &'a Row, column: &str) -> Option<&'a Written<String>> {
        let index = self.columns.iter().position(|name| name == column)?;
        row.cells.get(index).filter(|cell| !cell.value.is_empty())
    }
}

/// Reads a CSV file (RFC 4180, comma) whose heading may hold the `known` columns and must hold the
/// `needed` ones. A row with too few or too many cells is told and left out.
pub fn read_table(
    file: &File,
    known: &[&str],
    needed: &[&str],
    problems: &mut Problems,
) -> Option<Table> {
    let text = read_text(file, problems)?;
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(&text.as_bytes()[start..]);
    let mut record = ByteRecord::new();
    let mut columns: Option<Vec<String>> = None;
    let mut rows_read = 0;
    let mut rows = Vec::new();
    while matches!(reader.read_byte_record(&mut record), Ok(true)) {
        let from = start + record.position().map_or(0, |position| position.byte() as usize);
        let to = start + reader.position().byte() as usize;
        let row = place_cells(file.id, text, from, to.min(text.len()), &record);
        if columns.is_some() {
            rows_read += 1;
        }
        if rows_read > MOST_ROWS {
            problems.add(too_many_rows(row.at));
            break;
        }
        match &columns {
            None => columns = Some(heading(&row, known, needed, text, problems)?),
            Some(columns) if row.cells.len() == columns.len() => match hidden_in(&row, text) {
                Some(problem) => problems.add(problem),
                None => rows.push(row),
            },
            Some(columns) => problems.add(wrong_length(&row, columns.len())),
        }
    }
    match columns {
        Some(columns) => Some(Table { columns, rows }),
        None => {
            let at = Origin::span(file.id, start, start);
            problems.add(
                Problem::new(Code::TableHeading, at, "this table is empty")
                    .hint(format!("begin with the heading `{}`", usual(known))),
            );
            None
        }
    }
}

/// A cell with a sign in it that nobody sees.
fn hidden_in(row: &Row, text: &str) -> Option<Problem> {
    let cell = row.cells.iter().find(|cell| cell.value.contains(words::is_hidden))?;
    let written = cell.at.range().and_then(|range| text.get(range)).unwrap_or_default();
    Some(problems::values::hidden_sign(&cell.value, written, cell.at))
}

/// The columns a heading usually has: those that name a unit only stand in for others.
fn usual(known: &[&str]) -> String {
    known.iter().copied().filter(|name| !name.contains('_')).collect::<Vec<_>>().join(",")
}

fn heading(
    row: &Row,
    known: &[&str],
    needed: &[&str],
    text: &str,
    problems: &mut Problems,
) -> Option<Vec<String>> {
    if row.cells.len() > MOST_COLUMNS {
        problems.add(too_many_columns(row));
        return None;
    }
    let before = problems.len();
    let columns: Vec<String> = row.cells.iter().map(|cell| cell.value.to_lowercase()).collect();
    let is_near = |name: &String| words::nearest(name, known.iter().copied()).is_some();
    if !columns.iter().any(is_near) {
        problems.add(no_heading(row, known, text));
        return None;
    }
    for (index, cell) in row.cells.iter().enumerate() {
        let name = &columns[index];
        if columns[..index].contains(name) {
            let message = format!("the column {} stands twice", Tick(&cell.value));
            problems.add(
                Problem::new(Code::TableHeading, cell.at, message).hint("take one of them away"),
            );
        } else if !known.contains(&name.as_str()) {
            let message = format!("{} is not a column of this table", Tick(&cell.value));
            let problem = Problem::new(Code::TableHeading, cell.at, message);
            let free = known.iter().copied().filter(|known| !columns.iter().any(|c| c == known));
            problems.add(match words::nearest(name, free) {
                Some(near) => problem.mend(cell.at, near, format!("did you mean {}?", Tick(near))),
                None => problem.hint(format!("the columns are `{}`", usual(known))),
            });
        }
    }
    let lacking: Vec<_> =
        needed.iter().filter(|name| !columns.iter().any(|c| c == *name)).collect();
    if before == problems.len() && !lacking.is_empty() {
        let lacking: Vec<_> = lacking.iter().map(|name| Tick(name)).collect();
        problems.add(
            Problem::new(
                Code::TableHeading,
                row.at,
                format!("the heading lacks {}", words::all_of(&lacking)),
            )
            .hint(format!("the heading is `{}`", usual(known))),
        );
    }
    (before == problems.len()).then_some(columns)
}

/// The first row is no heading, or its cells are not parted by commas.
fn no_heading(row: &Row, known: &[&str], text: &str) -> Problem {
    let range = row.at.range().unwrap_or(0..0);
    let line = text.get(range.clone()).unwrap_or("");
    let other = [(';', "semicolons"), ('\t', "tabs")].into_iter().find(|(mark, _)| {
        let first = line.split(*mark).next().unwrap_or("").trim().to_lowercase();
        line.contains(*mark) && known.contains(&first.as_str())
    });
    let Some((mark, marks)) = other else {
        return Problem::new(Code::TableHeading, row.at, "this table has no heading")
            .label("the heading should stand here")
            .hint(format!("put a line `{}` above it, with the columns it has", usual(known)));
    };
    let message = format!("the cells of this table are parted by {marks}, not by commas");
    let problem = Problem::new(Code::TableHeading, row.at, message);
    // With decimal commas or quotes in it, a table is better exported again than mended.
    if text.contains([',', '"']) {
        return problem.hint("export it again with commas between cells and a point for decimals");
    }
    let (file, start) = (row.at.file().unwrap_or(FileId(0)), range.start);
    let whole = Origin::span(file, start, text.len());
    problem.mend(whole, text[start..].replace(mark, ","), format!("put commas in place of {marks}"))
}

fn too_many_columns(row: &Row) -> Problem {
    let message = format!(
        "here are {} columns, and a table may have {MOST_COLUMNS}: it was not read",
        row.cells.len()
    );
    Problem::new(Code::ListTooLong, row.cells[MOST_COLUMNS].at, message)
        .label("the first of too many")
        .hint("delete columns that trug does not know, or let `trug take` choose those it needs")
}

fn too_many_rows(at: Origin) -> Problem {
    let message = "this table has more than 100,000 rows";
    Problem::new(Code::ListTooLong, at, message)
        .label("the first that was not read")
        .hint("split it: one table for each year")
}

fn wrong_length(row: &Row, wanted: usize) -> Problem {
    let found = row.cells.len();
    let message = format!("this row has {}, the heading has {wanted}", words::count(found, "cell"));
    let problem = Problem::new(Code::TableRow, row.at, message);
    if found > wanted {
        problem.hint("a text with a comma in it has to stand in double quotes")
    } else {
        problem.hint("leave a cell empty between two commas if it is unknown")
    }
}

/// Finds each cell in the line it was read from.
fn place_cells(file: FileId, text: &str, from: usize, to: usize, record: &ByteRecord) -> Row {
    let line = text.get(from..to).unwrap_or("");
    let from = from + (line.len() - line.trim_start_matches(['\r', '\n']).len());
    let line = line.trim_matches(['\r', '\n']);
    let whole = Origin::span(file, from, from + line.len());
    let spans = cell_spans(line);
    let is_known = spans.len() == record.len();
    let cells = record
        .iter()
        .enumerate()
        .map(|(index, cell)| {
            let value = String::from_utf8_lossy(cell).trim().to_owned();
            let at = match spans.get(index).filter(|_| is_known) {
                Some((start, end)) => Origin::span(file, from + start, from + end),
                None => whole,
            };
            Written::new(value, at)
        })
        .collect();
    Row { at: whole, cells }
}

/// The bytes of each cell, its quotes with it: commas inside quotes part nothing (RFC 4180).
fn cell_spans(line: &str) -> Vec<(usize, usize)> {
    let (mut spans, mut start, mut is_quoted) = (Vec::new(), 0, false);
    for (at, byte) in line.bytes().enumerate() {
        match byte {
            b'"' if is_quoted || at == start => is_quoted = !is_quoted,
            b'"' if line.as_bytes()[at - 1] == b'"' => is_quoted = true,
            b',' if !is_quoted => {
                spans.push((start, at));
                start = at + 1;
            }
            _ => {}
        }
    }
    spans.push((start, line.len()));
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Option<Table>, Vec<Problem>) {
        let file = File {
            id: FileId(0),
            path: "weather/2026.csv".to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let mut problems = Problems::new();
        let table = read_table(&file, &["date", "low", "high"], &["date"], &mut problems);
        (table, problems.into_sorted())
    }

    #[test]
    fn cells_know_their_bytes() {
        for start in ["", "\u{feff}"] {
            for newline in ["\n", "\r\n"] {
                let text = format!("{start}date,low,high\n2026-01-01,1.5,\n\n2026-01-02,2,9\n")
                    .replace('\n', newline);
                let (table, problems) = read(&text);
                let table = table.unwrap();
                assert!(problems.is_empty());
                let low = table.cell(&table.rows[1], "low").unwrap();
                assert_eq!(&text[low.at.range().unwrap()], "2");
                assert_eq!(&text[table.rows[1].at.range().unwrap()], "2026-01-02,2,9");
                assert!(table.cell(&table.rows[0], "high").is_none());
            }
        }
    }

    #[test]
    fn a_cell_in_quotes_knows_its_bytes() {
        let text = "date,low,high\n2026-01-01,\"a, \"\"b\"\"\",\"9\"\n";
        let (table, _) = read(text);
        let table = table.unwrap();
        let cell = table.cell(&table.rows[0], "low").unwrap();
        assert_eq!(
            (cell.value.as_str(), &text[cell.at.range().unwrap()]),
            ("a, \"b\"", "\"a, \"\"b\"\"\"")
        );
        let cell = table.cell(&table.rows[0], "high").unwrap();
        assert_eq!(&text[cell.at.range().unwrap()], "\"9\"");
    }

    #[test]
    fn a_wrong_heading_and_a_short_row_are_told() {
        let (table, problems) = read("date,lov\n2026-01-01,1\n");
        assert!(table.is_none());
        assert_eq!(problems[0].hints[0].words, "did you mean `low`?");
        let (table, problems) = read("date,low\n2026-01-01\n");
        assert_eq!(table.unwrap().rows.len(), 0);
        assert_eq!(problems[0].message, "this row has 1 cell, the heading has 2");
        let (_, problems) = read("date;low\n2026-01-01;1\n");
        let (_, mended) = problems[0].hints[0].replace.clone().unwrap();
        assert_eq!(mended, "date,low\n2026-01-01,1\n");
        assert!(read("").0.is_none());
    }
}
