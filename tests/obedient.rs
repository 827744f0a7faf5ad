//! A grower does everything on the day it is asked for, for a year: what trug asks has to add up.

use crate::support::grower::{Climate, Year};

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
    // A day in a hundred may have one kind more.
    let over: Vec<usize> =
        year.jobs_a_day.iter().copied().filter(|kinds| *kinds > KINDS_A_DAY).collect();
    assert!(
        over.len() <= 4 && over.iter().all(|kinds| *kinds == KINDS_A_DAY + 1),
        "{over:?} {table}"
    );
    assert!(year.totals.values().sum::<usize>() <= TASKS_A_YEAR, "{table}");
    assert!(year.totals["weed"] <= WEEDINGS_A_YEAR, "{table}");
    let empty: usize = year.lives.values().map(|life| life.empty_looks).sum();
    assert!(empty <= EMPTY_LOOKS_A_YEAR, "{table}");
}

/// The same for towns in other climates: where nothing rests in winter there are more weedings and looks. Waterings are
/// left out: a desert asks for 384 a year, a wet coast for 88.
const KINDS_A_DAY_ANYWHERE: usize = 10;
const TASKS_BUT_WATERING_A_YEAR: usize = 700;
const WEEDINGS_ANYWHERE: usize = 75;
const EMPTY_LOOKS_ANYWHERE: usize = 120;

/// A year in a garden of which nothing is known but the town.
fn a_year_in(name: &'static str, place: &'static str, first_day: &'static str) {
    let mut year = Year::new(Climate { name, place, first_day });
    year.live(365);
    let table = year.table();
    println!("{table}");
    let faults = year.faults_at_end();
    assert!(faults.is_empty(), "{table}{}", faults.join("\n"));
    let of = |job: &str| year.totals.get(job).copied().unwrap_or_default();
    let all: usize = year.totals.values().sum();
    let empty: usize = year.lives.values().map(|life| life.empty_looks).sum();
    assert!(year.jobs_a_day.iter().all(|kinds| *kinds <= KINDS_A_DAY_ANYWHERE), "{table}");
    assert!(all - of("water") <= TASKS_BUT_WATERING_A_YEAR, "{table}");
    assert!(of("weed") <= WEEDINGS_ANYWHERE && empty <= EMPTY_LOOKS_ANYWHERE, "{table}");
}

/// Town by town, so that each can be run alone.
mod in_other_climates {
    use super::a_year_in;

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn inland_51_north() {
        a_year_in("Inland, 51° north", "place: Kassel", "2026-01-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn coast_57_north() {
        a_year_in("Coast, 57° north", "place: Aberdeen, GB", "2026-01-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn plain_44_south() {
        a_year_in("Plain, 44° south", "place: Christchurch, NZ", "2026-07-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn tropics_without_frost() {
        a_year_in("Tropics, no frost", "place: Honolulu", "2026-01-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn desert_with_hot_summers() {
        a_year_in("Desert, hot summers", "place: Phoenix, Arizona", "2026-01-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn highland() {
        let place = "place: {near: Cusco, elevation: 3400 m}";
        a_year_in("Highland, 3,400 m", place, "2026-07-01");
    }

    #[test]
    #[ignore = "takes minutes; run by tests/campaign"]
    fn prairie_with_hard_winters() {
        a_year_in("Prairie, hard winters", "place: Winnipeg", "2026-01-01");
    }
}
