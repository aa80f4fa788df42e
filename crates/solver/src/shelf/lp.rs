//! A linear programme of packings: max Σ w x with every row's columns adding up to its limit at most.
//!
//! Primal simplex with the inverse of the basis held in full: rows are a hundred or two. The limits of
//! rows are set apart by 1e-8 of random but fixed amounts, so that no step stands still; solutions are
//! taken from the limits as they are. Nothing is proved here in floating point: what this finds are
//! prices, and [`crate::shelf::search`] turns them into a bound in whole numbers.
//!
//! # Source
//! G. B. Dantzig and M. N. Thapa, "Linear Programming 2: Theory and Extensions", Springer, 2003, chapter 3.

/// Rows a column takes one of each.
pub(super) type Rows = [u16; MOST_ROWS];

/// Most rows of one column: a housing, two tubes, two eyepieces, two counts.
pub(super) const MOST_ROWS: usize = 7;

/// No row.
pub(super) const NO_ROW: u16 = u16::MAX;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Basic {
    Slack(usize),
    Column(usize),
}

/// The programme where it stands: a basis that is always feasible, whatever weights come next.
pub(super) struct Simplex {
    limits: Vec<f64>,
    shaken: Vec<f64>,
    basis: Vec<Basic>,
    /// Row-major inverse of the basis.
    inverse: Vec<f64>,
    values: Vec<f64>,
    pub(super) prices: Vec<f64>,
    pivots_since: usize,
    /// Steps taken in all: how much work it was.
    pub(super) pivots: usize,
}

const LEAST_PIVOT: f64 = 1e-7;

impl Simplex {
    pub(super) fn new(limits: Vec<f64>) -> Self {
        let rows = limits.len();
        let mut simplex = Self {
            shaken: Vec::new(),
            basis: (0..rows).map(Basic::Slack).collect(),
            inverse: vec![0.0; rows * rows],
            values: Vec::new(),
            prices: vec![0.0; rows],
            pivots_since: 0,
            pivots: 0,
            limits,
        };
        for row in 0..rows {
            simplex.inverse[row * rows + row] = 1.0;
        }
        simplex.shake();
        simplex
    }

    fn shake(&mut self) {
        let mut state = 0x9e37_79b9_7f4a_7c15_u64;
        self.shaken = self
            .limits
            .iter()
            .map(|limit| {
                // xorshift64: any fixed amounts that differ will do.
                state ^= state << 13;
                state ^= state >> 7;
                state ^= state << 17;
                limit + 1e-8 * (0.5 + (state >> 11) as f64 / (1_u64 << 53) as f64)
            })
            .collect();
        self.values = self.times_inverse(&self.shaken);
    }

    fn times_inverse(&self, by: &[f64]) -> Vec<f64> {
        let rows = self.limits.len();
        let row = |row: &[f64]| row.iter().zip(by).map(|(a, b)| a * b).sum();
        if rows == 0 { Vec::new() } else { self.inverse.chunks(rows).map(row).collect() }
    }

    /// How much of each basic column is taken, at the limits as they are.
    pub(super) fn taken(&self) -> Vec<(usize, f64)> {
        let values = self.times_inverse(&self.limits);
        let pairs = self.basis.iter().zip(values);
        pairs
            .filter_map(|(basic, value)| match basic {
                Basic::Column(column) if value > 1e-6 => Some((*column, value)),
                _ => None,
            })
            .collect()
    }

    /// Lowers a row's limit; the basis must allow it, so call this on the basis of slacks only.
    pub(super) fn restart(&mut self, limits: Vec<f64>) {
        *self = Self { pivots: self.pivots, ..Self::new(limits) };
    }

    /// Maximises over the columns whose weight is not `None`, from the basis where it stands. False where
    /// `most` steps did not end it: prices are then still prices, only not the best.
    ///
    /// `tolerance`: reduced weights up to this count as none. `go_on` is asked between steps.
    pub(super) fn maximise(
        &mut self,
        (columns, offered): (&[Rows], &[u32]),
        weight: &dyn Fn(usize) -> f64,
        tolerance: f64,
        most: usize,
        go_on: &dyn Fn() -> bool,
    ) -> bool {
        let end = self.pivots.saturating_add(most);
        let mut waiting: Vec<u32> = Vec::new();
        loop {
            if self.pivots_since > 120 {
                self.refactor(columns);
            }
            self.price(weight);
            let entering = match self.slack_to_enter(tolerance) {
                Some(row) => Some(Basic::Slack(row)),
                None => self.column_to_enter(columns, offered, weight, tolerance, &mut waiting),
            };
            let Some(entering) = entering else { return true };
            if self.pivots >= end || !go_on() || !self.pivot(entering, columns) {
                return false;
            }
        }
    }

    fn price(&mut self, weight: &dyn Fn(usize) -> f64) {
        let rows = self.limits.len();
        self.prices.fill(0.0);
        for (row, basic) in self.basis.iter().enumerate() {
            let Basic::Column(column) = *basic else { continue };
            let weight = weight(column);
            if weight != 0.0 {
                let line = &self.inverse[row * rows..(row + 1) * rows];
                for (price, entry) in self.prices.iter_mut().zip(line) {
                    *price += weight * entry;
                }
            }
        }
    }

    fn slack_to_enter(&self, tolerance: f64) -> Option<usize> {
        let least = self.prices.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
        least.filter(|(_, price)| **price < -tolerance).map(|(row, _)| row)
    }

    /// Of the columns that were the most worth at the last look at all of them, the one that is now.
    fn column_to_enter(
        &self,
        columns: &[Rows],
        offered: &[u32],
        weight: &dyn Fn(usize) -> f64,
        tolerance: f64,
        waiting: &mut Vec<u32>,
    ) -> Option<Basic> {
        const KEPT: usize = 256;
        let reduced = |column: u32| {
            let index = column as usize;
            columns.get(index).map_or(f64::NEG_INFINITY, |rows| weight(index) - self.priced(rows))
        };
        for again in [false, true] {
            if again {
                let mut worth: Vec<(f64, u32)> = offered
                    .iter()
                    .map(|&column| (reduced(column), column))
                    .filter(|(reduced, _)| *reduced > tolerance)
                    .collect();
                if worth.len() > KEPT {
                    worth.select_nth_unstable_by(KEPT, |a, b| b.0.total_cmp(&a.0));
                    worth.truncate(KEPT);
                }
                waiting.clear();
                waiting.extend(worth.into_iter().map(|(_, column)| column));
            }
            let mut best: Option<(f64, u32)> = None;
            waiting.retain(|&column| {
                let reduced = reduced(column);
                if reduced > tolerance && best.is_none_or(|(most, _)| reduced > most) {
                    best = Some((reduced, column));
                }
                reduced > tolerance
            });
            if let Some((_, column)) = best {
                return Some(Basic::Column(column as usize));
            }
        }
        None
    }

    /// What a column's rows cost.
    pub(super) fn priced(&self, rows: &Rows) -> f64 {
        rows.iter()
            .take_while(|&&row| row != NO_ROW)
            .map(|&row| self.prices.get(usize::from(row)).copied().unwrap_or(0.0))
            .sum()
    }

    fn pivot(&mut self, entering: Basic, columns: &[Rows]) -> bool {
        let rows = self.limits.len();
        let step: Vec<f64> = match entering {
            Basic::Slack(row) => (0..rows).map(|k| self.inverse[k * rows + row]).collect(),
            Basic::Column(column) => {
                let Some(taken) = columns.get(column) else { return false };
                (0..rows)
                    .map(|k| {
                        let line = &self.inverse[k * rows..(k + 1) * rows];
                        let taken = taken.iter().take_while(|&&row| row != NO_ROW);
                        taken.map(|&row| line[usize::from(row)]).sum()
                    })
                    .collect()
            }
        };
        let mut leaving: Option<(usize, f64)> = None;
        for (row, &by) in step.iter().enumerate() {
            if by > LEAST_PIVOT {
                let ratio = self.values[row].max(0.0) / by;
                let better = leaving.is_none_or(|(held, least)| {
                    ratio < least - 1e-13 || (ratio <= least + 1e-13 && by > step[held])
                });
                if better {
                    leaving = Some((row, ratio));
                }
            }
        }
        // Every column takes rows that have limits: some row always stops it.
        let Some((leaving, ratio)) = leaving else { return false };
        let scale = 1.0 / step[leaving];
        let line: Vec<f64> = self.inverse[leaving * rows..(leaving + 1) * rows]
            .iter()
            .map(|entry| entry * scale)
            .collect();
        for (row, &by) in step.iter().enumerate() {
            if row == leaving {
                self.inverse[row * rows..(row + 1) * rows].copy_from_slice(&line);
                self.values[row] = ratio;
            } else if by != 0.0 {
                for (entry, pivot) in
                    self.inverse[row * rows..(row + 1) * rows].iter_mut().zip(&line)
                {
                    *entry -= by * pivot;
                }
                self.values[row] -= by * ratio;
            }
        }
        self.basis[leaving] = entering;
        self.pivots_since += 1;
        self.pivots += 1;
        true
    }

    /// The inverse anew, by elimination with row pivots, so that rounding does not add up.
    fn refactor(&mut self, columns: &[Rows]) {
        let rows = self.limits.len();
        let mut matrix: Vec<f64> = vec![0.0; rows * rows];
        for (place, basic) in self.basis.iter().enumerate() {
            match *basic {
                Basic::Slack(row) => matrix[row * rows + place] = 1.0,
                Basic::Column(column) => {
                    let taken = columns.get(column).into_iter().flatten();
                    for &row in taken.take_while(|&&row| row != NO_ROW) {
                        matrix[usize::from(row) * rows + place] = 1.0;
                    }
                }
            }
        }
        let mut inverse: Vec<f64> = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        for place in 0..rows {
            let pivot = (place..rows).max_by(|&a, &b| {
                matrix[a * rows + place].abs().total_cmp(&matrix[b * rows + place].abs())
            });
            let Some(pivot) = pivot.filter(|&row| matrix[row * rows + place].abs() > 1e-9) else {
                // No inverse: the one held goes on.
                self.pivots_since = 0;
                return;
            };
            if pivot != place {
                for k in 0..rows {
                    matrix.swap(pivot * rows + k, place * rows + k);
                    inverse.swap(pivot * rows + k, place * rows + k);
                }
            }
            let scale = 1.0 / matrix[place * rows + place];
            for k in 0..rows {
                matrix[place * rows + k] *= scale;
                inverse[place * rows + k] *= scale;
            }
            let own: Vec<f64> = matrix[place * rows..(place + 1) * rows].to_vec();
            let own_inverse: Vec<f64> = inverse[place * rows..(place + 1) * rows].to_vec();
            for row in 0..rows {
                let by = matrix[row * rows + place];
                if row != place && by != 0.0 {
                    for k in 0..rows {
                        matrix[row * rows + k] -= by * own[k];
                        inverse[row * rows + k] -= by * own_inverse[k];
                    }
                }
            }
        }
        self.inverse = inverse;
        self.values = self.times_inverse(&self.shaken);
        self.pivots_since = 0;
    }
}
