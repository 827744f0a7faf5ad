//! Many invented gardens with a known truth: do estimates close in on it, and do intervals hold?
//!
//! Everything is drawn from a small seeded generator, so that a result is the same every time.

use crate::catalogue::Crop;
use crate::catalogue::sheet::{AfterStage, CropSheet};
use crate::learning::dice::Dice;
use crate::learning::estimate::Estimate;
use crate::learning::germination::{self, Tray};
use crate::learning::neighbours::Heard;
use crate::learning::posterior::{Answers, End, Question, Sample, estimate};
use crate::learning::quantity::{Beginning, Quantity, Span};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// A crop whose table says so many days from planting out to harvest.
pub(super) fn crop(low: i32, high: i32) -> Crop {
    let days = Range { low: Days(low), high: Days(high) };
    let first_harvest = Some(AfterStage { stage: Stage::PlantedOut, days, is_of_calendar: false });
    Crop {
        name: "kohlrabi".to_owned(),
        slug: "kohlrabi".to_owned(),
        also_called: Vec::new(),
        sheet: CropSheet { first_harvest, ..CropSheet::default() },
        varieties: Vec::new(),
        sources: std::collections::BTreeMap::new(),
        prose: String::new(),
        own_sheet: None,
    }
}

pub(super) fn first_harvest() -> Quantity {
    Quantity::Days(Span::new(Beginning::PlantedOut, Milestone::FirstHarvest))
}

/// `a:60` is 60 days of variety a, `a:60+` longer than that; `3/a:60` is of the third season.
pub(super) fn sample(text: &str) -> Sample {
    let (season, text) = text.split_once('/').unwrap_or(("1", text));
    let (variety, days) = text.split_once(':').expect("variety:days");
    let value = days.trim_end_matches('+').parse().expect("a number");
    let end = if days.ends_with('+') { End::Longer } else { End::Came };
    let season = season.parse().expect("a number");
    Sample { variety: variety.into(), season, value, end, plantings: 1 }
}

/// What is expected of a variety in a season of which nothing is known.
pub(super) fn asked_of(crop: &Crop, variety: &str, samples: &[Sample]) -> Option<Estimate> {
    asked_in(crop, variety, None, samples)
}

pub(super) fn asked_in(
    crop: &Crop,
    variety: &str,
    season: Option<i32>,
    samples: &[Sample],
) -> Option<Estimate> {
    let question = Question { quantity: first_harvest(), variety, season, late_days: 0.0 };
    estimate(crop, question, &samples.iter().collect::<Vec<_>>(), &[], &Answers::default())
}

/// What only trials of germination want.
impl Dice {
    /// Gamma by sums of exponentials, for half-whole shapes as chi-squared.
    fn chi_squared(&mut self, freedom: u32) -> f64 {
        (0..freedom)
            .map(|_| {
                let normal = self.normal();
                normal * normal
            })
            .sum()
    }

    /// Beta from two gammas; twice their shapes are whole numbers.
    fn beta(&mut self, twice_up: u32, twice_down: u32) -> f64 {
        let (up, down) = (self.chi_squared(twice_up), self.chi_squared(twice_down));
        up / (up + down)
    }
}

/// What is true in a garden, as standard deviations of logarithms.
#[derive(Clone, Copy, Debug)]
struct World {
    season: f64,
    planting: f64,
}

const TABLE: (i32, i32) = (70, 90);
/// How far gardens lie from the table, and varieties from their crop.
const SHIFT: f64 = 0.05;
const VARIETY: f64 = 0.03;

impl World {
    /// So many seasons of six to eight plantings of three varieties, and a planting of the next season.
    fn garden(self, dice: &mut Dice, seasons: i32) -> (Vec<Sample>, f64) {
        let centre = libm::log(f64::from(TABLE.0) * f64::from(TABLE.1)) / 2.0;
        let middle = centre + SHIFT * dice.normal();
        let varieties = [(); 3].map(|()| middle + VARIETY * dice.normal());
        let mut samples = Vec::new();
        for season in 1..=seasons {
            let of_season = self.season * dice.normal();
            for number in 0..6 + (dice.roll() * 3.0) as usize {
                let log = varieties[number % 3] + of_season + self.planting * dice.normal();
                let variety = ["a", "b", "c"][number % 3].into();
                let value = libm::exp(log);
                samples.push(Sample { variety, season, value, end: End::Came, plantings: 1 });
            }
        }
        let next = varieties[0] + self.season * dice.normal() + self.planting * dice.normal();
        (samples, libm::exp(next))
    }
}

fn asked(samples: &[Sample]) -> Estimate {
    asked_of(&crop(TABLE.0, TABLE.1), "a", samples).expect("a table")
}

/// The share of next season's plantings within their 80 % range, and half the width of the range as a share of its middle.
fn coverage(world: World, seasons: i32, gardens: u32) -> (f64, f64) {
    let mut dice = Dice::new(20_261_126);
    let (mut hits, mut halves) = (0, 0.0);
    for _ in 0..gardens {
        let (samples, next) = world.garden(&mut dice, seasons);
        let found = asked(&samples);
        hits += u32::from(found.contains(next));
        halves += libm::log(found.high / found.low) / 2.0;
    }
    (f64::from(hits) / f64::from(gardens), halves / f64::from(gardens))
}

const WORLDS: [World; 4] = [
    World { season: 0.0, planting: 0.055 },
    World { season: 0.05, planting: 0.05 },
    World { season: 0.08, planting: 0.04 },
    World { season: 0.12, planting: 0.04 },
];

/// Seasons that are alike, and seasons that differ more than the table's whole range; the whole is
/// [`eighty_of_a_hundred_in_every_cell`].
#[test]
fn eighty_of_a_hundred() {
    for (world, seasons, least) in [(WORLDS[0], 3, 0.7), (WORLDS[2], 1, 0.7), (WORLDS[3], 3, 0.7)] {
        let (share, half) = coverage(world, seasons, 60);
        assert!(share >= least, "{world:?} {seasons}: {share}");
        // Nor are they wide for nothing: the best that could be done, and half as much again.
        let best = 1.2816 * (world.season * world.season + world.planting * world.planting).sqrt();
        assert!(half < 1.5 * best, "{world:?} {seasons}: {half}, {best}");
    }
}

/// The next season's planting is within its range at least 78 times of a hundred from three seasons on, and
/// 70 times from one. Of 300 gardens a share is uncertain by 2.3 %, for which nothing is allowed.
#[test]
#[ignore = "3,600 gardens; run by tests/campaign"]
fn eighty_of_a_hundred_in_every_cell() {
    let mut found = Vec::new();
    for world in WORLDS {
        for (seasons, least) in [(1, 0.7), (3, 0.78), (8, 0.78)] {
            found.push((world, seasons, least, coverage(world, seasons, 300)));
        }
    }
    let is_short = found.iter().any(|(_, _, least, (share, _))| share < least);
    assert!(!is_short, "world, seasons, least, (share, half-width): {found:#.3?}");
}

/// The mean error of the middle, as a share of the true median, with so many plantings of a variety that
/// truly takes a third longer than the table's middle.
fn error_after(count: u64) -> f64 {
    let mut dice = Dice::new(count + 1);
    let truth = 1.33 * libm::exp(libm::log(6300.0) / 2.0);
    let gardens = 400;
    let errors = (0..gardens).map(|_| {
        let samples: Vec<Sample> = (0..count)
            .map(|number| {
                let days = truth * libm::exp(0.1 * dice.normal());
                sample(&format!("{}/a:{days}", number / 2))
            })
            .collect();
        (asked(&samples).middle / truth - 1.0).abs()
    });
    errors.sum::<f64>() / f64::from(gardens)
}

/// From a quarter off with no planting to 2 % with forty in twenty seasons: what the mean of forty would have, too.
#[test]
fn the_truth_comes_out() {
    let errors: Vec<f64> = [0, 1, 2, 5, 10, 20, 40].into_iter().map(error_after).collect();
    assert!(errors.is_sorted_by(|before, after| before > after), "{errors:?}");
    assert!(errors[0] > 0.24 && errors[3] < 0.12 && errors[6] < 0.02, "{errors:?}");
}

/// Half of the plantings are cleared before they are ripe. Who drops them learns only of the quick ones.
#[test]
fn censoring_takes_the_bias_away() {
    let mut dice = Dice::new(3);
    let truth = 100.0;
    let (mut with, mut without) = (0.0, 0.0);
    let gardens = 200;
    for _ in 0..gardens {
        let samples: Vec<Sample> = (0..40)
            .map(|number| {
                let days = truth * libm::exp(0.15 * dice.normal());
                let cleared = 80.0 + 40.0 * dice.roll();
                let (days, plus) = if days > cleared { (cleared, "+") } else { (days, "") };
                sample(&format!("{}/a:{days}{plus}", number / 4))
            })
            .collect();
        let finished: Vec<Sample> =
            samples.iter().filter(|s| s.end == End::Came).cloned().collect();
        with += asked(&samples).middle / truth - 1.0;
        without += asked(&finished).middle / truth - 1.0;
    }
    let (with, without) = (with / f64::from(gardens), without / f64::from(gardens));
    assert!(without < -0.05, "dropping them is too quick by {without}");
    assert!(with.abs() < 0.04, "keeping them is off by {with}");
}

/// Trays that fail together as the model has it, of varieties with shares as different as its prior: the
/// next tray, large enough to show its share, falls in the interval.
#[test]
fn eighty_trays_of_a_hundred() {
    for (trays, seeds) in [(0, 20), (1, 20), (2, 60), (5, 12), (15, 24)] {
        let mut dice = Dice::new(5);
        let gardens = 3000;
        let hits = (0..gardens).filter(|_| {
            // Beta(2, 2/3), what the crop lends to a variety, in halves: nearly Beta(2, 0.5).
            let share = dice.beta(4, 1).clamp(0.05, 0.95);
            let mut tray_share = || {
                // ρ = 1/10: a worth of 9 seeds, in halves of seeds.
                let up = (share * 18.0).round().clamp(1.0, 17.0) as u32;
                dice.beta(up, 18 - up)
            };
            let shares: Vec<f64> = (0..=trays).map(|_| tray_share()).collect();
            let known: Vec<Tray> = shares[1..]
                .iter()
                .map(|share| {
                    let emerged = (0..seeds).filter(|_| dice.roll() < *share).count() as u32;
                    Tray { variety: "a".to_owned(), sown: seeds, emerged, is_about: false }
                })
                .collect();
            germination::estimate(&known, "a").contains(shares[0])
        });
        let found = hits.count() as f64 / f64::from(gardens);
        assert!((found - 0.8).abs() < 0.05, "{trays} trays of {seeds}: {found}");
    }
}

/// A club: regions lie further from the table than gardens from their region, and neighbours share their seasons.
struct Club {
    region: f64,
    seasons: Vec<f64>,
    varieties: [f64; 3],
}

const REGION: f64 = 0.12;
const GARDEN: f64 = 0.04;
const STRANGER: f64 = 0.3;

impl Club {
    fn of(dice: &mut Dice, seasons: usize) -> Club {
        let centre = libm::log(f64::from(TABLE.0) * f64::from(TABLE.1)) / 2.0;
        Club {
            region: centre + REGION * dice.normal(),
            seasons: (0..=seasons).map(|_| 0.05 * dice.normal()).collect(),
            varieties: [(); 3].map(|()| VARIETY * dice.normal()),
        }
    }

    /// Days of a planting in a garden that lies so far from the club's middle.
    fn days(&self, dice: &mut Dice, garden: f64, season: usize, variety: usize) -> f64 {
        let log = self.region + garden + self.seasons[season] + self.varieties[variety];
        libm::exp(log + 0.05 * dice.normal())
    }

    /// What a garden tells of the seasons before the last.
    fn tells(&self, dice: &mut Dice, number: usize, off: f64, likeness: f64) -> Vec<Heard> {
        let came = chrono::NaiveDate::default();
        let mut all = Vec::new();
        for season in 0..self.seasons.len() - 1 {
            for planting in 0..2 + (dice.roll() * 3.0) as usize {
                let days = self.days(dice, off, season, planting % 3);
                let variety = ["a", "b", "c"][planting % 3].to_owned();
                let season = season as i32;
                all.push(Heard { garden: number, likeness, variety, season, value: days, came });
            }
        }
        all
    }
}

fn with_heard(samples: &[Sample], heard: &[Heard]) -> Estimate {
    let question =
        Question { quantity: first_harvest(), variety: "a", season: Some(3), late_days: 0.0 };
    let samples: Vec<&Sample> = samples.iter().collect();
    let heard: Vec<&Heard> = heard.iter().collect();
    let crop = crop(TABLE.0, TABLE.1);
    estimate(&crop, question, &samples, &heard, &Answers::default()).expect("a table")
}

/// The mean error of the first season's dates, and the share that held, of a member of clubs with so many neighbours, and of
/// strangers among them of which no more is known than `likeness`.
fn first_season(neighbours: usize, strangers: usize, likeness: f64) -> (f64, f64) {
    let mut dice = Dice::new(12);
    let clubs = 400;
    let (mut error, mut held) = (0.0, 0);
    for _ in 0..clubs {
        let club = Club::of(&mut dice, 3);
        let own = GARDEN * dice.normal();
        let came = club.days(&mut dice, own, 3, 0);
        // Drawn whether they are asked or not, so that the clubs are the same.
        let mut told = Vec::new();
        for number in 0..6 {
            let (is_asked, off, likeness) = match number {
                5 => (strangers > 0, STRANGER * dice.normal(), likeness),
                _ => (number < neighbours, GARDEN * dice.normal(), 0.85),
            };
            let tells = club.tells(&mut dice, number, off, likeness);
            told.extend(tells.into_iter().filter(|_| is_asked));
        }
        let found = with_heard(&[], &told);
        error += libm::log(found.middle / came).abs();
        held += u32::from(found.contains(came));
    }
    (error / f64::from(clubs), f64::from(held) / f64::from(clubs))
}

/// Five neighbours of three seasons, a member's first season. And one whose climate differs by 4 °C, 0.85 e^(−4²/(2 · 2.5²)),
/// alone and beside the five, and one of which no climate is known: none of them does harm.
#[test]
fn a_club_knows_more_than_the_table() {
    let table = first_season(0, 0, 0.0);
    let club = first_season(5, 0, 0.0);
    assert!(club.0 <= 0.7 * table.0 && club.1 >= 0.78, "{club:?} {table:?}");
    for likeness in [0.236, 0.5] {
        let stranger = first_season(0, 1, likeness);
        assert!(stranger.0 <= 1.02 * table.0, "{likeness}: {stranger:?} {table:?}");
        let beside = first_season(5, 1, likeness);
        assert!(beside.0 <= 1.02 * club.0, "{likeness}: {beside:?} {club:?}");
    }
}

/// Five neighbours agree, and all are a quarter slower than this garden: after its own three seasons they do no harm any
/// more, and after one the middle is nearer to its own plantings than to theirs.
#[test]
fn own_records_take_over() {
    let mut dice = Dice::new(4);
    let club = Club { region: libm::log(99.0), seasons: vec![0.0; 4], varieties: [0.0; 3] };
    let told: Vec<Heard> =
        (0..5).flat_map(|number| club.tells(&mut dice, number, 0.0, 0.85)).collect();
    let own = |seasons: i32| -> Vec<Sample> {
        let all = ["77", "79", "81", "78", "80", "82"].map(|days| format!("a:{days}"));
        (0..seasons)
            .flat_map(|season| all.iter().map(move |text| Sample { season, ..sample(text) }))
            .collect()
    };
    let middle = |seasons: i32| with_heard(&own(seasons), &told).middle;
    assert!(middle(0) > 92.0, "{}", middle(0));
    assert!(middle(1) < 88.0, "{}", middle(1));
    assert!((middle(3) / 79.5 - 1.0).abs() < 0.03, "{}", middle(3));
}
