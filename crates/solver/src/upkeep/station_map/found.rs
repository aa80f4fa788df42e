//! A map that was found, how well, and what speaks against it.

use core::fmt;

use nalgebra::{Matrix2, Matrix2x5, Matrix5};

use super::gap::CONTRADICTED;
use super::known::{Flips, Scales};
use crate::angle::rad_from_deg;
use crate::direction::Direction;
use crate::stats::quantile::{normal, student};

/// The map of one channel: p = M (g − g₀).
#[derive(Clone, Debug, PartialEq)]
pub struct FoundMap {
    /// Which way the numbers run, as it was seen.
    pub flips: Flips,
    /// Counter-clockwise positive, degrees, in (−180, 180].
    pub rotation_deg: f64,
    /// Arcminutes per division along the user's x and y, > 0; the same twice where one was looked for.
    pub arcmin_per_division: [f64; 2],
    /// g₀, the reading at boresight, divisions.
    pub boresight_divisions: [f64; 2],
    /// How many scales were looked for.
    pub scales: Scales,
    /// Covariance of rotation (degrees), both scales (arcminutes per division), g₀ (divisions), in this order. Linear
    /// in the errors, GUM (JCGM 100:2008) 5.1 and 5.2. `None` where neither σ nor a spare reading exists. What all
    /// deviations have in common is not in it.
    pub covariance: Option<[[f64; 5]; 5]>,
    /// What of the covariance of boresight comes from errors of the deviations themselves, arcminutes²: channels that
    /// were shown the same deviations share it. Nothing where σ is not stated: the scatter does not tell them apart.
    pub shared_arcmin2: [[f64; 2]; 2],
    /// Degrees of freedom of what scales the covariance: infinite where σ is stated.
    pub freedom: f64,
    /// Spare equations: two for each deviation, less what was found.
    pub spare: usize,
    /// Root mean square length of the residuals, arcminutes.
    pub rms_arcmin: f64,
    /// With σ stated: how probable a misfit as large as this is (χ²), repeats and residuals together.
    pub consistency: Option<f64>,
    /// How well one reading repeats, each axis, divisions, where deviations were read more than once.
    pub repeats_divisions: Option<f64>,
    /// A residual for each deviation handed in, in their order; `None` where it was not read.
    pub residuals: Vec<Option<MapResidual>>,
    /// What speaks against it.
    pub findings: Vec<MapFinding>,
}

/// How far one deviation is from where the map puts it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapResidual {
    /// The map's direction of what was read, less the known one.
    pub off: Direction,
    /// Readings of it.
    pub readings: usize,
    /// The same by a map found without it; `None` where the others do not tell one.
    pub left_out: Option<Direction>,
    /// How probable a difference as large as that is, by the uncertainty of both; `None` where it is not known.
    pub probability: Option<f64>,
}

/// What speaks against a map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MapFinding {
    /// Mirrored, the deviations fit: one of the flips is not as it was seen, or a sign is wrong.
    Mirrored,
    /// By the deviations both numbers run against what was seen.
    BothTurned,
    /// Turned by more than 45°: which number follows which axis is not what the flip test tells.
    TurnedFar,
    /// With σ stated the misfit is larger than chance makes it but once in a hundred.
    DoesNotFit,
    /// A deviation stands out, counted from 0.
    StandsOut(usize),
    /// Nothing is left over to check the map by.
    NoSpare,
    /// All deviations lie on one line: whether it is mirrored they cannot tell.
    OneLine,
}

impl MapFinding {
    /// Whether a map with this must not be used: it, or the uncertainty stated beside it, is not so.
    #[must_use]
    pub const fn forbids(self) -> bool {
        matches!(self, Self::Mirrored | Self::BothTurned | Self::DoesNotFit)
    }
}

impl fmt::Display for MapFinding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mirrored => f.write_str(CONTRADICTED),
            Self::BothTurned => f.write_str(
                "by the deviations both numbers run the other way than was seen; look again which way they went, \
                 and at the signs of the deviations",
            ),
            Self::TurnedFar => f.write_str(
                "the graticule is turned by more than 45°: x follows up and down more than across; is that so?",
            ),
            Self::DoesNotFit => f.write_str(
                "residuals are larger than the stated uncertainties allow (χ², less than once in a hundred): leave out \
                 what was misread, with the reason, or leave open how well a reading is read, so that the scatter \
                 tells it",
            ),
            Self::StandsOut(place) => {
                write!(f, "deviation {} stands out from the others; look at it again", place + 1)
            }
            Self::NoSpare => f.write_str(
                "nothing is left over to check the map by: one more deviation would show a misreading",
            ),
            Self::OneLine => f.write_str(
                "all deviations lie on one line: that the numbers are not mirrored rests on the flip test alone",
            ),
        }
    }
}

impl FoundMap {
    /// M alone, row by row.
    fn matrix(&self) -> Matrix2<f64> {
        let (sin, cos) = rad_from_deg(self.rotation_deg).sin_cos();
        let [x, y] = self.arcmin_per_division;
        let (flip_x, flip_y) = (sign(self.flips.x), sign(self.flips.y));
        Matrix2::new(x * cos * flip_x, -x * sin * flip_y, y * sin * flip_x, y * cos * flip_y)
    }

    /// Covariance of where the map puts a reading that points at `direction`, arcminutes², by the map's own
    /// uncertainty: the reading's is not in it, and neither is what all deviations share.
    #[must_use]
    pub fn covariance_at(&self, direction: Direction) -> Option<[[f64; 2]; 2]> {
        let covariance = Matrix5::from_fn(|row, column| {
            self.covariance.map_or(f64::NAN, |all| all[row][column])
        });
        let [x, y] = self.arcmin_per_division;
        let Direction { x_arcmin, y_arcmin } = direction;
        let per_deg = rad_from_deg(1.0);
        let m = self.matrix();
        let by = Matrix2x5::new(
            -y_arcmin * x / y * per_deg,
            x_arcmin / x,
            0.0,
            -m[(0, 0)],
            -m[(0, 1)],
            x_arcmin * y / x * per_deg,
            0.0,
            y_arcmin / y,
            -m[(1, 0)],
            -m[(1, 1)],
        );
        let there = by * covariance * by.transpose();
        let finite = there.iter().all(|part| part.is_finite());
        let mixed = f64::midpoint(there[(0, 1)], there[(1, 0)]);
        finite.then_some([[there[(0, 0)], mixed], [mixed, there[(1, 1)]]])
    }

    /// Standard uncertainty of that along x and y, arcminutes.
    #[must_use]
    pub fn u_at(&self, direction: Direction) -> Option<[f64; 2]> {
        let [[xx, _], [_, yy]] = self.covariance_at(direction)?;
        Some([xx, yy].map(|variance| variance.max(0.0).sqrt()))
    }

    /// Half the width of the interval that holds each number with 95 %: rotation (degrees), both scales (arcminutes
    /// per division), g₀ (divisions).
    #[must_use]
    pub fn half_widths_95(&self) -> Option<[f64; 5]> {
        let covariance = self.covariance?;
        let factor = self.factor_95()?;
        let widths = [0, 1, 2, 3, 4].map(|at| covariance[at][at].max(0.0).sqrt() * factor);
        widths.iter().all(|width| width.is_finite()).then_some(widths)
    }

    /// What a standard uncertainty is multiplied by for 95 %: normal where σ is stated, Student's t where the
    /// scatter says it.
    #[must_use]
    pub fn factor_95(&self) -> Option<f64> {
        let factor =
            if self.freedom.is_finite() { student(0.975, self.freedom) } else { normal(0.975) };
        factor.ok()
    }

    /// The map's own standard uncertainty at boresight along x and y, arcminutes, as a station's reference: what the
    /// channel has for itself, and what both channels share where they were shown the same deviations. Where the
    /// scatter tells σ it is made larger by Student's t over the normal factor, since who uses it takes it as known.
    #[must_use]
    pub fn reference_u_arcmin(&self) -> Option<([f64; 2], [f64; 2])> {
        let all = self.u_at(Direction::BORESIGHT)?;
        let wider = self.factor_95()? / normal(0.975).ok()?;
        let [[xx, _], [_, yy]] = self.shared_arcmin2;
        let parts = [0, 1].map(|axis| {
            let total = (all[axis] * wider).powi(2);
            let shared = [xx, yy][axis].clamp(0.0, total);
            [(total - shared).sqrt(), shared.sqrt()]
        });
        let usable = parts.iter().flatten().all(|part| part.is_finite());
        usable.then_some((parts.map(|[own, _]| own), parts.map(|[_, shared]| shared)))
    }

    /// Whether something found forbids using it.
    #[must_use]
    pub fn is_forbidden(&self) -> bool {
        self.findings.iter().any(|finding| finding.forbids())
    }
}

fn sign(flipped: bool) -> f64 {
    if flipped { -1.0 } else { 1.0 }
}
