//! A housing type: its optics, its seats for shims, how its pods move, how fine its rings are.

use solver::angle::deg_from_rad;
pub use solver::optics::ShimEnds;

use crate::check::{Checked, finite, named, positive};
use crate::error::Error;

/// A type of housing, copied whole into each session that uses it.
#[derive(Clone, Debug, PartialEq)]
pub struct Housing {
    /// What the shop calls it.
    pub name: String,
    /// Objective focal length, mm.
    pub objective_focal_mm: Option<f64>,
    /// Eyepiece focal length, mm.
    pub eyepiece_focal_mm: Option<f64>,
    /// Whether its tubes turn the image over; the shim model covers no other.
    pub tube: TubeKind,
    /// Where shims can go.
    pub seat: Option<Seat>,
    /// How the pods move to fit the user's eyes.
    pub adjustment: Adjustment,
    /// Least and greatest interpupillary distance, mm.
    pub ipd_range_mm: Option<[f64; 2]>,
    /// To what its rings can be set, degrees; 1° unless said.
    pub ring_step_deg: f64,
    /// Anything else worth knowing.
    pub note: String,
}

/// What a tube does to the image.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum TubeKind {
    /// Turns it over: objective and tube output move the line of sight alike.
    #[default]
    Inverting,
    /// Leaves it: only measured shim effects count.
    StraightThrough,
}

/// Where shims can go, and from what they are made.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Allowed places, degrees clockwise from up, seen from the eye side.
    pub clock_deg: Vec<f64>,
    /// Allowed ends.
    pub ends: Vec<ShimEnds>,
    /// Leaf thicknesses in stock, mm.
    pub leaves_mm: Vec<f64>,
    /// The thickest stack that fits, mm.
    pub largest_stack_mm: f64,
}

/// How the pods move to fit the user's eyes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Adjustment {
    /// Not said.
    #[default]
    Unknown,
    /// Each pod swings about a hinge and rolls as it goes.
    Hinge(Hinge),
    /// Pods slide and do not roll.
    Slide,
}

/// ipd = spread + 2·arm·cos β.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hinge {
    /// Distance between the hinges, mm.
    pub spread_mm: f64,
    /// From a hinge to its pod's axis, mm, > 0.
    pub arm_mm: f64,
    /// Whether the pods stand above their hinges (β > 0) in use.
    pub pods_above: bool,
}

impl Hinge {
    /// β, degrees, at an interpupillary distance: above 0 with the pod above its hinge.
    /// `None` where the hinge cannot give that distance.
    ///
    /// ```
    /// let hinge = record::Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true };
    /// // cos β = (66 − 24)/42 = 1: arms level.
    /// assert_eq!(hinge.beta_deg(66.0), Some(0.0));
    /// assert_eq!(hinge.beta_deg(70.0), None);
    /// ```
    #[must_use]
    pub fn beta_deg(&self, ipd_mm: f64) -> Option<f64> {
        let cos = (ipd_mm - self.spread_mm) / (2.0 * self.arm_mm);
        if !(-1.0..=1.0).contains(&cos) {
            return None;
        }
        let beta_deg = deg_from_rad(cos.acos());
        Some(if self.pods_above { beta_deg } else { -beta_deg })
    }
}

impl Housing {
    /// A housing of which only the name is known.
    #[must_use]
    pub fn named(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            objective_focal_mm: None,
            eyepiece_focal_mm: None,
            tube: TubeKind::Inverting,
            seat: None,
            adjustment: Adjustment::Unknown,
            ipd_range_mm: None,
            ring_step_deg: 1.0,
            note: String::new(),
        }
    }
}

impl Checked for Housing {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)?;
        for (field, focal_mm) in [
            ("objective_focal_mm", self.objective_focal_mm),
            ("eyepiece_focal_mm", self.eyepiece_focal_mm),
        ] {
            focal_mm.map_or(Ok(()), |value| positive(field, value))?;
        }
        if let Some(seat) = &self.seat {
            seat.clock_deg.iter().try_for_each(|&deg| finite("seat.clock_deg", deg))?;
            seat.leaves_mm.iter().try_for_each(|&mm| positive("seat.leaves_mm", mm))?;
            positive("seat.largest_stack_mm", seat.largest_stack_mm)?;
        }
        if let Adjustment::Hinge(hinge) = &self.adjustment {
            finite("adjustment.spread_mm", hinge.spread_mm)?;
            positive("adjustment.arm_mm", hinge.arm_mm)?;
        }
        if let Some([low, high]) = self.ipd_range_mm {
            positive("ipd_range_mm", low)?;
            positive("ipd_range_mm (high − low)", high - low)?;
        }
        positive("ring_step_deg", self.ring_step_deg)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn a_hinge_gives_its_angle() {
        let hinge = Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true };
        // cos β = (45 − 24)/42 = 1/2, so β = 60°; acos is good to a few 1e−16 rad.
        assert!((hinge.beta_deg(45.0).unwrap() - 60.0).abs() < 1e-13);
        let below = Hinge { pods_above: false, ..hinge };
        assert!((below.beta_deg(45.0).unwrap() + 60.0).abs() < 1e-13);
        assert_eq!(hinge.beta_deg(f64::NAN), None);
    }

    #[test]
    fn what_cannot_be_a_housing_is_refused() {
        let mut housing = Housing::named("Heron B");
        housing.check().unwrap();
        housing.eyepiece_focal_mm = Some(-27.0);
        assert!(housing.check().unwrap_err().to_string().contains("eyepiece_focal_mm"));
        housing.eyepiece_focal_mm = Some(27.0);
        housing.ring_step_deg = f64::NAN;
        assert!(housing.check().is_err());
    }
}
