//! Where a channel points, and how far two channels point apart.
//!
//! Directions are apparent directions seen by the user through the viewer from the eye side:
//! +x right, +y up, small angles in arcminutes, origin at the station's boresight. A direction is
//! not a misalignment: the types keep them apart.

use core::ops::{Add, Mul, Sub};

/// Directions farther than this from boresight are refused: 50°, farther than any field reaches, so that
/// such a number is of another unit or mistyped.
///
/// No promise of accuracy: directions are taken as a plane, which they are near boresight only. What lies
/// off the axis is longer by tan θ / θ than the plane has it: 1.000 07 at 50′, 1.0025 at 300′, 1.1 at
/// 1,760′, and 1.37 here.
///
/// ```
/// # use solver::{angle::ARCMIN_PER_RAD, direction::FIELD_LIMIT_ARCMIN};
/// let longer = |arcmin: f64| (arcmin / ARCMIN_PER_RAD).tan() / (arcmin / ARCMIN_PER_RAD);
/// for (at, times) in [(50.0, 1.000_07), (300.0, 1.0025), (1760.0, 1.1), (FIELD_LIMIT_ARCMIN, 1.37)] {
///     assert!((longer(at) / times - 1.0).abs() < 0.005 && (longer(50.0) - 1.000_07).abs() < 1e-5);
/// }
/// ```
pub const FIELD_LIMIT_ARCMIN: f64 = 3000.0;

/// Squares between these have a root with all its digits; others are measured the slow way.
pub(crate) const SAFE_SQUARE: core::ops::Range<f64> = 1e-280..1e280;

/// A direction from boresight, arcminutes; equally the deviation of a channel that points there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Direction {
    /// To the right, as the user sees it.
    pub x_arcmin: f64,
    /// Up, as the user sees it.
    pub y_arcmin: f64,
}

impl Direction {
    /// The boresight itself.
    pub const BORESIGHT: Self = Self { x_arcmin: 0.0, y_arcmin: 0.0 };

    /// A direction from its two parts, arcminutes.
    #[must_use]
    pub const fn new(x_arcmin: f64, y_arcmin: f64) -> Self {
        Self { x_arcmin, y_arcmin }
    }

    /// `length_arcmin` away from boresight at `angle_rad`, counter-clockwise from +x.
    #[must_use]
    pub fn polar(length_arcmin: f64, angle_rad: f64) -> Self {
        let (sin, cos) = angle_rad.sin_cos();
        Self::new(length_arcmin * cos, length_arcmin * sin)
    }

    /// Distance from boresight, arcminutes, ≥ 0.
    #[must_use]
    pub fn boresight_arcmin(self) -> f64 {
        length(self.x_arcmin, self.y_arcmin)
    }

    /// Distance from another direction, arcminutes, ≥ 0.
    #[must_use]
    pub fn distance_arcmin(self, other: Self) -> f64 {
        (self - other).boresight_arcmin()
    }

    /// The direction's angle, radians in (−π, π], counter-clockwise from +x; 0 at boresight.
    #[must_use]
    pub fn angle_rad(self) -> f64 {
        self.y_arcmin.atan2(self.x_arcmin)
    }

    /// Turned counter-clockwise about boresight.
    #[must_use]
    pub fn rotated(self, angle_rad: f64) -> Self {
        let (sin, cos) = angle_rad.sin_cos();
        Self::new(
            cos * self.x_arcmin - sin * self.y_arcmin,
            sin * self.x_arcmin + cos * self.y_arcmin,
        )
    }

    /// Half way to another direction.
    #[must_use]
    pub fn midpoint(self, other: Self) -> Self {
        Self::new(self.x_arcmin.midpoint(other.x_arcmin), self.y_arcmin.midpoint(other.y_arcmin))
    }

    /// Scalar product, square arcminutes.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x_arcmin * other.x_arcmin + self.y_arcmin * other.y_arcmin
    }

    /// Whether both parts are finite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.x_arcmin.is_finite() && self.y_arcmin.is_finite()
    }
}

impl Add for Direction {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x_arcmin + other.x_arcmin, self.y_arcmin + other.y_arcmin)
    }
}

impl Sub for Direction {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x_arcmin - other.x_arcmin, self.y_arcmin - other.y_arcmin)
    }
}

impl Mul<f64> for Direction {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x_arcmin * factor, self.y_arcmin * factor)
    }
}

/// Misalignment m = p_R − p_L, arcminutes.
///
/// m_x > 0: the eyes must diverge; m_x < 0: they must converge; m_y > 0: right image high.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Misalignment {
    /// Side to side; positive is divergence.
    pub x_arcmin: f64,
    /// Up and down (dipvergence); positive is right image high.
    pub y_arcmin: f64,
}

impl Misalignment {
    /// A misalignment from its two parts, arcminutes.
    #[must_use]
    pub const fn new(x_arcmin: f64, y_arcmin: f64) -> Self {
        Self { x_arcmin, y_arcmin }
    }

    /// p_R − p_L.
    #[must_use]
    pub fn between(left: Direction, right: Direction) -> Self {
        Self::new(right.x_arcmin - left.x_arcmin, right.y_arcmin - left.y_arcmin)
    }

    /// Its length, arcminutes, ≥ 0.
    #[must_use]
    pub fn length_arcmin(self) -> f64 {
        length(self.x_arcmin, self.y_arcmin)
    }
}

/// √(x² + y²) to a rounding or two: straight on where the squares keep all their digits, else the slow way.
fn length(x: f64, y: f64) -> f64 {
    let square = x * x + y * y;
    if SAFE_SQUARE.contains(&square) { square.sqrt() } else { x.hypot(y) }
}
