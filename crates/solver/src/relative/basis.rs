//! The columns of the linear least squares of differences, made perpendicular, and its solution.

use nalgebra::Complex;

use crate::angle::rad_from_deg;
use crate::channel::PerChannel;
use crate::circle::Sense;
use crate::direction::Misalignment;
use crate::relative::RelativeReading;

/// Σ|v'|²/Σ|v|² below this is rings turned in step: the turn between them varied by less than 1e-5 rad,
/// a thousandth of a degree, far below what a ring can be read to.
const IN_STEP: f64 = 1e-10;

/// Directions and arms as complex numbers: right and up.
pub(super) type C = Complex<f64>;

pub(super) fn seen(reading: &RelativeReading) -> C {
    C::new(reading.misalignment.x_arcmin, reading.misalignment.y_arcmin)
}

pub(super) fn turned(reading: &RelativeReading, senses: PerChannel<Sense>) -> PerChannel<C> {
    PerChannel::from_fn(|channel| {
        let angle_rad = -senses[channel].sign() * rad_from_deg(reading.ring_deg[channel]);
        C::from_polar(1.0, angle_rad)
    })
}

/// The columns 1, −w_L and w_R made perpendicular: 1, −u with u = w_L − w̄_L, and v' = w_R − w̄_R − k u.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Basis {
    pub(super) senses: PerChannel<Sense>,
    count: f64,
    mean: PerChannel<C>,
    k: C,
    /// Σ|u|² and Σ|v'|².
    left_squares: f64,
    right_squares: f64,
    /// Σ|v|².
    all_right: f64,
    pub(super) in_step: bool,
}

impl Basis {
    pub(super) fn of(readings: &[RelativeReading], senses: PerChannel<Sense>) -> Self {
        let count = readings.len() as f64;
        let sum = readings.iter().fold([C::default(); 2], |[left, right], reading| {
            let w = turned(reading, senses);
            [left + w.left, right + w.right]
        });
        let mean = PerChannel { left: sum[0] / count, right: sum[1] / count };
        let about = |reading| {
            let w = turned(reading, senses);
            (w.left - mean.left, w.right - mean.right)
        };
        let (left_squares, all_right, product) = readings.iter().map(about).fold(
            (0.0, 0.0, C::default()),
            |(left, right, product), (u, v)| {
                (left + u.norm_sqr(), right + v.norm_sqr(), product + u.conj() * v)
            },
        );
        let k = product / left_squares;
        let right_squares: f64 =
            readings.iter().map(about).map(|(u, v)| (v - k * u).norm_sqr()).sum();
        let in_step =
            right_squares.partial_cmp(&(IN_STEP * all_right)) != Some(core::cmp::Ordering::Greater);
        Self { senses, count, mean, k, left_squares, right_squares, all_right, in_step }
    }

    /// −u and v' of a pair.
    fn columns(&self, w: PerChannel<C>) -> (C, C) {
        let u = w.left - self.mean.left;
        (-u, w.right - self.mean.right - self.k * u)
    }

    /// Coefficients of 1, −u and v', the last zero where the rings went in step; solved once more for
    /// what the first time left, which takes rounding out of it.
    pub(super) fn solve(&self, readings: &[RelativeReading]) -> [C; 3] {
        let mut found = [C::default(); 3];
        for _ in 0..2 {
            let mut sums = [C::default(); 3];
            for reading in readings {
                let (left, right) = self.columns(turned(reading, self.senses));
                let off = seen(reading) - self.at(turned(reading, self.senses), &found);
                sums[0] += off;
                sums[1] += left.conj() * off;
                sums[2] += right.conj() * off;
            }
            found[0] += sums[0] / self.count;
            found[1] += sums[1] / self.left_squares;
            if !self.in_step {
                found[2] += sums[2] / self.right_squares;
            }
        }
        found
    }

    /// D, a and b of coefficients: m = f₀ − f₁u + f₂(v − k u), so b = f₂ and a = f₁ + k b.
    pub(super) fn parameters(&self, found: &[C; 3]) -> [C; 3] {
        let Self { mean, k, .. } = *self;
        let [level, left, b] = *found;
        let a = left + k * b;
        [level + a * mean.left - b * mean.right, a, b]
    }

    /// m of a pair.
    pub(super) fn at(&self, w: PerChannel<C>, found: &[C; 3]) -> C {
        let (left, right) = self.columns(w);
        found[0] + left * found[1] + right * found[2]
    }

    /// Root mean square turn of the left ring, of the right one, and between them, radians: to first order,
    /// and of more than some tens of degrees no more than "much".
    pub(super) fn turns_rad(&self) -> [f64; 3] {
        [self.left_squares, self.all_right, self.right_squares].map(|sum| (sum / self.count).sqrt())
    }

    /// What unit noise in the readings leaves in the coefficients.
    pub(super) fn noise(&self, noise: [C; 3]) -> [C; 3] {
        let squares = [self.count, self.left_squares, self.right_squares];
        core::array::from_fn(|at| noise[at] / squares[at].sqrt())
    }

    /// Variance of m at a pair, each axis, over σ².
    pub(super) fn variance(&self, w: PerChannel<C>) -> f64 {
        let (left, right) = self.columns(w);
        1.0 / self.count
            + left.norm_sqr() / self.left_squares
            + right.norm_sqr() / self.right_squares
    }
}

/// The solved problem: a basis and its coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SolvedBasis {
    pub(super) basis: Basis,
    pub(super) found: [C; 3],
}

impl SolvedBasis {
    /// `None` where the rings were turned in step.
    pub(super) fn of(readings: &[RelativeReading], senses: PerChannel<Sense>) -> Option<Self> {
        let basis = Basis::of(readings, senses);
        (!basis.in_step).then(|| Self { basis, found: basis.solve(readings) })
    }

    /// D, a and b.
    pub(super) fn parameters(&self) -> [C; 3] {
        self.basis.parameters(&self.found)
    }
    /// K of D, a and b: E[δz δz̄'] = 2σ²K. The three of the basis are uncorrelated.
    pub(super) fn covariance(&self) -> [[C; 3]; 3] {
        let Basis { mean, k, count, left_squares, right_squares, .. } = self.basis;
        // Rows: what D, a and b are of the three.
        let (p, q) = (mean.left, mean.right);
        let zero = C::default();
        let one = C::new(1.0, 0.0);
        let rows = [[one, p, p * k - q], [zero, one, k], [zero, zero, one]];
        let variances = [1.0 / count, 1.0 / left_squares, 1.0 / right_squares];
        rows.map(|row| {
            rows.map(|other| (0..3).map(|n| row[n] * other[n].conj() * variances[n]).sum())
        })
    }
}

/// Variance that uncertain ring angles add to a reading, each axis, square arcminutes: σθ on both arms, along
/// its circle each, half of it along either axis on the mean.
pub(super) fn ring_variance(radii_arcmin: PerChannel<f64>, sigma_deg: f64) -> f64 {
    let sigma_rad = rad_from_deg(sigma_deg);
    0.5 * sigma_rad * sigma_rad * (radii_arcmin.left.powi(2) + radii_arcmin.right.powi(2))
}

/// A complex difference as one.
pub(super) fn misalignment_of(m: C) -> Misalignment {
    Misalignment::new(m.re, m.im)
}
