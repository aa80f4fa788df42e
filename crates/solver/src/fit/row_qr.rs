//! The triangular factor of a tall matrix with up to four columns, one row at a time.
//!
//! Rows are rotated in as they come (Givens), so nothing grows with the number of readings and
//! nothing is squared: a covariance from it keeps twice the digits of one from normal equations.

/// R of a QR factorisation, upper triangle of `columns` columns.
#[derive(Clone, Copy, Debug)]
pub(super) struct RowQr {
    columns: usize,
    r: [[f64; 4]; 4],
}

impl RowQr {
    /// No rows yet; `columns` is clamped to 4.
    pub(super) fn new(columns: usize) -> Self {
        Self { columns: columns.min(4), r: [[0.0; 4]; 4] }
    }

    /// Rotates one row in.
    pub(super) fn add_row(&mut self, mut row: [f64; 4]) {
        for (pivot, held) in self.r.iter_mut().enumerate().take(self.columns) {
            // Entries are of order one in the working frame: no square overflows.
            let length = (held[pivot] * held[pivot] + row[pivot] * row[pivot]).sqrt();
            if length == 0.0 {
                continue;
            }
            let (cos, sin) = (held[pivot] / length, row[pivot] / length);
            for (kept, incoming) in held.iter_mut().zip(&mut row).skip(pivot) {
                (*kept, *incoming) = (cos * *kept + sin * *incoming, cos * *incoming - sin * *kept);
            }
        }
    }

    /// (JᵀJ)⁻¹ = R⁻¹R⁻ᵀ, or `None` when the condition number (Frobenius) exceeds `limit` or a
    /// number is not finite.
    pub(super) fn inverse_gram(&self, limit: f64) -> Option<[[f64; 4]; 4]> {
        let n = self.columns;
        let mut inverse = [[0.0_f64; 4]; 4];
        for column in 0..n {
            for row in (0..=column).rev() {
                let known: f64 =
                    (row + 1..=column).map(|k| self.r[row][k] * inverse[k][column]).sum();
                let target = if row == column { 1.0 } else { 0.0 };
                inverse[row][column] = (target - known) / self.r[row][row];
            }
        }
        let condition = frobenius(&self.r) * frobenius(&inverse);
        if condition.is_nan() || condition > limit {
            return None;
        }
        let mut gram = [[0.0; 4]; 4];
        for (i, row) in gram.iter_mut().enumerate().take(n) {
            for (j, entry) in row.iter_mut().enumerate().take(n) {
                *entry = (0..n).map(|k| inverse[i][k] * inverse[j][k]).sum();
            }
        }
        Some(gram)
    }
}

fn frobenius(matrix: &[[f64; 4]; 4]) -> f64 {
    matrix.iter().flatten().map(|entry| entry * entry).sum::<f64>().sqrt()
}
