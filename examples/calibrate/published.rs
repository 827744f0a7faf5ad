//! Published calendars, and the climate of the town that stands for their region.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use trug::calendar::{self, GrowingYear};
use trug::climate::conditions::{Conditions, FrostKnowledge};
use trug::climate::frost::FrostModel;
use trug::climate::half_year::{Half, HalfYear};
use trug::climate::normals::Normals;
use trug::dates::{MonthDay, month_day};

const PUBLISHED: &str = include_str!("../../tests/reference/calendars/published.csv");
const CLIMATES: &str = include_str!("../../tests/reference/calendars/climates.csv");

/// Regions whose source covers the whole year for a crop that it names.
const COMPLETE: [&str; 6] = [
    "Florida central",
    "Florida south",
    "Kansas east",
    "Utah Wasatch Front",
    "Queensland south-east",
    "Florida north",
];

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

pub(crate) fn regions() -> Vec<Region> {
    let mut windows: BTreeMap<String, Vec<Window>> = BTreeMap::new();
    for row in rows(PUBLISHED) {
        windows.entry(row[0].clone()).or_default().push(window(&row));
    }
    rows(CLIMATES)
        .map(|row| Region {
            is_complete: COMPLETE.contains(&row[0].as_str()),
            years: years(&conditions(&row)),
            windows: windows.remove(&row[0]).unwrap_or_default(),
            name: row[0].clone(),
        })
        .collect()
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

fn conditions(row: &[String]) -> Conditions {
    let number = |index: usize| row[index].parse::<f64>().expect("a number");
    let twelve = |first: usize| std::array::from_fn(|month| number(first + month));
    let latitude = number(1);
    let frost = |half, index: usize| {
        let days = [&row[index], &row[index + 1]].map(|text| month_day(text).ok());
        let window = HalfYear::at(half, latitude);
        match days {
            [Some(p50), Some(p10)] if window.number_of(p50).is_some() => {
                FrostModel::from_dates(half, latitude, p50, p10, 1.0)
                    .map_or(FrostKnowledge::Unknown, FrostKnowledge::Given)
            }
            [_, Some(p10)] if window.number_of(p10).is_some() => {
                FrostKnowledge::Observed(rare(window, p10), 30)
            }
            _ => FrostKnowledge::Observed(FrostModel::fit(window, &[], 30), 30),
        }
    };
    Conditions {
        latitude_deg: latitude,
        longitude_deg: number(2),
        normals: Some(Normals::new(twelve(3), twelve(15), None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: frost(Half::Spring, 27),
        autumn_frost: frost(Half::Autumn, 29),
        risk: 0.1,
    }
}

/// Frost in two years of seven, with its 10 % date: a normal law with a standard deviation of 15 days.
fn rare(window: HalfYear, p10: MonthDay) -> FrostModel {
    let number = window.number_of(p10).unwrap_or(1.0);
    // 0.1 = 2/7 of the upper (spring) or lower (autumn) 35 %: 0.385 standard deviations from the mean.
    let side = if window.half() == Half::Spring { -1.0 } else { 1.0 };
    let (mean, apart) = (number + side * 0.385 * 15.0, 15.0 / std::f64::consts::SQRT_2);
    FrostModel::fit(window, &[mean - apart, mean + apart], 7)
}

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
