//! Readings that stand out from the others, and what was probably misread.
//!
//! Each reading is compared with the circle that the *others* give. With e the reading's weighted
//! residuals (two with a ring angle) and H its share of the hat matrix, leaving it out lowers the
//! weighted sum of squares S by Q = eᵀ(I − H)⁻¹e, and moves the parameters by U Jᵀ(I − H)⁻¹e. So
//! F = (Q/m)/((S − Q)/(ν − m)) follows the F distribution with m and ν − m degrees of freedom when
//! nothing is wrong: the square of the externally studentised residual, in m dimensions. Exact
//! where the fit is linear (all angles known, σθ = 0); else to first order.
//!
//! A misread ring leaves the crosshair on the circle of the others, at a wrong angle; a misread
//! graticule takes it off the circle. That is told, never acted on: no reading is dropped.
//!
//! # Source
//! R. D. Cook, S. Weisberg, *Residuals and Influence in Regression* (1982), section 2.2 (from
//! memory). Many readings are looked at together: Bonferroni, the same section.

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg, turn_deg};
use crate::channel::PerChannel;
use crate::circle::{OffsetCircle, Phase};
use crate::direction::Direction;
use crate::fit::design::{Design, inverse};
use crate::fit::{CircleFit, Reading, Residual};
use crate::stats::quantile::f_above;

/// A reading stands out below this p, shared out over the readings.
pub const STANDS_OUT: f64 = 0.05;
/// Degrees of freedom that must be left without the reading.
const SPARE: usize = 2;
/// Off the others' circle by fewer standard uncertainties than this is on it.
const ON_CIRCLE: f64 = 3.0;
/// A slip is named where undoing it brings the reading at least this much nearer, a share of how far off it
/// lies.
const NEAR: f64 = 0.1;
/// Residuals below this share of the readings' size are rounding.
const ROUNDING: f64 = 1e-12;

/// What one reading leaves over, and whether that is remarkable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diagnosis {
    /// Against the circle fitted to all readings.
    pub residual: Residual,
    /// Against the circle of the others; `None` where the others do not settle one.
    pub without: Option<Residual>,
    /// How likely a reading at least as far off is by chance, for this one looked at alone; `None`
    /// where that cannot be told: the others do not settle the circle, or leave fewer than two
    /// spare degrees of freedom.
    pub p_value: Option<f64>,
    /// p < 0.05/n: pointed at, never dropped.
    pub stands_out: bool,
    /// For a reading that stands out, what was probably misread.
    pub cause: Option<Cause>,
}

/// What was probably misread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// The ring: the crosshair lies on the others' circle.
    Ring {
        /// What the ring should have read, degrees in [0, 360).
        expected_deg: f64,
        /// As logged less that, degrees in (−180, 180].
        off_deg: f64,
    },
    /// The graticule: the crosshair lies off the others' circle.
    Graticule {
        /// Where the others would have it.
        expected: Direction,
        /// What would put it there.
        slip: Option<Slip>,
    },
}

/// A slip of the pen that puts a reading where it was logged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// x has the wrong sign.
    SignOfX,
    /// y has the wrong sign.
    SignOfY,
    /// Both have.
    BothSigns,
    /// x and y are each other's.
    Swapped,
    /// It is the other channel's: it lies where that one's circle has it, and not its own.
    OtherChannel,
}

impl Slip {
    /// As a sentence's end: `the sign of x looks forgotten`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::SignOfX => "the sign of x looks wrong",
            Self::SignOfY => "the sign of y looks wrong",
            Self::BothSigns => "both signs look wrong",
            Self::Swapped => "x and y look swapped",
            Self::OtherChannel => "it looks like a reading of the other channel",
        }
    }

    /// The slip that makes of one direction the other, to a [`NEAR`] of how far they lie apart.
    fn between(logged: Direction, expected: Direction) -> Option<Self> {
        let near = NEAR * logged.distance_arcmin(expected);
        let meant = Self::as_meant(logged).into_iter();
        let mut found = meant.filter(|(_, meant)| meant.distance_arcmin(expected) <= near);
        found.next().map(|(slip, _)| slip)
    }

    /// What each slip of the pen would have made of what was meant.
    fn as_meant(logged: Direction) -> [(Self, Direction); 4] {
        let Direction { x_arcmin: x, y_arcmin: y } = logged;
        [
            (Self::SignOfX, Direction::new(-x, y)),
            (Self::SignOfY, Direction::new(x, -y)),
            (Self::BothSigns, Direction::new(-x, -y)),
            (Self::Swapped, Direction::new(y, x)),
        ]
    }
}

/// Looks at each reading of a fit. `readings` are the fitted ones, in order.
///
/// # Degenerate input
/// Residuals at rounding level never stand out. Of readings that are not the fitted ones the
/// answer means nothing, but there is one.
#[must_use]
pub fn diagnose(fit: &CircleFit, readings: &[Reading]) -> Vec<Diagnosis> {
    readings.iter().map(|reading| diagnose_one(fit, reading).0).collect()
}

/// The same of both channels, and whether what stands out in one belongs to the other: it lies where the
/// other circle has it at the ring angle logged, by the standard of every [`Slip`], and nearer than any
/// other slip would bring it to its own. Without a ring angle nothing says where on that circle it should
/// lie, and none is named.
///
/// The other circle is taken without what stands out most there: two readings may have been exchanged.
///
/// # Degenerate input
/// As [`diagnose`]; a channel without a fit has no diagnoses, and names nothing in the other.
#[must_use]
pub fn diagnose_both(
    fits: PerChannel<Option<&CircleFit>>,
    readings: &PerChannel<Vec<Reading>>,
) -> PerChannel<Vec<Diagnosis>> {
    let looked = PerChannel::from_fn(|channel| {
        let fit = fits[channel];
        let each = readings[channel].iter().filter_map(|reading| Some(diagnose_one(fit?, reading)));
        each.collect::<Vec<_>>()
    });
    PerChannel::from_fn(|channel| {
        let other = fits[channel.other()].map(|fit| cleanest(fit, &looked[channel.other()]));
        let each = looked[channel].iter().zip(&readings[channel]);
        each.map(|((diagnosis, others), reading)| {
            let belongs = || {
                let (own, other) = (others.as_ref()?, other.as_ref()?);
                belongs_to(reading, own, other, diagnosis.cause?)
            };
            let cause = belongs().or(diagnosis.cause);
            Diagnosis { cause, ..*diagnosis }
        })
        .collect()
    })
}

/// A channel's circle, without the reading that stands out most.
fn cleanest(fit: &CircleFit, looked: &[(Diagnosis, Option<OffsetCircle>)]) -> OffsetCircle {
    let out = looked.iter().filter(|(diagnosis, _)| diagnosis.stands_out);
    let p = |diagnosis: &Diagnosis| diagnosis.p_value.unwrap_or(1.0);
    let worst = out.min_by(|a, b| p(&a.0).total_cmp(&p(&b.0)));
    worst.and_then(|(_, others)| *others).unwrap_or(fit.circle)
}

fn belongs_to(
    reading: &Reading,
    own: &OffsetCircle,
    other: &OffsetCircle,
    cause: Cause,
) -> Option<Cause> {
    let ring_deg = reading.ring_deg?;
    let (expected, there) = (own.at_ring(ring_deg)?, other.at_ring(ring_deg)?);
    let off = reading.direction.distance_arcmin(there);
    let nearest_slip = match cause {
        Cause::Graticule { slip: Some(slip), .. } => {
            let meant = Slip::as_meant(reading.direction).into_iter().find(|(of, _)| *of == slip);
            meant.map_or(f64::INFINITY, |(_, meant)| meant.distance_arcmin(expected))
        }
        _ => f64::INFINITY,
    };
    let belongs = off <= NEAR * reading.direction.distance_arcmin(expected) && off < nearest_slip;
    belongs.then_some(Cause::Graticule { expected, slip: Some(Slip::OtherChannel) })
}

/// And the circle of the other readings, where they settle one.
fn diagnose_one(fit: &CircleFit, reading: &Reading) -> (Diagnosis, Option<OffsetCircle>) {
    let plain = Diagnosis {
        residual: fit.residual(reading),
        without: None,
        p_value: None,
        stands_out: false,
        cause: None,
    };
    let design = design_of(fit, reading);
    let leverage = design.leverage(fit);
    let left = [[1.0 - leverage[0][0], -leverage[0][1]], [-leverage[1][0], 1.0 - leverage[1][1]]];
    let Some(spread) = inverse(left) else { return (plain, None) };
    let pull =
        [0, 1].map(|i| spread[i][0] * design.residual[0] + spread[i][1] * design.residual[1]);
    let others = without(fit, &design, pull);
    let against_others = CircleFit { circle: others, ..*fit }.residual(reading);
    let diagnosis = Diagnosis { without: Some(against_others), ..plain };

    let spare = fit.degrees_of_freedom.saturating_sub(design.parts);
    if spare < SPARE {
        return (diagnosis, Some(others));
    }
    let size = fit.circle.radius_arcmin + fit.circle.centre.boresight_arcmin();
    if fit.rms_arcmin <= ROUNDING * size {
        return (Diagnosis { p_value: Some(1.0), ..diagnosis }, Some(others));
    }
    let lowered = pull[0] * design.residual[0] + pull[1] * design.residual[1];
    let all = fit.weighted_squares_arcmin2;
    // What rounding leaves of others that fit exactly is nothing.
    let rest = if all - lowered > ROUNDING * all { all - lowered } else { 0.0 };
    // Others that are alike to the graticule's step are no more certain than that.
    let variance = (rest / spare as f64).max(fit.rounding_arcmin2());
    let ratio = lowered / design.parts as f64 / variance;
    let Ok(p_value) = f_above(ratio, design.parts as f64, spare as f64) else {
        return (diagnosis, Some(others));
    };
    let stands_out = p_value < STANDS_OUT / fit.readings.max(1) as f64;
    let off_circle_u = (variance * spread[0][0]).sqrt();
    let cause = stands_out.then(|| cause_of(reading, &others, &against_others, off_circle_u));
    (Diagnosis { p_value: Some(p_value), stands_out, cause, ..diagnosis }, Some(others))
}

/// The least weighted sum of squares, square arcminutes, that leaving out one reading comes to, and the
/// degrees of freedom left then. `None` where no reading can be left out.
pub(crate) fn least_without_one(fit: &CircleFit, readings: &[Reading]) -> Option<(f64, usize)> {
    let rest = |reading: &Reading| {
        let design = design_of(fit, reading);
        let leverage = design.leverage(fit);
        let left =
            [[1.0 - leverage[0][0], -leverage[0][1]], [-leverage[1][0], 1.0 - leverage[1][1]]];
        let spread = inverse(left)?;
        let [a, b] = design.residual;
        let lowered =
            a * (spread[0][0] * a + spread[0][1] * b) + b * (spread[1][0] * a + spread[1][1] * b);
        let spare = fit.degrees_of_freedom.checked_sub(design.parts)?;
        let rest = (fit.weighted_squares_arcmin2 - lowered).max(0.0);
        rest.is_finite().then_some((rest, spare))
    };
    readings.iter().filter_map(rest).min_by(|a, b| a.0.total_cmp(&b.0))
}

fn design_of(fit: &CircleFit, reading: &Reading) -> Design {
    let from_centre = reading.direction - fit.circle.centre;
    match (reading.ring_deg, fit.circle.phase) {
        (Some(ring_deg), Some(phase)) => {
            let psi_deg = phase.zero_deg - phase.sense.sign() * ring_deg;
            fit.design_with_ring(Direction::polar(1.0, rad_from_deg(psi_deg)), from_centre)
        }
        _ => fit.design_without_ring(from_centre),
    }
}

/// The circle of the other readings.
fn without(fit: &CircleFit, design: &Design, pull: [f64; 2]) -> OffsetCircle {
    let weighted = [0, 1, 2, 3].map(|k| design.rows[0][k] * pull[0] + design.rows[1][k] * pull[1]);
    let step = fit.unit_covariance.times(weighted);
    let OffsetCircle { centre, radius_arcmin, phase } = fit.circle;
    // φ's step is one of a = r(cos φ, sin φ), in which the fit is linear.
    let along = radius_arcmin + step[2];
    let across = if phase.is_some() { radius_arcmin * rad_from_deg(step[3]) } else { 0.0 };
    let arm = Direction::new(along, across);
    OffsetCircle {
        centre: centre + Direction::new(step[0], step[1]),
        radius_arcmin: arm.boresight_arcmin(),
        phase: phase.map(|phase| {
            let turned_deg = deg_from_rad(arm.angle_rad());
            Phase { zero_deg: reduced_deg(phase.zero_deg + turned_deg), ..phase }
        }),
    }
}

fn cause_of(
    reading: &Reading,
    others: &OffsetCircle,
    against: &Residual,
    off_circle_u: f64,
) -> Cause {
    let off_circle = against.off_circle_arcmin.abs();
    let graticule = |expected: Option<Direction>| {
        // Without a ring angle nothing says where on the circle it was.
        let slip = expected.and_then(|expected| Slip::between(reading.direction, expected));
        let expected = expected.unwrap_or_else(|| others.nearest_to(reading.direction));
        Cause::Graticule { expected, slip }
    };
    let Some(ring_deg) = reading.ring_deg else { return graticule(None) };
    // Where the others fit all but exactly, off the circle counts beside off along it.
    let on_circle =
        off_circle <= ON_CIRCLE * off_circle_u || off_circle <= 0.1 * against.length_arcmin;
    match others.ring_for(reading.direction) {
        Some(expected_deg) if on_circle => {
            Cause::Ring { expected_deg, off_deg: turn_deg(expected_deg, ring_deg) }
        }
        _ => graticule(others.at_ring(ring_deg)),
    }
}
