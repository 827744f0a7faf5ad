//! A grower does everything on the day it is asked for, for a year: what trug asks has to add up.

#[path = "support/grower.rs"]
mod grower;

use crate::grower::{Climate, Year};

/// A river valley of the middle latitudes; every mean is made up.
const VALLEY: Climate = Climate {
    name: "Weir Cottage",
    latitude: 51.0,
    first_day: "2026-01-01",
    low: [0.0, 0.0, 2.0, 5.0, 9.0, 12.0, 14.0, 14.0, 11.0, 7.0, 3.0, 1.0],
    high: [5.0, 6.0, 11.0, 15.0, 19.0, 22.0, 24.0, 24.0, 20.0, 15.0, 9.0, 6.0],
    frost: "frost: {last-spring: {50%: 04-20, 10%: 05-10}, first-autumn: {50%: 10-25, 10%: 10-08}}",
};

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
