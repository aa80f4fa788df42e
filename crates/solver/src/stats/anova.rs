//! Analysis of variance: groups one way; two ways crossed, with interaction, and pooled.
//!
//! # Source
//! JCGM 100:2008, H.5 (one way); AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III
//! section B and appendix A (two ways crossed).

use crate::error::Error;
use crate::stats::quantile::f_above;
use crate::stats::sample::{check_count, check_values, mean_of, squares_about_mean};

/// A sum of squares with its degrees of freedom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Squares {
    /// The sum of squares.
    pub sum: f64,
    /// Its degrees of freedom.
    pub freedom: usize,
}

impl Squares {
    /// The mean square; 0 without degrees of freedom.
    #[must_use]
    pub fn mean(&self) -> f64 {
        if self.freedom > 0 { self.sum / self.freedom as f64 } else { 0.0 }
    }

    /// Both together.
    #[must_use]
    pub fn pooled(self, other: Self) -> Self {
        Self { sum: self.sum + other.sum, freedom: self.freedom + other.freedom }
    }

    /// F against another mean square, and the probability of one so large by chance.
    ///
    /// # Errors
    /// [`Error::TooFew`] where either has no degrees of freedom; [`Error::OutOfRange`] where the
    /// ratio is 0/0.
    pub fn against(&self, error: &Self) -> Result<FTest, Error> {
        for freedom in [self.freedom, error.freedom] {
            check_count("degrees of freedom", freedom, 1)?;
        }
        let ratio = self.mean() / error.mean();
        let p_value = f_above(ratio, self.freedom as f64, error.freedom as f64)?;
        Ok(FTest { ratio, p_value })
    }
}

/// A ratio of mean squares and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FTest {
    /// F.
    pub ratio: f64,
    /// Probability of a ratio so large if there were no difference.
    pub p_value: f64,
}

/// Groups compared one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneWay {
    /// Mean of all values.
    pub mean: f64,
    /// Between the groups' means.
    pub between: Squares,
    /// Within groups.
    pub within: Squares,
}

/// Compares groups of values, which need not be of one size.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two groups, an empty one, or no repeated value at all;
/// [`Error::OutOfRange`] for what is no number.
pub fn one_way(groups: &[&[f64]]) -> Result<OneWay, Error> {
    check_count("groups", groups.len(), 2)?;
    for group in groups {
        check_count("values in a group", group.len(), 1)?;
        check_values("a value", group)?;
    }
    let all: Vec<f64> = groups.iter().flat_map(|group| group.iter().copied()).collect();
    check_count("values in all groups", all.len(), groups.len() + 1)?;
    let mean = mean_of(&all);
    let between =
        groups.iter().map(|group| group.len() as f64 * (mean_of(group) - mean).powi(2)).sum();
    let within = groups.iter().map(|group| squares_about_mean(group)).sum();
    Ok(OneWay {
        mean,
        between: Squares { sum: between, freedom: groups.len() - 1 },
        within: Squares { sum: within, freedom: all.len() - groups.len() },
    })
}

/// A full table of values: every row read under every column the same number of times.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossed {
    rows: usize,
    columns: usize,
    repeats: usize,
    values: Vec<f64>,
}

impl Crossed {
    /// A table from `values[(row·columns + column)·repeats + repeat]`.
    ///
    /// # Errors
    /// [`Error::TooFew`] for fewer than two rows, columns or repeats, or fewer values than the
    /// table has places (values beyond them are ignored); [`Error::OutOfRange`] for what is no
    /// number.
    pub fn new(rows: usize, columns: usize, repeats: usize, values: &[f64]) -> Result<Self, Error> {
        check_count("rows", rows, 2)?;
        check_count("columns", columns, 2)?;
        check_count("repeats", repeats, 2)?;
        let places = rows.checked_mul(columns).and_then(|cells| cells.checked_mul(repeats));
        let places = places.unwrap_or(usize::MAX);
        check_count("values in the table", values.len(), places)?;
        let values = values[..places].to_vec();
        check_values("a value", &values)?;
        Ok(Self { rows, columns, repeats, values })
    }

    /// Number of rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// Number of columns.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Repeats in each cell.
    #[must_use]
    pub const fn repeats(&self) -> usize {
        self.repeats
    }

    /// The repeats of one cell; empty outside the table.
    #[must_use]
    pub fn cell(&self, row: usize, column: usize) -> &[f64] {
        if row >= self.rows || column >= self.columns {
            return &[];
        }
        let start = (row * self.columns + column) * self.repeats;
        self.values.get(start..start + self.repeats).unwrap_or(&[])
    }

    /// Mean of a row.
    #[must_use]
    pub fn row_mean(&self, row: usize) -> f64 {
        let cells: Vec<f64> =
            (0..self.columns).map(|column| mean_of(self.cell(row, column))).collect();
        mean_of(&cells)
    }

    /// Mean of a column.
    #[must_use]
    pub fn column_mean(&self, column: usize) -> f64 {
        let cells: Vec<f64> = (0..self.rows).map(|row| mean_of(self.cell(row, column))).collect();
        mean_of(&cells)
    }

    /// The analysis of variance.
    #[must_use]
    pub fn analysed(&self) -> TwoWay {
        let mean = mean_of(&self.values);
        let row_means: Vec<f64> = (0..self.rows).map(|row| self.row_mean(row)).collect();
        let column_means: Vec<f64> =
            (0..self.columns).map(|column| self.column_mean(column)).collect();
        let squares = |means: &[f64]| means.iter().map(|m| (m - mean).powi(2)).sum::<f64>();
        let (mut interaction, mut repeat) = (0.0, 0.0);
        for (row, row_mean) in row_means.iter().enumerate() {
            for (column, column_mean) in column_means.iter().enumerate() {
                let cell = self.cell(row, column);
                interaction += (mean_of(cell) - row_mean - column_mean + mean).powi(2);
                repeat += squares_about_mean(cell);
            }
        }
        let (rows, columns, repeats) = (self.rows, self.columns, self.repeats);
        TwoWay {
            mean,
            rows: Squares {
                sum: (columns * repeats) as f64 * squares(&row_means),
                freedom: rows - 1,
            },
            columns: Squares {
                sum: (rows * repeats) as f64 * squares(&column_means),
                freedom: columns - 1,
            },
            interaction: Squares {
                sum: repeats as f64 * interaction,
                freedom: (rows - 1) * (columns - 1),
            },
            repeat: Squares { sum: repeat, freedom: rows * columns * (repeats - 1) },
        }
    }
}

/// Sums of squares of a crossed table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoWay {
    /// Mean of all values.
    pub mean: f64,
    /// Between rows.
    pub rows: Squares,
    /// Between columns.
    pub columns: Squares,
    /// Rows that differ otherwise under one column than under another.
    pub interaction: Squares,
    /// Between repeats of one cell.
    pub repeat: Squares,
}

impl TwoWay {
    /// All together.
    #[must_use]
    pub fn total(&self) -> Squares {
        self.rows.pooled(self.columns).pooled(self.interaction).pooled(self.repeat)
    }

    /// Interaction and repeats as one error, for when there is no interaction to speak of.
    #[must_use]
    pub fn pooled_error(&self) -> Squares {
        self.interaction.pooled(self.repeat)
    }
}
