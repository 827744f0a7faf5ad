//! Daily weather from tables: date, low, high, rain.

use chrono::{Datelike, NaiveDate};

use crate::dates;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words;
use crate::origin::{Origin, Written};
use crate::source::files::File;
use crate::source::problems::values::bad_cell;
use crate::source::table::{Row, Table, read_table};
use crate::units::{System, TemperatureUnit};

/// One day of weather. What is not known is not zero.
#[derive(Clone, Copy, Debug)]
pub struct WeatherRow {
    /// The row.
    pub at: Origin,
    pub date: NaiveDate,
    /// Lowest temperature, °C.
    pub low_c: Option<f64>,
    /// Highest temperature, °C.
    pub high_c: Option<f64>,
    /// Rain, mm.
    pub rain_mm: Option<f64>,
}

const COLUMNS: &[&str] =
    &["date", "low", "high", "rain", "low_c", "high_c", "rain_mm", "low_f", "high_f", "rain_in"];

/// Reads one table; its units are the garden's (unknown where garden.yaml cannot be read) unless the
/// heading says otherwise.
pub fn read_weather(
    file: &File,
    units: Option<System>,
    problems: &mut Problems,
) -> Vec<WeatherRow> {
    let Some(table) = read_table(file, COLUMNS, &["date"], problems) else { return Vec::new() };
    problems.extend(missing_days(&table));
    table.rows.iter().filter_map(|row| read_row(&table, row, units, problems)).collect()
}

/// Days that no row is about, between the first row and the last; told once for a table.
///
/// A row whose date cannot be read is told by itself, so nothing is missing beside it.
fn missing_days(table: &Table) -> Option<Problem> {
    let mut before: Option<NaiveDate> = None;
    let mut first: Option<(NaiveDate, NaiveDate, Origin)> = None;
    let mut missing = 0;
    for row in &table.rows {
        let date = table.cell(row, "date").and_then(|cell| dates::date(&cell.value).ok());
        if let (Some(before), Some(date)) = (before, date) {
            let between = (date - before).num_days() - 1;
            if between > 0 {
                missing += between as usize;
                let gap = (dates::shift(before, 1), dates::shift(date, -1), row.at);
                first = first.or(Some(gap));
            }
        }
        before = date;
    }
    let (from, to, at) = first?;
    let days = if from == to {
        format!("{from} is missing")
    } else {
        format!("{from} to {to} are missing")
    };
    let rest = match missing - ((to - from).num_days() + 1) as usize {
        0 => String::new(),
        rest => format!(", and {} later on", words::count(rest, "day")),
    };
    Some(
        Problem::new(Code::MissingDays, at, format!("before this row {days}{rest}"))
            .label("days are missing before this")
            .hint("write a row for each day, with empty cells for what is not known"),
    )
}

fn read_row(
    table: &Table,
    row: &Row,
    units: Option<System>,
    problems: &mut Problems,
) -> Option<WeatherRow> {
    let before = problems.len();
    let date = date_cell(table, row, problems);
    let is_us = units == Some(System::Us);
    let low = temperature(table, row, ["low", "low_c", "low_f"], is_us, problems);
    let high = temperature(table, row, ["high", "high_c", "high_f"], is_us, problems);
    let in_inches = cell_number(table, row, "rain_in", problems).map(|inches| inches.value * 25.4);
    let in_mm = cell_number(table, row, "rain_mm", problems).map(|mm| mm.value);
    let plain = cell_number(table, row, "rain", problems)
        .map(|rain| if is_us { rain.value * 25.4 } else { rain.value });
    let rain = plain.or(in_mm).or(in_inches);
    if let (Some((low, low_at)), Some((high, high_at))) = (low, high)
        && low > high
    {
        problems.add(
            Problem::new(Code::TableRow, low_at, "the low of this day is above its high")
                .label("low")
                .also(high_at, "high")
                .hint("perhaps the two are exchanged"),
        );
    }
    let hottest = low.into_iter().chain(high).find(|(value, _)| !(-90.0..=60.0).contains(value));
    if let (Some((_, at)), Some(_)) = (hottest, units) {
        problems.add(
            Problem::new(Code::TableRow, at, "no place on earth has been so hot or so cold")
                .hint("if the column is in °F, name it `low_f` or `high_f`, or set `units: us`"),
        );
    }
    if rain.is_some_and(|rain| rain < 0.0) {
        problems.add(
            Problem::new(Code::TableRow, row.at, "rain cannot be less than nothing")
                .hint("leave the cell empty if it is unknown"),
        );
    }
    let low_c = low.map(|(low, _)| low);
    let high_c = high.map(|(high, _)| high);
    (before == problems.len()).then_some(WeatherRow {
        at: row.at,
        date: date?,
        low_c,
        high_c,
        rain_mm: rain,
    })
}

/// The cell `date` of a row; what is wrong with it is told.
pub(super) fn date_cell(table: &Table, row: &Row, problems: &mut Problems) -> Option<NaiveDate> {
    let Some(cell) = table.cell(row, "date") else {
        problems.add(
            Problem::new(Code::TableRow, row.at, "this row has no date")
                .hint("write the day as 2026-02-22, or take the row away"),
        );
        return None;
    };
    match dates::date(&cell.value) {
        Ok(date) if (1800..=2200).contains(&date.year()) => Some(date),
        Ok(_) => None,
        Err(trouble) => {
            problems.add(bad_cell(cell.at, &trouble, "write the day as 2026-02-22"));
            None
        }
    }
}

fn temperature(
    table: &Table,
    row: &Row,
    [plain, celsius, fahrenheit]: [&str; 3],
    is_us: bool,
    problems: &mut Problems,
) -> Option<(f64, Origin)> {
    let from_f = |cell: Written<f64>| (TemperatureUnit::Fahrenheit.of(cell.value).0, cell.at);
    let in_f = cell_number(table, row, fahrenheit, problems).map(from_f);
    let in_c = cell_number(table, row, celsius, problems).map(|cell| (cell.value, cell.at));
    let as_set = cell_number(table, row, plain, problems)
        .map(|cell| if is_us { from_f(cell) } else { (cell.value, cell.at) });
    as_set.or(in_c).or(in_f)
}

/// The number in a cell; an empty cell is unknown.
pub(super) fn cell_number(
    table: &Table,
    row: &Row,
    column: &str,
    problems: &mut Problems,
) -> Option<Written<f64>> {
    let cell = table.cell(row, column)?;
    match cell.value.parse::<f64>() {
        Ok(number) if number.is_finite() => Some(Written::new(number, cell.at)),
        _ => {
            problems.add(
                Problem::new(Code::TableRow, cell.at, format!("`{}` is not a number", cell.value))
                    .hint(
                        "write the number alone, with a decimal point; the heading tells the unit",
                    ),
            );
            None
        }
    }
}
