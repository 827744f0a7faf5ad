//! Published calendars, and what a garden has in the town that stands for their region, if it tells nothing but its name.

use chrono::NaiveDate;
use trug::calendar::{self, GrowingYear};
use trug::climate::conditions::Conditions;

use super::town;

const PUBLISHED: &str = include_str!("../../tests/reference/calendars/published.csv");

/// Regions whose source covers the whole year for a crop that it names. The one of Utah does not: it says that its dates are
/// those of the first planting, and that more may follow.
const COMPLETE: [&str; 5] =
    ["Florida central", "Florida south", "Kansas east", "Queensland south-east", "Florida north"];

/// A region, its climate and its published windows.
pub(crate) struct Region {
    pub(crate) name: String,
    pub(crate) is_complete: bool,
    pub(crate) years: [GrowingYear; 3],
    pub(crate) windows: Vec<Window>,
}

/// A published window. Its ends are days of a year of 365 days, from 0: the first and the last that it may mean.
#[derive(Clone, Debug)]
pub(crate) struct Window {
    pub(crate) crop: String,
    pub(crate) what: String,
    pub(crate) from: Option<(i64, i64)>,
    pub(crate) to: Option<(i64, i64)>,
    pub(crate) told: String,
    pub(crate) is_advised: bool,
}

/// In the order of the table.
pub(crate) fn regions() -> Vec<Region> {
    let mut regions: Vec<Region> = Vec::new();
    for row in rows(PUBLISHED) {
        if regions.last().is_none_or(|region| region.name != row[0]) {
            let number = |index: usize| row[index].parse::<f64>().expect("a number");
            let conditions = town::at(number(2), number(3), Some(number(4))).expect("land");
            regions.push(Region {
                is_complete: COMPLETE.contains(&row[0].as_str()),
                years: years(&conditions),
                windows: Vec::new(),
                name: row[0].clone(),
            });
        }
        regions.last_mut().expect("a region").windows.push(window(&row));
    }
    regions
}

pub(crate) fn years(conditions: &Conditions) -> [GrowingYear; 3] {
    let middle = if conditions.latitude_deg < 0.0 { 1 } else { 7 };
    let day = NaiveDate::from_ymd_opt(2026, middle, 1).expect("a date");
    calendar::years_around(conditions, day)
}

fn window(row: &[String]) -> Window {
    let (from, to, precision) = (&row[7], &row[8], &row[9]);
    let told = format!("{from}..{to} ({precision})");
    let band = |text: &str| (!text.is_empty()).then(|| band(text, precision));
    Window {
        crop: row[5].clone(),
        what: row[6].clone(),
        from: band(from),
        to: band(to),
        told,
        is_advised: precision != "not recommended",
    }
}

/// Days that a published end may mean, by how exactly it was told.
fn band(text: &str, precision: &str) -> (i64, i64) {
    let month: usize = text[..2].parse().expect("a month");
    let day: i64 = text[3..].parse().expect("a day");
    let (first, length) = (FIRST[month - 1], FIRST[month] - FIRST[month - 1]);
    match precision {
        "month" => (first, first + length - 1),
        "half month" if day <= 15 => (first, first + 14),
        "half month" => (first + 15, first + length - 1),
        _ => (first + day.min(length) - 1, first + day.min(length) - 1),
    }
}

/// The first day of each month, and the length of the year.
const FIRST: [i64; 13] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];

fn rows(text: &str) -> impl Iterator<Item = Vec<String>> {
    text.lines().skip(1).map(fields)
}

/// The cells of a line; a cell in quotes may hold commas.
fn fields(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut is_quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => is_quoted = !is_quoted,
            ',' if !is_quoted => cells.push(String::new()),
            _ => cells.last_mut().expect("a cell").push(letter),
        }
    }
    cells
}
