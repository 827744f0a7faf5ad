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

#[test]
fn a_year_of_obedience() {
    let mut year = Year::new(VALLEY);
    year.live(365);
    println!("{}", year.table());
    for (id, life) in &year.lives {
        println!("{id} {life:?}");
    }
    let faults = year.faults_at_end();
    println!("{}", faults.join("\n"));
    assert!(faults.is_empty(), "{} faults", faults.len());
}
