//! How much of what is sown comes up.
//!
//! Trays fail together, so that 60 seeds of one tray say less than 60 seeds of ten trays. The share of a
//! tray is beta-distributed about the variety's share `p`, with the correlation ρ = 0.1 of two seeds of one
//! tray (J. Skellam, *JRSS B* 10 (1948) 257–261: beta-binomial). A tray of `n` seeds then counts as
//! `n / (1 + (n − 1) ρ)` independent ones (design effect: L. Kish, *Survey Sampling*, 1965), never more than
//! ten. Every level is a beta prior for the one below (Gelman et al., *Bayesian Data Analysis*, ch. 2.4, 5.3):
//! the start is Beta(3, 1), a share of 0.75 worth 4 seeds: about the middle of the least shares that US
//! law asks of vegetable seed (7 CFR 201.31; from memory). The crop's other varieties lend a variety at
//! most 8 seeds: `1/(1/strength + 1/8)`.
//!
//! The next tray's share has mean `m` and variance `v + ρ (m(1 − m) − v)`, where `v` is the variance of `p`;
//! its quantiles are those of the beta distribution with the same mean and variance.
//!
//! *What is a loss.* Only seed that did not come up. Seedlings thinned, given away or lost later came up;
//! bought plants were never sown; seed more than three years old is left out (common practice, no source).
//! A sowing counts once it is over: a later stage was noted, it is finished, or nothing more came up for a
//! week (common practice, no source). Sowings and seedlings that nobody counted are left out; 'about'
//! numbers count as half their size and make the result an 'about'.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use statrs::distribution::{Beta, ContinuousCDF};

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, Plants, Way};
use crate::happening::Happening;
use crate::learning::estimate::{Estimate, Level};
use crate::learning::quantity::{Beginning, Kind};
use crate::learning::stand::Odds;
use crate::names;
use crate::stage::Stage;

/// A sowing that is over, with what came up.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    /// The folded name of the variety; empty if none was named.
    pub variety: String,
    /// Seeds sown, at least one.
    pub sown: u32,
    /// Seedlings, at most as many.
    pub emerged: u32,
    /// Whether either number is a guess.
    pub is_about: bool,
}

/// The correlation of two seeds of one tray. Trug's choice, no source.
pub(crate) const TOGETHER: f64 = 0.1;
/// The share where nothing is known.
pub(crate) const USUAL_SHARE: f64 = 0.75;
/// Beta(3, 1).
const USUAL: Share = Share { mean: USUAL_SHARE, worth: 4.0 };
/// Seeds that the other varieties lend at most.
const CROP_WORTH: f64 = 8.0;
/// Seed older than this many years is left out.
pub(crate) const OLD_SEED_YEARS: i32 = 3;
/// Days without another seedling after which a sowing is over.
const OVER_DAYS: i64 = 7;

/// A beta distribution by its mean and the seeds it is worth (α + β).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Share {
    mean: f64,
    worth: f64,
}

impl Share {
    /// A share that is worth 4 seeds: what is known before anything was sown.
    pub(crate) fn before_sowing(mean: f64) -> Share {
        Share { mean, ..USUAL }
    }

    /// The share, and what a tray adds to it.
    pub(crate) fn with(self, tray: &Tray) -> Share {
        let sown = f64::from(tray.sown);
        let half = if tray.is_about { 0.5 } else { 1.0 };
        let seeds = half * sown / (1.0 + (sown - 1.0) * TOGETHER);
        let up = f64::from(tray.emerged) / sown;
        let worth = self.worth + seeds;
        Share { mean: (self.mean * self.worth + up * seeds) / worth, worth }
    }

    /// What the share of others is worth to one of them.
    pub(crate) fn lent(self) -> Share {
        Share { worth: 1.0 / (1.0 / self.worth + 1.0 / CROP_WORTH), ..self }
    }

    /// The mean share of the next tray, and the correlation of two of its seeds: of what is not known of the
    /// share, and of what befalls a tray.
    pub(crate) fn next_tray(self) -> Odds {
        let unknown = 1.0 / (self.worth + 1.0);
        Odds { mean: self.mean, together: unknown + TOGETHER * (1.0 - unknown) }
    }

    /// The 80 % interval of the share of all such seed.
    pub(crate) fn interval(self) -> (f64, f64) {
        let [low, _, high] = quantiles(self.mean, self.worth, [0.1, 0.5, 0.9]);
        (low, high)
    }

    /// Quantiles of the share of the next tray.
    fn next(self, chances: [f64; 3]) -> [f64; 3] {
        quantiles(self.mean, 1.0 / self.next_tray().together - 1.0, chances)
    }
}

fn quantiles(mean: f64, worth: f64, chances: [f64; 3]) -> [f64; 3] {
    let beta = Beta::new(mean * worth, (1.0 - mean) * worth);
    chances.map(|chance| beta.map_or(mean, |beta| beta.inverse_cdf(chance)))
}

/// The share of the next tray of a variety (folded name, empty for none), from the trays of its crop.
pub(super) fn estimate(trays: &[Tray], variety: &str) -> Estimate {
    let is_own = |tray: &&Tray| !variety.is_empty() && tray.variety == variety;
    let others = trays.iter().filter(|tray| !is_own(tray)).fold(USUAL, Share::with);
    let own: Vec<_> = trays.iter().filter(is_own).collect();
    let share = own.iter().fold(others.lent(), |share, tray| share.with(tray));
    let [low, middle, high] = share.next([0.1, 0.5, 0.9]);
    let (level, count) = match (own.len(), trays.len()) {
        (0, 0) => (Level::Table, 0),
        (0, all) => (Level::Crop, all),
        (own, _) => (Level::Variety, own),
    };
    let is_about = trays.iter().any(|tray| tray.is_about);
    let from_plantings = count as u32;
    Estimate { middle, low, high, from_plantings, unfinished: 0, neighbours: 0, level, is_about }
}

/// All sowings that are over, by crop and kind.
pub(super) fn trays(garden: &Garden) -> BTreeMap<(CropId, Kind), Vec<Tray>> {
    let mut trays: BTreeMap<_, Vec<Tray>> = BTreeMap::new();
    for (_, planting) in garden.plantings().filter(|(_, planting)| planting.way == Way::Sown) {
        let Some((kind, tray)) = tray(garden, planting) else { continue };
        trays.entry((planting.crop, kind)).or_default().push(tray);
    }
    trays
}

/// What came up of a sowing, if it is over and was counted, and of which kind it was.
pub(crate) fn tray(garden: &Garden, planting: &Planting) -> Option<(Kind, Tray)> {
    let steps = planting.own_steps();
    let reached = |wanted: Stage| {
        steps.iter().filter(
            move |step| matches!(step.what, Happening::Reached(stage) if stage.settled() == wanted),
        )
    };
    let first = reached(Stage::Sown).next()?;
    let counted = |stage| {
        let counts = reached(stage).map(|step| step.count.unwrap_or(Plants::UNKNOWN));
        counts.reduce(Plants::and)
    };
    let sown = counted(Stage::Sown)?;
    let last_up = reached(Stage::Emerged).map(|step| step.date).max();
    let has_gone_on = steps.iter().any(
        |step| matches!(step.what, Happening::Reached(stage) if stage > Stage::Emerged && stage != Stage::Finished),
    );
    let emerged = match counted(Stage::Emerged) {
        Some(emerged) => emerged,
        // It came up, and nobody noted how much of it.
        None if has_gone_on || has_been_picked(garden, planting) => return None,
        None => Plants::exactly(0),
    };
    let is_over = has_gone_on
        || planting.finished.is_some()
        || last_up.is_some_and(|last| (garden.today - last).num_days() >= OVER_DAYS);
    let is_old = is_old_seed(planting, first.date);
    let number = sown.number.filter(|sown| *sown > 0 && is_over && !is_old)?;
    let tray = Tray {
        variety: names::folded(planting.variety.as_deref().unwrap_or_default()),
        sown: number,
        emerged: emerged.number?.min(number),
        is_about: sown.is_about || emerged.is_about,
    };
    let place = first.place;
    Some((Kind::of_beginning(garden, &planting.sheet, Beginning::Sown, first.date, place), tray))
}

fn has_been_picked(garden: &Garden, planting: &Planting) -> bool {
    let id = garden.find_planting(&planting.id);
    id.is_some_and(|id| garden.harvests_of(id).next().is_some())
}

fn is_old_seed(planting: &Planting, sown: NaiveDate) -> bool {
    let year = planting.seed.as_ref().and_then(|seed| seed.year.as_ref());
    year.is_some_and(|year| i64::from(sown.year()) - i64::from(*year) > i64::from(OLD_SEED_YEARS))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Judge: `scipy.stats.beta` (`tests/judges/make_reference/learning.py`). Within 1e-5, as printed.
    #[test]
    fn as_scipy_has_it() {
        let table = include_str!("../../tests/reference/learned_germination.csv");
        let tray = |text: &str| {
            let (sown, emerged) =
                text.trim_start_matches('~').split_once('/').expect("sown/emerged");
            let number = |text: &str| text.parse().expect("a number");
            let is_about = text.starts_with('~');
            Tray { variety: "a".to_owned(), sown: number(sown), emerged: number(emerged), is_about }
        };
        for line in table.lines().skip(1) {
            let (trays, numbers) = line.split_once(',').expect("a row");
            let trays: Vec<Tray> = trays.split_whitespace().map(tray).collect();
            let wanted: Vec<f64> =
                numbers.split(',').map(|number| number.parse().expect("a number")).collect();
            let found = estimate(&trays, "a");
            for (found, wanted) in [found.low, found.middle, found.high].iter().zip(&wanted) {
                assert!((found - wanted).abs() < 1e-5, "{line}: {found}");
            }
        }
    }

    #[test]
    fn other_varieties_lend_but_do_not_decide() {
        let trays = |variety: &str, emerged| {
            let tray = Tray { variety: variety.to_owned(), sown: 20, emerged, is_about: false };
            vec![tray; 10]
        };
        let nothing = estimate(&[], "a");
        let lent = estimate(&trays("b", 4), "a");
        let own = estimate(&[trays("a", 18), trays("b", 4)].concat(), "a");
        assert!(lent.middle < 0.4 && nothing.middle > 0.8 && own.middle > 0.8, "{lent:?} {own:?}");
        assert_eq!((lent.level, lent.from_plantings), (Level::Crop, 10));
        assert_eq!((own.level, own.from_plantings), (Level::Variety, 10));
        assert!(own.high - own.low < nothing.high - nothing.low);
    }
}
