//! `trug take`: a table as people or weather services have it, as the strict one that trug reads.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::cli::arguments::{Format, Take};
use crate::cli::{Failure, Outcome, folders, start, tell};
use crate::dates;
use crate::diagnostics::codes::Severity;
use crate::diagnostics::words::{self, Tick};
use crate::garden::model::Garden;
use crate::names::{folded, slug};
use crate::publish;
use crate::spreadsheets::{self, Column, Picking, Rows, Taken, Told, Weather};

pub(super) fn run(arguments: &Take) -> Result<Outcome, Failure> {
    let inputs = folders::read(&arguments.content)?;
    let (garden, _) = publish::read(&inputs);
    let bytes = read(&arguments.file)?;
    let file = arguments.file.display();
    let mut taken = spreadsheets::take(&bytes, &told(arguments)?)
        .map_err(|question| Failure(format!("{file}: {question}")))?;
    show(arguments, &taken)?;
    let (folder, text, rows) = match &mut taken.rows {
        Rows::Pickings(rows) => {
            let names = names(arguments)?;
            resolve(rows, &garden, &names)
                .map_err(|question| Failure(format!("{file}: {question}")))?;
            ("harvests", pickings_text(rows)?, rows.len())
        }
        Rows::Weather(rows) => {
            let days = without_gaps(std::mem::take(rows), &mut taken.left_out);
            ("weather", weather_text(&days), days.len())
        }
    };
    for line in &taken.left_out {
        tell::note(&format!("Left out: {line}"));
    }
    if rows == 0 {
        return Err(Failure(format!("{file}: nothing in it could be taken")));
    }
    let stem =
        arguments.file.file_stem().map_or(String::new(), |stem| stem.to_string_lossy().into());
    let name = arguments.name.clone().unwrap_or_else(|| slug(&stem));
    let path = format!("{folder}/{name}.csv");
    let whole = arguments.content.content.join(&path);
    if whole.exists() {
        return Err(Failure(format!(
            "{} is there already; give the new table another name with --name",
            whole.display()
        )));
    }
    start::write_new(&whole, &text)?;
    tell::out(&format!("{}\n", whole.display()))?;
    tell::note(&format!("Taken: {}.", words::count(rows, "row")));
    let inputs = folders::read(&arguments.content)?;
    let (_, problems) = publish::read(&inputs);
    let id = inputs.content.find(&path).map(|file| file.id);
    let problems: Vec<_> =
        problems.into_sorted().into_iter().filter(|problem| problem.at.file() == id).collect();
    tell::problems(&problems, &inputs, &arguments.content, Format::Human)?;
    let has_errors = problems.iter().any(|problem| problem.severity() == Severity::Error);
    Ok(if has_errors { Outcome::Problems } else { Outcome::Fine })
}

/// What was understood, as a table.
fn show(arguments: &Take, taken: &Taken) -> Result<(), Failure> {
    tell::note(&format!("{}: {}.", arguments.file.display(), taken.form.join("; ")));
    let head = ["in the file", "taken as", "its first cell", "becomes"].map(str::to_owned);
    let lines: Vec<&[String; 4]> = std::iter::once(&head).chain(&taken.columns).collect();
    let width = |at: usize| lines.iter().map(|line| line[at].chars().count()).max().unwrap_or(0);
    let widths = [0, 1, 2].map(width);
    for line in lines {
        let pad = |at: usize| {
            format!("{}{}", line[at], " ".repeat(widths[at] - line[at].chars().count()))
        };
        let shown = format!("  {}  {}  {}  {}", pad(0), pad(1), pad(2), line[3]);
        tell::note(shown.trim_end());
    }
    Ok(())
}

fn told(arguments: &Take) -> Result<Told, Failure> {
    let mut columns = Vec::new();
    for (name, called) in pairs(&arguments.columns, "--columns")? {
        let column = Column::named(&name).ok_or_else(|| {
            let known: Vec<_> = Column::names().collect();
            let near = words::nearest(&name, known.iter().copied());
            let hint = near.map_or(format!("it can be {}", words::any_of(&known)), |near| {
                format!("did you mean {}?", Tick(near))
            });
            Failure(format!("--columns: {} is not what a column can hold; {hint}", Tick(&name)))
        })?;
        columns.push((column, called));
    }
    Ok(Told {
        columns,
        order: arguments.date_order,
        decimal: arguments.decimal,
        scale: arguments.units,
    })
}

/// Names of the table with the ids they stand for.
fn names(arguments: &Take) -> Result<BTreeMap<String, String>, Failure> {
    let pairs = pairs(&arguments.names, "--names")?;
    Ok(pairs.into_iter().map(|(name, id)| (folded(&name), id)).collect())
}

/// `a=b, c=d`.
fn pairs(all: &[String], option: &str) -> Result<Vec<(String, String)>, Failure> {
    let parts = all.iter().flat_map(|text| text.split(',')).filter(|part| !part.trim().is_empty());
    let pair = |part: &str| {
        let (name, value) = part.split_once('=').ok_or_else(|| {
            Failure(format!("{option}: {} has no `=`; write NAME=VALUE", Tick(part.trim())))
        })?;
        Ok((name.trim().to_owned(), value.trim().to_owned()))
    };
    parts.map(pair).collect()
}

/// Puts ids in the place of names: an id, the planting that the grower says, or the only one of the crop or
/// variety that grew on the day.
fn resolve(
    rows: &mut [Picking],
    garden: &Garden,
    told: &BTreeMap<String, String>,
) -> Result<(), String> {
    let mut open: BTreeMap<String, (usize, BTreeSet<&str>)> = BTreeMap::new();
    for row in rows.iter_mut() {
        let name = folded(told.get(&folded(&row.planting)).unwrap_or(&row.planting));
        let crop = garden.catalogue.find(&name);
        let mut found: Vec<&str> = Vec::new();
        for (_, planting) in garden.plantings() {
            if folded(&planting.id) == name {
                found = vec![&planting.id];
                break;
            }
            let is_variety = planting.variety.as_ref().is_some_and(|own| folded(own) == name);
            if (Some(planting.crop) == crop || is_variety) && planting.is_alive_on(row.date) {
                found.push(&planting.id);
            }
        }
        if let [id] = found.as_slice() {
            row.planting = (*id).to_owned();
            continue;
        }
        let (times, ids) = open.entry(row.planting.clone()).or_default();
        *times += 1;
        ids.extend(found);
    }
    if open.is_empty() {
        return Ok(());
    }
    let one = |(name, (times, ids)): (&String, &(usize, BTreeSet<&str>))| {
        let ids: Vec<&str> = ids.iter().copied().collect();
        let which = match ids.as_slice() {
            [] => "no planting of this name grew then".to_owned(),
            ids => words::any_of(ids),
        };
        format!("{} ({}): {which}", Tick(name), words::count(*times, "row"))
    };
    let list: Vec<String> = open.iter().map(one).collect();
    let first = open.keys().next().map_or("", String::as_str);
    Err(format!(
        "these stand for no one planting: {}; say which: --names \"{first}=ID\"",
        list.join("; ")
    ))
}

fn pickings_text(rows: &[Picking]) -> Result<String, Failure> {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    let failed = |error: csv::Error| Failure(format!("cannot write the table: {error}"));
    writer.write_record(["date", "planting", "weight", "count", "unit", "note"]).map_err(failed)?;
    for row in rows {
        let date = row.date.to_string();
        let cells = [&date, &row.planting, &row.weight, &row.count, &row.unit, &row.note];
        writer.write_record(cells).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|error| Failure(error.to_string()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// In the order of the days, each once, with an empty row for a day that is missing.
fn without_gaps(mut rows: Vec<Weather>, left_out: &mut Vec<String>) -> Vec<Weather> {
    rows.sort_by_key(|row| row.date);
    let mut days: Vec<Weather> = Vec::new();
    let mut missing = 0;
    for row in rows {
        match days.last().map(|last| last.date) {
            Some(last) if last == row.date => {
                left_out.push(format!("{last} stands twice; the first was taken"));
                continue;
            }
            Some(last) => {
                let between = (1..(row.date - last).num_days()).map(|day| dates::shift(last, day));
                let empty = |date: NaiveDate| Weather {
                    date,
                    low: None,
                    high: None,
                    rain: None,
                    is_us: row.is_us,
                };
                let before = days.len();
                days.extend(between.map(empty));
                missing += days.len() - before;
            }
            None => {}
        }
        days.push(row);
    }
    if missing > 0 {
        left_out.push(format!(
            "nothing, but {} without a line got an empty row",
            words::count(missing, "day")
        ));
    }
    days
}

fn weather_text(days: &[Weather]) -> String {
    let is_us = days.iter().any(|day| day.is_us);
    let heading = if is_us { "date,low_f,high_f,rain_in\n" } else { "date,low_c,high_c,rain_mm\n" };
    let cell = |value: Option<f64>| {
        value.map_or(String::new(), |value| ((value * 100.0).round() / 100.0).to_string())
    };
    let line = |day: &Weather| {
        format!("{},{},{},{}\n", day.date, cell(day.low), cell(day.high), cell(day.rain))
    };
    std::iter::once(heading.to_owned()).chain(days.iter().map(line)).collect()
}

#[expect(clippy::disallowed_methods, reason = "commands read what they are given")]
fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let failed = |error| Failure(format!("cannot read {}: {error}", PathBuf::from(path).display()));
    std::fs::read(path).map_err(failed)
}
