//! Ring angles known: p = c + R(−sθ)a is linear in c and a, and least squares is a mean.
//!
//! Written with complex numbers, z = c + a w with w = exp(−isθ), so
//! a = Σ conj(w − w̄)(z − z̄) / Σ |w − w̄|² and c = z̄ − a w̄.

use crate::angle::rad_from_deg;
use crate::circle::Sense;
use crate::direction::Direction;
use crate::fit::frame::Frame;
use crate::fit::reading::Reading;
use crate::fit::refine::Parameters;

/// The least-squares circle of the readings that have a ring angle; `None` when those angles are
/// all the same.
pub(super) fn from_angles(readings: &[Reading], frame: &Frame, sense: Sense) -> Option<Parameters> {
    let pairs = || {
        readings.iter().filter_map(|reading| {
            let turned = Direction::polar(1.0, -sense.sign() * rad_from_deg(reading.ring_deg?));
            Some((turned, frame.framed(reading.direction)))
        })
    };
    let count = pairs().count();
    if count < 2 {
        return None;
    }
    let share = 1.0 / count as f64;
    let (mean_w, mean_z) = pairs()
        .fold((Direction::BORESIGHT, Direction::BORESIGHT), |(sum_w, sum_z), (w, z)| {
            (sum_w + w * share, sum_z + z * share)
        });
    let (mut product, mut square) = (Direction::BORESIGHT, 0.0);
    for (w, z) in pairs() {
        let (w, z) = (w - mean_w, z - mean_z);
        product = product + conjugate_times(w, z);
        square += w.dot(w);
    }
    let a = product * (1.0 / square);
    let centre = mean_z - times(a, mean_w);
    (square > 0.0 && a.is_finite() && centre.is_finite()).then(|| Parameters {
        centre,
        radius: a.boresight_arcmin(),
        phase_rad: a.angle_rad(),
    })
}

fn times(a: Direction, b: Direction) -> Direction {
    Direction::new(
        a.x_arcmin * b.x_arcmin - a.y_arcmin * b.y_arcmin,
        a.x_arcmin * b.y_arcmin + a.y_arcmin * b.x_arcmin,
    )
}

fn conjugate_times(a: Direction, b: Direction) -> Direction {
    times(Direction::new(a.x_arcmin, -a.y_arcmin), b)
}
