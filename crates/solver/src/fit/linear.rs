//! Ring angles known and σθ = 0: p = c + R(−sθ)a is linear in c and a, and least squares is a mean.
//!
//! Written with complex numbers, z = c + a w with w = exp(−isθ), so
//! a = Σ conj(w − w̄)(z − z̄) / Σ |w − w̄|² and c = z̄ − a w̄. The sums serve both senses.
//!
//! With Q = Σ |w − w̄|² the covariance over σ² is just as short: 1/Q for each part of a, none
//! between them; c is z̄ − w̄a, so 1/n + |w̄|²/Q for each part of c, and −w̄/Q (as a rotation and
//! stretch) between c and a. Along a lies r, across it r φ.

use crate::circle::Sense;
use crate::direction::Direction;
use crate::fit::frame::FramedReadings;
use crate::fit::settled::{CONDITION_LIMIT, Parameters, Settled, finite};

/// Means and products of the readings that have a ring angle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moments {
    count: usize,
    mean: Direction,
    /// Mean of (cos θ, sin θ), and the sum of squares about it.
    mean_turn: Direction,
    turn_squares: f64,
    /// Σ (cos θ, sin θ) x and Σ (cos θ, sin θ) y, about the means.
    with_x: Direction,
    with_y: Direction,
}

impl Moments {
    /// `None` when fewer than two readings have a ring angle.
    pub(super) fn of(readings: &FramedReadings<'_>) -> Option<Self> {
        const ZERO: Direction = Direction::BORESIGHT;
        let pairs = || readings.iter().filter_map(|reading| Some((reading.turn?, reading.at)));
        let (count, turns, places) = pairs()
            .fold((0_usize, ZERO, ZERO), |(count, turns, places), (turn, at)| {
                (count + 1, turns + turn, places + at)
            });
        if count < 2 {
            return None;
        }
        let share = 1.0 / count as f64;
        let start = Self {
            count,
            mean: places * share,
            mean_turn: turns * share,
            turn_squares: 0.0,
            with_x: ZERO,
            with_y: ZERO,
        };
        Some(pairs().fold(start, |sums, (turn, at)| {
            let (turn, at) = (turn - sums.mean_turn, at - sums.mean);
            Self {
                turn_squares: sums.turn_squares + turn.dot(turn),
                with_x: sums.with_x + turn * at.x_arcmin,
                with_y: sums.with_y + turn * at.y_arcmin,
                ..sums
            }
        }))
    }

    /// The least-squares circle under one sense; `None` when all ring angles are the same.
    pub(super) fn fit(&self, sense: Sense) -> Option<LinearCircle> {
        let s = sense.sign();
        let product = Direction::new(
            self.with_x.x_arcmin - s * self.with_y.y_arcmin,
            self.with_y.x_arcmin + s * self.with_x.y_arcmin,
        );
        let arm = product * (1.0 / self.turn_squares);
        let mean_turn = sensed(self.mean_turn, sense);
        let centre = self.mean - times(arm, mean_turn);
        (self.turn_squares > 0.0 && arm.is_finite() && centre.is_finite()).then(|| LinearCircle {
            at: Parameters { centre, radius: arm.boresight_arcmin(), phase_rad: arm.angle_rad() },
            arm,
            sense,
            count: self.count,
            mean_turn,
            turn_squares: self.turn_squares,
        })
    }
}

/// The least-squares circle of the readings that have a ring angle.
#[derive(Clone, Copy, Debug)]
pub(super) struct LinearCircle {
    pub(super) at: Parameters,
    /// a, from the centre to the crosshair at ring zero.
    arm: Direction,
    sense: Sense,
    count: usize,
    mean_turn: Direction,
    turn_squares: f64,
}

impl LinearCircle {
    /// The answer, where every reading has a ring angle and σθ is 0.
    pub(super) fn settled(&self, readings: &FramedReadings<'_>) -> Settled {
        let squares = readings.iter().fold(0.0, |sum, reading| {
            let turn = sensed(reading.turn.unwrap_or_default(), self.sense);
            let off = reading.at - self.at.centre - times(self.arm, turn);
            sum + off.dot(off)
        });
        Settled { at: self.at, cost: squares, squares, inverse: self.inverse_information() }
    }

    fn inverse_information(&self) -> Option<[[f64; 4]; 4]> {
        let radius = self.at.radius;
        let of_arm = 1.0 / self.turn_squares;
        let of_centre = 1.0 / self.count as f64 + self.mean_turn.dot(self.mean_turn) * of_arm;
        // Frobenius norms of J, φ measured along the circle, and of its inverse.
        let condition_squared = 4.0 * self.count as f64 * (2.0 * of_centre + 2.0 * of_arm);
        let settled = condition_squared <= CONDITION_LIMIT * CONDITION_LIMIT;
        if !settled || radius <= 0.0 {
            return None;
        }
        let outward = self.arm * (1.0 / radius);
        let radial = times(self.mean_turn, outward) * -of_arm;
        let tangential = Direction::new(-radial.y_arcmin, radial.x_arcmin) * (1.0 / radius);
        finite([
            [of_centre, 0.0, radial.x_arcmin, tangential.x_arcmin],
            [0.0, of_centre, radial.y_arcmin, tangential.y_arcmin],
            [radial.x_arcmin, radial.y_arcmin, of_arm, 0.0],
            [tangential.x_arcmin, tangential.y_arcmin, 0.0, of_arm / (radius * radius)],
        ])
    }
}

/// w = exp(−isθ) from (cos θ, sin θ).
pub(super) fn sensed(turn: Direction, sense: Sense) -> Direction {
    Direction::new(turn.x_arcmin, -sense.sign() * turn.y_arcmin)
}

/// The product of two directions as complex numbers.
pub(super) fn times(a: Direction, b: Direction) -> Direction {
    Direction::new(
        a.x_arcmin * b.x_arcmin - a.y_arcmin * b.y_arcmin,
        a.x_arcmin * b.y_arcmin + a.y_arcmin * b.x_arcmin,
    )
}
