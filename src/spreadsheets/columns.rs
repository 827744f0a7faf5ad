//! A table whose headings say what it holds, or whose grower does, as strict rows.

use crate::spreadsheets::cells::Sheet;
use crate::spreadsheets::headings::Column;
use crate::spreadsheets::numbers::{self, Decimal};
use crate::spreadsheets::{Picking, Rows, Taken, Told, Weather, dates};

/// The columns that hold something, and the lines.
struct Table<'a> {
    columns: Vec<(usize, Column)>,
    lines: &'a [(usize, Vec<String>)],
    decimal: Option<Decimal>,
}

impl Table<'_> {
    fn cells(&self, wanted: &str) -> Vec<(usize, &str)> {
        let Some(at) = self.at(wanted) else { return Vec::new() };
        let lines = self.lines.iter();
        lines.map(|(line, cells)| (*line, cells.get(at).map_or("", String::as_str))).collect()
    }

    fn at(&self, wanted: &str) -> Option<usize> {
        self.columns.iter().find(|(_, column)| column.word() == wanted).map(|(at, _)| *at)
    }
}

pub(super) fn take(sheet: &Sheet, told: &Told) -> Result<Taken, String> {
    let headings = sheet.headings();
    let columns = columns_of(headings, told)?;
    let numbers = ["weight", "count", "low", "high", "rain"];
    let mut table = Table { columns, lines: sheet.below(), decimal: None };
    let figures: Vec<(usize, &str)> = numbers.iter().flat_map(|word| table.cells(word)).collect();
    let decimal = numbers::decimal(&figures, told.decimal)?;
    table.decimal = decimal;
    let days = dates::column(&table.cells("date"), told.order)?;
    let is_weather = table.columns.iter().any(|(_, column)| column.is_weather());
    let mut left_out = Vec::new();
    let rows = match is_weather {
        true => Rows::Weather(weather(&table, &days.days, &mut left_out)?),
        false => Rows::Pickings(pickings(&table, &days.days, &mut left_out)?),
    };
    let mut form = vec![sheet.form()];
    form.extend(days.how);
    form.extend(decimal.map(|decimal| match decimal {
        Decimal::Comma => "decimal commas".to_owned(),
        Decimal::Point => "decimal points".to_owned(),
    }));
    let shown = headings.iter().enumerate().map(|(at, heading)| {
        let column = table.columns.iter().find(|(own, _)| *own == at).map(|(_, column)| *column);
        let first = table.lines.iter().find_map(|(_, cells)| {
            cells.get(at).filter(|cell| !cell.is_empty()).map(String::as_str)
        });
        let taken = match (column, &rows) {
            (None, _) => String::new(),
            (Some(column), rows) => first_taken(column, rows),
        };
        let word = column.map_or("(left out)", Column::word).to_owned();
        [heading.clone(), word, first.unwrap_or_default().to_owned(), taken]
    });
    let columns = shown.collect();
    Ok(Taken { columns, form, left_out, rows })
}

/// The first value of a column as it was taken.
fn first_taken(column: Column, rows: &Rows) -> String {
    let number = |value: Option<f64>| value.map(|value| value.to_string());
    let found = match rows {
        Rows::Pickings(all) => all.iter().find_map(|row| {
            let text = match column {
                Column::Date => row.date.to_string(),
                Column::Planting => row.planting.clone(),
                Column::Weight(_) => row.weight.clone(),
                Column::Count => row.count.clone(),
                Column::Unit => row.unit.clone(),
                _ => row.note.clone(),
            };
            (!text.is_empty()).then_some(text)
        }),
        Rows::Weather(all) => all.iter().find_map(|row| match column {
            Column::Low { .. } => number(row.low),
            Column::High { .. } => number(row.high),
            Column::Rain { .. } => number(row.rain),
            _ => Some(row.date.to_string()),
        }),
    };
    found.unwrap_or_default()
}

fn columns_of(headings: &[String], told: &Told) -> Result<Vec<(usize, Column)>, String> {
    let mut columns = Vec::new();
    for (column, called) in &told.columns {
        let by_name = headings.iter().position(|heading| heading.eq_ignore_ascii_case(called));
        let by_number =
            || called.parse::<usize>().ok().filter(|at| (1..=headings.len()).contains(at));
        let at = by_name.or_else(|| by_number().map(|at| at - 1)).ok_or_else(|| {
            format!("no column is called `{called}`; the headings are {}", headings.join(" | "))
        })?;
        columns.push((at, *column));
    }
    for (at, heading) in headings.iter().enumerate() {
        let Some(column) = Column::of_heading(heading) else { continue };
        let is_told =
            columns.iter().any(|(own, known)| *own == at || known.word() == column.word());
        let is_told_by_grower = told.columns.iter().any(|(known, _)| known.word() == column.word());
        match columns.iter().find(|(own, known)| *own != at && known.word() == column.word()) {
            Some((other, _)) if !is_told_by_grower => {
                return Err(format!(
                    "two columns may be the {}, `{}` and `{heading}`; say which: --columns \"{}={heading}\"",
                    column.word(),
                    headings[*other],
                    column.word()
                ));
            }
            _ if is_told => {}
            _ => columns.push((at, column)),
        }
    }
    let has = |word: &str| columns.iter().any(|(_, column)| column.word() == word);
    let is_weather = columns.iter().any(|(_, column)| column.is_weather());
    let lacking = match (has("date"), is_weather, has("planting"), has("weight") || has("count")) {
        (false, ..) => "the date",
        (_, true, ..) | (_, _, true, true) => return Ok(columns),
        (_, _, false, _) => "the planting or crop",
        _ => "the weight or the number",
    };
    let example = match lacking {
        "the date" => "date",
        "the planting or crop" => "planting",
        _ => "weight_g",
    };
    Err(format!(
        "no heading says which column is {lacking}; the headings are {}; say it as --columns \"{example}=HEADING\"",
        headings.join(" | ")
    ))
}

fn pickings(
    table: &Table<'_>,
    days: &[Option<chrono::NaiveDate>],
    left_out: &mut Vec<String>,
) -> Result<Vec<Picking>, String> {
    let cell = |cells: &[String], word: &str| {
        table.at(word).and_then(|at| cells.get(at)).cloned().unwrap_or_default()
    };
    let heading = table.columns.iter().find_map(|(_, column)| match column {
        Column::Weight(unit) => Some(*unit),
        _ => None,
    });
    let mut rows = Vec::new();
    for ((line, cells), day) in table.lines.iter().zip(days) {
        let mut leave = |why: &str| left_out.push(format!("line {line}: {why}"));
        let Some(date) = *day else {
            leave("no date can be read in it");
            continue;
        };
        let planting = cell(cells, "planting");
        if planting.is_empty() {
            leave("it does not say what was picked");
            continue;
        }
        let weight = cell(cells, "weight");
        let weight = match numbers::number(&weight, table.decimal) {
            None if is_nothing(&weight) => String::new(),
            None => {
                leave(&format!("`{weight}` is no weight"));
                continue;
            }
            Some((number, unit)) => {
                let unit = Some(unit.to_lowercase()).filter(|unit| !unit.is_empty());
                let unit = unit.or_else(|| heading.flatten().map(str::to_owned)).ok_or_else(|| {
                    format!(
                        "line {line}: `{weight}` has no unit, and neither has its heading; say it: --columns \
                         \"weight_g=HEADING\" (or weight_kg, weight_oz, weight_lb)"
                    )
                })?;
                format!("{number} {}", if unit == "gr" { "g" } else { &unit })
            }
        };
        let count = cell(cells, "count");
        let count = match numbers::number(&count, table.decimal) {
            None if is_nothing(&count) => String::new(),
            Some((number, _)) if number.fract() == 0.0 && number >= 0.0 => number.to_string(),
            _ => {
                leave(&format!("`{count}` is no number of pieces"));
                continue;
            }
        };
        if weight.is_empty() && count.is_empty() {
            leave("neither a weight nor a number");
            continue;
        }
        let (unit, note) = (cell(cells, "unit"), cell(cells, "note"));
        rows.push(Picking { line: *line, date, planting, weight, count, unit, note });
    }
    Ok(rows)
}

fn weather(
    table: &Table<'_>,
    days: &[Option<chrono::NaiveDate>],
    left_out: &mut Vec<String>,
) -> Result<Vec<Weather>, String> {
    let units: Vec<_> = table
        .columns
        .iter()
        .filter_map(|(at, column)| match column {
            Column::Low { is_us } | Column::High { is_us } | Column::Rain { is_us } => {
                Some((*at, column.word(), *is_us))
            }
            _ => None,
        })
        .collect();
    if let Some((_, word, _)) = units.iter().find(|(_, _, is_us)| is_us.is_none()) {
        let (metric, us) =
            if *word == "rain" { ("rain_mm", "rain_in") } else { ("low_c", "low_f") };
        let (metric, us) = (metric.replace("low", word), us.replace("low", word));
        return Err(format!(
            "the heading of the {word} says no unit; say it: --columns \"{metric}=HEADING\" or \"{us}=HEADING\""
        ));
    }
    let is_us =
        |word: &str| units.iter().any(|(_, own, is_us)| *own == word && *is_us == Some(true));
    let celsius = |value: f64, is_us: bool| if is_us { (value - 32.0) / 1.8 } else { value };
    let mut rows = Vec::new();
    for ((line, cells), day) in table.lines.iter().zip(days) {
        let Some(date) = *day else {
            left_out.push(format!("line {line}: no date can be read in it"));
            continue;
        };
        let value = |word: &str| {
            let cell = table.at(word).and_then(|at| cells.get(at))?;
            numbers::number(cell, table.decimal).map(|(number, _)| number).filter(is_likely)
        };
        let all_us = units.iter().all(|(_, _, is_us)| *is_us == Some(true));
        let temperature = |word: &str| {
            value(word).map(|value| if all_us { value } else { celsius(value, is_us(word)) })
        };
        let rain =
            value("rain").map(|rain| if is_us("rain") && !all_us { rain * 25.4 } else { rain });
        rows.push(Weather {
            date,
            low: temperature("low"),
            high: temperature("high"),
            rain,
            is_us: all_us,
        });
    }
    Ok(rows)
}

/// Instruments write -99.9, -999 or 9999 for what they do not know.
fn is_likely(value: &f64) -> bool {
    (-99.0..999.0).contains(value)
}

/// What people write into a cell to say that there is nothing in it.
fn is_nothing(cell: &str) -> bool {
    let cell = cell.to_lowercase();
    ["", "-", "–", "—", "?", "n/a", "na", "some", "x"].contains(&cell.as_str())
}
