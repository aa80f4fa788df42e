//! What becomes of a setting when the pods swing to fit the user's eyes.
//!
//! The left pod rolls by +ψ and the right by −ψ (counter-clockwise positive seen from the eye side),
//! ψ = 0 where the readings were taken, and each direction goes round boresight with its pod:
//! p′ = R(±ψ) p. (A magnification M other than 1 would add (1 − M)(I − R)h for a hinge direction h;
//! it is nil here.) So
//!
//! - m_x = (x_R − x_L) cos ψ + (y_R + y_L) sin ψ,
//! - m_y = (y_R − y_L) cos ψ − (x_R + x_L) sin ψ,
//! - |(p_L + p_R)/2|² = A + B cos 2ψ + C sin 2ψ,
//!
//! and the largest of each over a range lies at an end or at one of its stationary points, which are
//! few: the worst over a range is exact, not sampled.

use core::f64::consts::{FRAC_PI_2, PI};

use crate::angle::{deg_from_rad, rad_from_deg};
use crate::channel::PerChannel;
use crate::direction::Direction;
use crate::error::Error;
use crate::tolerance::{Window, WindowUse};

/// What is refused where it is no length.
pub(crate) const IPD: &str = "an interpupillary distance in mm";

/// How far the pods swing, degrees of ψ, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwingRange {
    low_deg: f64,
    high_deg: f64,
}

impl SwingRange {
    /// From end to end, degrees.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless −180 ≤ low ≤ high ≤ 180.
    pub fn new(low_deg: f64, high_deg: f64) -> Result<Self, Error> {
        let (low, high) =
            ("the low end of the swing in degrees", "the high end of the swing in degrees");
        Error::check((-180.0..=180.0).contains(&low_deg), low, low_deg, "from −180 to 180")?;
        Error::check((-180.0..=180.0).contains(&high_deg), high, high_deg, "from −180 to 180")?;
        Error::check(low_deg <= high_deg, high, high_deg, "no less than the low end")?;
        Ok(Self { low_deg, high_deg })
    }

    /// One end, degrees.
    #[must_use]
    pub const fn low_deg(&self) -> f64 {
        self.low_deg
    }

    /// The other end, degrees.
    #[must_use]
    pub const fn high_deg(&self) -> f64 {
        self.high_deg
    }

    fn contains_rad(&self, rad: f64) -> bool {
        rad > rad_from_deg(self.low_deg) && rad < rad_from_deg(self.high_deg)
    }
}

/// Where both channels point after swinging by ψ, degrees.
#[must_use]
pub fn swung(points: PerChannel<Direction>, swing_deg: f64) -> PerChannel<Direction> {
    let rad = rad_from_deg(swing_deg);
    PerChannel { left: points.left.rotated(rad), right: points.right.rotated(-rad) }
}

/// The worst of a setting over a range of swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstSwing {
    /// Shares used there.
    pub used: WindowUse,
    /// ψ where it is worst, degrees; where several are as bad, the one nearest 0.
    pub at_deg: f64,
}

/// The largest window use over a range of swing, and where.
///
/// # Degenerate input
/// A direction that is not finite is worst at the low end, with a share that is not finite.
///
/// ```
/// use solver::swing::{worst_over, SwingRange};
/// use solver::{Direction, PerChannel, Window};
/// let window = Window::new(45.0, 20.0, 15.0, None)?;
/// // Both channels 30′ up: as ψ grows the eyes must diverge by 2·30·sin ψ.
/// let shared = Direction::new(0.0, 30.0);
/// let worst = worst_over(
///     PerChannel { left: shared, right: shared },
///     &window,
///     SwingRange::new(0.0, 30.0)?,
/// );
/// assert!((worst.used.worst() - 1.5).abs() < 1e-12);
/// assert_eq!(worst.at_deg, 30.0);
/// # Ok::<(), solver::Error>(())
/// ```
#[must_use]
pub fn worst_over(points: PerChannel<Direction>, window: &Window, range: SwingRange) -> WorstSwing {
    let at = |swing_deg: f64| {
        let PerChannel { left, right } = swung(points, swing_deg);
        WorstSwing { used: window.used_by(left, right), at_deg: swing_deg }
    };
    let mut worst = at(range.low_deg);
    let mut consider = |swing_deg: f64| {
        let found = at(swing_deg);
        let (new, old) = (found.used.worst(), worst.used.worst());
        if new > old || (new == old && found.at_deg.abs() < worst.at_deg.abs()) {
            worst = found;
        }
    };
    consider(range.high_deg);
    if range.low_deg <= 0.0 && 0.0 <= range.high_deg {
        consider(0.0);
    }
    let (difference, sum) = (points.right - points.left, points.right + points.left);
    // A cos ψ + B sin ψ is stationary at atan2(B, A) and half a turn from there.
    for (a, b) in [(difference.x_arcmin, sum.y_arcmin), (difference.y_arcmin, -sum.x_arcmin)] {
        for turns in -1..=1 {
            let rad = b.atan2(a) + f64::from(turns) * PI;
            if range.contains_rad(rad) {
                consider(deg_from_rad(rad));
            }
        }
    }
    // The sum is (s_x cos ψ + d_y sin ψ, s_y cos ψ − d_x sin ψ): its square, by double angles.
    let cos2 = sum.dot(sum) - difference.dot(difference);
    let sin2 = 2.0 * (sum.x_arcmin * difference.y_arcmin - sum.y_arcmin * difference.x_arcmin);
    for quarters in -2..=2 {
        let rad = 0.5 * sin2.atan2(cos2) + f64::from(quarters) * FRAC_PI_2;
        if range.contains_rad(rad) {
            consider(deg_from_rad(rad));
        }
    }
    worst
}

/// The swing-safe radius: a shared direction X no farther from boresight than this stays inside
/// the window over the whole range, whichever way it lies; `None` when nothing limits it.
///
/// Both channels at X split by 2|X| sin ψ, in the direction square to X, and their middle is at
/// |X| cos ψ.
#[must_use]
pub fn safe_radius_arcmin(window: &Window, range: SwingRange) -> Option<f64> {
    let (low, high) = (rad_from_deg(range.low_deg), rad_from_deg(range.high_deg));
    let largest = |f: fn(f64) -> f64, peaks: &[f64]| {
        let ends = f(low).abs().max(f(high).abs());
        if peaks.iter().any(|peak| low <= *peak && *peak <= high) { 1.0 } else { ends }
    };
    let sin = largest(f64::sin, &[-FRAC_PI_2, FRAC_PI_2]);
    let cos = largest(f64::cos, &[-PI, 0.0, PI]);
    let box_limit = window
        .convergence_arcmin()
        .min(window.divergence_arcmin())
        .min(window.dipvergence_arcmin());
    let by_split = (sin > 0.0).then(|| box_limit / (2.0 * sin));
    let by_boresight = window.boresight_arcmin().filter(|_| cos > 0.0).map(|limit| limit / cos);
    match (by_split, by_boresight) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// How a housing fits itself to the user's eyes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bridge {
    /// Each pod swings on a hinge inboard of it: interpupillary distance = spread + 2·arm·cos β, β
    /// the pod's height over its hinge as an angle.
    Hinge {
        /// Between the two hinges, mm.
        spread_mm: f64,
        /// From hinge to channel axis, mm.
        arm_mm: f64,
    },
    /// The pods slide: no swing.
    Slide,
}

impl Bridge {
    /// ψ = β₀ − β, degrees, when the interpupillary distance goes from where the readings were
    /// taken to another, both with the pods above their hinges (β ≥ 0).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a hinge without arm, or a distance it cannot reach.
    ///
    /// ```
    /// use solver::swing::Bridge;
    /// let bridge = Bridge::Hinge { spread_mm: 20.0, arm_mm: 24.0 };
    /// // cos β falls from 1 to 1/2: β rises to 60°, so ψ = −60°.
    /// assert!((bridge.swing_deg(68.0, 44.0)? + 60.0).abs() < 1e-12);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn swing_deg(&self, read_at_ipd_mm: f64, ipd_mm: f64) -> Result<f64, Error> {
        Ok(self.height_deg(read_at_ipd_mm)? - self.height_deg(ipd_mm)?)
    }

    /// The interpupillary distance after a swing from where the readings were taken, mm.
    ///
    /// # Errors
    /// As [`Bridge::swing_deg`]; a swing that is no number.
    pub fn ipd_mm(&self, read_at_ipd_mm: f64, swing_deg: f64) -> Result<f64, Error> {
        Error::check(swing_deg.is_finite(), "a swing in degrees", swing_deg, "a number")?;
        let height_deg = self.height_deg(read_at_ipd_mm)? - swing_deg;
        Ok(match *self {
            Self::Hinge { spread_mm, arm_mm } => {
                spread_mm + 2.0 * arm_mm * rad_from_deg(height_deg).cos()
            }
            Self::Slide => read_at_ipd_mm,
        })
    }

    /// β of an interpupillary distance, degrees in [0, 180]; 0 for a slide.
    fn height_deg(&self, ipd_mm: f64) -> Result<f64, Error> {
        Error::check(ipd_mm > 0.0 && ipd_mm.is_finite(), IPD, ipd_mm, "more than 0")?;
        let Self::Hinge { spread_mm, arm_mm } = *self else {
            return Ok(0.0);
        };
        let spread = "the distance between hinges in mm";
        Error::check(spread_mm.is_finite(), spread, spread_mm, "a number")?;
        let holds = arm_mm > 0.0 && arm_mm.is_finite();
        Error::check(holds, "the arm of a hinge in mm", arm_mm, "more than 0")?;
        let cos = (ipd_mm - spread_mm) / (2.0 * arm_mm);
        Error::check(
            (-1.0..=1.0).contains(&cos),
            IPD,
            ipd_mm,
            "within what the hinge reaches (spread ± 2 arms)",
        )?;
        Ok(deg_from_rad(cos.acos()))
    }
}
