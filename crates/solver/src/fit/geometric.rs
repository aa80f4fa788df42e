//! No ring angles and a good start: Newton's method in closed form, as a live solve needs it.
//!
//! Distance from the circle e = |p − c| − r, outward normal n. With sums over the readings the
//! Newton equations in (c, r) are
//!
//! [Σ nnᵀ + B, Σ n; Σ nᵀ, N] δ = (Σ e n, Σ e), B = Σ (e/|p − c|)(I − nnᵀ),
//!
//! and (JᵀJ)⁻¹ is the same matrix without B, inverted. r is eliminated first; what is left is two by
//! two. Whatever is not plainly well settled is left to the damped search of [`super::refine`].

use wide::f64x2;

use crate::direction::Direction;
use crate::fit::algebraic::PointMoments;
use crate::fit::frame::FramedReadings;
use crate::fit::settled::{Parameters, Settled, finite};

/// Newton's method from a good start needs two steps, three or four when readings scatter much.
const MOST_STEPS: usize = 8;
/// Taubin's fit of readings on a circle is nearer the geometric one than this share of its radius.
const MOST_FIRST_STEP: f64 = 0.1;
/// A centre known this many times better one way than the other is left to the careful search:
/// its determinant has lost six digits.
const LOPSIDED: f64 = 1e6;

/// A symmetric matrix of two rows.
#[derive(Clone, Copy)]
struct Symmetric {
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Symmetric {
    /// Sums of squares about a mean that lies `off` the point they were taken about.
    fn about(self, off: Direction, count: f64) -> Self {
        Self {
            xx: self.xx - count * off.x_arcmin * off.x_arcmin,
            xy: self.xy - count * off.x_arcmin * off.y_arcmin,
            yy: self.yy - count * off.y_arcmin * off.y_arcmin,
        }
    }

    /// `None` unless clearly positive definite.
    fn inverse(self) -> Option<Self> {
        let determinant = self.xx * self.yy - self.xy * self.xy;
        let trace = self.xx + self.yy;
        (trace > 0.0 && determinant * LOPSIDED > trace * trace).then(|| Self {
            xx: self.yy / determinant,
            xy: -self.xy / determinant,
            yy: self.xx / determinant,
        })
    }

    fn times(self, v: Direction) -> Direction {
        Direction::new(
            self.xx * v.x_arcmin + self.xy * v.y_arcmin,
            self.xy * v.x_arcmin + self.yy * v.y_arcmin,
        )
    }
}

/// Newton's step.
struct NewtonStep {
    /// In c_x, c_y, r and φ, which stays.
    step: [f64; 4],
    /// By how much it lowers Σ e².
    gain: f64,
    /// No less than what is left to go after it.
    left: f64,
}

/// What a pass for a step gathers.
struct StepSlope {
    count: f64,
    /// Σ e² and Σ e.
    squares: f64,
    errors: f64,
    /// Mean of n, and Σ e n.
    mean_normal: Direction,
    pull: Direction,
    /// Σ nnᵀ about the mean normal, and B.
    bent: Symmetric,
}

impl StepSlope {
    /// The guess is near the mean normal, so that little is taken away from the squares about it.
    fn at(readings: &FramedReadings<'_>, at: &Parameters, guess: Direction) -> Self {
        let [squares, errors, nx, ny, ex, ey, xx, xy, yy] = readings.sums(|x, y| {
            let Outward { distance, nx, ny } = Outward::from(x, y, at);
            let error = distance - at.radius;
            let (gx, gy) = (nx - guess.x_arcmin, ny - guess.y_arcmin);
            let bend = error / distance;
            let (bx, by) = (bend * nx, bend * ny);
            let (ex, ey) = (error * nx, error * ny);
            let (xx, xy, yy) = (gx * gx + by * ny, gx * gy - bx * ny, gy * gy + bx * nx);
            [error * error, error, nx, ny, ex, ey, xx, xy, yy]
        });
        let count = readings.len() as f64;
        let mean_normal = Direction::new(nx, ny) * (1.0 / count);
        let bent = Symmetric { xx, xy, yy }.about(mean_normal - guess, count);
        Self { count, squares, errors, mean_normal, pull: Direction::new(ex, ey), bent }
    }

    /// Newton's step, where there is one downhill.
    fn step(&self, at_radius: f64) -> Option<NewtonStep> {
        let Self { count, mean_normal, bent, .. } = *self;
        let centre = bent.inverse()?.times(self.pull - mean_normal * self.errors);
        let radius = self.errors / count - mean_normal.dot(centre);
        let step = [centre.x_arcmin, centre.y_arcmin, radius, 0.0];
        let gain = self.pull.dot(centre) + self.errors * radius;
        let size = length(step);
        // Half the sum of squares has third derivatives below 6 N/r here, and the inverse of its matrix is no
        // larger than (1 + |n̄|)² over the least of what is left of it without r (no less than determinant over
        // trace), and 1/N.
        let trace = bent.xx + bent.yy;
        let flattest = (bent.xx * bent.yy - bent.xy * bent.xy) / trace;
        let reach = 1.0 + mean_normal.dot(mean_normal).sqrt();
        let inverse = reach * reach / flattest + 1.0 / count;
        let left = 3.0 * count / at_radius * inverse * size * size;
        Some(NewtonStep { step, gain, left })
    }
}

/// Distances from the centre and outward normals of two readings.
struct Outward {
    distance: f64x2,
    nx: f64x2,
    ny: f64x2,
}

impl Outward {
    fn from(x: f64x2, y: f64x2, at: &Parameters) -> Self {
        let (dx, dy) = (x - at.centre.x_arcmin, y - at.centre.y_arcmin);
        let distance = (dx * dx + dy * dy).sqrt();
        let per_distance = f64x2::ONE / distance;
        Self { distance, nx: dx * per_distance, ny: dy * per_distance }
    }
}

/// (JᵀJ)⁻¹ at the place of rest.
fn inverse_information(
    readings: &FramedReadings<'_>,
    at: &Parameters,
    guess: Direction,
) -> Option<[[f64; 4]; 4]> {
    let [nx, ny, xx, xy, yy] = readings.sums(|x, y| {
        let Outward { nx, ny, .. } = Outward::from(x, y, at);
        let (gx, gy) = (nx - guess.x_arcmin, ny - guess.y_arcmin);
        [nx, ny, gx * gx, gx * gy, gy * gy]
    });
    let count = readings.len() as f64;
    let mean_normal = Direction::new(nx, ny) * (1.0 / count);
    let of_centre = Symmetric { xx, xy, yy }.about(mean_normal - guess, count).inverse()?;
    let with_radius = of_centre.times(mean_normal) * -1.0;
    let of_radius = 1.0 / count - mean_normal.dot(with_radius);
    finite([
        [of_centre.xx, of_centre.xy, with_radius.x_arcmin, 0.0],
        [of_centre.xy, of_centre.yy, with_radius.y_arcmin, 0.0],
        [with_radius.x_arcmin, with_radius.y_arcmin, of_radius, 0.0],
        [0.0; 4],
    ])
}

/// Newton's step from an algebraic start, the matrix to second order in e/r from the moments of the
/// points, whose mean is the origin: with δ = p − c, w = e/|δ| and n = δ/r (1 − e/r) the matrix of [`StepSlope`] is
/// (N·⟨ppᵀ⟩ − 3 Σ wδδᵀ − c pᵀ − p cᵀ)/r² + (Σ e/r) I, p = Σ e n, and the mean normal −(c + p/N)/r.
/// Gives the step and the mean normal.
fn first_step(
    readings: &FramedReadings<'_>,
    points: &PointMoments,
    at: &Parameters,
) -> Option<([f64; 4], Direction)> {
    let [errors, px, py, wxx, wxy, wyy] = readings.sums(|x, y| {
        let (dx, dy) = (x - at.centre.x_arcmin, y - at.centre.y_arcmin);
        let distance = (dx * dx + dy * dy).sqrt();
        let error = distance - at.radius;
        let weight = error / distance;
        let (wx, wy) = (weight * dx, weight * dy);
        [error, wx, wy, wx * dx, wx * dy, wy * dy]
    });
    let count = readings.len() as f64;
    let per_radius = 1.0 / at.radius;
    let (square, even) = (per_radius * per_radius, errors * per_radius);
    let Direction { x_arcmin: cx, y_arcmin: cy } = at.centre;
    let bent = Symmetric {
        xx: (count * points.xx - 3.0 * wxx - 2.0 * cx * px) * square + even,
        xy: (count * points.xy - 3.0 * wxy - cx * py - cy * px) * square,
        yy: (count * points.yy - 3.0 * wyy - 2.0 * cy * py) * square + even,
    };
    let pull = Direction::new(px, py);
    let mean_normal = (at.centre + pull * (1.0 / count)) * -per_radius;
    let centre = bent.inverse()?.times(pull - mean_normal * errors);
    let radius = errors / count - mean_normal.dot(centre);
    Some(([centre.x_arcmin, centre.y_arcmin, radius, 0.0], mean_normal))
}

/// The geometric fit near Taubin's; `None` where this is not plain sailing.
///
/// The first step's matrix is off by the square of the residuals over the radius, as Taubin's fit is, so
/// what it leaves is of fourth order and the second step, Newton's own, usually the last.
pub(super) fn settled(
    readings: &FramedReadings<'_>,
    points: &PointMoments,
    start: Parameters,
) -> Option<Settled> {
    let (step, mut guess) = first_step(readings, points, &start)?;
    let size = length(step);
    // A long way to go is not what this start promised.
    if size.is_nan() || size > MOST_FIRST_STEP * start.radius {
        return None;
    }
    let mut at = start.moved(step);
    let mut last = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let slope = StepSlope::at(readings, &at, guess);
        if slope.squares.is_nan() || slope.squares > last {
            return None;
        }
        let NewtonStep { step, gain, left } = slope.step(at.radius)?;
        (at, guess, last) = (at.moved(step), slope.mean_normal, slope.squares);
        if left <= f64::EPSILON * (1.0 + at.radius) {
            // So short a step is to the bottom of the parabola.
            let squares = (slope.squares - gain).max(0.0);
            let inverse = Some(inverse_information(readings, &at, guess)?);
            return Some(Settled { at, cost: squares, squares, inverse });
        }
    }
    None
}

fn length(step: [f64; 4]) -> f64 {
    step.iter().map(|part| part * part).sum::<f64>().sqrt()
}
