//! How one reading's residuals hang on the circle: its rows of the design matrix.

use crate::angle::rad_from_deg;
use crate::direction::Direction;
use crate::fit::reading::Reading;
use crate::fit::result::CircleFit;

/// The weighted residuals of one reading and their derivatives, in units of σ = 1′.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Design {
    /// 2 with a ring angle (radial, tangential), else 1.
    pub(crate) parts: usize,
    /// The residuals, times the root of their weights; 0 beyond `parts`.
    pub(crate) residual: [f64; 2],
    /// Their derivatives by c_x, c_y, r, φ (degrees).
    pub(crate) rows: [[f64; 4]; 2],
}

impl CircleFit {
    /// Of a reading with a ring angle, the crosshair seen at `from_centre`, where the circle
    /// expects it along the unit vector `n`.
    pub(crate) fn design_with_ring(&self, n: Direction, from_centre: Direction) -> Design {
        let t = Direction::new(-n.y_arcmin, n.x_arcmin);
        let r = self.circle.radius_arcmin;
        let (radial, tangential) = (from_centre.dot(n) - r, from_centre.dot(t));
        // Equal weights: the plain vector; else the directions of the split turn with φ.
        let (radial_turn, tangential_turn) =
            if self.ring_sigma_deg > 0.0 { (tangential, -(radial + r)) } else { (0.0, -r) };
        let root = self.tangential_weight().sqrt();
        let per_deg = rad_from_deg(1.0);
        Design {
            parts: 2,
            residual: [radial, root * tangential],
            rows: [
                [-n.x_arcmin, -n.y_arcmin, -1.0, radial_turn * per_deg],
                [-t.x_arcmin, -t.y_arcmin, 0.0, tangential_turn * per_deg]
                    .map(|entry| root * entry),
            ],
        }
    }

    /// Of a reading, where this is the fit of readings like it.
    pub(crate) fn design_of(&self, reading: &Reading) -> Design {
        let from_centre = reading.direction - self.circle.centre;
        match (reading.ring_deg, self.circle.phase) {
            (Some(ring_deg), Some(phase)) => {
                let psi_deg = phase.zero_deg - phase.sense.sign() * ring_deg;
                self.design_with_ring(Direction::polar(1.0, rad_from_deg(psi_deg)), from_centre)
            }
            _ => self.design_without_ring(from_centre),
        }
    }

    /// Of a reading without ring angle, the crosshair seen at `from_centre`.
    pub(crate) fn design_without_ring(&self, from_centre: Direction) -> Design {
        let distance = from_centre.boresight_arcmin();
        let n = if distance > 0.0 { from_centre * (1.0 / distance) } else { Direction::default() };
        Design {
            parts: 1,
            residual: [distance - self.circle.radius_arcmin, 0.0],
            rows: [[-n.x_arcmin, -n.y_arcmin, -1.0, 0.0], [0.0; 4]],
        }
    }
}

impl Design {
    /// J U Jᵀ of the reading's rows with a covariance; 0 beyond `parts`.
    pub(crate) fn leverage(&self, fit: &CircleFit) -> [[f64; 2]; 2] {
        let mut leverage = [[0.0; 2]; 2];
        for i in 0..2 {
            let product = fit.unit_covariance.times(self.rows[i]);
            for j in 0..2 {
                leverage[i][j] = dot(&product, &self.rows[j]);
            }
        }
        leverage
    }
}

/// The scalar product of two rows.
pub(crate) fn dot(a: &[f64; 4], b: &[f64; 4]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A symmetric matrix of two rows, inverted; `None` unless clearly positive definite.
pub(crate) fn inverse(matrix: [[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let [[a, b], [_, d]] = matrix;
    let determinant = a * d - b * b;
    (a > 0.0 && d > 0.0 && determinant > 1e-9)
        .then(|| [[d / determinant, -b / determinant], [-b / determinant, a / determinant]])
}
