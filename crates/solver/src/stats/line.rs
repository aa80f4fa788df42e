//! A straight line through points, with its covariance and the band of what it says.

use crate::error::Error;
use crate::stats::quantile::{f as f_quantile, student, student_above};
use crate::stats::sample::{check_count, check_values, mean_of};

/// y = intercept + slope·x by least squares, all points weighing the same.
///
/// # Source
/// JCGM 100:2008, H.3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineFit {
    /// Number of points.
    pub count: usize,
    /// Value at x = 0.
    pub intercept: f64,
    /// Change of y per unit of x.
    pub slope: f64,
    /// Standard deviation of a point about the line, with count − 2; `None` of two points.
    pub deviation: Option<f64>,
    mean_x: f64,
    mean_y: f64,
    squares_x: f64,
}

impl LineFit {
    /// Through points (x, y).
    ///
    /// # Errors
    /// [`Error::TooFew`] for fewer than two points or fewer than two different x;
    /// [`Error::OutOfRange`] for what is no number.
    ///
    /// # Accuracy
    /// About the mean of x, so that a large common x costs no digits.
    pub fn through(x: &[f64], y: &[f64]) -> Result<Self, Error> {
        let count = x.len().min(y.len());
        check_count("points", count, 2)?;
        let (x, y) = (&x[..count], &y[..count]);
        check_values("an x value", x)?;
        check_values("a y value", y)?;
        let (mean_x, mean_y) = (mean_of(x), mean_of(y));
        let squares_x: f64 = x.iter().map(|x| (x - mean_x).powi(2)).sum();
        if squares_x <= 0.0 {
            return Err(Error::TooFew { what: "different x values", found: 1, needed: 2 });
        }
        let products: f64 = x.iter().zip(y).map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
        let slope = products / squares_x;
        let squares: f64 =
            x.iter().zip(y).map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2)).sum();
        Ok(Self {
            count,
            intercept: mean_y - slope * mean_x,
            slope,
            deviation: (count > 2).then(|| (squares / (count - 2) as f64).sqrt()),
            mean_x,
            mean_y,
            squares_x,
        })
    }

    /// The line's value at x.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.mean_y + self.slope * (x - self.mean_x)
    }

    /// Degrees of freedom, count − 2.
    #[must_use]
    pub const fn freedom(&self) -> usize {
        self.count - 2
    }

    /// Covariance of (intercept, slope).
    #[must_use]
    pub fn covariance(&self) -> Option<[[f64; 2]; 2]> {
        let variance = self.deviation?.powi(2);
        let slope = variance / self.squares_x;
        let both = -self.mean_x * slope;
        let intercept = variance / self.count as f64 + self.mean_x * self.mean_x * slope;
        Some([[intercept, both], [both, slope]])
    }

    /// Standard uncertainty of the line's value at x.
    #[must_use]
    pub fn u_at(&self, x: f64) -> Option<f64> {
        let share = 1.0 / self.count as f64 + (x - self.mean_x).powi(2) / self.squares_x;
        Some(self.deviation? * share.sqrt())
    }

    /// Half width of the interval that holds the line's value at one x with a probability.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for the probability, [`Error::TooFew`] for two points.
    pub fn half_width_at(&self, x: f64, probability: f64) -> Result<f64, Error> {
        let u = self.u_at(x).ok_or(too_few_for_band(self.count))?;
        Ok(u * student(0.5 + 0.5 * probability, self.freedom() as f64)?)
    }

    /// Half width of the interval that holds the next point's y at one x with a probability: its own
    /// scatter about the line and that of the line.
    ///
    /// # Errors
    /// As [`LineFit::half_width_at`].
    pub fn next_half_width_at(&self, x: f64, probability: f64) -> Result<f64, Error> {
        let few = || too_few_for_band(self.count);
        let (u, deviation) = (self.u_at(x).ok_or_else(few)?, self.deviation.ok_or_else(few)?);
        let coverage = student(0.5 + 0.5 * probability, self.freedom() as f64)?;
        Ok(u.hypot(deviation) * coverage)
    }

    /// Half width of the interval that holds the slope with a probability.
    ///
    /// # Errors
    /// As [`LineFit::half_width_at`].
    pub fn slope_half_width(&self, probability: f64) -> Result<f64, Error> {
        let u = self.u_of_slope().ok_or_else(|| too_few_for_band(self.count))?;
        Ok(u * student(0.5 + 0.5 * probability, self.freedom() as f64)?)
    }

    /// Standard uncertainty of the slope.
    #[must_use]
    pub fn u_of_slope(&self) -> Option<f64> {
        Some(self.deviation? / self.squares_x.sqrt())
    }

    /// Probability of a slope so far from an expected one, either way, if that were the slope
    /// (Student's t). Points exactly on a line: 1 where it has that slope, else 0.
    ///
    /// # Errors
    /// As [`LineFit::half_width_at`].
    pub fn slope_is(&self, expected: f64) -> Result<f64, Error> {
        let u = self.u_of_slope().ok_or_else(|| too_few_for_band(self.count))?;
        let off = self.slope - expected;
        let t = if off == 0.0 { 0.0 } else { off.abs() / u };
        Ok((2.0 * student_above(t, self.freedom() as f64)?).min(1.0))
    }

    /// Half width at x of the band that holds the whole line with a probability (Working and
    /// Hotelling): √(2 F) standard uncertainties.
    ///
    /// # Errors
    /// As [`LineFit::half_width_at`].
    pub fn band_half_width_at(&self, x: f64, probability: f64) -> Result<f64, Error> {
        let u = self.u_at(x).ok_or(too_few_for_band(self.count))?;
        Ok(u * (2.0 * f_quantile(probability, 2.0, self.freedom() as f64)?).sqrt())
    }
}

const fn too_few_for_band(found: usize) -> Error {
    Error::TooFew { what: "points", found, needed: 3 }
}
