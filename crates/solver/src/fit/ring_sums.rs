//! Readings with a ring angle, in eight sums: their cost and its slope without another pass.
//!
//! Written with complex numbers, w = exp(−isθ) and q = exp(−iφ) w̄ (p − c), so that the radial residual
//! is Re q − r and the tangential one Im q. With ω the tangential weight,
//!
//! Σ (Re q − r)² + ω (Im q)² = A Σ|q|² + B Re Σq² − 2r Re Σq + n r²,  A = (1 + ω)/2, B = (1 − ω)/2,
//!
//! and each of the three sums is a polynomial in c whose coefficients are sums over the readings:
//! Σ|q|² = Σ|p|² − 2 c·Σp + n|c|², Σq = exp(−iφ)(Σw̄p − cΣw̄),
//! Σq² = exp(−2iφ)(Σ(w̄p)² − 2cΣw̄²p + c²Σw̄²). So a step of the search costs the same for ten
//! readings and for ten thousand. Sums of squares lose half their digits where residuals are small;
//! their slopes, which place the circle, do not: in the working frame every term is of order n.

use nalgebra::{Matrix4, Vector4};

use crate::circle::Sense;
use crate::direction::Direction;
use crate::fit::frame::FramedReadings;
use crate::fit::linear::{sensed, times};
use crate::fit::settled::Parameters;

/// Sums over the readings that have a ring angle, under one sense.
#[derive(Clone, Copy, Debug)]
pub(super) struct RingSums {
    count: f64,
    /// Σp and Σ|p|².
    places: Direction,
    squares: f64,
    /// Σw̄, Σw̄p, Σw̄², Σw̄²p and Σ(w̄p)².
    turns: Direction,
    turned: Direction,
    turns2: Direction,
    turned_turns: Direction,
    turned2: Direction,
}

/// Sum of squares, gradient (half), Hessian (half), the diagonal of its Gauss–Newton part, and the
/// gradient's growth with the weight.
pub(super) struct RingSlope {
    pub(super) cost: f64,
    pub(super) gradient: Vector4<f64>,
    pub(super) hessian: Matrix4<f64>,
    pub(super) gauss_newton: Vector4<f64>,
    /// ∂(gradient)/∂ω.
    pub(super) by_weight: Vector4<f64>,
}

/// The three sums of q at one place, and what their derivatives need.
struct At {
    /// Σ|q|², Σq, Σq².
    lengths: f64,
    first: Direction,
    second: Direction,
    /// exp(−iφ)Σw̄ and exp(−2iφ)Σw̄².
    turns: Direction,
    turns2: Direction,
    /// ∂Σq²/∂c_x.
    second_by_x: Direction,
}

impl RingSums {
    pub(super) fn of(readings: &FramedReadings<'_>, sense: Sense) -> Self {
        const ZERO: Direction = Direction::BORESIGHT;
        let mut sums = Self {
            count: 0.0,
            places: ZERO,
            squares: 0.0,
            turns: ZERO,
            turned: ZERO,
            turns2: ZERO,
            turned_turns: ZERO,
            turned2: ZERO,
        };
        for reading in readings.iter() {
            let Some(turn) = reading.turn else { continue };
            let back = conjugate(sensed(turn, sense));
            let turned = times(back, reading.at);
            sums.count += 1.0;
            sums.places = sums.places + reading.at;
            sums.squares += reading.at.dot(reading.at);
            sums.turns = sums.turns + back;
            sums.turned = sums.turned + turned;
            sums.turns2 = sums.turns2 + times(back, back);
            sums.turned_turns = sums.turned_turns + times(back, turned);
            sums.turned2 = sums.turned2 + times(turned, turned);
        }
        sums
    }

    fn at(&self, at: &Parameters) -> At {
        let c = at.centre;
        let back = Direction::polar(1.0, -at.phase_rad);
        let back2 = times(back, back);
        let (turns, turns2) = (times(back, self.turns), times(back2, self.turns2));
        let turned_turns = times(back2, self.turned_turns);
        let c_turns2 = times(c, turns2);
        At {
            lengths: self.squares - 2.0 * c.dot(self.places) + self.count * c.dot(c),
            first: times(back, self.turned) - times(c, turns),
            second: times(back2, self.turned2) + times(c, c_turns2 - turned_turns * 2.0),
            turns,
            turns2,
            second_by_x: (c_turns2 - turned_turns) * 2.0,
        }
    }

    fn cost_of(&self, sums: &At, radius: f64, weight: f64) -> f64 {
        let (a, b) = (0.5 * (1.0 + weight), 0.5 * (1.0 - weight));
        a * sums.lengths + b * sums.second.x_arcmin - 2.0 * radius * sums.first.x_arcmin
            + self.count * radius * radius
    }

    /// The weighted sum of squares, to rounding of its largest term.
    pub(super) fn cost(&self, at: &Parameters, weight: f64) -> f64 {
        self.cost_of(&self.at(at), at.radius, weight)
    }

    pub(super) fn slope(&self, at: &Parameters, weight: f64) -> RingSlope {
        let sums = self.at(at);
        let (a, b) = (0.5 * (1.0 + weight), 0.5 * (1.0 - weight));
        let (n, r) = (self.count, at.radius);
        let pull = at.centre * n - self.places;
        let [first, second, turns, turns2, by_x] =
            [sums.first, sums.second, sums.turns, sums.turns2, sums.second_by_x]
                .map(|sum| (sum.x_arcmin, sum.y_arcmin));
        let gradient = Vector4::new(
            a * pull.x_arcmin + 0.5 * b * by_x.0 + r * turns.0,
            a * pull.y_arcmin - 0.5 * b * by_x.1 - r * turns.1,
            n * r - first.0,
            b * second.1 - r * first.1,
        );
        let (x_turn, y_turn) = (b * by_x.1 + r * turns.1, b * by_x.0 + r * turns.0);
        let hessian = Matrix4::new(
            a * n + b * turns2.0,
            -b * turns2.1,
            turns.0,
            x_turn,
            -b * turns2.1,
            a * n - b * turns2.0,
            -turns.1,
            y_turn,
            turns.0,
            -turns.1,
            n,
            -first.1,
            x_turn,
            y_turn,
            -first.1,
            r * first.0 - 2.0 * b * second.0,
        );
        RingSlope {
            cost: self.cost_of(&sums, r, weight),
            gradient,
            hessian,
            gauss_newton: Vector4::new(
                hessian[(0, 0)],
                hessian[(1, 1)],
                n,
                a * sums.lengths - b * second.0,
            ),
            by_weight: Vector4::new(
                0.5 * pull.x_arcmin - 0.25 * by_x.0,
                0.5 * pull.y_arcmin + 0.25 * by_x.1,
                0.0,
                -0.5 * second.1,
            ),
        }
    }
}

fn conjugate(z: Direction) -> Direction {
    Direction::new(z.x_arcmin, -z.y_arcmin)
}
