//! Five gardens whose planting dates are published: the calendar must come out as the handbooks have it.
//!
//! *Tolerance.* Published dates are whole months or halves of months for a region, and count from the mean
//! last frost, ours from one year in ten; so an end of a window may differ by five weeks unless a line says
//! otherwise. Where it differs more, the line says why. Days are counted later minus earlier, ours less
//! theirs.

use std::sync::LazyLock;

use crate::calendar::{CropCalendar, GrowingYear, Reason, Round, of_crop, rounds_in, years_around};
use crate::catalogue::Catalogue;
use crate::climate::conditions::{Conditions, FrostKnowledge};
use crate::climate::frost::FrostModel;
use crate::climate::half_year::{Half, HalfYear};
use crate::climate::normals::Normals;
use crate::dates::{self, MonthDay, Period};
use crate::place_kind::Cover;

static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(Catalogue::built_in);

fn fahrenheit(f: [f64; 12]) -> [f64; 12] {
    f.map(|f| (f - 32.0) / 1.8)
}

fn on(text: &str) -> MonthDay {
    dates::month_day(text).expect("a day")
}

fn given(half: Half, latitude: f64, p50: &str, p10: &str) -> FrostKnowledge {
    FrostKnowledge::Given(
        FrostModel::from_dates(half, latitude, on(p50), on(p10), 1.0).expect("a model"),
    )
}

fn frost_free(half: Half, latitude: f64) -> FrostKnowledge {
    FrostKnowledge::Observed(FrostModel::fit(HalfYear::at(half, latitude), &[], 30), 30)
}

/// Lake George, Colorado, 2,700 m: NCDC normals 1961–1990 of 'Lake George 8 SW' (WRCC, read). Frost: means of
/// 10 June and 15 September, Colorado State University Extension fact sheet 7.248 for Gilpin County (read);
/// 'frost-free nights from about mid-June through the first week in September', Teller County Master
/// Gardeners (read), gives the spread.
fn mountain() -> Conditions {
    let low = [-3.0, 1.5, 11.4, 22.0, 31.4, 39.4, 45.9, 44.6, 36.2, 25.8, 14.0, 1.6];
    let high = [30.0, 34.3, 40.4, 49.4, 59.4, 70.0, 75.5, 72.8, 66.2, 56.9, 41.5, 31.5];
    Conditions {
        latitude_deg: 38.9,
        longitude_deg: -105.5,
        normals: Some(Normals::new(fahrenheit(low), fahrenheit(high), None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: given(Half::Spring, 38.9, "06-10", "06-22"),
        autumn_frost: given(Half::Autumn, 38.9, "09-15", "09-03"),
        risk: 0.1,
    }
}

/// Miami, Florida: normals of the WMO (read in a copy), no frost.
pub(super) fn miami() -> Conditions {
    let low = [59.0, 60.0, 64.0, 68.0, 72.0, 75.0, 76.0, 77.0, 76.0, 72.0, 67.0, 62.0];
    let high = [75.0, 77.0, 79.0, 82.0, 85.0, 88.0, 89.0, 89.0, 88.0, 85.0, 80.0, 77.0];
    Conditions {
        latitude_deg: 25.8,
        longitude_deg: -80.3,
        normals: Some(Normals::new(fahrenheit(low), fahrenheit(high), None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: frost_free(Half::Spring, 25.8),
        autumn_frost: frost_free(Half::Autumn, 25.8),
        risk: 0.1,
    }
}

/// Nairobi, Kenya, 1,798 m: normals of the WMO (read in a copy). Nobody notes frost there.
fn nairobi() -> Conditions {
    let low = [11.5, 11.6, 13.1, 14.0, 13.2, 11.0, 10.1, 10.2, 10.5, 12.5, 13.1, 12.6];
    let high = [24.5, 25.6, 25.6, 24.1, 22.6, 21.5, 20.6, 21.4, 23.7, 24.7, 23.1, 23.4];
    Conditions {
        latitude_deg: -1.3,
        longitude_deg: 36.8,
        normals: Some(Normals::new(low, high, None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: FrostKnowledge::Unknown,
        autumn_frost: FrostKnowledge::Unknown,
        risk: 0.1,
    }
}

/// Melbourne, Victoria: Bureau of Meteorology, long-term means of station 86071 (read in a copy). Nights at or
/// below 0 °C there are 1.3 a year, in June to August: made up as six springs and four autumns of ten.
fn melbourne() -> Conditions {
    let low = [14.3, 14.6, 13.3, 10.8, 8.7, 6.9, 6.0, 6.7, 8.0, 9.6, 11.2, 13.0];
    let high = [25.9, 25.8, 23.9, 20.3, 16.7, 14.1, 13.5, 15.0, 17.3, 19.7, 22.0, 24.2];
    let spring: Vec<f64> = [20.0, 28.0, 35.0, 42.0, 50.0, 58.0].to_vec();
    let autumn: Vec<f64> = [125.0, 130.0, 138.0, 145.0].to_vec();
    Conditions {
        latitude_deg: -37.8,
        longitude_deg: 145.0,
        normals: Some(Normals::new(low, high, None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: FrostKnowledge::Observed(
            FrostModel::fit(HalfYear::at(Half::Spring, -37.8), &spring, 10),
            10,
        ),
        autumn_frost: FrostKnowledge::Observed(
            FrostModel::fit(HalfYear::at(Half::Autumn, -37.8), &autumn, 10),
            10,
        ),
        risk: 0.1,
    }
}

/// The demo garden: a river town in the south-west of Germany.
pub(super) fn river_town() -> Conditions {
    let low = [-0.2, -0.1, 2.4, 5.0, 8.9, 12.0, 14.0, 13.7, 10.2, 7.0, 3.2, 0.9];
    let high = [5.0, 6.7, 11.3, 16.0, 20.0, 23.3, 25.6, 25.2, 20.5, 14.6, 8.7, 5.5];
    Conditions {
        latitude_deg: 49.6,
        longitude_deg: 6.7,
        normals: Some(Normals::new(low, high, None)),
        rain_mm: None,
        world: None,
        air: None,
        spring_frost: given(Half::Spring, 49.6, "04-23", "05-10"),
        autumn_frost: given(Half::Autumn, 49.6, "10-23", "10-06"),
        risk: 0.1,
    }
}

fn calendar_of(conditions: &Conditions, kind: (&str, Option<&str>)) -> CropCalendar {
    let crop = CATALOGUE.get(CATALOGUE.find(kind.0).unwrap_or_else(|| panic!("{}", kind.0)));
    let year = GrowingYear::around(conditions, dates::date("2026-09-01").expect("a date"));
    of_crop(&crop.sheet_of(kind.1), &year, Cover::None)
}

type Pick = fn(&Round) -> Option<Period>;
const PLANTED: Pick = |round| round.plant_out;
const SOWN: Pick = |round| round.sow_outdoors;

/// The window of a crop: of the round that has one.
fn window(conditions: &Conditions, crop: &str, pick: Pick) -> Option<Period> {
    calendar_of(conditions, (crop, None)).rounds().find_map(pick)
}

/// Days from a day of the year to the nearest such date, ours less theirs.
fn off(ours: chrono::NaiveDate, theirs: &str) -> i64 {
    let days = (ours - on(theirs).last_on_or_before(ours)).num_days();
    if days > 183 { days - 365 } else { days }
}

/// Both ends of a window against published ones; the limits are in days, either way.
fn check(conditions: &Conditions, rows: &[(&str, Pick, &str, &str, [i64; 2])]) {
    for (crop, pick, from, to, limits) in rows {
        let found = window(conditions, crop, *pick).unwrap_or_else(|| panic!("{crop}: no window"));
        let offs = [off(found.from, from), off(found.to, to)];
        let holds = offs.iter().zip(limits).all(|(off, limit)| off.abs() <= *limit);
        assert!(holds, "{crop}: {found:?} against {from} to {to}: {offs:?} days");
    }
}

/// Source: Teller County Master Gardeners, 'Mountain gardening advisories' (read): root crops, cabbage kinds and
/// peas 'by May 15' in some years, in others not until 1 June; what takes more than 65 days is 'hard-pressed'.
/// High Country Conservation Center, Summit County (read): crops that want nights above 50 °F do badly.
#[test]
fn mountain_with_frost_in_june() {
    let mountain = mountain();
    for (crop, pick) in [
        ("pea", SOWN),
        ("turnip", SOWN),
        ("beetroot", SOWN),
        ("carrot", SOWN),
        ("radish", SOWN),
        ("cabbage", PLANTED),
        ("broccoli", PLANTED),
        ("kohlrabi", PLANTED),
    ] {
        let opens = window(&mountain, crop, pick).unwrap_or_else(|| panic!("{crop}")).from;
        // A week to either side of what the source gives.
        let span = ["2026-05-08", "2026-06-08"].map(|day| dates::date(day).expect("a date"));
        assert!(span[0] <= opens && opens <= span[1], "{crop}: {opens}");
    }
    for crop in ["tomato", "pepper", "aubergine", "cucumber", "sweetcorn", "sweet potato", "melon"]
    {
        let calendar = calendar_of(&mountain, (crop, None));
        assert_eq!(calendar.rounds().count(), 0, "{crop}");
        assert!(
            calendar.refusals.iter().all(|refusal| match refusal.why {
                Reason::NeverWarmEnough { needs_c, warmest_c } => needs_c > warmest_c,
                Reason::SeasonTooShort { needs_days, has_days } => needs_days > has_days,
                Reason::TooLittleWarmth { needs_degree_days_c, has_degree_days_c } => {
                    needs_degree_days_c > has_degree_days_c
                }
                _ => false,
            }),
            "{crop}: {:?}",
            calendar.refusals
        );
    }
    for crop in ["celeriac", "celery", "climbing bean"] {
        let calendar = calendar_of(&mountain, (crop, None));
        assert_eq!(calendar.rounds().count(), 0, "{crop}");
        assert!(
            calendar.refusals.iter().any(|refusal| matches!(refusal.why,
                Reason::SeasonTooShort { needs_days, has_days } if needs_days > has_days)),
            "{crop}: {:?}",
            calendar.refusals
        );
    }
}

/// Source: University of Florida IFAS, SP 103 'Florida Vegetable Gardening Guide', planting dates for the south
/// (read in two copies).
///
/// DISPUTED: cabbage, cauliflower and broccoli are set out there while days still have 30 °C, our sheets wait
/// for days below 27 °C (common practice): they open up to ten weeks later, and close in time. For cucumber,
/// aubergine, sweet corn and melon the guide leaves out the wet summer, for its diseases; temperature alone
/// does not: any day will do, so those are not compared.
#[test]
fn subtropical_without_frost() {
    let miami = miami();
    check(
        &miami,
        &[
            // Nights of 22 °C in May let few pods set (Konsens et al. 1991), so that ours end weeks before the guide's.
            ("dwarf bean", SOWN, "09-01", "04-30", [35, 75]),
            ("climbing bean", SOWN, "09-01", "04-30", [35, 85]),
            ("beetroot", SOWN, "10-01", "01-31", [35, 35]),
            ("kale", SOWN, "09-01", "01-31", [35, 35]),
            ("kohlrabi", SOWN, "10-01", "02-28", [35, 35]),
            ("lettuce", SOWN, "09-01", "02-28", [35, 35]),
            ("carrot", SOWN, "09-01", "03-31", [35, 90]),
            ("broccoli", PLANTED, "10-01", "01-31", [45, 35]),
            ("cauliflower", PLANTED, "09-01", "01-31", [75, 35]),
            ("cabbage", PLANTED, "09-01", "01-31", [75, 35]),
        ],
    );
    // Of the guide's dates for tomatoes, August to March, we have only memory.
    check(&miami, &[("tomato", PLANTED, "08-01", "03-31", [35, 60])]);
    // In summer it is too hot for what likes it cool, and never cool enough for garlic.
    let garlic = calendar_of(&miami, ("garlic", None));
    assert!(matches!(garlic.refusals[0].why, Reason::NeverCools { .. }), "{garlic:?}");
    let lettuce = calendar_of(&miami, ("lettuce", None));
    assert!(lettuce.spring.is_none() && lettuce.autumn.is_some(), "{lettuce:?}");
}

/// Sources: National Farmers Information Service of Kenya: kale from 800 to 2,200 m, best at 17–22 °C; notes for
/// Kenyan schools: tomatoes up to 2,100 m, carrots up to 2,900 m; harvestseason.co.ke: kale 'can be planted
/// year-round', given water (all read). So: every day of the year, and no wait for a spring.
///
/// DISPUTED: garlic is grown there too; our sheet wants nights of 10 °C, and July has 10.04.
#[test]
fn tropical_highland() {
    let nairobi = nairobi();
    for (crop, pick) in [
        ("kale", SOWN),
        ("carrot", SOWN),
        ("tomato", PLANTED),
        ("cabbage", PLANTED),
        ("lettuce", SOWN),
        ("potato", PLANTED),
    ] {
        let found = window(&nairobi, crop, pick).unwrap_or_else(|| panic!("{crop}"));
        assert_eq!(found.days(), 365, "{crop}: {found:?}");
    }
}

/// Source: Pip Magazine, seasonal guide for the cool temperate of Australia, what to sow in May, June and August
/// (read). Tomatoes are set out from October to Cup Day, the first Tuesday of November (from memory).
///
/// DISPUTED: it starts peppers, aubergines and melons under cover in August; our sheets want nights of
/// 10–11 °C to plant them out, which come in November, so they are sown later.
#[test]
fn southern_temperate() {
    let melbourne = melbourne();
    let august = dates::date("2026-08-15").expect("a date");
    let is_open = |crop| {
        let crop = CATALOGUE.get(CATALOGUE.find(crop).unwrap_or_else(|| panic!("{crop}")));
        let season = Period { from: august, to: august };
        let rounds = rounds_in(&crop.sheet, &years_around(&melbourne, august), season, Cover::None);
        let is_open = |round: &Round| {
            [round.plant_out, round.sow_outdoors].iter().flatten().any(|w| w.contains(august))
        };
        rounds.iter().any(is_open)
    };
    for crop in [
        "asparagus",
        "beetroot",
        "cabbage",
        "kohlrabi",
        "leek",
        "lettuce",
        "parsnip",
        "pea",
        "potato",
        "radish",
        "rocket",
        "spring onion",
        "strawberry",
    ] {
        assert!(is_open(crop), "{crop} is begun in August");
    }
    for crop in ["dwarf bean", "sweetcorn", "cucumber", "pumpkin", "tomato", "basil", "garlic"] {
        assert!(!is_open(crop), "{crop} is not begun outdoors in August");
    }
    // A community garden of Melbourne's east (tests/reference/calendars) plants garlic from March to June.
    check(&melbourne, &[("garlic", PLANTED, "03-01", "06-30", [35, 35])]);
    let beans = calendar_of(&melbourne, ("broad bean", Some("Aquadulce")));
    let sown = beans.autumn.and_then(|round| round.sow_outdoors).expect("a window");
    assert!(off(sown.from, "05-01").abs() <= 30 && off(sown.to, "06-30").abs() <= 28, "{sown:?}");
    let tomato = window(&melbourne, "tomato", PLANTED).expect("a window");
    assert!((-7..=28).contains(&off(tomato.from, "10-01")), "{tomato:?}");
    assert!(tomato.contains(dates::date("2026-11-03").expect("a date")), "{tomato:?}");
}

/// Sources, all read: an allotment society in Bochum: bush beans from mid-May, again until early July. A
/// newspaper's garden page (9 April 2005): first bush beans on 10 May; tomatoes, aubergines, peppers after
/// mid-May. Last sowings after Heistinger and Arche Noah, *Handbuch Bio-Gemüse* (Ulmer 2010), as retold: bush
/// beans, late carrots, beetroot 10 July; peas end of July; turnips mid-August.
///
/// DISPUTED: aubergines and peppers open a month late: our sheets want nights of 12 °C (common practice).
#[test]
fn temperate_demo() {
    let river = river_town();
    let opens = |crop, pick| window(&river, crop, pick).unwrap_or_else(|| panic!("{crop}")).from;
    let closes = |crop, pick| window(&river, crop, pick).unwrap_or_else(|| panic!("{crop}")).to;
    for (crop, pick, theirs, limit) in [
        ("dwarf bean", SOWN, "05-10", 24),
        ("tomato", PLANTED, "05-16", 14),
        ("aubergine", PLANTED, "05-16", 35),
        ("pepper", PLANTED, "05-16", 35),
    ] {
        let off = off(opens(crop, pick), theirs);
        assert!((-7..=limit).contains(&off), "{crop}: {off} days");
    }
    for (crop, pick, theirs) in [
        ("dwarf bean", SOWN, "07-10"),
        ("carrot", SOWN, "07-10"),
        ("beetroot", SOWN, "07-10"),
        ("pea", SOWN, "07-31"),
        ("turnip", SOWN, "08-15"),
    ] {
        let off = off(closes(crop, pick), theirs);
        assert!(off.abs() <= 24, "{crop}: {off} days");
    }
}
