//! Why a window opens and closes when it does: what keeps the day before it, and the day after it, out.

use crate::calendar::How;
use crate::calendar::rules::Trial;

/// Why a way to begin a crop has the window it has.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowBounds {
    /// The way.
    pub how: How,
    /// What is over on its first day.
    pub opens: Vec<Bound>,
    /// What begins after its last day.
    pub closes: Vec<Bound>,
}

/// What keeps a day out of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// The last frost of spring at the garden's risk, and so many days after (less than 0: before) it.
    LastFrost(i64),
    /// The first frost of autumn at the garden's risk.
    FirstFrost,
    /// Nights are not above this, °C.
    Nights(f64),
    /// The soil is not above this, °C.
    Soil(f64),
    /// The mean of day and night is not above this, °C.
    Mean(f64),
    /// Nights are not below this, °C.
    NotCooled(f64),
    /// Soil or days are too hot to begin it.
    TooHotToBegin,
    /// Days are so long that bulbs would swell on small plants.
    BulbsTooSoon,
    /// It is the warmer half of a year without winter, in which young perennials suffer.
    WarmHalf,
    /// When it would be picked the mean is above this, °C.
    HotWhenPicked(f64),
    /// When it would flower it is too hot for fruit to set.
    HotWhenInFlower,
    /// Days before it would be picked are longer than this, hours, so that it runs to seed.
    RunsToSeed(f64),
    /// It would not be picked before winter, whose means below this make it run to seed, °C.
    FlowersAfterWinter(f64),
    /// Frost would kill it before it is ripe, or soon after.
    FrostBeforeRipe,
    /// Cold and dark would stop it before it is ripe.
    DarkBeforeRipe,
    /// The usual first frost of autumn, that of one year in two, is so many days ahead or fewer.
    UsualFrost(i64),
    /// So many days after it could be planted it is late for roots to grow before winter.
    LateForRoots(i64),
    /// It has gone well from this day on in the grower's own garden, so many plantings.
    GoneWell(u32),
    /// It is begun once a year, and what is begun later bears for less long.
    OnceAYear,
}

/// What keeps a day out, quick kinds or slow kinds.
pub(super) fn of_day(trial: &Trial<'_>, day: i64, is_quick: bool) -> Vec<Bound> {
    let mut found = Vec::new();
    if !trial.is_frost_safe(day) {
        found.push(frost(trial, day));
    }
    if !trial.is_warm(day) {
        found.extend(coldness(trial, day));
    }
    if trial.is_too_hot_to_begin(day) {
        let bulbs = trial.bulbs_too_soon(day);
        found.push(if bulbs { Bound::BulbsTooSoon } else { Bound::TooHotToBegin });
    }
    if trial.is_too_warm_to_plant(day) {
        found.push(Bound::WarmHalf);
    }
    if found.is_empty() && !trial.is_worth_while(day, is_quick) {
        found.push(ripening(trial, day, is_quick));
    }
    found
}

/// Frost of spring or of autumn, whichever is nearer.
fn frost(trial: &Trial<'_>, day: i64) -> Bound {
    let (year, length) = (trial.year, trial.year.length());
    let opens = year.number(year.last_frost()).map(|frost| frost + trial.after_frost.low);
    match opens {
        Some(opens) if (opens - day).rem_euclid(length) < length / 2 => {
            Bound::LastFrost(trial.after_frost.low)
        }
        _ => Bound::FirstFrost,
    }
}

/// Why it would not be ready, or not be good.
fn ripening(trial: &Trial<'_>, day: i64, is_quick: bool) -> Bound {
    let Some(ready) = trial.picked(day, is_quick) else { return Bound::DarkBeforeRipe };
    if trial.end(day).is_some_and(|end| ready + trial.worth_days > end) {
        Bound::FrostBeforeRipe
    } else if trial.is_too_hot_to_pick(ready) {
        Bound::HotWhenPicked(trial.hottest_c)
    } else if trial.is_too_hot_to_flower(day) {
        Bound::HotWhenInFlower
    } else if let Some(hours) = trial.runs_to_seed(day, ready) {
        Bound::RunsToSeed(hours)
    } else if let Some(celsius) = trial.flowers_after_winter(day, ready) {
        Bound::FlowersAfterWinter(celsius)
    } else {
        Bound::DarkBeforeRipe
    }
}

/// What is not warm enough on a day.
fn coldness(trial: &Trial<'_>, day: i64) -> Vec<Bound> {
    let Some(weather) = trial.weather(day.rem_euclid(trial.year.length())) else {
        return Vec::new();
    };
    let warmer_c = trial.shelter.warmer_c;
    let (found_c, bound): (f64, fn(f64) -> Bound) = match trial.how {
        How::SowOutdoors => {
            (weather.bare_soil_c(trial.year.thresholds().soil_k_per_h), Bound::Soil)
        }
        _ => (weather.low_c, Bound::Nights),
    };
    let wanted = trial.wanted_c.filter(|wanted| found_c + warmer_c < *wanted).map(bound);
    let is_cold = weather.soil_c + warmer_c < trial.mean_c;
    // Warm on the day, but not for the week that has to follow.
    let mean = (is_cold || wanted.is_none()).then_some(Bound::Mean(trial.mean_c));
    wanted.into_iter().chain(mean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::reference_gardens::{miami, river_town};
    use crate::calendar::{GrowingYear, Round, of_crop};
    use crate::catalogue::Catalogue;
    use crate::climate::conditions::Conditions;
    use crate::dates;
    use crate::place_kind::Cover;

    fn round(garden: &Conditions, crop: &str) -> (GrowingYear, Round) {
        let catalogue = Catalogue::built_in();
        let sheet = &catalogue.get(catalogue.find(crop).expect("a crop")).sheet;
        let year = GrowingYear::around(garden, dates::date("2026-06-20").expect("a day"));
        let calendar = of_crop(sheet, &year, Cover::None);
        let round = calendar.rounds().next().expect("a round").clone();
        (year, round)
    }

    fn begun(round: &Round) -> (i64, Vec<Bound>, Vec<Bound>) {
        let window = round.plant_out.or(round.sow_outdoors).expect("a window");
        let bounds = round.bounds.first().expect("bounds");
        (
            i64::from(chrono::Datelike::ordinal0(&window.from)),
            bounds.opens.clone(),
            bounds.closes.clone(),
        )
    }

    /// What is said is true of the day before the window, and no longer of its first day. The garden's growing year
    /// is the calendar year.
    #[test]
    fn in_a_town_with_winters() {
        let weather = |year: &GrowingYear, day: i64| year.weather()[day as usize];
        let (year, tomato) = round(&river_town(), "tomato");
        let (from, opens, closes) = begun(&tomato);
        assert_eq!((opens, closes), (vec![Bound::Mean(13.0)], vec![Bound::OnceAYear]));
        assert!(weather(&year, from - 1).soil_c < 13.0 && weather(&year, from).soil_c >= 13.0);

        let (year, pea) = round(&river_town(), "pea");
        let (from, opens, closes) = begun(&pea);
        assert_eq!(opens, [Bound::LastFrost(-49), Bound::Mean(7.0)]);
        assert_eq!(closes, [Bound::DarkBeforeRipe]);
        assert_eq!(year.number(year.last_frost()), Some(from + 49));

        let (year, garlic) = round(&river_town(), "garlic");
        let (from, opens, closes) = begun(&garlic);
        assert_eq!((opens, closes), (vec![Bound::UsualFrost(42)], vec![Bound::LateForRoots(63)]));
        assert!(
            weather(&year, from - 1).low_c <= 12.0 && year.usual_first_frost() == Some(from + 42)
        );
        let window = garlic.plant_out.expect("a window");
        assert_eq!((window.to - window.from).num_days(), 62);
    }

    #[test]
    fn in_a_town_without_frost_heat_is_what_opens_and_closes() {
        let (year, tomato) = round(&miami(), "tomato");
        let (_, opens, closes) = begun(&tomato);
        assert_eq!((opens, closes), (vec![Bound::HotWhenInFlower], vec![Bound::HotWhenInFlower]));
        let hottest = year.own_weather().iter().map(|day| day.low_c).fold(0.0, f64::max);
        assert!(hottest > 22.0);
        let (_, pea) = round(&miami(), "pea");
        assert!(
            !pea.bounds
                .iter()
                .flat_map(|way| &way.opens)
                .any(|why| matches!(why, Bound::LastFrost(_)))
        );
    }
}
