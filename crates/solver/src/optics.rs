//! From millimetres to arcminutes and back: the thin-lens model of one channel.
//!
//! Objective (focal length f_o), image-inverting intensifier tube, eyepiece (f_e). Lateral
//! positions are millimetres, right and up positive seen from the eye side; the angle is the
//! apparent direction the user sees. With the objective's axis at c_o, the tube's input end at
//! c_in, its output end at c_out, its own image offset q and the eyepiece's axis at c_e:
//!
//! tan θ′ = (c_in + c_out + q − c_o − c_e + f_o tan θ)/f_e, each axis by itself.
//!
//! A shim of thickness t along the whole tube so moves the line of sight by 2t/f_e, a shim at one
//! end by t/f_e, and a lens cell decentred by e makes an offset circle of radius e/f_e whose
//! direction is half a turn from the decentre.
//!
//! # Accuracy
//! [`Optics::deviation`] keeps the tangent. [`Optics::shift_from_mm`] and what is built on it are
//! small-angle: tan X is taken for X, an error of X³/3 (0.0024′ at 50′, 0.15′ at 200′). Real lenses add
//! their aberrations to both.
//!
//! # Source
//! Decentred elements as augmented ray matrices: A. Gerrard, J. M. Burch, *Introduction to Matrix
//! Methods in Optics* (1994); T. A. Corcovilos, Am. J. Phys. 91 (2023) 449. Decentred lens:
//! C. F. Prentice, Arch. Ophthalmol. 19 (1890) 128. The channel's formula is derived from these.

use core::ops::{Add, Mul, Neg, Sub};

use crate::angle::{
    ARCMIN_PER_RAD, arcmin_from_rad, deg_from_rad, rad_from_arcmin, rad_from_deg, reduced_deg,
};
use crate::circle::{OffsetCircle, Phase, Sense};
use crate::direction::Direction;
use crate::error::Error;

/// A place across the optical axis, millimetres, seen from the eye side.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lateral {
    /// To the right.
    pub x_mm: f64,
    /// Up.
    pub y_mm: f64,
}

impl Lateral {
    /// A place from its two parts, millimetres.
    #[must_use]
    pub const fn new(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }

    /// `length_mm` from the axis toward a clock position, degrees clockwise from up.
    #[must_use]
    pub fn toward_clock(length_mm: f64, clock_deg: f64) -> Self {
        let (sin, cos) = rad_from_deg(clock_deg).sin_cos();
        Self::new(length_mm * sin, length_mm * cos)
    }

    /// Distance from the axis, millimetres, ≥ 0.
    #[must_use]
    pub fn length_mm(self) -> f64 {
        self.x_mm.hypot(self.y_mm)
    }

    /// Clock position, degrees in [0, 360) clockwise from up; 0 on the axis.
    #[must_use]
    pub fn clock_deg(self) -> f64 {
        reduced_deg(deg_from_rad(self.x_mm.atan2(self.y_mm)))
    }

    /// Turned clockwise about the axis, as an eyepiece ring turns its cell.
    #[must_use]
    pub fn turned_clockwise(self, deg: f64) -> Self {
        let (sin, cos) = rad_from_deg(deg).sin_cos();
        Self::new(cos * self.x_mm + sin * self.y_mm, cos * self.y_mm - sin * self.x_mm)
    }
}

impl Add for Lateral {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x_mm + other.x_mm, self.y_mm + other.y_mm)
    }
}

impl Sub for Lateral {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x_mm - other.x_mm, self.y_mm - other.y_mm)
    }
}

impl Neg for Lateral {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x_mm, -self.y_mm)
    }
}

impl Mul<f64> for Lateral {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x_mm * factor, self.y_mm * factor)
    }
}

/// What the tube does to the image between its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TubeImage {
    /// Turns it upside down and left to right: the model covers it.
    Inverted,
    /// Passes it straight through: the model does not cover it.
    StraightThrough,
}

/// Where the parts of one channel stand, millimetres from the channel's mechanical axis.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Placement {
    /// c_o: the objective's optical axis.
    pub objective: Lateral,
    /// c_in: the tube's input end.
    pub tube_in: Lateral,
    /// c_out: the tube's output end.
    pub tube_out: Lateral,
    /// q: the tube's own image offset, at its screen.
    pub tube_image: Lateral,
    /// c_e: the eyepiece's optical axis.
    pub eyepiece: Lateral,
}

/// Which ends of a tube's seat a shim lies at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ShimEnds {
    /// At the objective's end only.
    Front,
    /// At the eyepiece's end only.
    Rear,
    /// One stack at each end: full length.
    Both,
}

impl ShimEnds {
    /// How many stacks that takes.
    #[must_use]
    pub const fn count(self) -> usize {
        match self {
            Self::Front | Self::Rear => 1,
            Self::Both => 2,
        }
    }

    /// `"front"`, `"rear"` or `"both"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
            Self::Both => "both",
        }
    }
}

/// The focal lengths of one channel with an image-inverting tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Optics {
    objective_mm: f64,
    eyepiece_mm: f64,
}

impl Optics {
    /// A channel from its focal lengths, millimetres. Unit magnification has both alike.
    ///
    /// # Errors
    /// [`Error::StraightThroughTube`] for a tube that does not invert its image;
    /// [`Error::OutOfRange`] for a focal length that is not a finite number above 0.
    ///
    /// ```
    /// use solver::optics::{Optics, ShimEnds, TubeImage};
    /// let optics = Optics::new(27.0, 27.0, TubeImage::Inverted)?;
    /// // A cell decentred by 0.40 mm; a full-length shim of 0.05 mm.
    /// assert!((optics.arcmin_from_mm(0.40) - 50.9).abs() < 0.05);
    /// let shift = optics.shim_shift(ShimEnds::Both, 0.05, 90.0);
    /// assert!((shift.x_arcmin + 12.7).abs() < 0.05);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn new(objective_mm: f64, eyepiece_mm: f64, image: TubeImage) -> Result<Self, Error> {
        if image == TubeImage::StraightThrough {
            return Err(Error::StraightThroughTube);
        }
        for (what, value) in [
            ("the objective's focal length in mm", objective_mm),
            ("the eyepiece's focal length in mm", eyepiece_mm),
        ] {
            Error::check(value > 0.0 && value.is_finite(), what, value, "more than 0")?;
        }
        Ok(Self { objective_mm, eyepiece_mm })
    }

    /// f_o, millimetres.
    #[must_use]
    pub const fn objective_mm(&self) -> f64 {
        self.objective_mm
    }

    /// f_e, millimetres.
    #[must_use]
    pub const fn eyepiece_mm(&self) -> f64 {
        self.eyepiece_mm
    }

    /// Where the user sees a target that stands at `target`; with the target on boresight, the
    /// channel's deviation. Exact in the tangent, each axis by itself.
    #[must_use]
    pub fn deviation(&self, placed: &Placement, target: Direction) -> Direction {
        let sum = Self::image_mm(placed);
        let seen = |sum_mm: f64, target_arcmin: f64| {
            let tan = rad_from_arcmin(target_arcmin).tan();
            arcmin_from_rad(((sum_mm + self.objective_mm * tan) / self.eyepiece_mm).atan())
        };
        Direction::new(seen(sum.x_mm, target.x_arcmin), seen(sum.y_mm, target.y_arcmin))
    }

    /// c_in + c_out + q − c_o − c_e.
    fn image_mm(placed: &Placement) -> Lateral {
        placed.tube_in + placed.tube_out + placed.tube_image - placed.objective - placed.eyepiece
    }

    /// A length at the eyepiece's focus → the angle it stands for, small-angle.
    #[must_use]
    pub fn arcmin_from_mm(&self, mm: f64) -> f64 {
        mm / self.eyepiece_mm * ARCMIN_PER_RAD
    }

    /// An angle → the length at the eyepiece's focus that makes it, small-angle.
    #[must_use]
    pub fn mm_from_arcmin(&self, arcmin: f64) -> f64 {
        rad_from_arcmin(arcmin) * self.eyepiece_mm
    }

    /// The shift of the line of sight from an image displacement at the eyepiece's focus.
    #[must_use]
    pub fn shift_from_mm(&self, image: Lateral) -> Direction {
        Direction::new(self.arcmin_from_mm(image.x_mm), self.arcmin_from_mm(image.y_mm))
    }

    /// The image displacement at the eyepiece's focus that shifts the line of sight so far.
    #[must_use]
    pub fn mm_from_shift(&self, shift: Direction) -> Lateral {
        Lateral::new(self.mm_from_arcmin(shift.x_arcmin), self.mm_from_arcmin(shift.y_arcmin))
    }

    /// What a shim does: `thickness_mm` at clock position `clock_deg` (degrees clockwise from up,
    /// seen from the eye side) pushes the tube the other way, by −t (sin α, cos α) at each end it
    /// lies at.
    #[must_use]
    pub fn shim_shift(&self, ends: ShimEnds, thickness_mm: f64, clock_deg: f64) -> Direction {
        let pushed = -Lateral::toward_clock(thickness_mm, clock_deg);
        self.shift_from_mm(pushed * ends.count() as f64)
    }

    /// The offset circle an eyepiece makes, small-angle.
    ///
    /// `placed.eyepiece` is the axis its ring turns about; `decentre` is where the lens cell's
    /// optical centre stands from that axis at ring zero. The crosshair runs with the ring.
    ///
    /// # Degenerate input
    /// A cell without decentre gives radius 0.
    #[must_use]
    pub fn eyepiece_circle(&self, placed: &Placement, decentre: Lateral) -> OffsetCircle {
        let from_centre = self.shift_from_mm(-decentre);
        OffsetCircle {
            centre: self.shift_from_mm(Self::image_mm(placed)),
            radius_arcmin: from_centre.boresight_arcmin(),
            phase: Some(Phase {
                zero_deg: reduced_deg(deg_from_rad(from_centre.angle_rad())),
                sense: Sense::With,
            }),
        }
    }
}

/// Prentice's rule: the prism of a lens seen through `decentre_mm` from its optical centre, prism
/// dioptres; the power in dioptres (1/m).
///
/// ```
/// use solver::optics::prism_dioptre_from_decentre;
/// assert_eq!(prism_dioptre_from_decentre(5.0, 6.0), 3.0);
/// ```
#[must_use]
pub const fn prism_dioptre_from_decentre(decentre_mm: f64, power_dioptre: f64) -> f64 {
    decentre_mm * power_dioptre / 10.0
}
