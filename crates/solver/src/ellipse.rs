//! The ellipse in which a direction lies with a stated probability.

use core::f64::consts::{PI, TAU};

use crate::angle::{deg_from_rad, rad_from_deg};
use crate::direction::Direction;
use crate::error::Error;
use crate::stats::binormal::Binormal;

/// An ellipse about a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ellipse {
    /// Its centre.
    pub centre: Direction,
    /// The longer half axis, arcminutes, ≥ 0.
    pub semi_major_arcmin: f64,
    /// The shorter half axis, arcminutes, ≥ 0.
    pub semi_minor_arcmin: f64,
    /// Where the longer axis points, degrees in [0, 180), counter-clockwise from +x.
    pub angle_deg: f64,
}

impl Ellipse {
    /// The ellipse that holds a direction with a probability, given its covariance (square
    /// arcminutes) and the degrees of freedom of the variance that scales it, infinite where
    /// σ is stated.
    ///
    /// Its points have eᵀS⁻¹e = 2F, F the quantile of the F distribution with 2 and ν degrees
    /// of freedom, for two numerator degrees (ν/2)((1 − p)^(−2/ν) − 1) exactly; without limit
    /// of ν that is χ² with two degrees, −2 ln(1 − p).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a probability not inside (0, 1) or degrees of freedom not above 0;
    /// [`Error::NotACovariance`].
    ///
    /// # Degenerate input
    /// A covariance of rank one or zero gives axes of length 0.
    ///
    /// # Source
    /// Normal: JCGM 102:2011, 6.5.2. Estimated variance: N. R. Draper, H. Smith, *Applied
    /// Regression Analysis*, 3rd ed. (1998), chapter 5, joint confidence regions (from memory).
    ///
    /// ```
    /// use solver::{Direction, ellipse::Ellipse};
    /// let e = Ellipse::covering(Direction::BORESIGHT, [[4.0, 0.0], [0.0, 1.0]], 0.95, f64::INFINITY)?;
    /// // χ² of 95 % with two degrees of freedom is 5.991.
    /// assert!((e.semi_major_arcmin - 2.0 * 5.991_f64.sqrt()).abs() < 1e-3);
    /// assert_eq!(e.angle_deg, 0.0);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn covering(
        centre: Direction,
        covariance_arcmin2: [[f64; 2]; 2],
        probability: f64,
        freedom: f64,
    ) -> Result<Self, Error> {
        Error::check_probability("a probability", probability)?;
        Error::check(freedom > 0.0, "degrees of freedom", freedom, "more than 0")?;
        let centre_parts = [centre.x_arcmin, centre.y_arcmin];
        let [[xx, xy], [_, yy]] = Binormal::new(centre_parts, covariance_arcmin2)?.covariance();
        let log_outside = (-probability).ln_1p();
        let squared = if freedom < 1e15 {
            freedom * (-2.0 * log_outside / freedom).exp_m1()
        } else {
            -2.0 * log_outside
        };
        let half_difference = 0.5 * (xx - yy);
        let large = 0.5 * (xx + yy) + half_difference.hypot(xy);
        // The product of the two is the determinant: no cancellation.
        let small = if large > 0.0 { ((xx * yy - xy * xy) / large).max(0.0) } else { 0.0 };
        let angle_rad = (0.5 * xy.atan2(half_difference)).rem_euclid(PI);
        let ellipse = Self {
            centre,
            semi_major_arcmin: (squared * large).sqrt(),
            semi_minor_arcmin: (squared * small).sqrt(),
            angle_deg: if angle_rad < PI { deg_from_rad(angle_rad) } else { 0.0 },
        };
        let axis = ellipse.semi_major_arcmin;
        Error::check(axis.is_finite(), "the axis of an ellipse", axis, "a number")?;
        Ok(ellipse)
    }

    /// Whether a direction lies inside or on it.
    #[must_use]
    pub fn contains(&self, direction: Direction) -> bool {
        let off = (direction - self.centre).rotated(-rad_from_deg(self.angle_deg));
        let share = |part: f64, semi: f64| if part == 0.0 { 0.0 } else { part / semi };
        let along = share(off.x_arcmin, self.semi_major_arcmin);
        along.hypot(share(off.y_arcmin, self.semi_minor_arcmin)) <= 1.0
    }

    /// The point at a parameter, radians: 0 is the end of the longer axis.
    #[must_use]
    pub fn at(&self, parameter_rad: f64) -> Direction {
        let (sin, cos) = parameter_rad.sin_cos();
        let off = Direction::new(self.semi_major_arcmin * cos, self.semi_minor_arcmin * sin);
        self.centre + off.rotated(rad_from_deg(self.angle_deg))
    }

    /// So many points round it, the first not repeated.
    #[must_use]
    pub fn path(&self, count: u16) -> Vec<Direction> {
        (0..count).map(|k| self.at(TAU * f64::from(k) / f64::from(count))).collect()
    }
}
