//! A grower does everything on the day it is asked for, for a year: what trug asks has to add up.

#[path = "support/grower.rs"]
mod grower;

use crate::grower::{Climate, Year};

/// A river valley of the middle latitudes; every mean is made up.
const VALLEY: Climate = Climate {
    name: "Weir Cottage",
    place: "place: {latitude: 51, longitude: 0, time-zone: Etc/UTC}
climate:
  low: [0, 0, 2, 5, 9, 12, 14, 14, 11, 7, 3, 1]
  high: [5, 6, 11, 15, 19, 22, 24, 24, 20, 15, 9, 6]
frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}",
    first_day: "2026-01-01",
};

/// Gardens of which nothing is known but the town.
const TOWNS: &[Climate] = &[
    Climate { name: "Inland, 51° north", place: "place: Kassel", first_day: "2026-01-01" },
    Climate { name: "Coast, 57° north", place: "place: Aberdeen, GB", first_day: "2026-01-01" },
    Climate {
        name: "Plain, 44° south", place: "place: Christchurch, NZ", first_day: "2026-07-01"
    },
    Climate { name: "Tropics, no frost", place: "place: Honolulu", first_day: "2026-01-01" },
    Climate {
        name: "Desert, hot summers",
        place: "place: Phoenix, Arizona",
        first_day: "2026-01-01",
    },
    Climate {
        name: "Highland, 3,400 m",
        place: "place: {near: Cusco, elevation: 3400 m}",
        first_day: "2026-07-01",
    },
    Climate { name: "Prairie, hard winters", place: "place: Winnipeg", first_day: "2026-01-01" },
];

/// What may stand on one day, and in a year, of this garden of fifteen crops, two of them sown again every three weeks:
/// bounds to notice when tasks begin to pile up. Before work was ended by season, frost and place the year had 1,244
/// tasks, 249 of them weedings, and 324 looks that found nothing.
const KINDS_A_DAY: usize = 8;
const TASKS_A_YEAR: usize = 750;
const WEEDINGS_A_YEAR: usize = 60;
const EMPTY_LOOKS_A_YEAR: usize = 110;

#[test]
fn a_year_of_obedience() {
    let mut year = Year::new(VALLEY);
    year.live(365);
    let table = year.table();
    let faults = year.faults_at_end();
    assert!(faults.is_empty(), "{table}{}", faults.join("\n"));
    let kinds = year.jobs_a_day.iter().copied().max().unwrap_or_default();
    assert!(kinds <= KINDS_A_DAY, "{table}");
    assert!(year.totals.values().sum::<usize>() <= TASKS_A_YEAR, "{table}");
    assert!(year.totals["weed"] <= WEEDINGS_A_YEAR, "{table}");
    let empty: usize = year.lives.values().map(|life| life.empty_looks).sum();
    assert!(empty <= EMPTY_LOOKS_A_YEAR, "{table}");
}

#[test]
#[ignore = "takes minutes; run by tests/campaign"]
fn a_year_of_obedience_in_seven_climates() {
    let only = std::env::var("TRUG_TOWN").unwrap_or_default();
    let mut faults = Vec::new();
    for climate in TOWNS.iter().filter(|climate| climate.place.contains(&only)) {
        let mut year = Year::new(*climate);
        year.live(365);
        println!("{}", year.table());
        let found = year.faults_at_end();
        faults.extend(found.iter().map(|fault| format!("{}: {fault}", climate.name)));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
