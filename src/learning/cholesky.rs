//! Systems of linear equations with a symmetric matrix above zero (A.-L. Cholesky), line after line in one vector.

/// Makes the lower triangle of a matrix its Cholesky factor; half the logarithm of its determinant.
pub(crate) fn cholesky(matrix: &mut [f64], size: usize) -> f64 {
    let mut determinant = LogOfProduct::default();
    for row in 0..size {
        for column in 0..=row {
            let known: f64 =
                (0..column).map(|at| matrix[row * size + at] * matrix[column * size + at]).sum();
            let left = matrix[row * size + column] - known;
            matrix[row * size + column] = if row == column {
                let root = left.max(f64::MIN_POSITIVE).sqrt();
                determinant.times(root);
                root
            } else {
                left / matrix[column * size + column]
            };
        }
    }
    determinant.log()
}

/// Solves a system by the Cholesky factor of its matrix.
pub(crate) fn solve_by(factor: &[f64], of: &[f64], solved: &mut [f64]) {
    let size = solved.len();
    solved.copy_from_slice(of);
    for row in 0..size {
        let known: f64 = (0..row).map(|at| factor[row * size + at] * solved[at]).sum();
        solved[row] = (solved[row] - known) / factor[row * size + row];
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|at| factor[at * size + row] * solved[at]).sum();
        solved[row] = (solved[row] - known) / factor[row * size + row];
    }
}

/// The logarithm of a product of numbers above zero, with few logarithms.
pub(super) struct LogOfProduct {
    product: f64,
    log: f64,
}

impl Default for LogOfProduct {
    fn default() -> LogOfProduct {
        LogOfProduct { product: 1.0, log: 0.0 }
    }
}

impl LogOfProduct {
    pub(super) fn times(&mut self, factor: f64) {
        self.product *= factor;
        if !(1e-100..1e100).contains(&self.product) {
            self.log += libm::log(self.product);
            self.product = 1.0;
        }
    }

    pub(super) fn log(&self) -> f64 {
        self.log + libm::log(self.product)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: 4 2 | 2 5 is 2 0 | 1 2 times itself turned, with the determinant 16; and 4x + 2y = 8, 2x + 5y = 12 by
    /// x = 1, y = 2.
    #[test]
    fn a_system_of_two() {
        let mut matrix = [4.0, 2.0, 2.0, 5.0];
        let log = cholesky(&mut matrix, 2);
        assert_eq!((matrix[0], matrix[2], matrix[3]), (2.0, 1.0, 2.0));
        assert!((log - libm::log(16.0) / 2.0).abs() < 1e-12);
        let mut solved = [0.0; 2];
        solve_by(&matrix, &[8.0, 12.0], &mut solved);
        assert_eq!(solved, [1.0, 2.0]);
    }
}
