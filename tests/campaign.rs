//! Long campaigns, run by hand: `tests/campaign`. Their last results stand in `tests/campaign.md`.

use chrono::{Datelike, Days, NaiveDate};
use trug::publish::publish;
use trug::render::sink::MemorySink;

use crate::support::garden::{Site, Written, day};

/// Entries of thirty years, one a day.
const ENTRIES: u64 = 11_000;

/// A planting each month, and on each day a picking, some care, or only prose.
fn thirty_years() -> Written {
    let first = day("1996-01-01");
    let mut garden = Written::new();
    for number in 0..ENTRIES {
        let date = first + Days::new(number);
        garden = garden.entry(&date.to_string(), &lines_of(date, number), &prose_of(date));
    }
    garden.on(&(first + Days::new(ENTRIES)).to_string())
}

fn lines_of(date: NaiveDate, number: u64) -> String {
    let crops = ["lettuce", "radish", "rocket", "spinach", "turnip"];
    let id = date.format("row-%Y-%m");
    let title = format!("title: Day {number}");
    match date.day() {
        1 => {
            let crop = crops[number as usize % crops.len()];
            format!("{title}\nplantings: [{{id: {id}, crop: {crop}, sown: 60, place: Bed}}]")
        }
        10 => format!("{title}\nevents: [{{planting: {id}, is: emerged, count: 50}}]"),
        28 => format!("{title}\nevents: [{{planting: {id}, is: finished}}]"),
        11..28 => {
            format!("{title}\nharvests: [{{planting: {id}, weight: {} g}}]", 100 + date.day())
        }
        _ => format!("{title}\ntags: [quiet]"),
    }
}

fn prose_of(date: NaiveDate) -> String {
    format!(
        "Nothing much. See [[row-{}]], [[place:Bed]] and [[crop:lettuce]].\n\n- one\n- two",
        date.format("%Y-%m")
    )
}

#[test]
#[ignore = "takes minutes; run by tests/campaign"]
fn thirty_years_of_entries() {
    let garden = thirty_years();
    let inputs = garden.inputs();
    let mut sink = MemorySink::new();
    let published = publish(&inputs, &mut sink).unwrap();
    assert!(
        published.is_complete && published.problems.is_empty(),
        "{:?}",
        published.problems.first()
    );
    let site = Site::of(sink);
    let entries =
        site.files.keys().filter(|path| path.starts_with("journal/") && path.contains("-day-"));
    assert_eq!(entries.count() as u64, ENTRIES);
    // Every picking is counted, once: 11 to 27 of each month, 100 g and the day's number.
    let rows = (0..ENTRIES).map(|number| day("1996-01-01") + Days::new(number));
    let picked: f64 = rows
        .filter(|date| (11..28).contains(&date.day()))
        .map(|date| 100.0 + f64::from(date.day()))
        .sum();
    let data = site.data();
    let harvests = data["harvests"].as_array().unwrap();
    let told: f64 = harvests.iter().map(|harvest| harvest["weight_g"].as_f64().unwrap()).sum();
    assert_eq!(told, picked);
    let bytes: usize = site.files.values().map(Vec::len).sum();
    println!("{} files, {:.1} MB", site.files.len(), bytes as f64 / 1e6);
}
