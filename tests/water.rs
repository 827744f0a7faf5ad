//! Water in small gardens, from written text to tasks, pages and data.

use crate::support::garden::{Written, day};
use serde_json::Value;

/// A pot of 15 L with a tomato set out on 20 May, grown in a dry June.
fn tomato() -> Written {
    let weather: String = (1..=30).map(|day| format!("2026-06-{day:02},14,27,0\n")).collect();
    Written::new().with("weather/2026.csv", &format!("date,low,high,rain\n{weather}")).entry(
        "2026-05-20",
        "plantings: [{id: tom, crop: tomato, place: pot, bought: 1, at: planted out}]",
        "",
    )
}

fn water(written: &Written, place: &str) -> Value {
    let data = written.site().data();
    let all = data["water"].as_array().unwrap();
    all.iter().find(|water| water["place"] == place).cloned().unwrap_or(Value::Null)
}

fn waterings(written: &Written) -> Vec<String> {
    let data = written.site().data();
    let tasks = data["tasks"].as_array().unwrap().iter().filter(|task| task["what"] == "water");
    tasks.map(|task| task["due"].as_str().unwrap().to_owned()).collect()
}

fn watered(written: Written, date: &str, more: &str) -> Written {
    written.entry(date, &format!("care: [{{place: pot, did: water{more}}}]"), "")
}

#[test]
fn a_watering_that_was_noted_moves_the_next_and_a_week_is_the_most() {
    let on = |date: &str| tomato().on(date);
    let full = watered(on("2026-06-10"), "2026-06-10", "");
    let due = waterings(&full);
    assert!(!due.is_empty() && !due.contains(&"2026-06-10".to_owned()), "{due:?}");
    assert!(due.iter().all(|due| due.as_str() <= "2026-06-17"), "{due:?}");
    assert!(due[0].as_str() <= "2026-06-13", "{due:?}");
    // Watered two days later: each day's task is counted from there.
    let later = watered(full.on("2026-06-12"), "2026-06-12", "");
    let moved = waterings(&later);
    assert!(moved[0].as_str() > "2026-06-12", "{moved:?}");
    assert_eq!(water(&later, "pot")["last_watered"], "2026-06-12");
}

#[test]
fn what_is_late_stands_today_says_since_when_and_can_be_put_off() {
    let late = watered(tomato().on("2026-06-14"), "2026-06-10", "");
    let pot = water(&late, "pot");
    assert_eq!(pot["known"], true, "{pot:#}");
    assert_eq!(pot["waterings"][0]["on"], "2026-06-14");
    assert!(pot["waterings"][0]["overdue_since"].as_str().unwrap() <= "2026-06-14");
    let off = late.entry("2026-06-14", "care: [{place: pot, did: skip, task: water}]", "");
    assert_eq!(waterings(&off)[0], "2026-06-15");
}

#[test]
fn a_long_silence_is_not_known_and_not_drought() {
    let silent = watered(tomato().on("2026-06-28"), "2026-06-05", "");
    let pot = water(&silent, "pot");
    assert_eq!(pot["known"], false);
    assert_eq!(waterings(&silent), [""; 0]);
    let page = silent.site().text("places/pot/index.html").to_owned();
    assert!(page.contains("No watering noted since 5 June, so nobody can say"), "{page}");
    // Written again, and it goes on.
    let again = watered(silent, "2026-06-28", ", amount: 2 L");
    assert_eq!(water(&again, "pot")["known"], true);
}

#[test]
fn rain_outdoors_puts_it_off() {
    let dry = watered(tomato().on("2026-06-12"), "2026-06-10", "");
    let wet = dry.clone().with("weather/2026.csv", "date,low,high,rain\n2026-06-11,14,27,30\n");
    let left = |written: &Written| {
        let days = water(written, "pot")["days"].as_array().unwrap().clone();
        days.last().unwrap()["left_share"]["middle"].as_f64().unwrap()
    };
    assert!(left(&wet) > left(&dry) + 0.05, "{} {}", left(&wet), left(&dry));
}

#[test]
fn a_timer_is_taken_to_water_and_indoors_there_is_no_figure() {
    let pot = |more: &str| format!("---\nname: Pot\nkind: container\nvolume: 15 L\n{more}\n---\n");
    let timer = tomato().with("places/pot.md", &pot("watered-by: timer")).on("2026-06-12");
    let data = water(&timer, "pot");
    assert_eq!((&data["on_timer"], data["days"].as_array().unwrap().len()), (&true.into(), 0));
    assert!(data["today"]["litres"]["low"].as_f64().unwrap() > 0.0);
    assert_eq!(waterings(&timer), [""; 0]);
    let indoors = tomato().with("places/pot.md", &pot("cover: indoors")).on("2026-06-12");
    let data = water(&indoors, "pot");
    assert_eq!((&data["today"], &data["withheld"][0]["why"]), (&Value::Null, &"indoors".into()));
    let page = indoors.site().text("places/pot/index.html").to_owned();
    assert!(page.contains("Keep water away from lamps"), "{page}");
}

#[test]
fn without_a_climate_there_is_no_figure_and_the_page_says_why() {
    // Far out in the South Pacific, where the table of the world has no station.
    let none = "name: Kiln Lane\nplace: {latitude: -45, longitude: -120, time-zone: Etc/UTC}\n";
    let dark = tomato().settings(none).without("weather/2026.csv").on("2026-06-12");
    assert_eq!(water(&dark, "pot")["withheld"][0]["why"], "no climate");
    assert!(dark.site().text("places/pot/index.html").contains("under climate in garden.yaml"));
}

#[test]
fn the_feed_says_how_much_and_to_lift_the_pot() {
    let site = watered(tomato().on("2026-06-12"), "2026-06-10", "").site();
    let feed = site.text("tasks.ics").replace("\r\n ", "");
    let events: Vec<&str> =
        feed.split("BEGIN:VEVENT").filter(|event| event.contains("SUMMARY:Water")).collect();
    assert!(!events.is_empty(), "{feed}");
    for event in &events {
        assert!(event.contains("Lift the pot"), "{event}");
        assert!(event.contains("- about ") && event.contains(": Pot\\;"), "{event}");
    }
    let mut days: Vec<&str> = events
        .iter()
        .map(|event| &event[event.find("DTSTART;VALUE=DATE:").unwrap() + 19..][..8])
        .collect();
    let all = days.len();
    days.dedup();
    assert_eq!(days.len(), all, "one event a day");
    assert!(day("2026-06-19") >= day("2026-06-12"));
    assert!(days.iter().all(|day| *day <= "20260619"), "{days:?}");
}

#[test]
fn gallons_are_said_where_gallons_are_measured() {
    let us = "name: Kiln Lane\nunits: us\nplace: {latitude: 47.4, longitude: 8.5, time-zone: Europe/Zurich}\n\
        climate:\n  low: [30, 30, 35, 40, 48, 54, 58, 57, 51, 44, 36, 31]\n  high: [38, 41, 50, 59, 66, 72, 76, 75, 67, 57, 46, 39]\n";
    let weather: String = (1..=30).map(|day| format!("2026-06-{day:02},57,81,0\n")).collect();
    let written = tomato()
        .settings(us)
        .with("weather/2026.csv", &format!("date,low,high,rain\n{weather}"))
        .on("2026-06-12");
    let page = watered(written, "2026-06-10", "").site().text("places/pot/index.html").to_owned();
    let section = &page[page.find("id=\"water\"").unwrap()..page.find("id=\"stays\"").unwrap()];
    let plain = section.replace('\u{a0}', " ");
    assert!(plain.contains(" qt") || plain.contains(" gal"), "{plain}");
    assert!(!plain.contains(" L ") && !plain.contains(" ml"), "{plain}");
}
