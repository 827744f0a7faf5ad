//! The planting calendar against published ones: what the thresholds in use give in all regions together.
//!
//! The thresholds are fitted to the same table, so this is no measure of error; that is in
//! `tests/reference/calendars/README.md`, with each region left out in turn. What is held here is that no change makes it
//! worse unseen. How windows are compared stands in `examples/calibrate/compare.rs`.

#[expect(dead_code, reason = "shared with the program that fits the thresholds")]
#[path = "../examples/calibrate/compare.rs"]
mod compare;
#[path = "../examples/calibrate/published.rs"]
mod published;

#[expect(dead_code, reason = "shared with the program that fits the thresholds")]
#[path = "../examples/calibrate/town.rs"]
mod town;

use compare::{Ends, ends_of};
use trug::calendar::thresholds::Thresholds;
use trug::calendar::{self, CropCalendar};
use trug::catalogue::Catalogue;
use trug::place_kind::Cover;

fn within(errors: &[i64], days: i64, of: usize) -> f64 {
    errors.iter().filter(|error| error.abs() <= days).count() as f64 / of as f64
}

#[test]
fn published_calendars_are_met_as_well_as_the_readme_says() {
    let catalogue = Catalogue::built_in();
    let mut all = Ends::default();
    for region in published::regions() {
        all.add(ends_of(&catalogue, &region, &Thresholds::CALIBRATED, None));
    }
    assert!(all.published[0] > 340 && all.published[1] > 290, "{:?}", all.published);
    assert!(within(&all.openings, 14, all.openings.len()) >= 0.70);
    assert!(within(&all.openings, 21, all.openings.len()) >= 0.80);
    assert!(within(&all.openings, 21, all.published[0]) >= 0.79);
    assert!(within(&all.closings, 21, all.closings.len()) >= 0.75);
    assert!(within(&all.closings, 21, all.published[1]) >= 0.73);
    assert!(all.without_window <= 2, "{}", all.without_window);
    assert!(all.without_round <= 12, "{}", all.without_round);
    assert!(all.unwanted <= 27, "{}", all.unwanted);
}

fn calendar(town: &str, crop: &str) -> CropCalendar {
    let catalogue = Catalogue::built_in();
    let sheet = &catalogue.get(catalogue.find(crop).expect("a crop")).sheet;
    let years = published::years(&town::conditions(town).expect("a town"));
    calendar::of_crop(sheet, &years[1], Cover::None)
}

fn day(date: chrono::NaiveDate) -> String {
    date.format("%m-%d").to_string()
}

/// Garlic is lifted in July in the middle of Germany and from mid-May to June in Texas. Common practice, no source.
#[test]
fn bulbs_ripen_by_long_days() {
    for (town, from, until) in [("Kassel, DE", "06-25", "07-31"), ("Waco, US", "05-10", "06-20")] {
        let round = calendar(town, "garlic").autumn.expect("a round");
        let picked = day(round.harvest.expect("a harvest").from);
        assert!((from..=until).contains(&picked.as_str()), "{town}: {picked}");
    }
}

/// Raspberries and rhubarb miss the winter of Durban; what stands for years is planted in the cooler half at Melbourne.
#[test]
fn perennials_need_a_winter() {
    for crop in ["raspberry", "rhubarb", "gooseberry"] {
        let refusals = calendar("Durban", crop).refusals;
        assert!(
            matches!(refusals[0].why, calendar::Reason::TooLittleChill { .. }),
            "{crop}: {refusals:?}"
        );
    }
    let rhubarb = calendar("Melbourne, AU", "rhubarb");
    let planted = rhubarb.rounds().find_map(|round| round.plant_out).expect("a window");
    assert!(planted.days() < 220 && day(planted.to).as_str() < "12-01", "{planted:?}");
}

/// Bulbs ripen in any heat: onions are planted in February at Waco. Common practice, no source.
#[test]
fn heat_does_not_forbid_bulbs() {
    let onion = calendar("Waco, US", "onion");
    let holds = |window: trug::dates::Period| {
        (day(window.from)..=day(window.to)).contains(&"02-10".to_owned())
    };
    assert!(onion.rounds().filter_map(|round| round.plant_out).any(holds));
}
