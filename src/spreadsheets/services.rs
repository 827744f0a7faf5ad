//! Daily files of national weather services, by their documented formats.

use chrono::NaiveDate;

use crate::diagnostics::words;
use crate::spreadsheets::cells::Sheet;
use crate::spreadsheets::numbers;
use crate::spreadsheets::{Rows, Scale, Taken, Told, Weather};

/// A service and the form of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Service {
    /// NOAA's Global Historical Climatology Network, daily: a line for each element of a day (readme-by_station.txt;
    /// elements and their units, tenths of °C and of mm, in section III of its readme).
    GhcnLines,
    /// The same as a table of a station, a column for each element; in which units it was ordered it does not say.
    GhcnTable,
    /// Deutscher Wetterdienst, daily values of climate stations (KL): °C and mm, -999 for what is missing
    /// (description of the daily values in the Climate Data Center).
    Dwd,
    /// Environment and Climate Change Canada, daily data: °C and mm, with the units in the headings
    /// (technical documentation of the daily data).
    Canada,
}

impl Service {
    fn name(self) -> &'static str {
        match self {
            Service::GhcnLines | Service::GhcnTable => {
                "daily file of the Global Historical Climatology Network"
            }
            Service::Dwd => "daily file of the Deutscher Wetterdienst",
            Service::Canada => "daily file of Environment and Climate Change Canada",
        }
    }
}

/// Whose file this is, if it is one of a service.
pub(super) fn of(sheet: &Sheet) -> Option<Service> {
    let headings = sheet.headings();
    let has = |all: &[&str]| all.iter().all(|name| headings.iter().any(|heading| heading == name));
    if has(&["STATIONS_ID", "MESS_DATUM"]) && (has(&["TNK"]) || has(&["TXK"]) || has(&["RSK"])) {
        return Some(Service::Dwd);
    }
    if has(&["Date/Time"]) && (has(&["Max Temp (°C)"]) || has(&["Total Precip (mm)"])) {
        return Some(Service::Canada);
    }
    if has(&["STATION", "DATE"]) && (has(&["TMAX"]) || has(&["TMIN"]) || has(&["PRCP"])) {
        return Some(Service::GhcnTable);
    }
    let is_element = |cell: &String| {
        cell.len() == 4 && cell.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
    };
    match headings {
        [station, day, element, ..]
            if station.len() == 11
                && day.len() == 8
                && is_element(element)
                && compact(day).is_some() =>
        {
            Some(Service::GhcnLines)
        }
        _ => None,
    }
}

pub(super) fn take(service: Service, sheet: &Sheet, told: &Told) -> Result<Taken, String> {
    let mut left_out = Vec::new();
    let (rows, columns) = match service {
        Service::GhcnLines => (
            by_element(sheet, &mut left_out),
            vec![["TMIN", "low"], ["TMAX", "high"], ["PRCP", "rain"]],
        ),
        Service::GhcnTable => {
            let scale = told.scale.ok_or(
                "this is a daily file of the Global Historical Climatology Network, and it does not say in which units \
                 it was ordered; say --units tenths (of °C and mm, as they are stored), --units metric or --units us",
            )?;
            let names = ["DATE", "TMIN", "TMAX", "PRCP"];
            (
                table(sheet, names, scale, &mut left_out),
                vec![["TMIN", "low"], ["TMAX", "high"], ["PRCP", "rain"]],
            )
        }
        Service::Dwd => {
            let names = ["MESS_DATUM", "TNK", "TXK", "RSK"];
            (
                table(sheet, names, Scale::Metric, &mut left_out),
                vec![["TNK", "low"], ["TXK", "high"], ["RSK", "rain"]],
            )
        }
        Service::Canada => {
            let names = ["Date/Time", "Min Temp (°C)", "Max Temp (°C)", "Total Precip (mm)"];
            let shown = vec![
                ["Min Temp (°C)", "low"],
                ["Max Temp (°C)", "high"],
                ["Total Precip (mm)", "rain"],
            ];
            (table(sheet, names, Scale::Metric, &mut left_out), shown)
        }
    };
    let first = |of: fn(&Weather) -> Option<f64>| {
        rows.iter().find_map(of).map_or(String::new(), |value| value.to_string())
    };
    let firsts = [first(|row| row.low), first(|row| row.high), first(|row| row.rain)];
    let columns = columns
        .iter()
        .zip(firsts)
        .map(|([heading, word], taken)| {
            [(*heading).to_owned(), (*word).to_owned(), String::new(), taken]
        })
        .collect();
    let form = vec![service.name().to_owned(), sheet.form()];
    Ok(Taken { rows: Rows::Weather(rows), form, columns, left_out })
}

/// A line for each day, a column for each element.
fn table(
    sheet: &Sheet,
    names: [&str; 4],
    scale: Scale,
    left_out: &mut Vec<String>,
) -> Vec<Weather> {
    let at = names.map(|name| sheet.headings().iter().position(|heading| heading == name));
    let mut rows = Vec::new();
    for (line, cells) in sheet.below() {
        let cell = |index: usize| at[index].and_then(|at| cells.get(at)).map(String::as_str);
        let day = cell(0).and_then(|day| compact(day).or_else(|| day.parse().ok()));
        let Some(date) = day else {
            left_out.push(format!("line {line}: no date can be read in it"));
            continue;
        };
        let value = |index: usize| {
            let (number, _) = numbers::number(cell(index)?, None)?;
            let is_known = number.abs() < if scale == Scale::Tenths { 9999.0 } else { 999.0 };
            is_known.then_some(if scale == Scale::Tenths { number / 10.0 } else { number })
        };
        rows.push(Weather {
            date,
            low: value(1),
            high: value(2),
            rain: value(3),
            is_us: scale == Scale::Us,
        });
    }
    rows
}

/// A line for each element of a day: station, day, element, value, and three marks; what failed a check of quality
/// (the second mark) is not taken.
fn by_element(sheet: &Sheet, left_out: &mut Vec<String>) -> Vec<Weather> {
    let mut days = std::collections::BTreeMap::<NaiveDate, Weather>::new();
    let mut failed = 0;
    for (line, cells) in &sheet.lines {
        let cell = |index: usize| cells.get(index).map_or("", String::as_str);
        let (Some(date), Some((value, _))) = (compact(cell(1)), numbers::number(cell(3), None))
        else {
            left_out.push(format!("line {line}: no date or no value can be read in it"));
            continue;
        };
        let day = days.entry(date).or_insert(Weather {
            date,
            low: None,
            high: None,
            rain: None,
            is_us: false,
        });
        let slot = match cell(2) {
            "TMIN" => &mut day.low,
            "TMAX" => &mut day.high,
            "PRCP" => &mut day.rain,
            _ => continue,
        };
        if !cell(5).is_empty() {
            failed += 1;
        } else if value.abs() < 9999.0 {
            *slot = Some(value / 10.0);
        }
    }
    if failed > 0 {
        let values = words::count(failed, "value");
        left_out.push(format!("{values} marked by the service as failing its check of quality"));
    }
    days.into_values().collect()
}

/// `20250403`.
fn compact(day: &str) -> Option<NaiveDate> {
    if day.len() == 8 { NaiveDate::parse_from_str(day, "%Y%m%d").ok() } else { None }
}
