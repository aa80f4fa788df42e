//! The fit of differences: enough readings, covariance, residuals.

use super::basis::{C, SolvedBasis, misalignment_of, ring_variance, seen, turned};
use super::senses::{ROUNDING, found_senses};
use crate::angle::{deg_from_rad, reduced_deg, turn_deg};
use crate::channel::{Channel, PerChannel};
use crate::circle::{OffsetCircle, Phase};
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN, Misalignment};
use crate::error::Error;
use crate::fit::{Consistency, SenseBasis, SenseChoice, SigmaBasis, Spread};
use crate::relative::RelativeReading;
use crate::stats::quantile::{chi_squared_above, f_above};
use crate::uncertainty::Uncertainty;

/// Ring angles closer than this are one angle, as for a circle.
const SAME_ANGLE_DEG: f64 = 1e-9;
/// A reading stands out below this p, shared out over the readings, as for a circle.
const STANDS_OUT: f64 = 0.05;
const SPARE: usize = 2;

/// Centre difference and both offsets, with their health.
#[derive(Clone, Debug, PartialEq)]
pub struct RelativeFit {
    /// D = c_R − c_L.
    pub between: Misalignment,
    /// Each channel's offset.
    pub offsets: PerChannel<RelativeOffset>,
    /// Covariance of D_x, D_y, r_L, φ_L, r_R, φ_R (arcminutes, degrees); `None` when neither σ is
    /// stated nor readings are to spare.
    pub covariance: Option<[[f64; 6]; 6]>,
    /// What it rests on.
    pub sigma_basis: SigmaBasis,
    /// σ of a reading, stated (with what uncertain ring angles add to it) or from the residuals and no less
    /// than rounding leaves, arcminutes; `None` when neither is known.
    pub sigma_arcmin: Option<f64>,
    /// The χ² test of a stated σ; `None` where none is stated or no reading is to spare.
    pub consistency: Option<Consistency>,
    /// Root mean square length of the residuals, arcminutes.
    pub rms_arcmin: f64,
    /// Twice the readings less six.
    pub degrees_of_freedom: usize,
    /// What each reading leaves over, in their order.
    pub residuals: Vec<RelativeResidual>,
    linear: SolvedBasis,
}

/// The offset of one channel's eyepiece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeOffset {
    /// r, arcminutes.
    pub radius_arcmin: f64,
    /// u(r); `None` without covariance.
    pub radius_u_arcmin: Option<f64>,
    /// φ and s.
    pub phase: Phase,
    /// How the sense is known.
    pub sense_basis: SenseBasis,
}

impl RelativeOffset {
    /// r < 2u(r): the readings leave the radius all but open.
    #[must_use]
    pub fn is_hardly_known(&self) -> bool {
        self.radius_u_arcmin.is_some_and(|u| self.radius_arcmin < 2.0 * u)
    }
}

/// What one reading leaves over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeResidual {
    /// As read less as fitted.
    pub off: Misalignment,
    /// How likely a reading at least as far from what the others say is by chance, looked at alone;
    /// `None` where the others leave fewer than two spare degrees of freedom.
    pub p_value: Option<f64>,
    /// p < 0.05/n: pointed at, never dropped.
    pub stands_out: bool,
}

/// Fits m = D + b exp(−i s_R θ_R) − a exp(−i s_L θ_L).
///
/// # Units
/// Arcminutes and degrees.
///
/// # Errors
/// [`Error::RelativeTooFew`], [`Error::RelativeRingStill`] and [`Error::RelativeInStep`] say which ring
/// to turn ([the module](crate::relative) proves that nothing else can be missing);
/// [`Error::NoOffset`] where a radius is zero; [`Error::RelativeReading`] for numbers that are none or lie
/// beyond the field; [`Error::SigmaNotPositive`].
///
/// # Accuracy
/// To rounding times the conditioning, which the covariance shows.
///
/// # Source
/// Linear least squares and its covariance: JCGM 100:2008, H.3. Readings that stand out: R. D. Cook,
/// S. Weisberg, *Residuals and Influence in Regression* (1982), section 2.2 (from memory).
pub fn fit_relative(
    readings: &[RelativeReading],
    sigma_arcmin: Option<f64>,
    sense: PerChannel<SenseChoice>,
) -> Result<RelativeFit, Error> {
    fit_spread(readings, Spread { sigma_arcmin, ring_sigma_deg: 0.0 }, None, sense)
}

/// The same with uncertain ring angles, and readings that were read to a step, arcminutes.
///
/// σθ moves a reading along both circles, r_L σθ and r_R σθ; on the mean over the directions in which that
/// is, half of each square falls along either axis, which is added to σ². The fit itself stays unweighted.
///
/// # Errors
/// As [`fit_relative`], and [`Error::RingSigmaNegative`], [`Error::RingSigmaWithoutSigma`].
pub(super) fn fit_spread(
    readings: &[RelativeReading],
    spread: Spread,
    step_arcmin: Option<f64>,
    sense: PerChannel<SenseChoice>,
) -> Result<RelativeFit, Error> {
    spread.check()?;
    let sigma_arcmin = spread.sigma_arcmin;
    readings.iter().enumerate().try_for_each(|(index, reading)| check(index, reading))?;
    let angles = PerChannel::from_fn(|channel| {
        distinct(readings.iter(), |a, b| same_angle(a.ring_deg[channel], b.ring_deg[channel]))
    });
    let pairs = distinct(readings.iter(), |a, b| {
        Channel::BOTH.iter().all(|&c| same_angle(a.ring_deg[c], b.ring_deg[c]))
    });
    if pairs < 3 {
        return Err(Error::RelativeTooFew { readings: readings.len(), distinct_pairs: pairs });
    }
    if let Some(channel) = Channel::BOTH.into_iter().find(|&channel| angles[channel] < 2) {
        return Err(Error::RelativeRingStill { channel });
    }
    let senses = found_senses(readings, sigma_arcmin, sense, angles);
    let linear =
        SolvedBasis::of(readings, senses.map(|(sense, _)| sense)).ok_or(Error::RelativeInStep)?;
    result(readings, spread, step_arcmin, senses.map(|(_, basis)| basis), linear)
}

fn check(index: usize, reading: &RelativeReading) -> Result<(), Error> {
    let Misalignment { x_arcmin, y_arcmin } = reading.misalignment;
    let wrong = |field, value, must| Err(Error::RelativeReading { index, field, value, must });
    for (field, value) in
        [("left ring angle", reading.ring_deg.left), ("right ring angle", reading.ring_deg.right)]
    {
        if !value.is_finite() {
            return wrong(field, value, "a number");
        }
    }
    for (field, value) in [("x", x_arcmin), ("y", y_arcmin)] {
        // NaN compares as beyond the field.
        if !matches!(value.abs().partial_cmp(&FIELD_LIMIT_ARCMIN), Some(order) if order.is_le()) {
            return wrong(field, value, "within 3000′");
        }
    }
    Ok(())
}

fn same_angle(a_deg: f64, b_deg: f64) -> bool {
    turn_deg(a_deg, b_deg).abs() < SAME_ANGLE_DEG
}

/// How many are different, counted up to three.
fn distinct<'a>(
    readings: impl Iterator<Item = &'a RelativeReading>,
    same: impl Fn(&RelativeReading, &RelativeReading) -> bool,
) -> usize {
    let mut seen: Vec<&RelativeReading> = Vec::with_capacity(3);
    for reading in readings {
        if !seen.iter().any(|known| same(known, reading)) {
            seen.push(reading);
            if seen.len() == 3 {
                break;
            }
        }
    }
    seen.len()
}

fn result(
    readings: &[RelativeReading],
    spread: Spread,
    step_arcmin: Option<f64>,
    sense_basis: PerChannel<SenseBasis>,
    linear: SolvedBasis,
) -> Result<RelativeFit, Error> {
    let [d, a, b] = linear.parameters();
    let arms = PerChannel { left: a, right: b };
    let size = readings.iter().map(|r| r.misalignment.length_arcmin()).fold(0.0, f64::max);
    for (channel, arm) in arms.iter() {
        // The rounding of what was read, and no offset.
        if arm.norm() <= f64::EPSILON * size {
            return Err(Error::NoOffset { channel });
        }
    }
    let offs: Vec<C> = readings
        .iter()
        .map(|reading| {
            seen(reading) - linear.basis.at(turned(reading, linear.basis.senses), &linear.found)
        })
        .collect();
    let squares: f64 = offs.iter().map(C::norm_sqr).sum();
    let degrees_of_freedom = (2 * readings.len()).saturating_sub(6);
    let by_rings = ring_variance(arms.map(C::norm), spread.ring_sigma_deg);
    let (sigma_arcmin, sigma_basis) = match spread.sigma_arcmin {
        Some(sigma) => (Some((sigma * sigma + by_rings).sqrt()), SigmaBasis::Stated),
        None if degrees_of_freedom > 0 => {
            let seen = squares / degrees_of_freedom as f64;
            let least = rounding(readings, step_arcmin);
            let basis = if seen < least { SigmaBasis::Step } else { SigmaBasis::Residuals };
            (Some(seen.max(least).sqrt()), basis)
        }
        None => (None, SigmaBasis::Unknown),
    };
    let stated = sigma_arcmin.filter(|_| sigma_basis == SigmaBasis::Stated);
    let consistency =
        stated.and_then(|sigma| consistency(squares / (sigma * sigma), degrees_of_freedom));
    let covariance = sigma_arcmin.map(|sigma| real_covariance(&linear, arms, sigma * sigma));
    let residuals = readings
        .iter()
        .zip(&offs)
        .map(|(reading, off)| {
            let share = linear.basis.variance(turned(reading, linear.basis.senses));
            let nothing = squares <= readings.len() as f64 * (ROUNDING * size).powi(2);
            let p_value =
                if nothing { Some(1.0) } else { chance(*off, share, squares, degrees_of_freedom) };
            RelativeResidual {
                off: Misalignment::new(off.re, off.im),
                p_value: p_value.filter(|_| degrees_of_freedom >= 2 + SPARE),
                stands_out: degrees_of_freedom >= 2 + SPARE
                    && p_value.is_some_and(|p| p < STANDS_OUT / readings.len() as f64),
            }
        })
        .collect();
    Ok(RelativeFit {
        between: Misalignment::new(d.re, d.im),
        offsets: PerChannel::from_fn(|channel| RelativeOffset {
            radius_arcmin: arms[channel].norm(),
            radius_u_arcmin: covariance.map(|entries| {
                let k = if channel == Channel::Left { 2 } else { 4 };
                entries[k][k].sqrt()
            }),
            phase: Phase {
                zero_deg: reduced_deg(deg_from_rad(arms[channel].arg())),
                sense: linear.basis.senses[channel],
            },
            sense_basis: sense_basis[channel],
        }),
        covariance,
        sigma_basis,
        sigma_arcmin,
        consistency,
        rms_arcmin: (squares / readings.len() as f64).sqrt(),
        degrees_of_freedom,
        residuals,
        linear,
    })
}

/// Variance of a reading that was rounded to a step: a rectangle one step wide, times how often readings
/// repeat each other, which are off by the same. 0 where no step is known.
///
/// # Source
/// JCGM 100:2008, F.2.2.1 (resolution of a displaying device).
fn rounding(readings: &[RelativeReading], step_arcmin: Option<f64>) -> f64 {
    let Some(step) = step_arcmin.filter(|step| *step > 0.0 && step.is_finite()) else { return 0.0 };
    let bits = |reading: &RelativeReading| {
        let Misalignment { x_arcmin, y_arcmin } = reading.misalignment;
        [reading.ring_deg.left, reading.ring_deg.right, x_arcmin, y_arcmin].map(f64::to_bits)
    };
    let mut different: Vec<_> = readings.iter().map(bits).collect();
    different.sort_unstable();
    different.dedup();
    step * step / 12.0 * readings.len() as f64 / different.len().max(1) as f64
}

/// As [`crate::CircleFit::consistency`].
fn consistency(chi_squared: f64, freedom: usize) -> Option<Consistency> {
    let above = chi_squared_above(chi_squared, freedom as f64).ok()?;
    Some(Consistency {
        chi_squared,
        freedom,
        p_value: (2.0 * above.min(1.0 - above)).min(1.0),
        scatters_more: above < 0.5,
    })
}

/// How likely a reading at least as far from what the others say is by chance. Leaving it out lowers the
/// sum of squares S by Q = |e|²/(1 − h), h its share of the hat matrix, the same for both axes.
fn chance(off: C, share: f64, squares: f64, freedom: usize) -> Option<f64> {
    let left = 1.0 - share;
    // The others do not settle it all.
    if left <= 1e-9 {
        return None;
    }
    let lowered = off.norm_sqr() / left;
    let spare = freedom.saturating_sub(2) as f64;
    let rest = if squares - lowered > ROUNDING * squares { squares - lowered } else { 0.0 };
    f_above(lowered / 2.0 / (rest / spare), 2.0, spare).ok()
}

/// Of D_x, D_y, r_L, φ_L, r_R, φ_R: along each arm lies its radius, across it r φ.
fn real_covariance(linear: &SolvedBasis, arms: PerChannel<C>, variance: f64) -> [[f64; 6]; 6] {
    let complex = linear.covariance();
    let unit = |arm: C| arm / arm.norm();
    let turns = [C::new(1.0, 0.0), unit(arms.left).conj(), unit(arms.right).conj()];
    let per_arm =
        [1.0, deg_from_rad(1.0) / arms.left.norm(), deg_from_rad(1.0) / arms.right.norm()];
    let mut entries = [[0.0; 6]; 6];
    for i in 0..3 {
        for j in 0..3 {
            let shared = turns[i] * complex[i][j] * turns[j].conj() * variance;
            let (across_i, across_j) = (per_arm[i], per_arm[j]);
            entries[2 * i][2 * j] = shared.re;
            entries[2 * i + 1][2 * j + 1] = shared.re * across_i * across_j;
            entries[2 * i][2 * j + 1] = -shared.im * across_j;
            entries[2 * i + 1][2 * j] = shared.im * across_i;
        }
    }
    entries
}

impl RelativeFit {
    /// The left circle about 0 and the right one about D: all that is known of where they lie.
    #[must_use]
    pub fn circles(&self) -> PerChannel<OffsetCircle> {
        let centres = PerChannel {
            left: Direction::BORESIGHT,
            right: Direction::new(self.between.x_arcmin, self.between.y_arcmin),
        };
        PerChannel::from_fn(|channel| OffsetCircle {
            centre: centres[channel],
            radius_arcmin: self.offsets[channel].radius_arcmin,
            phase: Some(self.offsets[channel].phase),
        })
    }

    /// Whether the readings lie farther off than the stated σ can explain (χ², p < 0.01): no ± and no
    /// probability that rests on that σ holds.
    #[must_use]
    pub fn does_not_fit(&self) -> bool {
        self.consistency.is_some_and(|found| found.disagrees() && found.scatters_more)
    }

    /// Degrees of freedom of σ where it rests on the residuals.
    pub(super) fn counted_freedom(&self) -> Option<usize> {
        match self.sigma_basis {
            SigmaBasis::Residuals | SigmaBasis::Step => Some(self.degrees_of_freedom),
            SigmaBasis::Stated | SigmaBasis::Unknown => None,
        }
    }

    /// Root mean square turn of the left ring, of the right one, and between them, radians.
    pub(super) fn spread_of_turns(&self) -> [f64; 3] {
        self.linear.basis.turns_rad()
    }

    /// Variance of m at a pair, each axis, over σ².
    pub(super) fn share_at(&self, ring_deg: PerChannel<f64>) -> f64 {
        self.linear.basis.variance(self.turned(ring_deg))
    }

    /// The coefficients as noise in the readings, arcminutes each axis, would have moved them.
    pub(super) fn disturbed(&self, noise: [C; 3]) -> [C; 3] {
        let off = self.linear.basis.noise(noise);
        core::array::from_fn(|at| self.linear.found[at] + off[at])
    }

    /// m of coefficients at a pair of ring angles, degrees.
    pub(super) fn of(&self, coefficients: &[C; 3], ring_deg: PerChannel<f64>) -> Misalignment {
        misalignment_of(self.linear.basis.at(self.turned(ring_deg), coefficients))
    }

    /// The circles of coefficients, as [`RelativeFit::circles`].
    pub(super) fn circles_of(&self, coefficients: &[C; 3]) -> PerChannel<OffsetCircle> {
        let [d, a, b] = self.linear.basis.parameters(coefficients);
        let circle = |centre, arm: C, channel: Channel| OffsetCircle {
            centre,
            radius_arcmin: arm.norm(),
            phase: Some(Phase {
                zero_deg: deg_from_rad(arm.arg()),
                sense: self.linear.basis.senses[channel],
            }),
        };
        PerChannel {
            left: circle(Direction::BORESIGHT, a, Channel::Left),
            right: circle(Direction::new(d.re, d.im), b, Channel::Right),
        }
    }

    /// p_R − p_L at a pair of ring angles, degrees.
    #[must_use]
    pub fn misalignment_at(&self, ring_deg: PerChannel<f64>) -> Misalignment {
        self.of(&self.linear.found, ring_deg)
    }

    /// Its uncertainty, each axis (both have the same, uncorrelated), arcminutes.
    #[must_use]
    pub fn misalignment_u(&self, ring_deg: PerChannel<f64>) -> Option<Uncertainty> {
        let share = self.share_at(ring_deg);
        let standard = self.sigma_arcmin? * share.sqrt();
        let freedom = match self.sigma_basis {
            SigmaBasis::Stated => f64::INFINITY,
            SigmaBasis::Residuals | SigmaBasis::Step => self.degrees_of_freedom as f64,
            SigmaBasis::Unknown => return None,
        };
        standard.is_finite().then_some(Uncertainty { standard, freedom })
    }

    /// Uncertainty of each ring angle of a pair that makes m zero, degrees, to first order: m moves by
    /// its own uncertainty u, the same every way, and the rings follow so that it stays zero. With e the
    /// directions in which the crosshairs move, u over r |sin| of the angle between them. `None` without
    /// covariance, and where they move along one line.
    #[must_use]
    pub fn ring_u_deg(&self, ring_deg: PerChannel<f64>) -> PerChannel<Option<Uncertainty>> {
        let of_m = self.misalignment_u(ring_deg);
        let w = self.turned(ring_deg);
        let [_, a, b] = self.linear.parameters();
        let (p, q) = (a * w.left, b * w.right);
        let sin = ((p.conj() * q).im / (p.norm() * q.norm())).abs();
        PerChannel { left: p, right: q }.map(|arm| {
            let of_m = of_m?;
            let standard = deg_from_rad(of_m.standard / (arm.norm() * sin));
            standard.is_finite().then_some(Uncertainty { standard, ..of_m })
        })
    }

    fn turned(&self, ring_deg: PerChannel<f64>) -> PerChannel<C> {
        turned(
            &RelativeReading { ring_deg, misalignment: Misalignment::default() },
            self.linear.basis.senses,
        )
    }
}
