//! What histories say and what they do not say, in small gardens worked by hand.

use trug::garden::model::Garden;
use trug::learning::estimate::{Estimate, Level};
use trug::learning::quantity::{Beginning, Quantity, Span};
use trug::stage::Stage;
use trug::stages::Milestone;

use crate::learning::gardens::{
    COVER_SPRING, OPEN_AUTUMN, OPEN_SPRING, Writer, days, kohlrabi, learned, out_to_harvest,
    sown_to,
};

const SOWN: &str = "id: k1, crop: kohlrabi, variety: Azur, sown: 20, place: shelf, for: bed";

/// What one planting of the running season makes of the table's range: `tests/reference/learned_durations.csv`.
fn one_of(own: f64, table: (f64, f64)) -> f64 {
    let rows = include_str!("../reference/learned_durations.csv").lines().skip(1);
    let rows = rows.map(|line| line.split(',').collect::<Vec<&str>>());
    let number = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
    let mut of_table = rows.filter(|cells| (number(cells[0]), number(cells[1])) == table);
    let row = of_table.find(|cells| {
        let days = cells[2].strip_prefix("1/a:").map_or(f64::NAN, number);
        cells[3] == "1/a" && (days - own).abs() < 1e-6
    });
    number(row.expect("a row of the reference")[6])
}

fn close(found: Estimate, expected: f64) {
    assert!((found.middle / expected - 1.0).abs() < 0.002, "{found:?}, expected {expected}");
}

/// Nothing was learned: only the table speaks.
fn untaught(garden: &Garden, quantity: Quantity, kind: trug::learning::quantity::Kind) {
    let found = kohlrabi(garden, quantity, kind);
    assert_eq!((found.level, found.from_plantings), (Level::Table, 0), "{quantity:?} {found:?}");
}

fn raised() -> Writer {
    Writer::new()
        .begins("2024-03-01", SOWN)
        .event("2024-03-08", "planting: k1, is: emerged, count: 16")
        .event("2024-04-10", "planting: k1, is: planted out, count: 12, place: bed")
        .picks("k1", &["2024-05-30", "2024-06-02"])
}

#[test]
fn days_between_milestones() {
    let garden = raised().on("2024-07-01");
    close(kohlrabi(&garden, sown_to(Stage::Emerged), COVER_SPRING), one_of(7.0, (5.0, 10.0)));
    close(kohlrabi(&garden, sown_to(Stage::PlantedOut), COVER_SPRING), one_of(40.0, (28.0, 42.0)));
    let harvest = kohlrabi(&garden, out_to_harvest(), OPEN_SPRING);
    close(harvest, one_of(50.0, (40.0, 60.0)));
    assert_eq!((harvest.level, harvest.from_plantings), (Level::Variety, 1));
    let id = garden.find_planting("k1").expect("a planting");
    let expected = learned(&garden).expected(&garden, id, Milestone::FirstHarvest);
    let (from, estimate) = expected.expect("it has begun");
    assert_eq!((from.to_string().as_str(), estimate), ("2024-04-10", harvest));
}

#[test]
fn what_must_not_be_pooled() {
    let garden = raised()
        .begins("2024-04-01", "id: direct, crop: kohlrabi, variety: Azur, sown: 30, place: bed")
        .event("2024-04-21", "planting: direct, is: emerged, count: 20")
        .begins("2024-08-10", "id: late, crop: kohlrabi, variety: Azur, sown: 30, place: bed")
        .event("2024-08-14", "planting: late, is: emerged, count: 28")
        .on("2024-09-01");
    let emerged = sown_to(Stage::Emerged);
    for (kind, days) in [(COVER_SPRING, 7.0), (OPEN_SPRING, 20.0), (OPEN_AUTUMN, 4.0)] {
        close(kohlrabi(&garden, emerged, kind), one_of(days, (5.0, 10.0)));
    }
    // What was sown to stay and what was planted out are two spans; so are sets and young plants.
    untaught(&garden, days(Beginning::Planted, Milestone::FirstHarvest), OPEN_SPRING);
    let crop = garden.catalogue.find("kohlrabi").expect("a crop");
    let sown_to_stay = days(Beginning::Sown, Milestone::FirstHarvest);
    assert_eq!(learned(&garden).kinds(crop, sown_to_stay), [OPEN_SPRING, OPEN_AUTUMN]);
}

#[test]
fn spring_is_half_a_year_away_in_the_south() {
    let sown = "id: k1, crop: kohlrabi, variety: Azur, sown: 20, place: bed";
    let written =
        Writer::new().begins("2024-09-01", sown).event("2024-09-13", "planting: k1, is: emerged");
    let emerged = sown_to(Stage::Emerged);
    close(kohlrabi(&written.on("2024-10-01"), emerged, OPEN_AUTUMN), one_of(12.0, (5.0, 10.0)));
    let south = written.at_latitude(-36.0).on("2024-10-01");
    close(kohlrabi(&south, emerged, OPEN_SPRING), one_of(12.0, (5.0, 10.0)));
    untaught(&south, emerged, OPEN_AUTUMN);
}

#[test]
fn a_split_counts_once_for_what_is_shared() {
    let garden = Writer::new()
        .begins("2024-03-01", SOWN)
        .event("2024-03-08", "planting: k1, is: emerged, count: 16")
        .event("2024-04-10", "planting: k1, is: planted out, count: 6, as: k1-north, place: bed")
        .event("2024-04-10", "planting: k1, is: planted out, count: 6, as: k1-glass, place: house")
        .event("2024-04-10", "planting: k1, is: given away, count: 4")
        .event("2024-04-10", "planting: k1, is: lost, count: 4")
        .picks("k1-north", &["2024-05-30"])
        .picks("k1-glass", &["2024-05-15"])
        .on("2024-07-01");
    let emerged = kohlrabi(&garden, sown_to(Stage::Emerged), COVER_SPRING);
    assert_eq!((emerged.from_plantings, emerged.unfinished), (1, 0));
    let out = kohlrabi(&garden, sown_to(Stage::PlantedOut), COVER_SPRING);
    assert_eq!((out.from_plantings, out.unfinished), (1, 0));
    close(out, one_of(40.0, (28.0, 42.0)));
    // From there on each goes its own way, and glass is not open ground.
    close(kohlrabi(&garden, out_to_harvest(), OPEN_SPRING), one_of(50.0, (40.0, 60.0)));
    close(kohlrabi(&garden, out_to_harvest(), COVER_SPRING), one_of(35.0, (40.0, 60.0)));
}

#[test]
fn bought_plants_say_nothing_of_sowing() {
    let bought = "id: k1, crop: kohlrabi, variety: Azur, bought: 6, place: house";
    let garden = Writer::new()
        .begins("2024-04-01", bought)
        .event("2024-04-10", "planting: k1, is: planted out, place: bed")
        .picks("k1", &["2024-05-30"])
        .on("2024-07-01");
    for stage in [Stage::Emerged, Stage::PrickedOut, Stage::PlantedOut] {
        let crop = garden.catalogue.find("kohlrabi").expect("a crop");
        assert_eq!(learned(&garden).kinds(crop, sown_to(stage)), []);
    }
    let share = kohlrabi(&garden, Quantity::Germination, COVER_SPRING);
    assert_eq!((share.level, share.from_plantings), (Level::Table, 0));
    close(kohlrabi(&garden, out_to_harvest(), OPEN_SPRING), one_of(50.0, (40.0, 60.0)));
}

#[test]
fn sets_are_planted() {
    let garden = Writer::new()
        .begins("2024-03-20", "id: s1, crop: shallot, variety: Azur, planted: 40, place: bed")
        .event("2024-04-03", "planting: s1, is: emerged, count: 38")
        .on("2024-05-01");
    let crop = garden.catalogue.find("shallot").expect("a crop");
    let learned = learned(&garden);
    let emerged = days(Beginning::Planted, Milestone::Stage(Stage::Emerged));
    let found = learned.estimate(&garden, crop, Some("azur"), emerged, OPEN_SPRING);
    assert_eq!(found.map(|found| found.from_plantings), Some(1), "names are compared folded");
    assert_eq!(learned.kinds(crop, sown_to(Stage::Emerged)), []);
}

#[test]
fn sown_again_counts_from_the_last_sowing() {
    let garden = Writer::new()
        .begins("2024-03-01", SOWN)
        .event("2024-03-20", "planting: k1, is: sown again, count: 20")
        .event("2024-03-29", "planting: k1, is: emerged, count: 16")
        .on("2024-04-15");
    let found = kohlrabi(&garden, sown_to(Stage::Emerged), COVER_SPRING);
    assert_eq!((found.from_plantings, found.unfinished), (1, 0));
    close(found, one_of(9.0, (5.0, 10.0)));
}

#[test]
fn what_was_not_noted_is_left_out() {
    // Emergence passed unwritten; the first picking was weighed together with another planting's.
    let garden = Writer::new()
        .begins("2024-03-01", SOWN)
        .begins(
            "2024-03-01",
            "id: k2, crop: kohlrabi, variety: Azur, sown: 8, place: shelf, for: bed",
        )
        .event("2024-04-10", "planting: [k1, k2], is: planted out, place: bed")
        .picks("[k1, k2]", &["2024-05-20"])
        .picks("k1", &["2024-05-30"])
        .on("2024-07-01");
    untaught(&garden, sown_to(Stage::Emerged), COVER_SPRING);
    untaught(&garden, out_to_harvest(), OPEN_SPRING);
    assert_eq!(kohlrabi(&garden, sown_to(Stage::PlantedOut), COVER_SPRING).from_plantings, 2);
}

#[test]
fn a_lost_tray_is_a_loss_and_a_cleared_bed_is_censored() {
    let garden = Writer::new()
        .begins("2024-03-01", SOWN)
        .event("2024-03-30", "planting: k1, is: finished")
        .begins("2024-04-01", "id: k2, crop: kohlrabi, variety: Azur, bought: 6, place: bed")
        .event("2024-04-02", "planting: k2, is: planted out")
        .event("2024-05-22", "planting: k2, is: finished, because: hail")
        .on("2024-07-01");
    untaught(&garden, sown_to(Stage::Emerged), COVER_SPRING);
    let share = kohlrabi(&garden, Quantity::Germination, COVER_SPRING);
    assert!(share.from_plantings == 1 && share.middle < 0.3, "{share:?}");
    let harvest = kohlrabi(&garden, out_to_harvest(), OPEN_SPRING);
    assert_eq!((harvest.from_plantings, harvest.unfinished), (1, 1));
    assert!(harvest.middle > 2400_f64.sqrt(), "longer than 50 days: {harvest:?}");
}

/// 16 of 20 came up: 20 / (1 + 19 · 0.1) = 6.90 independent seeds, 5.52 of them up, on 2 of 2.67 lent by the
/// usual share. The mean is 7.52 / 9.56 = 0.786; what happens to the seedlings later changes nothing.
#[test]
fn germination_is_of_seed_alone() {
    let sown = Writer::new()
        .begins("2024-03-01", SOWN)
        .event("2024-03-08", "planting: k1, is: emerged, count: 16");
    let share =
        |writer: &Writer, day| kohlrabi(&writer.on(day), Quantity::Germination, COVER_SPRING);
    assert_eq!(share(&sown, "2024-03-12").from_plantings, 0, "more may come up");
    let over = share(&sown, "2024-03-15");
    assert_eq!((over.from_plantings, over.is_about), (1, false));
    assert!(over.low < 0.786 && 0.786 < over.middle && over.middle < 0.84, "{over:?}");
    let later = sown
        .clone()
        .event("2024-03-15", "planting: k1, is: thinned, count: 6")
        .event("2024-03-16", "planting: k1, is: given away, count: 4")
        .event("2024-03-17", "planting: k1, is: lost, count: 2");
    assert_eq!(share(&later, "2024-04-01"), share(&sown, "2024-04-01"));
}

#[test]
fn seed_that_says_nothing_of_germination() {
    let share = |sown: &str, emerged: &str| {
        let planting = format!("id: k1, crop: kohlrabi, variety: Azur, place: shelf, {sown}");
        let writer = Writer::new().begins("2024-03-01", &planting).event("2024-03-08", emerged);
        kohlrabi(&writer.on("2024-04-01"), Quantity::Germination, COVER_SPRING)
    };
    let counted = "planting: k1, is: emerged, count: 4";
    assert_eq!(share("sown: 20, seed: {year: 2021}", counted).from_plantings, 1);
    assert_eq!(share("sown: 20, seed: {year: 2020}", counted).from_plantings, 0);
    assert_eq!(share("sown: 3 m row", counted).from_plantings, 0);
    assert_eq!(share("sown: 20", "planting: k1, is: emerged").from_plantings, 0);
    let about = share("sown: about 20", counted);
    assert!(about.is_about && about.from_plantings == 1, "{about:?}");
    assert!(about.middle > share("sown: 20", counted).middle, "a guess says less");
}

/// 1 and 6 June; away 8–18 June; 20, 23, 26 June. The gap over the days away is left out: 5, 3, 3 days, of which the
/// geometric mean is 45^(1/3) = 3.557. On the 4th only the neighbour was picked.
#[test]
fn a_picking_interval_is_of_one_planting() {
    let garden = Writer::new()
        .setting("away: [{from: 06-08, to: 06-18}]")
        .begins("2024-04-01", "id: k1, crop: kohlrabi, variety: Azur, planted: 9, place: bed")
        .begins("2024-04-01", "id: k2, crop: kohlrabi, variety: Lanro, planted: 9, place: bed")
        .picks("k1", &["2024-06-01", "2024-06-06", "2024-06-20", "2024-06-23", "2024-06-26"])
        .picks("k2", &["2024-06-04"])
        .on("2024-07-01");
    let found = kohlrabi(&garden, Quantity::PickingInterval, OPEN_SPRING);
    assert_eq!((found.level, found.from_plantings), (Level::Variety, 1));
    close(found, one_of(45_f64.cbrt(), (2.0, 4.0)));
}

#[test]
fn a_season_is_as_long_as_it_gets() {
    let picked = Writer::new()
        .begins("2024-04-01", "id: k1, crop: kohlrabi, variety: Azur, planted: 9, place: bed")
        .picks("k1", &["2024-06-01", "2024-06-10", "2024-06-25"]);
    let length =
        |writer: &Writer, day| kohlrabi(&writer.on(day), Quantity::SeasonLength, OPEN_SPRING);
    let going_on = length(&picked, "2024-06-25");
    assert_eq!((going_on.from_plantings, going_on.unfinished), (1, 1));
    let ended = picked.clone().event("2024-06-26", "planting: k1, is: finished");
    let over = length(&ended, "2024-06-26");
    assert_eq!((over.from_plantings, over.unfinished), (1, 0));
    close(over, one_of(25.0, (10.0, 20.0)));
    assert!(going_on.middle > over.middle, "at least 25 is more than 25");
    let ended_by_the_year = length(&picked, "2025-01-02");
    assert_eq!((ended_by_the_year.from_plantings, ended_by_the_year.unfinished), (1, 0));
}

/// Kohlrabi grows at 4 to 24 °C, and here from a base of 10 °C on: its sheet means days of 14 °C, which are 4 °C·days each. A
/// day of 12 °C throughout brings 2, so 50 of them are 25 such days: √(40 · 60) = 49 by the sheet, and drawn towards 25.
#[test]
fn warmth_is_told_in_days_of_the_weather_that_the_sheet_means() {
    let weather = |until: u32| {
        let first = chrono::NaiveDate::from_ymd_opt(2024, 3, 1).expect("a date");
        let days = first.iter_days().take(until as usize);
        let rows: String = days.map(|day| format!("{day},12.0,12.0,\n")).collect();
        format!("date,low,high,rain\n{rows}")
    };
    let span = Span::new(Beginning::PlantedOut, Milestone::FirstHarvest);
    let warmth = |writer: Writer| {
        let garden = writer.on("2024-06-03");
        let crop = garden.catalogue.find("kohlrabi").expect("a crop");
        let quantity = Quantity::Warmth(span);
        let found = learned(&garden).estimate(&garden, crop, Some("Azur"), quantity, OPEN_SPRING);
        found.expect("an estimate")
    };
    let observed = warmth(raised().file("weather/2024.csv", weather(120)));
    assert_eq!(observed.from_plantings, 1);
    assert!(25.0 < observed.middle && observed.middle < 36.0, "{observed:?}");
    // What was not observed is as usual, 14 °C here: 50 days.
    let usual = warmth(raised());
    assert!(48.99 < usual.middle && usual.middle < 50.0, "{usual:?}");
}

/// Planted in March at 12 °C, where a day is half of one that the sheet means, and at the end of May: a crop that takes 60 days
/// either way is foretold in days; one that takes 80 and 40, by warmth.
#[test]
fn what_keeps_to_the_calendar_is_foretold_in_days() {
    let garden = |early: u64, late: u64| {
        let months = [12.0, 12.0, 12.0, 12.0, 13.0, 14.5, 14.5, 14.5, 14.5, 12.0, 12.0, 12.0];
        let mut writer = Writer::new().at_months(months);
        for year in 2022..2025 {
            for (month, day, days) in [(3, 1, early), (5, 25, late)] {
                let out = chrono::NaiveDate::from_ymd_opt(year, month, day).expect("a date");
                let id = format!("k{year}-{month}");
                let begun = format!("id: {id}, crop: kohlrabi, bought: 12, place: bed");
                writer = writer
                    .begins(&out.to_string(), &begun)
                    .event(&out.to_string(), &format!("planting: {id}, is: planted out"))
                    .picks(&id, &[&(out + chrono::Days::new(days)).to_string()])
                    .event(&format!("{year}-09-01"), &format!("planting: {id}, is: finished"));
            }
        }
        let last = "id: last, crop: kohlrabi, bought: 12, place: bed";
        writer.begins("2025-04-10", last).event("2025-04-10", "planting: last, is: planted out")
    };
    let foretold = |writer: Writer| {
        let garden = writer.on("2025-04-11");
        let findings = trug::findings::Findings::of(&garden);
        let lessons = findings.lessons_of(garden.find_planting("last").expect("the last"));
        let to_harvest = lessons.iter().find(|lesson| match lesson.quantity {
            Quantity::Days(span) | Quantity::Warmth(span) => span.to == Milestone::FirstHarvest,
            _ => false,
        });
        to_harvest.expect("a lesson").quantity
    };
    let span = Span::new(Beginning::PlantedOut, Milestone::FirstHarvest);
    assert_eq!(foretold(garden(60, 60)), Quantity::Days(span));
    assert_eq!(foretold(garden(80, 40)), Quantity::Warmth(span));
}
