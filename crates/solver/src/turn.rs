//! Which way to turn, and the path the crosshair takes.

use core::f64::consts::TAU;

use crate::angle::{deg_from_rad, turn_deg};
use crate::circle::{OffsetCircle, Sense};
use crate::direction::Direction;

/// A turn from where things are to where they should go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Degrees in (−180, 180], clockwise positive looking into the eyepiece: of the ring where
    /// its angle is known, else of the crosshair round its circle.
    pub clockwise_deg: f64,
    /// Whether `clockwise_deg` is the ring's own turn, not merely the crosshair's.
    pub of_ring: bool,
    /// Where on the circle the crosshair starts, radians counter-clockwise from +x.
    pub from_rad: f64,
    /// How far the crosshair runs, radians, counter-clockwise positive.
    pub sweep_rad: f64,
}

impl Turn {
    /// The turn that brings a channel's crosshair from its last reading to a target.
    ///
    /// With both ring angles known the shorter way round the ring; else the shorter way of the
    /// crosshair round its circle. Exactly half a turn goes clockwise. `None` when the last
    /// reading is at the circle's very centre, which has no direction.
    #[must_use]
    pub fn between(
        circle: &OffsetCircle,
        now: Direction,
        now_ring_deg: Option<f64>,
        target: Direction,
        target_ring_deg: Option<f64>,
    ) -> Option<Self> {
        let outward = now - circle.centre;
        if outward.boresight_arcmin() <= 0.0 || !outward.is_finite() || !target.is_finite() {
            return None;
        }
        let from_rad = outward.angle_rad();
        match (circle.phase, now_ring_deg, target_ring_deg) {
            (Some(phase), Some(now_deg), Some(target_deg)) => {
                let clockwise_deg = turn_deg(now_deg, target_deg);
                let sweep_rad = crate::angle::rad_from_deg(-phase.sense.sign() * clockwise_deg);
                Some(Self { clockwise_deg, of_ring: true, from_rad, sweep_rad })
            }
            _ => {
                let to_rad = (target - circle.centre).angle_rad();
                let clockwise_deg = turn_deg(0.0, deg_from_rad(from_rad - to_rad));
                let sweep_rad = crate::angle::rad_from_deg(-clockwise_deg);
                Some(Self { clockwise_deg, of_ring: false, from_rad, sweep_rad })
            }
        }
    }

    /// The crosshair's path as points on the circle, at most `step_rad` apart.
    #[must_use]
    pub fn path(&self, circle: &OffsetCircle, step_rad: f64) -> Vec<Direction> {
        let step_rad = if step_rad > 1e-3 { step_rad } else { 1e-3 };
        // A turn is at most half a circle, so the count is bounded.
        let steps = (self.sweep_rad.abs().min(TAU) / step_rad).ceil().max(1.0) as usize;
        (0..=steps)
            .map(|k| {
                let share = k as f64 / steps as f64;
                circle.centre
                    + Direction::polar(circle.radius_arcmin, self.from_rad + share * self.sweep_rad)
            })
            .collect()
    }
}

/// The sense in which a crosshair runs when the ring is turned clockwise, in words for a screen.
#[must_use]
pub const fn runs(sense: Sense) -> &'static str {
    match sense {
        Sense::With => "with the ring",
        Sense::Against => "against the ring",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circle::Phase;

    fn circle(sense: Sense) -> OffsetCircle {
        OffsetCircle {
            centre: Direction::new(10.0, 4.0),
            radius_arcmin: 30.0,
            phase: Some(Phase { zero_deg: 30.0, sense }),
        }
    }

    /// The path ends where the circle says the target ring angle is, whichever way it runs.
    #[test]
    fn path_ends_at_the_target() {
        for sense in [Sense::With, Sense::Against] {
            for (now_deg, target_deg) in [(0.0, 90.0), (350.0, 20.0), (10.0, 300.0), (0.0, 180.0)] {
                let circle = circle(sense);
                let (now, target) =
                    (circle.at_ring(now_deg).unwrap_or_default(), circle.at_ring(target_deg));
                let target = target.unwrap_or_default();
                let turn =
                    Turn::between(&circle, now, Some(now_deg), target, Some(target_deg)).unwrap_or(
                        Turn { clockwise_deg: 0.0, of_ring: false, from_rad: 0.0, sweep_rad: 0.0 },
                    );
                assert!(turn.of_ring);
                let path = turn.path(&circle, 0.05);
                let end = path.last().copied().unwrap_or_default();
                // A dozen roundings of numbers up to 40.
                assert!(end.distance_arcmin(target) < 1e-12, "{sense:?} {now_deg} {target_deg}");
            }
        }
    }

    /// Exactly half a turn is clockwise: downwards on the right-hand side.
    #[test]
    fn half_a_turn_goes_clockwise() {
        let circle = OffsetCircle::unphased(Direction::BORESIGHT, 5.0);
        let (left, right) = (Direction::new(-5.0, 0.0), Direction::new(5.0, 0.0));
        let turn = Turn::between(&circle, left, None, right, None);
        assert_eq!(turn.map(|turn| turn.clockwise_deg), Some(180.0));
        let middle = turn.map(|turn| turn.path(&circle, 2.0)[1]);
        assert!(middle.is_some_and(|point| point.y_arcmin > 4.9), "{middle:?}");
    }
}
