//! A housing type: its optics, its seats for shims, how its pods move, how fine its rings are.

use core::fmt;

use solver::PerChannel;
use solver::angle::deg_from_rad;
pub use solver::optics::ShimEnds;
use solver::optics::{Optics, TubeImage};
use solver::remedy::rank::NO_SEAT;
use solver::remedy::shim;
use solver::swing::{Bridge, SwingRange};

use crate::error::Error;
use crate::validate::{Checked, finite, named, positive};

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

/// Why the optical model gives no shim plans for a housing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoShimModel {
    /// Nothing is said of where shims can go.
    NoSeat,
    /// The eyepiece's focal length is not known.
    NoFocalLength,
    /// A straight-through tube is not covered by the model.
    StraightThrough,
}

impl fmt::Display for NoShimModel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoSeat => NO_SEAT,
            Self::NoFocalLength => {
                "the housing does not say the eyepiece's focal length, so what a shim does cannot be \
                 told"
            }
            Self::StraightThrough => {
                "its tubes do not turn the image over, which the optical model does not cover: only \
                 shim effects measured on this housing can be used"
            }
        })
    }
}

impl Housing {
    /// Where shims can go, as the solver takes it.
    #[must_use]
    pub fn shim_seat(&self) -> Option<shim::SeatLimits> {
        self.seat.as_ref().map(|seat| shim::SeatLimits {
            clocks_deg: seat.clock_deg.clone(),
            ends: seat.ends.clone(),
            leaves_mm: seat.leaves_mm.clone(),
            largest_mm: seat.largest_stack_mm,
        })
    }

    /// The optical model of one channel. Where the objective's focal length is not known it is taken
    /// as the eyepiece's, which unit magnification makes it; shims do not depend on it.
    ///
    /// # Errors
    /// [`NoShimModel`] says what is missing.
    pub fn optics(&self) -> Result<Optics, NoShimModel> {
        if self.tube == TubeKind::StraightThrough {
            return Err(NoShimModel::StraightThrough);
        }
        let eyepiece_mm = self.eyepiece_focal_mm.ok_or(NoShimModel::NoFocalLength)?;
        let objective_mm = self.objective_focal_mm.unwrap_or(eyepiece_mm);
        Optics::new(objective_mm, eyepiece_mm, TubeImage::Inverted)
            .map_err(|_| NoShimModel::NoFocalLength)
    }

    /// Where each pod's axis stands at an interpupillary distance, mm from the middle between the hinges, x right and
    /// y up, seen from the eye side: by Pythagoras over the arm. Level where the housing does not say how the pods
    /// move, or cannot be set to that distance.
    #[must_use]
    pub fn pods_mm(&self, ipd_mm: f64) -> PerChannel<[f64; 2]> {
        let up = match self.adjustment {
            Adjustment::Hinge(hinge) => {
                let across = (ipd_mm - hinge.spread_mm) / 2.0;
                let up = (hinge.arm_mm * hinge.arm_mm - across * across).max(0.0).sqrt();
                if hinge.pods_above { up } else { -up }
            }
            Adjustment::Slide | Adjustment::Unknown => 0.0,
        };
        PerChannel { left: [-ipd_mm / 2.0, up], right: [ipd_mm / 2.0, up] }
    }

    /// Where the hinges are, the same way; `None` where there are none.
    #[must_use]
    pub fn hinges_mm(&self) -> Option<PerChannel<[f64; 2]>> {
        let Adjustment::Hinge(hinge) = self.adjustment else { return None };
        let half = hinge.spread_mm / 2.0;
        Some(PerChannel { left: [-half, 0.0], right: [half, 0.0] })
    }

    /// How the pods move, as the solver takes it; `None` where it is not said.
    #[must_use]
    pub const fn bridge(&self) -> Option<Bridge> {
        match self.adjustment {
            Adjustment::Unknown => None,
            Adjustment::Hinge(hinge) => {
                Some(Bridge::Hinge { spread_mm: hinge.spread_mm, arm_mm: hinge.arm_mm })
            }
            Adjustment::Slide => Some(Bridge::Slide),
        }
    }

    /// How far the pods swing from one stop to the other, ψ = 0 at the interpupillary distance at
    /// which the readings were taken; `None` where the housing does not say enough, or cannot be
    /// set to those distances. Pods that slide do not swing.
    #[must_use]
    pub fn swing(&self, read_at_ipd_mm: f64) -> Option<SwingRange> {
        if self.adjustment == Adjustment::Slide {
            return SwingRange::new(0.0, 0.0).ok();
        }
        let [narrow, wide] = self.ipd_range_mm?;
        let end = |ipd_mm| self.swing_deg(read_at_ipd_mm, ipd_mm);
        let ends = [end(narrow)?, end(wide)?];
        SwingRange::new(ends[0].min(ends[1]), ends[0].max(ends[1])).ok()
    }

    /// ψ = β₀ − β, degrees, at an interpupillary distance (mm), ψ = 0 at the one at which the readings were
    /// taken (mm); `None` where the housing does not say how the pods move, or cannot be set to those
    /// distances. Pods that slide do not swing.
    #[must_use]
    pub fn swing_deg(&self, read_at_ipd_mm: f64, ipd_mm: f64) -> Option<f64> {
        match self.adjustment {
            Adjustment::Unknown => None,
            Adjustment::Slide => Some(0.0),
            Adjustment::Hinge(hinge) => {
                Some(hinge.beta_deg(read_at_ipd_mm)? - hinge.beta_deg(ipd_mm)?)
            }
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

    /// ψ = β₀ − β: at 45 mm β₀ is 60°, at 66 mm 0° and at 24 mm 90°, so ψ runs from −30° to 60°.
    #[test]
    fn a_hinged_housing_swings_between_its_stops() {
        let mut housing = Housing::named("Heron B");
        let hinge = Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true };
        housing.adjustment = Adjustment::Hinge(hinge);
        assert_eq!(housing.swing(45.0), None);
        housing.ipd_range_mm = Some([24.0, 66.0]);
        let range = housing.swing(45.0).unwrap();
        assert!((range.low_deg() + 30.0).abs() < 1e-12 && (range.high_deg() - 60.0).abs() < 1e-12);
        housing.adjustment = Adjustment::Hinge(Hinge { pods_above: false, ..hinge });
        let range = housing.swing(45.0).unwrap();
        assert!((range.low_deg() + 60.0).abs() < 1e-12 && (range.high_deg() - 30.0).abs() < 1e-12);
        assert_eq!(housing.swing(80.0), None);
        housing.adjustment = Adjustment::Slide;
        assert_eq!(housing.swing(45.0).map(|range| range.high_deg()), Some(0.0));
    }

    /// The arm is as long wherever the pod stands, which is what a hinge is; 45 mm of 24 + 42 cos β makes β = 60°, so
    /// that the pod stands 21 sin 60° = 18.187 mm up.
    #[test]
    fn pods_stand_an_arm_from_their_hinges() {
        let mut housing = Housing::named("Heron B");
        assert_eq!(housing.pods_mm(64.0).left, [-32.0, 0.0]);
        let hinge = Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true };
        housing.adjustment = Adjustment::Hinge(hinge);
        for ipd_mm in [24.0, 45.0, 60.0, 66.0] {
            let (pods, hinges) = (housing.pods_mm(ipd_mm), housing.hinges_mm().unwrap());
            for channel in solver::Channel::BOTH {
                let [dx, dy] = [0, 1].map(|axis| pods[channel][axis] - hinges[channel][axis]);
                assert!((dx.hypot(dy) - 21.0).abs() < 1e-12, "{ipd_mm}");
            }
            assert!((pods.right[0] - pods.left[0] - ipd_mm).abs() < 1e-12);
        }
        assert!((housing.pods_mm(45.0).left[1] - 18.186_533_479_473_212).abs() < 1e-12);
        housing.adjustment = Adjustment::Hinge(Hinge { pods_above: false, ..hinge });
        assert!(housing.pods_mm(45.0).left[1] < 0.0);
        assert!(housing.pods_mm(900.0).left[1].is_finite());
    }

    #[test]
    fn the_model_says_what_it_lacks() {
        let mut housing = Housing::named("Heron B");
        assert_eq!(housing.optics(), Err(NoShimModel::NoFocalLength));
        housing.eyepiece_focal_mm = Some(27.0);
        // Prentice: 0.05 mm at both ends moves the line of sight by 2·0.05/27 rad = 12.7′.
        let shift = housing.optics().unwrap().shim_shift(ShimEnds::Both, 0.05, 0.0);
        assert!((shift.y_arcmin + 2.0 * 0.05 / 27.0 * 3_437.746_770_784_939).abs() < 1e-9);
        housing.tube = TubeKind::StraightThrough;
        assert_eq!(housing.optics(), Err(NoShimModel::StraightThrough));
        assert_eq!(housing.shim_seat(), None);
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
