//! What comes out of a fit: the circle, how well it is known, and what each reading leaves.

use crate::angle::turn_deg;
use crate::circle::OffsetCircle;
use crate::fit::reading::Reading;

/// A fitted offset circle with its health.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircleFit {
    /// The circle; its phase is `None` when no reading had a ring angle.
    pub circle: OffsetCircle,
    /// Covariance of the parameters; `None` when neither σ is stated nor readings are to spare.
    pub covariance: Option<CircleCovariance>,
    /// Root mean square length of the residuals, arcminutes.
    pub rms_arcmin: f64,
    /// Weighted sum of squared residuals, square arcminutes (over σ² it is χ²).
    pub weighted_squares_arcmin2: f64,
    /// 2·(with angle) + (without) − 4, or − 3 when no reading has an angle.
    pub degrees_of_freedom: usize,
    /// Readings used.
    pub readings: usize,
    /// Those of them with a ring angle.
    pub with_ring: usize,
    /// How the sense is known; `None` when there is no phase.
    pub sense_basis: Option<SenseBasis>,
    /// What the covariance rests on.
    pub sigma_basis: SigmaBasis,
    /// The stated σ, arcminutes.
    pub sigma_arcmin: Option<f64>,
}

/// How the sense of the ring is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SenseBasis {
    /// Told by the user.
    Given,
    /// Found: the other sense fits worse by `difference` (Δχ², or n ln of the ratio of sums of
    /// squares when σ is not known).
    Found {
        /// At least 9.
        difference: f64,
    },
    /// The readings cannot tell; *with the ring* is what the optics give.
    Assumed,
}

/// What a covariance rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SigmaBasis {
    /// The stated standard uncertainty of a reading.
    Stated,
    /// The residuals' own spread.
    Residuals,
    /// Neither: there is no covariance.
    Unknown,
}

/// What one reading leaves over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// |p − c| − r, arcminutes: a misread graticule shows here.
    pub off_circle_arcmin: f64,
    /// Ring angle as logged less the ring angle the circle gives for that direction, degrees in
    /// (−180, 180]: a misread ring shows here. `None` without a ring angle.
    pub off_angle_deg: Option<f64>,
    /// Distance from where the fit puts this reading, arcminutes, ≥ 0.
    pub length_arcmin: f64,
}

impl CircleFit {
    /// What a reading leaves over.
    #[must_use]
    pub fn residual(&self, reading: &Reading) -> Residual {
        let off_circle_arcmin = self.circle.off_circle_arcmin(reading.direction);
        let of_ring = reading.ring_deg.and_then(|ring_deg| {
            let expected = self.circle.at_ring(ring_deg)?;
            let expected_deg = self.circle.ring_for(reading.direction)?;
            Some((turn_deg(expected_deg, ring_deg), expected))
        });
        Residual {
            off_circle_arcmin,
            off_angle_deg: of_ring.map(|(off_deg, _)| off_deg),
            length_arcmin: of_ring.map_or(off_circle_arcmin.abs(), |(_, expected)| {
                reading.direction.distance_arcmin(expected)
            }),
        }
    }

    /// u(r), the standard uncertainty of the radius, arcminutes.
    #[must_use]
    pub fn radius_u_arcmin(&self) -> Option<f64> {
        self.covariance.map(|covariance| covariance.get(2, 2).sqrt())
    }

    /// Whether r < 2 u(r): the readings cover too short an arc for the circle to be trusted.
    #[must_use]
    pub fn arc_too_short(&self) -> bool {
        self.radius_u_arcmin().is_some_and(|u| self.circle.radius_arcmin < 2.0 * u)
    }

    /// How much worse this fit is than another of the same readings: Δχ² with σ stated, else
    /// n ln of the ratio of sums of squares. 0 when both are exact.
    pub(super) fn misfit_beside(&self, other: &Self) -> f64 {
        let (own, others) = (self.weighted_squares_arcmin2, other.weighted_squares_arcmin2);
        if let Some(sigma) = self.sigma_arcmin {
            return (own - others) / (sigma * sigma);
        }
        let components = (self.readings + self.with_ring) as f64;
        match (own > 0.0, others > 0.0) {
            (true, true) => components * (own / others).ln(),
            (true, false) => f64::INFINITY,
            (false, true) => f64::NEG_INFINITY,
            (false, false) => 0.0,
        }
    }
}

/// Covariance of (c_x, c_y, r, φ), or of (c_x, c_y, r) without a phase; arcminutes and degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircleCovariance {
    size: usize,
    entries: [[f64; 4]; 4],
}

impl CircleCovariance {
    /// From a rule, for 3 or 4 parameters.
    pub(crate) fn from_fn(size: usize, mut entry: impl FnMut(usize, usize) -> f64) -> Self {
        let mut entries = [[0.0; 4]; 4];
        for (i, row) in entries.iter_mut().enumerate().take(size) {
            for (j, held) in row.iter_mut().enumerate().take(size) {
                *held = entry(i, j);
            }
        }
        Self { size, entries }
    }

    /// 4 with a phase, 3 without.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// One entry; 0 outside the matrix.
    #[must_use]
    pub fn get(&self, row: usize, column: usize) -> f64 {
        self.entries.get(row).and_then(|entries| entries.get(column)).copied().unwrap_or(0.0)
    }

    /// Variance of the circle's edge seen from its centre along a unit direction: of c·u + r,
    /// square arcminutes.
    #[must_use]
    pub fn edge_variance_arcmin2(&self, unit_x: f64, unit_y: f64) -> f64 {
        let weights = [unit_x, unit_y, 1.0];
        let mut variance = 0.0;
        for (i, wi) in weights.iter().enumerate() {
            for (j, wj) in weights.iter().enumerate() {
                variance += wi * wj * self.get(i, j);
            }
        }
        variance.max(0.0)
    }
}
