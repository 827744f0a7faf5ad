//! The hierarchical normal model as numbers: what a few groups of values say of the next one.
//!
//! Given the four standard deviations everything is normal and solved exactly. The deviations themselves are summed
//! over a fixed grid, so that the same values give the same bits everywhere. The model is told on the room's front page.
//!
//! *Cost.* Values enter as sums by season and variety, so that it does not grow with their number. Of seasons and
//! varieties the more numerous are summed out one by one; the others are solved together by Cholesky.

use crate::learning::layout::{Layout, Room};
use std::f64::consts::SQRT_2;

/// Values of one season and one variety, as differences of logarithms from the middle of the table's range.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Cell {
    pub(super) season: usize,
    pub(super) variety: usize,
    /// How many values, their sum, and the sum of their squares.
    pub(super) number: f64,
    pub(super) sum: f64,
    pub(super) squares: f64,
    /// What is known besides of the cell's middle: a precision, and that times a value.
    pub(super) precision: f64,
    pub(super) pull: f64,
}

/// What is asked of: the next value of a season and a variety, by their numbers in the cells; none is a new one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    pub(super) season: Option<usize>,
    pub(super) variety: Option<usize>,
}

/// What is known before any value: where the crop lies in this garden.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Start<'a> {
    /// At the table's middle, shifted by an unknown amount.
    Table,
    /// Where neighbours' gardens say.
    Neighbours(&'a Club),
    /// Anywhere.
    Unknown,
}

/// What neighbours say: where the crop may lie here, and how much seasons and plantings differ.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Club {
    pub(super) shifts: Vec<Shift>,
    /// The squares of plantings about the means of their seasons, and how many are free.
    pub(super) plantings: (f64, f64),
    /// The same of the means of seasons about those of their gardens; seasons are the whole club's.
    pub(super) seasons: (f64, f64),
    /// The share of a planting's variance in the mean of a season.
    pub(super) share: f64,
}

impl Club {
    /// How likely its squares are, as a logarithm.
    fn log(&self, deviations: &Deviations) -> f64 {
        let own = deviations.planting * deviations.planting;
        let season = deviations.season * deviations.season + self.share * own;
        let log = |(squares, free): (f64, f64), variance: f64| {
            if free > 0.0 { -(free * libm::log(variance) + squares / variance) / 2.0 } else { 0.0 }
        };
        log(self.plantings, own) + log(self.seasons, season)
    }
}

/// A normal distribution of the garden's shift from the table, with the logarithm of its weight.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Shift {
    pub(super) weight: f64,
    pub(super) mean: f64,
    pub(super) deviation: f64,
}

/// Where a crop may lie in a garden of which nothing is known.
pub(super) fn table_shifts(unit: f64) -> Vec<Shift> {
    let shift = |(shift, weight)| Shift { weight, mean: 0.0, deviation: shift * unit };
    weighed(SHIFT, SCALES[3]).map(shift).to_vec()
}

/// Standard deviations as shares of the table's own, see [`Scale`].
const PLANTING: [f64; 9] = [0.14, 0.21, 0.32, 0.48, 0.72, 1.08, 1.62, 2.43, 3.65];
const SEASON: [f64; 7] = [0.0, 0.2, 0.5, 0.9, 1.4, 2.1, 3.2];
const VARIETY: [f64; 4] = [0.0, 0.4, 0.9, 1.8];
const SHIFT: [f64; 4] = [0.25, 0.75, 1.6, 3.2];
/// The scales of the half-normal priors, in the same shares: planting, season, variety, shift. Calibrated by simulation so that
/// intervals hold from the first season on (`learning/trials.rs`); no source.
const SCALES: [f64; 4] = [0.45, 1.5, 0.28, 0.8];

/// A standard deviation of the logarithms that the table's range means: half its width over this, the nine tenths
/// of the standard normal distribution.
pub(super) const NINETIETH: f64 = 1.281_551_565_544_600_4;

/// A normal distribution with a weight; all weights together are 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Part {
    weight: f64,
    mean: f64,
    deviation: f64,
}

/// Where the next value lies, and the standard deviations that are likely.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Next {
    parts: Vec<Part>,
    /// Posterior means of the deviations.
    pub(super) deviations: Deviations,
}

/// The four standard deviations, of logarithms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Deviations {
    pub(super) planting: f64,
    pub(super) season: f64,
    pub(super) variety: f64,
    pub(super) shift: f64,
    /// And the mean of the shift.
    pub(super) centre: f64,
}

/// Parts lighter than this share of the heaviest are left out.
const LIGHT: f64 = 1e-3;
/// A little below its logarithm.
const LOG_LIGHT: f64 = -7.0;

/// The next value of what is asked; `unit` is the standard deviation that the table's range means.
pub(super) fn next(cells: &[Cell], asked: Asked, start: Start<'_>, unit: f64) -> Next {
    let layout = Layout::of(cells, asked);
    let shifts = match start {
        Start::Table => table_shifts(unit),
        Start::Neighbours(club) => club.shifts.clone(),
        Start::Unknown => vec![Shift::default()],
    };
    let points = PLANTING.len() * SEASON.len() * VARIETY.len() * shifts.len();
    let mut logs = Vec::with_capacity(points);
    let grid = Grid::new();
    let mut room = Room::of(layout.columns);
    let others = layout.deviations(&grid);
    for (planting, planting_weight) in grid.planting {
        for &(season, variety, weight) in &others {
            let mut deviations = Deviations {
                planting: planting * unit,
                season: season * unit,
                variety: variety * unit,
                ..Deviations::default()
            };
            let solved = layout.solve(&deviations, &mut room);
            let mut weight = planting_weight + weight;
            if let Start::Neighbours(club) = start {
                weight += club.log(&deviations);
            }
            for shift in &shifts {
                (deviations.shift, deviations.centre) = (shift.deviation, shift.mean);
                let (log, mean, variance) = solved.with(start, shift);
                logs.push((weight + shift.weight + log, mean, variance, deviations));
            }
        }
    }
    mixture(logs)
}

/// Parts by the logarithms of their weights; those far lighter than the heaviest are left out.
fn mixture(logs: Vec<(f64, f64, f64, Deviations)>) -> Next {
    let heaviest = logs.iter().map(|part| part.0).fold(f64::NEG_INFINITY, f64::max);
    let mut all = 0.0;
    let mut deviations = Deviations::default();
    let mut parts = Vec::new();
    for (log, mean, variance, own) in logs {
        // Most are far too light, and need no exponential to show it.
        if log - heaviest < LOG_LIGHT {
            continue;
        }
        let weight = libm::exp(log - heaviest);
        if weight < LIGHT {
            continue;
        }
        all += weight;
        deviations.planting += weight * own.planting;
        deviations.season += weight * own.season;
        deviations.variety += weight * own.variety;
        deviations.shift += weight * own.shift;
        deviations.centre += weight * own.centre;
        parts.push(Part { weight, mean, deviation: variance.sqrt() });
    }
    for part in &mut parts {
        part.weight /= all;
    }
    let Deviations { planting, season, variety, shift, centre } = deviations;
    let deviations = Deviations {
        planting: planting / all,
        season: season / all,
        variety: variety / all,
        shift: shift / all,
        centre: centre / all,
    };
    Next { parts, deviations }
}

/// The middle of one cell's values for given deviations.
pub(super) fn middle(
    cells: &[Cell],
    asked: Asked,
    start: Start<'_>,
    deviations: &Deviations,
) -> f64 {
    let layout = Layout::of(cells, asked);
    let mut room = Room::of(layout.columns);
    let shift = Shift { weight: 0.0, mean: deviations.centre, deviation: deviations.shift };
    layout.solve(deviations, &mut room).with(start, &shift).1
}

impl Next {
    /// The value that a share of all lie below.
    pub(super) fn quantile(&self, share: f64) -> f64 {
        let ends =
            |reach: f64| self.parts.iter().map(move |part| part.mean + reach * part.deviation);
        let mut low = ends(-6.0).fold(f64::INFINITY, f64::min);
        let mut high = ends(6.0).fold(f64::NEG_INFINITY, f64::max);
        let mut at = self.mean().clamp(low, high);
        // Newton's steps, halved where they would leave what is known to hold the value.
        for _ in 0..60 {
            let (below, slope) = self.below(at);
            if below < share {
                low = at
            } else {
                high = at
            }
            let step = at - (below - share) / slope;
            let next = if step > low && step < high { step } else { (low + high) / 2.0 };
            let moved = (next - at).abs();
            at = next;
            if moved < 1e-12 {
                break;
            }
        }
        at
    }

    pub(super) fn mean(&self) -> f64 {
        self.parts.iter().map(|part| part.weight * part.mean).sum()
    }

    /// The share below a value, and the density there.
    fn below(&self, value: f64) -> (f64, f64) {
        const ROOT: f64 = 0.398_942_280_401_432_7; // 1/√(2π)
        self.parts.iter().fold((0.0, 0.0), |(below, density), part| {
            let z = (value - part.mean) / part.deviation;
            let own = libm::erfc(-z / SQRT_2) / 2.0;
            let slope = ROOT * libm::exp(-z * z / 2.0) / part.deviation;
            (below + part.weight * own, density + part.weight * slope)
        })
    }
}

/// Each deviation of the grid with the logarithm of its weight: the half-normal density times the width it stands for.
pub(super) struct Grid {
    planting: [(f64, f64); 9],
    pub(super) season: [(f64, f64); 7],
    pub(super) variety: [(f64, f64); 4],
}

impl Grid {
    fn new() -> Grid {
        Grid {
            planting: weighed(PLANTING, SCALES[0]),
            season: weighed(SEASON, SCALES[1]),
            variety: weighed(VARIETY, SCALES[2]),
        }
    }
}

/// Nodes with the logarithms of their weights under a half-normal prior.
pub(super) fn weighed<const N: usize>(nodes: [f64; N], scale: f64) -> [(f64, f64); N] {
    let width = |index: usize| {
        let before = if index == 0 { -nodes[0] } else { nodes[index - 1] };
        let after = nodes.get(index + 1).copied().unwrap_or(nodes[index]);
        (after - before) / 2.0
    };
    let log = |index: usize| {
        let share = nodes[index] / scale;
        libm::log(width(index)) - share * share / 2.0
    };
    let logs: [f64; N] = std::array::from_fn(log);
    let all = libm::log(logs.iter().map(|log| libm::exp(*log)).sum());
    std::array::from_fn(|index| (nodes[index], logs[index] - all))
}
