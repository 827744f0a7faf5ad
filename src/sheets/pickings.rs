//! Pickings in bulk from tables: date, planting, weight, count, unit, note.

use chrono::NaiveDate;

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::journal::harvest::Harvest;
use crate::journal::subject::Subject;
use crate::origin::Written;
use crate::sheets::weather::date_cell;
use crate::source::files::File;
use crate::source::problems::values::bad_cell;
use crate::source::table::{Row, Table, read_table};
use crate::units;

const COLUMNS: &[&str] = &["date", "planting", "weight", "count", "unit", "note"];

/// Reads one table of `harvests/`: each row is a harvest with its own day.
pub fn read_pickings(file: &File, problems: &mut Problems) -> Vec<(NaiveDate, Harvest)> {
    let Some(table) = read_table(file, COLUMNS, &["date", "planting"], problems) else {
        return Vec::new();
    };
    table.rows.iter().filter_map(|row| read_row(&table, row, problems)).collect()
}

fn read_row(table: &Table, row: &Row, problems: &mut Problems) -> Option<(NaiveDate, Harvest)> {
    let before = problems.len();
    let date = date_cell(table, row, problems);
    let planting = table.cell(row, "planting").cloned();
    if planting.is_none() {
        problems.add(
            Problem::new(Code::TableRow, row.at, "this row does not say which planting")
                .hint("write the planting's id in the column `planting`"),
        );
    }
    let weight = cell(table, row, "weight", units::mass, problems);
    let count = cell(table, row, "count", units::whole, problems);
    let is_empty = ["weight", "count"].iter().all(|column| table.cell(row, column).is_none());
    if is_empty {
        problems.add(
            Problem::new(Code::TableRow, row.at, "this row has neither weight nor count")
                .hint("write `450 g` or a number of fruits, or take the row away"),
        );
    }
    if before != problems.len() {
        return None;
    }
    let subject = Subject {
        at: row.at,
        plantings: planting.into_iter().collect(),
        places: Vec::new(),
        crops: Vec::new(),
        called: Vec::new(),
        except: Vec::new(),
    };
    let harvest = Harvest {
        weight,
        count,
        unit: table.cell(row, "unit").cloned(),
        note: table.cell(row, "note").cloned(),
        ..Harvest::of(subject)
    };
    Some((date?, harvest))
}

fn cell<T>(
    table: &Table,
    row: &Row,
    column: &str,
    parse: fn(&str) -> Result<T, units::Trouble>,
    problems: &mut Problems,
) -> Option<Written<T>> {
    let cell = table.cell(row, column)?;
    match parse(&cell.value) {
        Ok(value) => Some(Written::new(value, cell.at)),
        Err(trouble) => {
            let otherwise = "mend the cell, or leave it empty if it is unknown";
            problems.add(bad_cell(cell.at, &trouble, otherwise));
            None
        }
    }
}
