//! What must hold in every garden.

use std::sync::LazyLock;

use chrono::NaiveDate;
use proptest::prelude::*;

use crate::calendar::experience::Experience;
use crate::calendar::reference_gardens::river_town;
use crate::calendar::{
    CropCalendar, GrowingYear, How, Opens, Reason, Round, SowNow, can_sow_now, of_crop, of_season,
    rounds_in, years_around,
};
use crate::catalogue::sheet::Way;
use crate::catalogue::{Catalogue, CropSheet};
use crate::climate::conditions::{Conditions, FrostKnowledge};
use crate::climate::frost::FrostModel;
use crate::climate::half_year::{Half, HalfYear};
use crate::climate::normals::Normals;
use crate::dates::{self, Period};
use crate::place_kind::Cover;

fn day(text: &str) -> NaiveDate {
    dates::date(text).expect("a date")
}

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(Catalogue::built_in);

fn sheet(crop: &str) -> CropSheet {
    CATALOGUE.get(CATALOGUE.find(crop).unwrap_or_else(|| panic!("{crop}"))).sheet.clone()
}

fn calendar(conditions: &Conditions, crop: &str, cover: Cover) -> CropCalendar {
    of_crop(&sheet(crop), &GrowingYear::around(conditions, day("2026-06-20")), cover)
}

/// A garden of the north whose means follow the sun, with frost some days before and after midsummer.
fn garden(mean: f64, swing: f64, frost: f64, risk: f64) -> Conditions {
    let low = std::array::from_fn(|month| {
        mean - swing * libm::cos((month as f64 - 0.5) / 6.0 * std::f64::consts::PI) - 5.0
    });
    let model = |half, number| {
        let days = [-10.0, -5.0, 0.0, 5.0, 10.0].map(|off| number + off);
        FrostKnowledge::Observed(FrostModel::fit(HalfYear::at(half, 47.0), &days, 5), 5)
    };
    Conditions {
        latitude_deg: 47.0,
        longitude_deg: 8.0,
        normals: Some(Normals::new(low, low.map(|low| low + 10.0), None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: model(Half::Spring, 180.0 - frost),
        autumn_frost: model(Half::Autumn, frost - 25.0),
        risk,
    }
}

/// When the spring round opens, by planting out and by sowing outdoors.
fn opens(calendar: &CropCalendar) -> [Option<NaiveDate>; 2] {
    let round = calendar.spring.clone().unwrap_or_default();
    [round.plant_out, round.sow_outdoors].map(|window| window.map(|window| window.from))
}

/// Whether whatever opens in `late` opens no later in `early`.
fn is_never_later(early: &CropCalendar, late: &CropCalendar) -> bool {
    opens(early)
        .into_iter()
        .zip(opens(late))
        .all(|(early, late)| late.is_none_or(|late| early.is_some_and(|early| early <= late)))
}

/// Sowing comes before planting out, both before picking, and no window ends before it begins. The harvest is
/// that of both ways to begin; the way that opens later may open after the first picking of the other.
fn is_ordered(sheet: &CropSheet, round: &Round) -> bool {
    let begins = |window: Option<Period>| window.map(|window| window.from);
    let windows = [round.sow_under_cover, round.plant_out, round.sow_outdoors, round.harvest];
    let earliest = [round.plant_out, round.sow_outdoors].into_iter().filter_map(begins).min();
    let is_single = round.plant_out.is_none() || round.sow_outdoors.is_none();
    windows.iter().flatten().all(|window| window.from <= window.to)
        && begins(round.sow_under_cover) <= begins(round.plant_out)
        && is_raised_in_time(sheet, round)
        && round.harvest.is_none_or(|harvest| Some(harvest.from) >= earliest)
        && (!is_single
            || round.harvest.is_none_or(|harvest| {
                let ends = [round.plant_out, round.sow_outdoors]
                    .into_iter()
                    .flatten()
                    .map(|window| window.to);
                ends.max().is_some_and(|end| harvest.to >= end)
            }))
}

/// What can only be planted out after it was raised from seed is not planted out before it can be ready.
fn is_raised_in_time(sheet: &CropSheet, round: &Round) -> bool {
    let is_only_raised = sheet
        .begun_as
        .iter()
        .flatten()
        .all(|way| matches!(way, Way::SeedUnderCover | Way::SeedOutdoors));
    let (Some(sown), Some(planted)) = (round.sow_under_cover, round.plant_out) else { return true };
    let weeks = sheet.under_cover.map_or(0, |days| i64::from(days.low.0));
    !is_only_raised || (planted.from - sown.from).num_days() >= weeks
}

/// The windows of a built-in crop that belong to a season.
fn in_season(crop: &str, conditions: &Conditions, season: Period) -> Round {
    let middle = crate::dates::shift(season.from, season.days() / 2);
    let years = years_around(conditions, middle);
    of_season(&rounds_in(&sheet(crop), &years, season, Cover::None), season)
}

#[test]
fn without_climate_everything_is_refused_with_that_reason() {
    let conditions = Conditions { normals: None, ..river_town() };
    let year = GrowingYear::around(&conditions, day("2026-06-20"));
    for (_, crop) in CATALOGUE.crops() {
        let calendar = of_crop(&crop.sheet, &year, Cover::None);
        assert_eq!(calendar.rounds().count(), 0);
        assert!(!calendar.refusals.is_empty(), "{}", crop.name);
        assert!(calendar.refusals.iter().all(|refusal| refusal.why == Reason::NoClimate));
    }
    let season = Period { from: day("2026-01-01"), to: day("2026-12-31") };
    assert_eq!(in_season("tomato", &conditions, season), Round::default());
    assert!(
        can_sow_now(&CATALOGUE, &conditions, &Experience::default(), day("2026-04-20")).is_empty()
    );
}

#[test]
fn an_empty_sheet_lacks_something() {
    let year = GrowingYear::around(&river_town(), day("2026-06-20"));
    let calendar = of_crop(&CropSheet::default(), &year, Cover::None);
    assert_eq!(calendar.refusals[0].why, Reason::SheetLacks("plant-out"));
}

#[test]
fn without_frost_dates_warmth_decides_alone() {
    let unknown = Conditions {
        spring_frost: FrostKnowledge::Unknown,
        autumn_frost: FrostKnowledge::Unknown,
        ..river_town()
    };
    // Nights reach 10 °C in the last week of May, after the last frost: the same day.
    let tomato = calendar(&unknown, "tomato", Cover::None);
    assert!(tomato.spring.is_some());
    assert_eq!(opens(&tomato), opens(&calendar(&river_town(), "tomato", Cover::None)));
    assert_eq!(tomato.last_frost, crate::calendar::FrostLimit::Unknown);
}

#[test]
fn glass_and_fleece_open_earlier_and_indoors_is_another_climate() {
    let under = |cover| opens(&calendar(&river_town(), "tomato", cover))[0].expect("a window");
    assert!(under(Cover::Glass) < under(Cover::Fleece));
    assert!(under(Cover::Fleece) < under(Cover::None));
    let indoors = calendar(&river_town(), "tomato", Cover::Indoors);
    assert!(indoors.refusals.iter().all(|refusal| refusal.why == Reason::Indoors));
}

/// Garlic planted last autumn is picked in this season, and what is planted in this one is picked in the next.
#[test]
fn a_season_has_the_harvest_of_last_autumn() {
    let season = Period { from: day("2026-01-01"), to: day("2026-12-31") };
    let garlic = in_season("garlic", &river_town(), season);
    let (planted, picked) =
        (garlic.plant_out.expect("a window"), garlic.harvest.expect("a window"));
    assert!(season.contains(planted.from) && season.contains(picked.from));
    assert!(picked.from < planted.from);
    // A growing year that starts in autumn takes the spring that follows.
    let season = Period { from: day("2025-10-01"), to: day("2026-09-30") };
    let tomato = in_season("tomato", &river_town(), season);
    assert!(season.contains(tomato.plant_out.expect("a window").from));
}

/// A garden of the Piedmont (South Carolina) has cabbages in spring and again in autumn.
#[test]
fn spring_and_autumn_are_not_mixed() {
    let conditions = garden(16.5, 10.5, 80.0, 0.1);
    let season = Period { from: day("2026-01-01"), to: day("2026-12-31") };
    let mut both = 0;
    for (_, crop) in CATALOGUE.crops() {
        let years = years_around(&conditions, day("2026-07-01"));
        let rounds = rounds_in(&crop.sheet, &years, season, Cover::None);
        let main = of_season(&rounds, season);
        for kind in [|round: &Round| round.plant_out, |round: &Round| round.sow_outdoors] {
            let same = || rounds.iter().filter(|round| round.opens == main.opens).map(kind);
            assert!(kind(&main).is_none() || same().any(|w| w == kind(&main)), "{}", crop.name);
        }
        let has = |opens| rounds.iter().any(|round: &Round| round.opens == opens);
        both += usize::from(has(Opens::AsItWarms) && has(Opens::AsItCools));
    }
    assert!(both > 3, "{both} crops have two rounds");
}

/// Source: the same German pages as in the reference gardens: in mid-April peas and spinach are sown, tomatoes
/// stand under cover, beans wait for May, garlic for autumn.
#[test]
fn what_can_be_sown_in_april() {
    let now = can_sow_now(&CATALOGUE, &river_town(), &Experience::default(), day("2026-04-20"));
    let has = |crop: &str, how| {
        now.iter().any(|item: &SowNow| CATALOGUE.get(item.crop).name == crop && item.how == how)
    };
    assert!(has("pea", How::SowOutdoors) && has("spinach", How::SowOutdoors));
    assert!(has("courgette", How::SowUnderCover) && has("potato", How::PlantOut));
    assert!(!has("dwarf bean", How::SowOutdoors) && !has("garlic", How::PlantOut));
    assert!(
        !has("tomato", How::PlantOut),
        "what was sown under cover is not begun by planting out"
    );
    assert!(now.iter().all(|item| item.window.contains(day("2026-04-20"))));
    assert!(now.is_sorted_by_key(|item| item.window.to));
    let autumn = can_sow_now(&CATALOGUE, &river_town(), &Experience::default(), day("2026-10-01"));
    let kinds: Vec<_> = autumn.iter().map(|item| item.variety.as_deref()).collect();
    assert!(kinds.contains(&Some("Aquadulce")) && kinds.contains(&Some("overwintering onion")));
}

/// At the pole day breaks in March: seed is raised from then on, and planted out when it is raised, however early the
/// ground is warm.
#[test]
fn nothing_is_planted_out_before_it_is_raised() {
    let unknown = || FrostKnowledge::Unknown;
    let low = [0.0, 0.0, 20.0, 20.0, 20.0, 15.0, 15.0, 15.0, 10.0, 5.0, 0.0, 0.0];
    let pole = Conditions {
        latitude_deg: 90.0,
        normals: Some(Normals::new(low, low.map(|low| low + 5.0), None)),
        spring_frost: unknown(),
        autumn_frost: unknown(),
        ..river_town()
    };
    let mut late = 0;
    for (_, crop) in CATALOGUE.crops() {
        for round in calendar(&pole, &crop.name, Cover::None).rounds() {
            assert!(is_ordered(&crop.sheet, round), "{}: {round:?}", crop.name);
            late += usize::from(round.sow_under_cover.is_some_and(|w| w.from >= day("2026-03-18")));
        }
    }
    assert!(late > 5, "{late} crops wait for light");
}

#[test]
fn the_29th_of_february_is_a_day_like_others() {
    let conditions = river_town();
    let leap = GrowingYear::around(&conditions, day("2028-02-29"));
    assert_eq!(leap.days().days(), 366);
    let common = GrowingYear::around(&conditions, day("2027-02-28"));
    for crop in ["lettuce", "tomato", "garlic", "leek"] {
        let opens = |year: &GrowingYear| {
            let calendar = of_crop(&sheet(crop), year, Cover::None);
            let round = calendar.main_round().cloned().expect("a round");
            round.plant_out.or(round.sow_outdoors).expect("a window").from
        };
        let of_year = |date: NaiveDate| dates::MonthDay::of(date);
        assert_eq!(of_year(opens(&leap)), of_year(opens(&common)), "{crop}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// A colder garden with as much frost or more never begins earlier; both have a winter. (Where there is
    /// none, a season may run over midwinter and belongs to the year it opened in.)
    #[test]
    fn colder_is_never_earlier(mean in 7.0..12.0, colder in 0.0..4.0, frost in 70.0..110.0, less in 0.0..25.0) {
        let [warm, cold] = [garden(mean, 9.0, frost, 0.1), garden(mean - colder, 9.0, frost - less, 0.1)]
            .map(|garden| GrowingYear::around(&garden, day("2026-06-20")));
        for crop in ["tomato", "courgette", "dwarf bean", "sweetcorn", "leek", "pea", "lettuce"] {
            let [warm, cold] = [&warm, &cold].map(|year| of_crop(&sheet(crop), year, Cover::None));
            prop_assert!(is_never_later(&warm, &cold), "{crop}: {warm:?} {cold:?}");
        }
    }

    /// Who takes a higher risk never has to wait longer.
    #[test]
    fn more_risk_is_never_later(mean in 7.0..12.0, frost in 70.0..110.0, risk in 0.05..0.45, more in 0.0..0.45) {
        let [careful, bold] = [garden(mean, 9.0, frost, risk), garden(mean, 9.0, frost, risk + more)]
            .map(|garden| GrowingYear::around(&garden, day("2026-06-20")));
        for crop in ["tomato", "courgette", "dwarf bean", "carrot", "lettuce", "potato"] {
            let [bold, careful] = [&bold, &careful].map(|year| of_crop(&sheet(crop), year, Cover::None));
            prop_assert!(is_never_later(&bold, &careful), "{crop}: {bold:?} {careful:?}");
        }
    }

    /// Any climate at any latitude, the poles too: nothing breaks, and what there is, is in order.
    #[test]
    fn every_garden_has_a_calendar(
        low in prop::array::uniform12(-60.0..45.0), range in prop::array::uniform12(-5.0..30.0),
        latitude in prop_oneof![Just(-90.0), Just(0.0), Just(90.0), -90.0..90.0],
        frost in prop::option::of((1.0..150.0, 1.0..150.0)), share in 1_usize..6, risk in 0.01..0.99,
        year in 1_800..2_200,
    ) {
        let high = std::array::from_fn(|month| low[month] + range[month]);
        let knowledge = |half, number: Option<f64>| number.map_or(FrostKnowledge::Unknown, |number| {
            let days = [number, number + 9.0];
            FrostKnowledge::Observed(FrostModel::fit(HalfYear::at(half, latitude), &days, 1 + share), 10)
        });
        let conditions = Conditions {
            latitude_deg: latitude,
            longitude_deg: 20.0,
            normals: Some(Normals::new(low, high, None)),
            rain_mm: None,
            world: None,
            air: None,
            spring_frost: knowledge(Half::Spring, frost.map(|frost| frost.0)),
            autumn_frost: knowledge(Half::Autumn, frost.map(|frost| frost.1)),
            risk,
        };
        let growing = GrowingYear::around(&conditions, dates::MonthDay::new(2, 29).unwrap().in_year(year));
        for (_, crop) in CATALOGUE.crops() {
            for cover in [Cover::None, Cover::Glass] {
                let calendar = of_crop(&crop.sheet, &growing, cover);
                prop_assert!(calendar.rounds().all(|round| is_ordered(&crop.sheet, round)), "{}: {:?}", crop.name, calendar);
                prop_assert!(calendar.main_round().is_some() || !calendar.refusals.is_empty(), "{}", crop.name);
            }
        }
    }
}
