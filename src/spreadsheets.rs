//! Tables as people and weather services have them, made into strict rows.
//!
//! What a table says by itself is taken; what it cannot say is asked for, and nothing is guessed.

mod cells;
mod columns;
mod dates;
mod headings;
mod numbers;
mod services;

use chrono::NaiveDate;

use self::cells::Sheet;
pub(crate) use self::dates::Order;
pub(crate) use self::headings::Column;
pub(crate) use self::numbers::Decimal;

/// What the grower said about a table, because the table does not.
#[derive(Clone, Debug, Default)]
pub(crate) struct Told {
    /// What columns hold, by their heading or number.
    pub(crate) columns: Vec<(Column, String)>,
    /// In which order day and month stand.
    pub(crate) order: Option<Order>,
    /// Which sign divides a number.
    pub(crate) decimal: Option<Decimal>,
    /// In which units a service's file holds its figures.
    pub(crate) scale: Option<Scale>,
}

/// The units of a daily file of the Global Historical Climatology Network, which do not stand in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Scale {
    /// Tenths of °C and of mm.
    Tenths,
    /// °C and mm.
    Metric,
    /// °F and inches.
    Us,
}

/// What was understood of a table.
#[derive(Debug)]
pub(crate) struct Taken {
    /// What is held: pickings or weather.
    pub(crate) rows: Rows,
    /// What the whole is and how its cells are divided, for the grower to look over.
    pub(crate) form: Vec<String>,
    /// Each column: its heading, what it was taken for, a cell as written and as taken.
    pub(crate) columns: Vec<[String; 4]>,
    /// Lines that were left out, each with the reason.
    pub(crate) left_out: Vec<String>,
}

/// The strict rows.
#[derive(Debug)]
pub(crate) enum Rows {
    Pickings(Vec<Picking>),
    /// Days of weather.
    Weather(Vec<Weather>),
}

/// A picking; who was picked is still as the table calls it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Picking {
    /// The line of the table.
    pub(crate) line: usize,
    pub(crate) date: NaiveDate,
    pub(crate) planting: String,
    pub(crate) weight: String,
    pub(crate) count: String,
    pub(crate) unit: String,
    pub(crate) note: String,
}

/// A day of weather: °C and mm, or °F and inches.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Weather {
    pub(crate) date: NaiveDate,
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
    pub(crate) rain: Option<f64>,
    /// Whether in °F and inches.
    pub(crate) is_us: bool,
}

/// Understands a table.
///
/// # Errors
/// If it does not say enough; with the question for the grower.
pub(crate) fn take(bytes: &[u8], told: &Told) -> Result<Taken, String> {
    let sheet = Sheet::read(bytes)?;
    match services::of(&sheet) {
        Some(service) if told.columns.is_empty() => services::take(service, &sheet, told),
        _ => columns::take(&sheet, told),
    }
}
