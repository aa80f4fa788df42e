//! A clock on the screen: degrees clockwise from up.

use egui::{Pos2, Vec2, vec2};

/// Where a dial's angles lie.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClockChart {
    /// Its middle.
    pub(crate) middle: Pos2,
}

impl ClockChart {
    /// Where an angle lies, `radius` points from the middle.
    pub(crate) fn at(self, clock_deg: f64, radius: f32) -> Pos2 {
        self.middle + Self::outward(clock_deg) * radius
    }

    /// The way out at an angle, one point long.
    pub(crate) fn outward(clock_deg: f64) -> Vec2 {
        let rad = clock_deg.to_radians() as f32;
        // Screen y runs down.
        vec2(rad.sin(), -rad.cos())
    }

    /// The angle at which a place lies.
    pub(crate) fn deg(self, at: Pos2) -> f64 {
        let off = at - self.middle;
        f64::from(off.x.atan2(-off.y)).to_degrees()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn clocks_run_clockwise_from_up() {
        let clock = ClockChart { middle: pos2(3.0, 4.0) };
        for (deg, off) in [(0.0, (0.0, -1.0)), (90.0, (1.0, 0.0)), (-90.0, (-1.0, 0.0))] {
            let at = clock.middle + vec2(off.0, off.1);
            assert!((clock.deg(at) - deg).abs() < 1e-5, "{deg}");
            assert!(clock.at(deg, 1.0).distance(at) < 1e-5, "{deg}");
        }
    }
}
