//! No ring angles and a good start: Newton's method in closed form, as a live solve needs it.
//!
//! Distance from the circle e = |p − c| − r, outward normal n. With sums over the readings the
//! Newton equations in (c, r) are
//!
//! [Σ nnᵀ + B, Σ n; Σ nᵀ, N] δ = (Σ e n, Σ e), B = Σ (e/|p − c|)(I − nnᵀ),
//!
//! and (JᵀJ)⁻¹ is the same matrix without B, inverted. r is eliminated first; what is left is two by
//! two. Whatever is not plainly well settled is left to the damped search of [`super::refine`].

use crate::direction::Direction;
use crate::fit::frame::FramedReadings;
use crate::fit::settled::{Parameters, Settled, finite};

/// Newton's method from a good start needs three steps, four when readings scatter much.
const MOST_STEPS: usize = 8;
/// A step below this is in quadratic reach.
const SMALL: f64 = 1e-8;
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
    fn add_square(&mut self, v: Direction, weight: f64) {
        self.xx += weight * v.x_arcmin * v.x_arcmin;
        self.xy += weight * v.x_arcmin * v.y_arcmin;
        self.yy += weight * v.y_arcmin * v.y_arcmin;
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

/// What one pass over the readings gathers.
struct Sums {
    count: f64,
    /// Σ e² and Σ e.
    squares: f64,
    errors: f64,
    /// Σ n and Σ e n.
    normal: Direction,
    pull: Direction,
    /// Σ nnᵀ about a guess of the mean normal, and B.
    spread: Symmetric,
    bend: Symmetric,
}

impl Sums {
    fn at(readings: &FramedReadings<'_>, at: &Parameters, guess: Direction) -> Self {
        let mut sums = [0.0; GATHERED];
        readings.each_block(|x, y| {
            let ((x_pairs, x_last), (y_pairs, y_last)) = (x.as_chunks(), y.as_chunks());
            gather::<2>(x_pairs, y_pairs, at, guess, &mut sums);
            gather::<1>(x_last.as_chunks().0, y_last.as_chunks().0, at, guess, &mut sums);
        });
        let [squares, errors, nx, ny, ex, ey, xx, xy, yy, bend_xx, bend_xy, bend_yy] = sums;
        Self {
            count: readings.len() as f64,
            squares,
            errors,
            normal: Direction::new(nx, ny),
            pull: Direction::new(ex, ey),
            spread: Symmetric { xx, xy, yy },
            bend: Symmetric { xx: bend_xx, xy: bend_xy, yy: bend_yy },
        }
    }

    fn mean_normal(&self) -> Direction {
        self.normal * (1.0 / self.count)
    }

    /// Σ nnᵀ about the mean normal. The guess is near it, so little is taken away.
    fn centred(&self, guess: Direction) -> Symmetric {
        let mut spread = self.spread;
        spread.add_square(self.mean_normal() - guess, -self.count);
        spread
    }

    /// Newton's step, where there is one downhill.
    fn step(&self, guess: Direction) -> Option<[f64; 4]> {
        let spread = self.centred(guess);
        let bent = Symmetric {
            xx: spread.xx + self.bend.xx,
            xy: spread.xy + self.bend.xy,
            yy: spread.yy + self.bend.yy,
        };
        let mean_normal = self.mean_normal();
        let centre = bent.inverse()?.times(self.pull - mean_normal * self.errors);
        let radius = self.errors / self.count - mean_normal.dot(centre);
        Some([centre.x_arcmin, centre.y_arcmin, radius, 0.0])
    }

    fn inverse_information(&self, guess: Direction) -> Option<[[f64; 4]; 4]> {
        let of_centre = self.centred(guess).inverse()?;
        let mean_normal = self.mean_normal();
        let with_radius = of_centre.times(mean_normal) * -1.0;
        let of_radius = 1.0 / self.count - mean_normal.dot(with_radius);
        finite([
            [of_centre.xx, of_centre.xy, with_radius.x_arcmin, 0.0],
            [of_centre.xy, of_centre.yy, with_radius.y_arcmin, 0.0],
            [with_radius.x_arcmin, with_radius.y_arcmin, of_radius, 0.0],
            [0.0; 4],
        ])
    }
}

/// How many sums [`gather`] makes.
const GATHERED: usize = 12;

/// Adds to the sums of [`Sums::at`], N readings at a time, each lane with sums of its own until
/// the end: the compiler may then use the processor's vectors.
fn gather<const N: usize>(
    x: &[[f64; N]],
    y: &[[f64; N]],
    at: &Parameters,
    guess: Direction,
    sums: &mut [f64; GATHERED],
) {
    let mut lanes = [[0.0; N]; GATHERED];
    for (x, y) in x.iter().zip(y) {
        for lane in 0..N {
            let (dx, dy) = (x[lane] - at.centre.x_arcmin, y[lane] - at.centre.y_arcmin);
            let distance = (dx * dx + dy * dy).sqrt();
            let per_distance = 1.0 / distance;
            let (nx, ny) = (dx * per_distance, dy * per_distance);
            let error = distance - at.radius;
            let (gx, gy) = (nx - guess.x_arcmin, ny - guess.y_arcmin);
            let bend = error * per_distance;
            lanes[0][lane] += error * error;
            lanes[1][lane] += error;
            lanes[2][lane] += nx;
            lanes[3][lane] += ny;
            lanes[4][lane] += error * nx;
            lanes[5][lane] += error * ny;
            lanes[6][lane] += gx * gx;
            lanes[7][lane] += gx * gy;
            lanes[8][lane] += gy * gy;
            lanes[9][lane] += bend * ny * ny;
            lanes[10][lane] -= bend * nx * ny;
            lanes[11][lane] += bend * nx * nx;
        }
    }
    for (sum, lanes) in sums.iter_mut().zip(lanes) {
        *sum += lanes.iter().sum::<f64>();
    }
}

/// The geometric fit near a good start; `None` where this is not plain sailing.
pub(super) fn settled(readings: &FramedReadings<'_>, start: Parameters) -> Option<Settled> {
    let mut at = start;
    let mut guess = Direction::BORESIGHT;
    let mut sums = Sums::at(readings, &at, guess);
    let mut last_size = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let step = sums.step(guess)?;
        let size = step.iter().map(|part| part * part).sum::<f64>().sqrt() / (1.0 + at.radius);
        guess = sums.mean_normal();
        at = at.moved(step);
        let moved = Sums::at(readings, &at, guess);
        // Steps shrink quadratically: the next would be about size³/last².
        let at_rest = size <= f64::EPSILON
            || (size <= SMALL && size * size * size <= f64::EPSILON * last_size * last_size);
        if at_rest {
            return Some(Settled {
                at,
                cost: moved.squares,
                squares: moved.squares,
                inverse: Some(moved.inverse_information(guess)?),
            });
        }
        if moved.squares.is_nan() || moved.squares > sums.squares {
            return None;
        }
        (sums, last_size) = (moved, size);
    }
    None
}
