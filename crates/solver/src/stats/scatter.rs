//! Directions scattered over a plane: their mean, their covariance, the ellipses they and their mean
//! lie in, and whether the mean is some other direction.
//!
//! # Source
//! H. Hotelling, Annals of Mathematical Statistics 2 (1931) 360–378. Regions for the mean and for the
//! next value: R. A. Johnson, D. W. Wichern, *Applied Multivariate Statistical Analysis*, 6th ed. (2007),
//! 5.4 and 5.6 (from memory).

use crate::direction::Direction;
use crate::ellipse::Ellipse;
use crate::error::Error;
use crate::stats::quantile::f_above;
use crate::stats::sample::{check_count, covariance, mean_of};

/// Two dimensions.
const DIMENSIONS: f64 = 2.0;

/// Determinants below this share of the product of variances are those of points on a line.
const ON_A_LINE: f64 = 1e-12;

/// Some directions and how they scatter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// How many.
    pub count: usize,
    /// Their mean.
    pub mean: Direction,
    /// Their sample covariance, with count − 1, square arcminutes.
    pub covariance_arcmin2: [[f64; 2]; 2],
}

/// The test of a mean of directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanTest {
    /// Hotelling's T².
    pub t_squared: f64,
    /// F = T² (n − 2)/(2 (n − 1)).
    pub f: f64,
    /// Degrees of freedom of F: 2 and n − 2.
    pub freedom: [usize; 2],
    /// Probability of a T² so large if the mean were that direction.
    pub p_value: f64,
}

impl Scatter {
    /// Of three directions or more.
    ///
    /// # Errors
    /// [`Error::TooFew`], [`Error::OutOfRange`] for what is no number.
    pub fn of(directions: &[Direction]) -> Result<Self, Error> {
        check_count("directions", directions.len(), 3)?;
        let x: Vec<f64> = directions.iter().map(|direction| direction.x_arcmin).collect();
        let y: Vec<f64> = directions.iter().map(|direction| direction.y_arcmin).collect();
        let (xx, xy, yy) = (covariance(&x, &x)?, covariance(&x, &y)?, covariance(&y, &y)?);
        Ok(Self {
            count: directions.len(),
            mean: Direction::new(mean_of(&x), mean_of(&y)),
            covariance_arcmin2: [[xx, xy], [xy, yy]],
        })
    }

    /// The ellipse in which the next such direction lies with a probability, were they normally
    /// distributed: (x − x̄)ᵀS⁻¹(x − x̄) ≤ (1 + 1/n)·2 (n − 1)/(n − 2)·F.
    ///
    /// # Errors
    /// As [`Ellipse::covering`].
    pub fn ellipse_of_next(&self, probability: f64) -> Result<Ellipse, Error> {
        self.ellipse(1.0 + 1.0 / self.count as f64, probability)
    }

    /// The ellipse in which the mean lies with a probability: as
    /// [`ellipse_of_next`](Self::ellipse_of_next) with 1/n for 1 + 1/n.
    ///
    /// # Errors
    /// As [`Ellipse::covering`].
    pub fn ellipse_of_mean(&self, probability: f64) -> Result<Ellipse, Error> {
        self.ellipse(1.0 / self.count as f64, probability)
    }

    fn ellipse(&self, share: f64, probability: f64) -> Result<Ellipse, Error> {
        let count = self.count as f64;
        let scale = share * (count - 1.0) / (count - DIMENSIONS);
        let scaled = self.covariance_arcmin2.map(|row| row.map(|entry| scale * entry));
        Ellipse::covering(self.mean, scaled, probability, count - DIMENSIONS)
    }

    /// Whether the mean is a given direction: Hotelling's one-sample T². `None` where the directions
    /// lie on a line, which has no inverse covariance.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] where the given direction is no number.
    pub fn mean_is(&self, expected: Direction) -> Result<Option<MeanTest>, Error> {
        let off = self.mean - expected;
        Error::check(off.is_finite(), "the direction compared with", off.x_arcmin, "a number")?;
        let [[xx, xy], [_, yy]] = self.covariance_arcmin2;
        let determinant = xx * yy - xy * xy;
        if determinant <= ON_A_LINE * xx * yy {
            return Ok(None);
        }
        let (x, y) = (off.x_arcmin, off.y_arcmin);
        let count = self.count as f64;
        let t_squared = count * (yy * x * x - 2.0 * xy * x * y + xx * y * y) / determinant;
        let f = t_squared * (count - DIMENSIONS) / (DIMENSIONS * (count - 1.0));
        Ok(Some(MeanTest {
            t_squared,
            f,
            freedom: [2, self.count - 2],
            p_value: f_above(f, DIMENSIONS, count - DIMENSIONS)?,
        }))
    }
}
