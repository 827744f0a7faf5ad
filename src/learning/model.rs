//! The hierarchical normal model as numbers: what a few groups of values say of the next one.
//!
//! Given the four standard deviations everything is normal and solved exactly. The deviations themselves are summed
//! over a fixed grid, so that the same values give the same bits everywhere. The model is told on the room's front page.
//!
//! *Cost.* Values enter as sums by season and variety, so that it does not grow with their number. Of seasons and
//! varieties the more numerous are summed out one by one; the others are solved together by Cholesky.

use std::f64::consts::SQRT_2;

use crate::learning::cholesky::{LogOfProduct, cholesky, solve_by};

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
struct Grid {
    planting: [(f64, f64); 9],
    season: [(f64, f64); 7],
    variety: [(f64, f64); 4],
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

/// The cells in rows and columns: rows are summed out, columns solved together.
struct Layout<'a> {
    cells: &'a [Cell],
    /// The cells of each row, as numbers of cells.
    rows: Vec<Vec<usize>>,
    columns: usize,
    is_season_row: bool,
    row: Option<usize>,
    column: usize,
    values: f64,
    /// Sum of squares about the means of the cells.
    within: f64,
}

impl<'a> Layout<'a> {
    fn of(cells: &'a [Cell], asked: Asked) -> Layout<'a> {
        let count =
            |number: fn(&Cell) -> usize| cells.iter().map(number).max().map_or(0, |last| last + 1);
        let (seasons, varieties) = (count(|cell| cell.season), count(|cell| cell.variety));
        let is_season_row = seasons >= varieties;
        let (rows, columns, row, column) = if is_season_row {
            (seasons, varieties, asked.season, asked.variety)
        } else {
            (varieties, seasons, asked.variety, asked.season)
        };
        let mut in_rows = vec![Vec::new(); rows];
        for (index, cell) in cells.iter().enumerate() {
            in_rows[if is_season_row { cell.season } else { cell.variety }].push(index);
        }
        // A new column is one without a cell.
        let column = column.unwrap_or(columns);
        let within = cells
            .iter()
            .filter(|cell| cell.number > 0.0)
            .map(|cell| (cell.squares - cell.sum * cell.sum / cell.number).max(0.0));
        Layout {
            cells,
            rows: in_rows,
            columns: columns.max(column + 1),
            is_season_row,
            row,
            column,
            values: cells.iter().map(|cell| cell.number).sum(),
            within: within.sum(),
        }
    }

    fn column_of(&self, cell: &Cell) -> usize {
        if self.is_season_row { cell.variety } else { cell.season }
    }

    /// The grid of seasons and varieties with their weights: those of the columns run fastest, as [`Layout::solve`] likes it.
    fn deviations(&self, grid: &Grid) -> Vec<(f64, f64, f64)> {
        let both = |(season, one), (variety, other)| (season, variety, one + other);
        let (seasons, varieties) = (grid.season.into_iter(), grid.variety.into_iter());
        if self.is_season_row {
            seasons.flat_map(|season| grid.variety.map(|variety| both(season, variety))).collect()
        } else {
            varieties.flat_map(|variety| grid.season.map(|season| both(season, variety))).collect()
        }
    }

    /// Everything but the shift, for given deviations. Quicker where the noise and the deviation of the rows are those of
    /// the call before.
    fn solve(&self, deviations: &Deviations, room: &mut Room) -> Solved {
        let noise = deviations.planting * deviations.planting;
        let (row_sd, column_sd) = if self.is_season_row {
            (deviations.season, deviations.variety)
        } else {
            (deviations.variety, deviations.season)
        };
        let (row_var, column_var) = (row_sd * row_sd, column_sd * column_sd);
        if room.of != Some((noise, row_var)) {
            room.rows = self.sum_rows(noise, row_var, room);
            room.of = Some((noise, row_var));
        }
        let size = self.columns;
        let Room { rows, matrix, by_pull, by_functional, by_totals, .. } = room;
        let Rows { precision, pull, functional, totals, .. } = &*rows;
        for (left, value) in matrix.iter_mut().zip(precision) {
            *left = column_var * value;
        }
        (0..size).for_each(|at| matrix[at * size + at] += 1.0);
        let log = rows.log - cholesky(matrix, size);
        // `inner` of two vectors is their product over the variance that the columns have left.
        solve_by(matrix, totals, by_totals);
        solve_by(matrix, pull, by_pull);
        solve_by(matrix, functional, by_functional);
        let inner = |one: &[f64], solved: &[f64]| column_var * product(one, solved);
        Solved {
            log: log + inner(pull, by_pull) / 2.0,
            weight: totals.iter().sum::<f64>() - inner(totals, by_totals),
            pull: pull.iter().sum::<f64>() - inner(totals, by_pull),
            constant: rows.own_mean + inner(functional, by_pull),
            slope: functional.iter().sum::<f64>() - inner(functional, by_totals),
            variance: rows.own_variance + inner(functional, by_functional) + noise,
        }
    }

    /// The rows summed out.
    fn sum_rows(&self, noise: f64, row_var: f64, room: &mut Room) -> Rows {
        let size = self.columns;
        let mut rows = std::mem::take(&mut room.rows);
        rows.clear();
        let Rows { precision, pull, functional, totals, own_mean, own_variance, log } = &mut rows;
        functional[self.column] = 1.0;
        // Of the row that is asked: its own part of the mean, and its variance.
        (*own_mean, *own_variance) = (0.0, row_var);
        let mut squares = self.within / noise;
        let mut spread = LogOfProduct::default();
        for (number, row) in self.rows.iter().enumerate() {
            let (mut weights, mut sums) = (0.0, 0.0);
            for index in row {
                let cell = &self.cells[*index];
                let weight = cell.number / noise + cell.precision;
                let sum = cell.sum / noise + cell.pull;
                weights += weight;
                sums += sum;
                let column = self.column_of(cell);
                precision[column * size + column] += weight;
                pull[column] += sum;
                if cell.number > 0.0 {
                    // Only values count here; what is known besides is of the same weight everywhere.
                    squares += cell.sum * cell.sum / cell.number / noise;
                }
                if cell.precision > 0.0 {
                    squares += cell.pull * cell.pull / cell.precision;
                }
            }
            let left = row_var / (1.0 + row_var * weights);
            spread.times(1.0 + row_var * weights);
            squares -= left * sums * sums;
            for one in row {
                let (one, one_weight) = self.weight(*one, noise);
                pull[one] -= left * one_weight * sums;
                for other in row {
                    let (other, other_weight) = self.weight(*other, noise);
                    precision[one * size + other] -= left * one_weight * other_weight;
                }
                if self.row == Some(number) {
                    functional[one] -= left * one_weight;
                }
            }
            if self.row == Some(number) {
                (*own_mean, *own_variance) = (left * sums, left);
            }
        }
        for (at, total) in totals.iter_mut().enumerate() {
            *total = precision[at * size..(at + 1) * size].iter().sum();
        }
        *log = -(self.values * libm::log(noise) + squares + spread.log()) / 2.0;
        rows
    }

    fn weight(&self, index: usize, noise: f64) -> (usize, f64) {
        let cell = &self.cells[index];
        (self.column_of(cell), cell.number / noise + cell.precision)
    }
}

/// Room for one system of columns, used again for each point of the grid.
struct Room {
    /// The rows summed out, and the variances for which they are.
    rows: Rows,
    of: Option<(f64, f64)>,
    matrix: Vec<f64>,
    by_pull: Vec<f64>,
    by_functional: Vec<f64>,
    by_totals: Vec<f64>,
}

impl Room {
    fn of(columns: usize) -> Room {
        let (square, line) = (vec![0.0; columns * columns], vec![0.0; columns]);
        let rows = Rows {
            precision: square.clone(),
            pull: line.clone(),
            functional: line.clone(),
            totals: line.clone(),
            ..Rows::default()
        };
        Room {
            rows,
            of: None,
            matrix: square,
            by_pull: line.clone(),
            by_functional: line.clone(),
            by_totals: line,
        }
    }
}

/// What the rows leave for the columns: a precision and a pull, the columns' part in what is asked, sums over the lines of
/// the precision; and what does not depend on the columns.
#[derive(Default)]
struct Rows {
    precision: Vec<f64>,
    pull: Vec<f64>,
    functional: Vec<f64>,
    totals: Vec<f64>,
    own_mean: f64,
    own_variance: f64,
    log: f64,
}

impl Rows {
    fn clear(&mut self) {
        for line in [&mut self.precision, &mut self.pull, &mut self.functional] {
            line.fill(0.0);
        }
    }
}

/// As a function of the shift: how likely the values are, and where the next one lies.
struct Solved {
    log: f64,
    weight: f64,
    pull: f64,
    constant: f64,
    slope: f64,
    variance: f64,
}

impl Solved {
    /// The logarithm of the likelihood, the mean of the next value and its variance.
    fn with(&self, start: Start<'_>, shift: &Shift) -> (f64, f64, f64) {
        if start == Start::Unknown {
            let mean = self.pull / self.weight;
            let log = self.log + self.pull * mean / 2.0 - libm::log(self.weight) / 2.0;
            let variance = self.variance + self.slope * self.slope / self.weight;
            return (log, self.constant + self.slope * mean, variance);
        }
        let (variance, centre) = (shift.deviation * shift.deviation, shift.mean);
        let spread = 1.0 + variance * self.weight;
        let mean = (variance * self.pull + centre) / spread;
        let off = centre * (self.pull - centre * self.weight) / spread;
        let log = self.log + (mean * self.pull + off) / 2.0 - libm::log(spread) / 2.0;
        let whole = self.variance + self.slope * self.slope * variance / spread;
        (log, self.constant + self.slope * mean, whole)
    }
}

fn product(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}
