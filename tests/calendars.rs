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

use crate::calendars::compare::{Ends, ends_of};
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
    assert!(within(&all.openings, 14, all.openings.len()) >= 0.72);
    assert!(within(&all.openings, 21, all.openings.len()) >= 0.84);
    assert!(within(&all.openings, 21, all.published[0]) >= 0.83);
    assert!(within(&all.closings, 21, all.closings.len()) >= 0.74);
    assert!(within(&all.closings, 21, all.published[1]) >= 0.73);
    assert!(all.without_window == 0, "{}", all.without_window);
    assert!(all.without_round <= 7, "{}", all.without_round);
    assert!(all.unwanted <= 21, "{}", all.unwanted);
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

/// Where summer is too hot for fruit to set, tomatoes are planted as spring begins, so that they set before, and never in
/// May or June. Univ. of Arizona Cooperative Extension as garden pages quote it: late February to March.
#[test]
fn deserts_have_tomatoes() {
    for town in ["Tucson, US", "Phoenix, US"] {
        let tomato = calendar(town, "tomato");
        let planted: Vec<_> = tomato.rounds().filter_map(|round| round.plant_out).collect();
        assert!(planted.iter().any(|window| day(window.from).as_str() <= "03-22"), "{planted:?}");
        assert!(planted.iter().all(|window| day(window.to).as_str() <= "04-30"), "{planted:?}");
    }
}

/// The low desert has two seasons of planting, one in spring and one towards autumn (K. Umeda, Univ. of Arizona Cooperative
/// Extension, Maricopa County, as gilbertprepared.com has it, read).
#[test]
fn deserts_have_two_seasons() {
    for crop in ["dwarf bean", "cucumber", "courgette", "sweetcorn"] {
        let found = calendar("Phoenix, US", crop);
        let sown = |round: &Option<calendar::Round>| {
            day(round.as_ref().and_then(|round| round.sow_outdoors).expect("a window").from)
        };
        let (spring, autumn) = (sown(&found.spring), sown(&found.autumn));
        assert!(("02-15"..="03-20").contains(&spring.as_str()), "{crop}: {spring}");
        assert!(("07-01"..="08-31").contains(&autumn.as_str()), "{crop}: {autumn}");
    }
}

/// Garlic is planted in September and October in Alaska, within a week or two of the first killing frost (H. Rader, J. McGuinness,
/// Univ. of Alaska Fairbanks HGA-00047 as quoted by others; a trial near Fairbanks, SARE FW25-001, begins eight weeks before the
/// ground freezes, read), and in autumn in Leeds, however cool nights are in June (common practice, no source).
#[test]
fn garlic_is_not_planted_at_midsummer_where_nights_are_cool() {
    for (town, from) in [("Fairbanks, US", "08-01"), ("Leeds, GB", "09-15")] {
        let planted = calendar(town, "garlic").autumn.and_then(|round| round.plant_out);
        let planted = planted.expect("a window");
        assert!(day(planted.from).as_str() >= from, "{town}: {planted:?}");
    }
}

/// The sun of long days warms the soil of a cool summer: beans are sown outdoors from mid-May in Poland and Germany
/// (`published.csv`: 15 May; from half of April) and in England in May, in colder regions at its end (Ducks Hill Garden
/// Centre, May, read).
#[test]
fn beans_are_sown_in_may_by_the_sun_of_long_days() {
    for (town, until) in [("Kassel, DE", "05-24"), ("Reading, GB", "05-31"), ("Leeds, GB", "06-07")]
    {
        let sown = calendar(town, "dwarf bean").spring.and_then(|round| round.sow_outdoors);
        let from = day(sown.expect("a window").from);
        assert!(("05-05"..=until).contains(&from.as_str()), "{town}: {from}");
    }
}

/// Carrots and parsnips flower after a winter, so they are not sown in autumn where it is mild: in the west of Washington
/// carrots are sown until mid-July (`published.csv`), in France parsnips from February to June (permapotes.com, Parsnip, read).
#[test]
fn roots_are_not_sown_into_a_mild_winter() {
    for (town, crop) in [("Seattle, US", "carrot"), ("Bordeaux", "carrot"), ("Bordeaux", "parsnip")]
    {
        let found = calendar(town, crop);
        let sown: Vec<_> = found.rounds().filter_map(|round| round.sow_outdoors).collect();
        assert!(!sown.is_empty(), "{town} {crop}");
        for window in sown {
            assert!(day(window.to).as_str() <= "09-20" && window.days() < 270, "{window:?}");
        }
    }
}

/// Sweet potatoes, okra and peanuts bear through the summer of central Florida (centralfloridagarden.blogspot.com, January 2011,
/// read).
#[test]
fn crops_of_the_tropics_bear_in_summer() {
    for crop in ["sweet potato", "okra", "peanut"] {
        let found = calendar("Orlando, US", crop);
        let bears = |window: trug::dates::Period| {
            (day(window.from)..=day(window.to)).contains(&"07-15".to_owned())
        };
        assert!(found.rounds().filter_map(|round| round.harvest).any(bears), "{crop}: {found:?}");
    }
}

/// Where no frost says so the cool of winter does: peppers and aubergines go out in spring and summer at Boronia (a community garden of Melbourne's
/// east, `published.csv`: in December), not in April.
#[test]
fn tender_crops_are_not_begun_before_a_cool_winter() {
    for crop in ["pepper", "aubergine", "tomato", "climbing bean"] {
        let found = calendar("Boronia, AU", crop);
        let begun = |round: &calendar::Round| round.plant_out.or(round.sow_outdoors);
        for window in found.rounds().filter_map(begun) {
            let (from, to) = (day(window.from), day(window.to));
            assert!(from.as_str() >= "09-01" || from.as_str() <= "02-28", "{crop}: {window:?}");
            assert!(to.as_str() >= "09-01" || to.as_str() <= "02-28", "{crop}: {window:?}");
        }
    }
}

/// Texas A&M AgriLife, Spring planting guide, region III (`published.csv`: aubergine 15 March to 1 May; tomatoes go
/// out with it or sooner, common practice).
#[test]
fn tomatoes_are_planted_for_weeks_at_waco() {
    let window = calendar("Waco, US", "tomato").spring.and_then(|round| round.plant_out);
    let window = window.expect("a window");
    assert!(day(window.from).as_str() <= "03-20" && window.days() >= 28, "{window:?}");
}

/// Tomatoes are planted in the cooler half of the year at Miami: August to February or March (Univ. Florida IFAS SP103,
/// from memory).
#[test]
fn heat_in_flower_ends_tomatoes_at_miami() {
    let tomato = calendar("Miami, US", "tomato");
    let window = tomato.rounds().find_map(|round| round.plant_out).expect("a window");
    assert!(("08-01"..="09-21").contains(&day(window.from).as_str()), "{window:?}");
    assert!(("02-15"..="03-31").contains(&day(window.to).as_str()), "{window:?}");
}

/// Radishes are sown from March in Germany, the Netherlands and southern England (`published.csv`). In Utah it is from
/// 15 March on (Utah State Univ. Extension 2009): there we are still four weeks late, and held to no more.
#[test]
fn radishes_are_sown_as_spring_begins() {
    let towns = [
        ("Kassel, DE", "04-15"),
        ("Utrecht, NL", "04-07"),
        ("Reading, GB", "04-07"),
        ("Salt Lake City, US", "04-12"),
    ];
    for (town, until) in towns {
        let sown = calendar(town, "radish").spring.and_then(|round| round.sow_outdoors);
        let from = day(sown.expect("a window").from);
        assert!(("02-15"..=until).contains(&from.as_str()), "{town}: {from}");
    }
}

/// Potatoes are planted in March and again in July in the east of Kansas, and from March in Utah (`published.csv`): it is
/// heat while tubers form that matters, not heat when they are lifted.
#[test]
fn potatoes_form_before_the_heat() {
    let kansas = calendar("Topeka, US", "potato");
    let from = |round: &Option<trug::calendar::Round>| {
        day(round.as_ref().and_then(|round| round.plant_out).expect("a window").from)
    };
    assert!(("03-10"..="04-05").contains(&from(&kansas.spring).as_str()));
    assert!(("07-01"..="07-31").contains(&from(&kansas.autumn).as_str()));
}

/// Onions are set out in late April and May in Hokkaido, and are grown in the highlands of Kenya; common practice, no source.
#[test]
fn onions_are_planted_where_days_are_long_and_where_they_are_always_short() {
    let sapporo = calendar("Sapporo", "onion").spring.and_then(|round| round.plant_out);
    let window = sapporo.expect("a window");
    assert!(("04-10"..="05-05").contains(&day(window.from).as_str()), "{window:?}");
    assert!(calendar("Nairobi", "onion").rounds().any(|round| round.plant_out.is_some()));
}
