//! Readings that stand out from the others, and what was probably misread.
//!
//! Each reading is compared with the circle that the *others* give. With e the reading's weighted
//! residuals (two with a ring angle) and H its share of the hat matrix, leaving it out lowers the
//! weighted sum of squares S by Q = eᵀ(I − H)⁻¹e, and moves the parameters by U Jᵀ(I − H)⁻¹e. So
//! F = (Q/m)/((S − Q)/(ν − m)) follows the F distribution with m and ν − m degrees of freedom when
//! nothing is wrong: the square of the externally studentised residual, in m dimensions. Exact
//! where the fit is linear (all angles known, σθ = 0); else the others are fitted anew, and of very many
//! readings it is taken to first order. Where σ is stated Q/σ² follows χ² with m degrees.
//!
//! A misread ring leaves the crosshair on the circle of the others, at a wrong angle; a misread
//! graticule takes it off the circle. That is told, never acted on: no reading is dropped.
//!
//! # Source
//! R. D. Cook, S. Weisberg, *Residuals and Influence in Regression* (1982), section 2.2 (from
//! memory). Many readings are looked at together: Bonferroni, the same section.

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg, turn_deg};
use crate::channel::{Channel, PerChannel};
use crate::circle::{OffsetCircle, Phase};
use crate::direction::Direction;
use crate::fit::design::{Design, inverse};
use crate::fit::{CircleFit, Reading, Residual, SenseChoice, Spread, fit_circle};
use crate::screen::suspects;
use crate::stats::quantile::{chi_squared_above, f_above};

/// A reading stands out below this p, shared out over the readings: with what else may accuse a clean unit,
/// χ² first, fewer than one in twenty (`--example slips`).
pub const STANDS_OUT: f64 = 0.03;
/// Others this unlikely to scatter so much by chance scatter more than stated.
const SCATTERS_MORE: f64 = 0.05;
/// Degrees of freedom that must be left without the reading.
const SPARE: usize = 2;
/// Off the others' circle by fewer standard uncertainties than this is on it.
const ON_CIRCLE: f64 = 3.0;
/// A slip is named where undoing it brings the reading at least this much nearer, a share of how far off it
/// lies.
const NEAR: f64 = 0.1;
/// Residuals below this share of the readings' size are rounding.
const ROUNDING: f64 = 1e-12;
/// The others are fitted anew for each reading of so many at most.
const REFITTED: usize = 64;
/// Every pair of so many at most is tried exchanged.
const EXCHANGED: usize = 16;

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
    /// p < [`STANDS_OUT`]/n, n the readings looked at together: pointed at, never dropped.
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
        /// A slip of the pen that would put it on the circle too, at the ring angle logged: as good a reason.
        or: Option<Slip>,
    },
    /// It and another reading of the channel: each lies where the other should.
    Exchanged {
        /// The ring angle the other one was logged at, degrees.
        with_ring_deg: f64,
        /// Where the other one was logged, and this one belongs.
        expected: Direction,
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
    let looked = looked_at(fit, readings, 0..readings.len(), readings.len());
    looked.into_iter().map(|(_, found, _)| found).collect()
}

/// A reading by its place, and the circle of the others.
type LookedAt = (usize, Diagnosis, Option<OffsetCircle>);

/// The readings at the places given; the chance of a false alarm is shared out over `among` readings.
fn looked_at(
    fit: &CircleFit,
    readings: &[Reading],
    places: impl Iterator<Item = usize>,
    among: usize,
) -> Vec<LookedAt> {
    let linear = fit.with_ring == fit.readings && fit.ring_sigma_deg <= 0.0;
    let refitted = !linear && readings.len() <= REFITTED;
    let mut looked: Vec<_> = places
        .filter_map(|index| {
            let reading = readings.get(index)?;
            let others = refitted.then(|| refit_without(fit, readings, index)).flatten();
            let (found, circle) = diagnose_one(fit, reading, others.as_ref(), among);
            Some((index, found, circle))
        })
        .collect();
    if let Some((pair, circle, p_value)) = exchanged(fit, readings, among) {
        for (one, other) in [(pair[0], pair[1]), (pair[1], pair[0])] {
            let there = looked.iter_mut().find(|(at, ..)| *at == one);
            if let (Some((_, found, others)), Some(other)) = (there, readings.get(other)) {
                let cause = other.ring_deg.map(|with_ring_deg| Cause::Exchanged {
                    with_ring_deg,
                    expected: other.direction,
                });
                let p_value = Some(p_value);
                *found = Diagnosis { p_value, stands_out: true, cause, ..*found };
                *others = Some(circle);
            }
        }
    }
    looked
}

/// Two readings, each of which lies where the other should, and the circle of all with their places
/// exchanged: no one of them explains it, and that lowers the sum of squares by more than chance lowers it for
/// any pair (F of as many degrees of freedom above and below); where σ is stated it was beyond it and is not any
/// more.
fn exchanged(
    fit: &CircleFit,
    readings: &[Reading],
    among: usize,
) -> Option<([usize; 2], OffsetCircle, f64)> {
    let freedom = fit.degrees_of_freedom as f64;
    let consistent = |squares: f64, sigma: f64| {
        chi_squared_above(squares / (sigma * sigma), freedom).is_ok_and(|p| p >= SCATTERS_MORE)
    };
    let all = fit.weighted_squares_arcmin2;
    let suspect = fit.sigma_arcmin.is_none_or(|sigma| !consistent(all, sigma));
    let size = fit.circle.radius_arcmin + fit.circle.centre.boresight_arcmin();
    if !suspect || readings.len() > EXCHANGED || fit.rms_arcmin <= ROUNDING * size {
        return None;
    }
    let ways: Vec<_> = (1..readings.len())
        .flat_map(|second| (0..second).map(move |first| [first, second]))
        .filter_map(|pair| Some((pair, with_exchanged(fit, readings, pair)?)))
        .collect();
    let squares = |fit: &CircleFit| fit.weighted_squares_arcmin2;
    let (pair, best) = ways.iter().min_by(|a, b| squares(&a.1).total_cmp(&squares(&b.1)))?;
    let mended = squares(best);
    let least = mended.max(fit.rounding_arcmin2() * freedom).max(ROUNDING * all);
    let p_value = f_above(all / least, freedom, freedom).ok()?;
    let by_chance = STANDS_OUT / (among.max(1) * readings.len().max(2)) as f64;
    let fits = fit.sigma_arcmin.is_none_or(|sigma| consistent(mended, sigma));
    // One misread reading explains as much more simply.
    let alone = least_without_one(fit, readings)
        .is_some_and(|(rest, spare)| rest / spare.max(1) as f64 <= 4.0 * least / freedom);
    (p_value < by_chance && fits && !alone).then_some((*pair, best.circle, p_value))
}

fn with_exchanged(fit: &CircleFit, readings: &[Reading], pair: [usize; 2]) -> Option<CircleFit> {
    let mut meant = readings.to_vec();
    let [first, second] = pair.map(|index| readings.get(index).copied());
    // Without ring angles they change nothing by changing places.
    let (first, second) =
        (first.filter(|r| r.ring_deg.is_some())?, second.filter(|r| r.ring_deg.is_some())?);
    meant.get_mut(pair[0])?.direction = second.direction;
    meant.get_mut(pair[1])?.direction = first.direction;
    refit(fit, &meant)
}

/// The fit of the others, made anew: to first order a reading far off drags a fit that is not linear.
fn refit_without(fit: &CircleFit, readings: &[Reading], index: usize) -> Option<CircleFit> {
    let others: Vec<Reading> =
        readings.iter().enumerate().filter(|(at, _)| *at != index).map(|(_, r)| *r).collect();
    refit(fit, &others)
}

/// The fit of other readings of the same channel.
fn refit(fit: &CircleFit, readings: &[Reading]) -> Option<CircleFit> {
    let spread = Spread { sigma_arcmin: fit.sigma_arcmin, ring_sigma_deg: fit.ring_sigma_deg };
    let sense = fit.circle.phase.map_or(SenseChoice::Auto, |phase| SenseChoice::Given(phase.sense));
    // The channel only names the culprit of a refusal.
    fit_circle(Channel::Left, readings, spread, sense).ok()
}

/// The same of both channels, the chance of a false alarm shared out over the readings of both, and whether what stands out in one belongs to the other: it lies where the
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
    let places = |_: &CircleFit, readings: &[Reading], _| (0..readings.len()).collect();
    both(fits, readings, places).map(|found| found.into_iter().map(|(_, found)| found).collect())
}

/// Of all those the ones that stand out, each by its place among its channel's: of very many readings most are
/// passed over by what bounds them.
#[must_use]
pub fn standing_out(
    fits: PerChannel<Option<&CircleFit>>,
    readings: &PerChannel<Vec<Reading>>,
) -> PerChannel<Vec<(usize, Diagnosis)>> {
    let mut found = both(fits, readings, suspects);
    for channel in Channel::BOTH {
        found[channel].retain(|(_, diagnosis)| diagnosis.stands_out);
    }
    found
}

/// The readings of both channels at the places that are to be looked at, given a level to stand out at.
fn both(
    fits: PerChannel<Option<&CircleFit>>,
    readings: &PerChannel<Vec<Reading>>,
    places: impl Fn(&CircleFit, &[Reading], f64) -> Vec<usize>,
) -> PerChannel<Vec<(usize, Diagnosis)>> {
    let among = readings.left.len() + readings.right.len();
    let looked = PerChannel::from_fn(|channel| {
        let Some(fit) = fits[channel] else { return Vec::new() };
        let places = places(fit, &readings[channel], level(among));
        looked_at(fit, &readings[channel], places.into_iter(), among)
    });
    PerChannel::from_fn(|channel| {
        let other = fits[channel.other()].map(|fit| cleanest(fit, &looked[channel.other()]));
        let each = looked[channel].iter();
        each.map(|(at, diagnosis, others)| {
            let belongs = || {
                let (own, other) = (others.as_ref()?, other.as_ref()?);
                belongs_to(readings[channel].get(*at)?, own, other, diagnosis.cause?)
            };
            let cause = belongs().or(diagnosis.cause);
            (*at, Diagnosis { cause, ..*diagnosis })
        })
        .collect()
    })
}

/// How unlikely one of so many readings must be to stand out.
fn level(among: usize) -> f64 {
    STANDS_OUT / among.max(1) as f64
}

/// A channel's circle, without the reading that stands out most.
fn cleanest(fit: &CircleFit, looked: &[LookedAt]) -> OffsetCircle {
    let out = looked.iter().filter(|(_, diagnosis, _)| diagnosis.stands_out);
    let p = |diagnosis: &Diagnosis| diagnosis.p_value.unwrap_or(1.0);
    let worst = out.min_by(|a, b| p(&a.1).total_cmp(&p(&b.1)));
    worst.and_then(|(.., others)| *others).unwrap_or(fit.circle)
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
        Cause::Graticule { slip: Some(slip), .. } | Cause::Ring { or: Some(slip), .. } => {
            let meant = Slip::as_meant(reading.direction).into_iter().find(|(of, _)| *of == slip);
            meant.map_or(f64::INFINITY, |(_, meant)| meant.distance_arcmin(expected))
        }
        _ => f64::INFINITY,
    };
    let belongs = off <= NEAR * reading.direction.distance_arcmin(expected) && off < nearest_slip;
    belongs.then_some(Cause::Graticule { expected, slip: Some(Slip::OtherChannel) })
}

/// And the circle of the other readings, where they settle one.
fn diagnose_one(
    fit: &CircleFit,
    reading: &Reading,
    refitted: Option<&CircleFit>,
    among: usize,
) -> (Diagnosis, Option<OffsetCircle>) {
    let plain = Diagnosis {
        residual: fit.residual(reading),
        without: None,
        p_value: None,
        stands_out: false,
        cause: None,
    };
    let design = fit.design_of(reading);
    let leverage = design.leverage(fit);
    let left = [[1.0 - leverage[0][0], -leverage[0][1]], [-leverage[1][0], 1.0 - leverage[1][1]]];
    let Some(spread) = inverse(left) else { return (plain, None) };
    let pull =
        [0, 1].map(|i| spread[i][0] * design.residual[0] + spread[i][1] * design.residual[1]);
    let others = refitted.map_or_else(|| without(fit, &design, pull), |others| others.circle);
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
    let all = fit.weighted_squares_arcmin2;
    let lowered = refitted.map_or_else(
        || pull[0] * design.residual[0] + pull[1] * design.residual[1],
        |others| all - others.weighted_squares_arcmin2,
    );
    // What rounding leaves of others that fit exactly is nothing.
    let rest = if all - lowered > ROUNDING * all { all - lowered } else { 0.0 };
    // Others that are alike to the graticule's step are no more certain than that.
    let variance = (rest / spare as f64).max(fit.rounding_arcmin2());
    let Some(p_value) = by_chance(fit, lowered, variance, design.parts, spare) else {
        return (diagnosis, Some(others));
    };
    let stands_out = p_value < level(among);
    let off_circle_u = (variance * spread[0][0]).sqrt();
    let cause = stands_out.then(|| cause_of(reading, &others, &against_others, off_circle_u));
    (Diagnosis { p_value: Some(p_value), stands_out, cause, ..diagnosis }, Some(others))
}

/// How likely leaving one reading out lowers the sum of squares at least as much by chance, the others' variance
/// being what they show: F. Where σ is stated, by χ² of that; and by F too where the others alone scatter more
/// than stated, so that nobody is accused because σ was stated too small.
fn by_chance(
    fit: &CircleFit,
    lowered: f64,
    variance: f64,
    parts: usize,
    spare: usize,
) -> Option<f64> {
    let parts_f = parts as f64;
    let by_others = || f_above(lowered / parts_f / variance, parts_f, spare as f64).ok();
    let Some(sigma) = fit.sigma_arcmin else { return by_others() };
    let beyond = |squares: f64, freedom: f64| chi_squared_above(squares / (sigma * sigma), freedom);
    let stated = beyond(lowered.max(0.0), parts_f).ok()?;
    let others = beyond(variance * spare as f64, spare as f64).ok()?;
    if others >= SCATTERS_MORE { Some(stated) } else { Some(stated.max(by_others()?)) }
}

/// The least weighted sum of squares, square arcminutes, that leaving out one reading comes to, and the
/// degrees of freedom left then. `None` where no reading can be left out.
pub(crate) fn least_without_one(fit: &CircleFit, readings: &[Reading]) -> Option<(f64, usize)> {
    let rest = |reading: &Reading| {
        let design = fit.design_of(reading);
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
    let slip = |expected| Slip::between(reading.direction, expected);
    let graticule = |expected: Option<Direction>| {
        // Without a ring angle nothing says where on the circle it was.
        let slip = expected.and_then(slip);
        let expected = expected.unwrap_or_else(|| others.nearest_to(reading.direction));
        Cause::Graticule { expected, slip }
    };
    let Some(ring_deg) = reading.ring_deg else { return graticule(None) };
    // Where the others fit all but exactly, off the circle counts beside off along it.
    let on_circle =
        off_circle <= ON_CIRCLE * off_circle_u || off_circle <= 0.1 * against.length_arcmin;
    match others.ring_for(reading.direction) {
        Some(expected_deg) if on_circle => {
            let or = others.at_ring(ring_deg).and_then(slip);
            Cause::Ring { expected_deg, off_deg: turn_deg(expected_deg, ring_deg), or }
        }
        _ => graticule(others.at_ring(ring_deg)),
    }
}
