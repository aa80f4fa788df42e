//! A sweep: as the hand turns a ring once round, places are logged without ring angle, each with its frame.
//!
//! One is logged each time the crosshair has moved by more than three standard uncertainties: of both places, and of
//! what the station says a reading scatters by, each way; and by a hundredth of the picture's shorter side at least, so
//! that the most there may be reach round. What is refused, or cannot be told whose it is, logs nothing.

use record::fact::Seq;
use solver::ellipse::Ellipse;
use solver::{Channel, Direction};

/// The most places of one sweep.
pub(crate) const MOST: usize = 120;

/// The share of a normal plane inside three standard deviations, 1 − e^(−9/2).
const THREE_SIGMA: f64 = 0.988_891_003_461_758;

/// Steps that fit side by side in the picture's shorter side.
const STEPS: f64 = 100.0;

/// One that goes on.
#[derive(Clone, Debug)]
pub(crate) struct Sweep {
    pub(super) channel: Channel,
    /// The readings so far.
    pub(super) logged: Vec<Seq>,
    pub(super) last: Option<LoggedPlace>,
}

/// Where the crosshair was when it was logged last.
#[derive(Clone, Copy, Debug)]
pub(super) struct LoggedPlace {
    pub(super) at: Direction,
    /// xx, xy, yy, square arcminutes.
    pub(super) covariance_arcmin2: [f64; 3],
    pub(super) px: [f64; 2],
}

impl LoggedPlace {
    /// Whether another is so far away that it is another place.
    /// `sigma_arcmin`: what a reading scatters by; `shorter_px`: the picture's shorter side.
    pub(super) fn is_left_by(&self, now: &Self, sigma_arcmin: f64, shorter_px: f64) -> bool {
        let [x, y] = [0, 1].map(|axis| now.px[axis] - self.px[axis]);
        let scatter = 2.0 * sigma_arcmin * sigma_arcmin;
        let [xx, xy, yy] =
            [0, 1, 2].map(|part| self.covariance_arcmin2[part] + now.covariance_arcmin2[part]);
        let both = [[xx + scatter, xy], [xy, yy + scatter]];
        let near = Ellipse::covering(self.at, both, THREE_SIGMA, f64::INFINITY);
        x.hypot(y) > shorter_px / STEPS && near.is_ok_and(|near| !near.contains(now.at))
    }
}

impl Sweep {
    /// How far it has come, in a sentence.
    pub(crate) fn told(&self) -> String {
        format!(
            "Sweep of the {} ring: {} of at most {MOST} places. Turn it slowly once round; Alt+T ends it.",
            self.channel,
            self.logged.len()
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_left_beyond_three_standard_uncertainties() {
        let at = |x: f64| LoggedPlace {
            at: Direction::new(x, 0.0),
            covariance_arcmin2: [0.5, 0.0, 0.5],
            px: [x, 0.0],
        };
        // Variances of both add up to 1: three are 3′.
        assert!(
            !at(0.0).is_left_by(&at(2.99), 0.0, 0.0) && at(0.0).is_left_by(&at(3.01), 0.0, 0.0)
        );
        // With a scatter of 2′ they add up to 9: 9′.
        assert!(!at(0.0).is_left_by(&at(8.9), 2.0, 0.0) && at(0.0).is_left_by(&at(9.1), 2.0, 0.0));
        assert!(!at(0.0).is_left_by(&at(9.1), 2.0, 1000.0), "the picture is coarser");
        let unknown = LoggedPlace { covariance_arcmin2: [f64::NAN; 3], ..at(0.0) };
        assert!(!unknown.is_left_by(&at(50.0), 0.0, 0.0), "what is not known is not left");
    }
}
