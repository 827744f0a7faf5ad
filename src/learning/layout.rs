//! The hierarchical normal model solved for given deviations: rows summed out one by one, columns together by Cholesky.

use crate::learning::cholesky::{LogOfProduct, cholesky, solve_by};
use crate::learning::model::{Asked, Cell, Deviations, Grid, Shift, Start};

/// The cells in rows and columns: rows are summed out, columns solved together.
pub(super) struct Layout<'a> {
    cells: &'a [Cell],
    /// The cells of each row, as numbers of cells.
    rows: Vec<Vec<usize>>,
    pub(super) columns: usize,
    is_season_row: bool,
    row: Option<usize>,
    column: usize,
    values: f64,
    /// Sum of squares about the means of the cells.
    within: f64,
}

impl<'a> Layout<'a> {
    pub(super) fn of(cells: &'a [Cell], asked: Asked) -> Layout<'a> {
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

    pub(super) fn column_of(&self, cell: &Cell) -> usize {
        if self.is_season_row { cell.variety } else { cell.season }
    }

    /// The grid of seasons and varieties with their weights: those of the columns run fastest, as [`Layout::solve`] likes it.
    pub(super) fn deviations(&self, grid: &Grid) -> Vec<(f64, f64, f64)> {
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
    pub(super) fn solve(&self, deviations: &Deviations, room: &mut Room) -> Solved {
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
    pub(super) fn sum_rows(&self, noise: f64, row_var: f64, room: &mut Room) -> Rows {
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

    pub(super) fn weight(&self, index: usize, noise: f64) -> (usize, f64) {
        let cell = &self.cells[index];
        (self.column_of(cell), cell.number / noise + cell.precision)
    }
}

/// Room for one system of columns, used again for each point of the grid.
pub(super) struct Room {
    /// The rows summed out, and the variances for which they are.
    rows: Rows,
    of: Option<(f64, f64)>,
    matrix: Vec<f64>,
    by_pull: Vec<f64>,
    by_functional: Vec<f64>,
    by_totals: Vec<f64>,
}

impl Room {
    pub(super) fn of(columns: usize) -> Room {
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
pub(super) struct Rows {
    precision: Vec<f64>,
    pull: Vec<f64>,
    functional: Vec<f64>,
    totals: Vec<f64>,
    own_mean: f64,
    own_variance: f64,
    log: f64,
}

impl Rows {
    pub(super) fn clear(&mut self) {
        for line in [&mut self.precision, &mut self.pull, &mut self.functional] {
            line.fill(0.0);
        }
    }
}

/// As a function of the shift: how likely the values are, and where the next one lies.
pub(super) struct Solved {
    log: f64,
    weight: f64,
    pull: f64,
    constant: f64,
    slope: f64,
    variance: f64,
}

impl Solved {
    /// The logarithm of the likelihood, the mean of the next value and its variance.
    pub(super) fn with(&self, start: Start<'_>, shift: &Shift) -> (f64, f64, f64) {
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
