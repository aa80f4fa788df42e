//! Deciding with uncertainty: what confirm readings at locked rings are worth against a window.
//!
//! Each channel is read several times. The misalignment m and the shared direction b = (p_L + p_R)/2
//! are normally distributed about the means with
//!
//! - U_m = Σ_L/n_L + Σ_R/n_R + R_L + R_R,
//! - U_b = (Σ_L/n_L + Σ_R/n_R + R_L + R_R)/4 + R_common, and Cov(m, b) = (U_R − U_L)/2,
//!
//! Σ the covariance of a single reading, stated, or seen in the readings (then the part from the readings is
//! Student's t), never both; R the station's reference, which does not fall with n: what both
//! channels share cancels in m and stays in b. P_m is the mass of m in the box, P_b that of b in the
//! boresight disc, and the chance that both are inside is at least P = P_m + P_b − 1.
//!
//! Where the unit was seated more than once, the seatings' own scatter takes the place of Σ: [`seating`]
//! says how and why. Readings that are all alike to the graticule's step are not certain: the step's
//! rectangle stands for their scatter ([`Circumstances`]).
//!
//! # Source
//! JCGM 106:2012, 7 and 8 (conformance probability, acceptance with a guard). Mass of a mean with
//! its own scatter: JCGM 102:2011, 5.3.2 (multivariate t, n less the dimension degrees of freedom; from
//! memory).

pub mod expected;
pub mod given;
pub mod seating;

pub use expected::expected_inside;
pub use given::{Confirmation, Covariance, ReadingSpread, Reference};
pub use seating::Circumstances;

use given::{NONE, combined};
use seating::{ALIKE, SeatingMeans};

use crate::channel::{Channel, PerChannel};
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN, Misalignment};
use crate::error::Error;
use crate::stats::any_scale::over_scales;
use crate::stats::binormal::Binormal;
use crate::stats::quantile::student;
use crate::stats::sample::{mean_of, welch_satterthwaite};
use crate::tolerance::{Window, WindowUse};

/// Probability that must be reached to pass, and what is left of it to fail.
pub const ENOUGH: f64 = 0.95;

/// Standard uncertainties between a limit and the guard band drawn inside it: one-sided 95 %.
pub const GUARD_FACTOR: f64 = 1.644_853_626_951_472_7;

/// No more readings than this per channel are ever suggested.
const MOST_READINGS: usize = 1_000;

/// How to decide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// Means inside pass, else fail: uncertainty is not looked at.
    Simple,
    /// P ≥ 0.95 passes; P_m or P_b ≤ 0.05 fails; else undecided.
    #[default]
    Guarded,
}

impl Rule {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Simple, Self::Guarded];

    /// Whether it asks how well the means are known. Whoever needs that asks here and never compares with one
    /// rule: a rule that is added has to answer, and passes nothing unasked.
    #[must_use]
    pub const fn asks_uncertainty(self) -> bool {
        match self {
            Self::Simple => false,
            Self::Guarded => true,
        }
    }

    /// `"simple"` or `"guarded"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Simple => "simple",
            Self::Guarded => "guarded",
        }
    }

    /// What it makes of a measurement, in words.
    #[must_use]
    pub const fn means(self) -> &'static str {
        match self {
            Self::Simple => "means inside pass, and uncertainty is not looked at",
            Self::Guarded => "inside with 95 % probability or more passes, with 5 % or less fails",
        }
    }
}

/// What was decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Inside, as sure as the rule asks.
    Pass,
    /// Outside, as sure as the rule asks.
    Fail,
    /// Neither.
    Undecided,
    /// A channel has no confirm readings.
    NotMeasured,
}

impl Verdict {
    /// The word used on screen and paper.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::Undecided => "undecided",
            Self::NotMeasured => "not measured",
        }
    }
}

/// What would settle an undecided verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Prospect {
    /// So many more readings of each channel, if their means stay.
    MoreReadings(usize),
    /// So many more seatings, each read through both channels, if means and scatter stay.
    MoreSeatings(usize),
    /// Not even a perfect unit could be shown to pass: this bench cannot decide this window.
    BenchCannotDecide,
    /// The reference alone keeps this unit undecided: more readings will not help.
    MoreReadingsWillNotHelp,
}

impl Prospect {
    /// A sentence for the screen and the report.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::MoreReadings(1) => "one more reading of each channel would settle it".into(),
            Self::MoreReadings(count) => {
                format!("{count} more readings of each channel would settle it")
            }
            Self::MoreSeatings(1) => {
                "seating it once more and reading both channels would settle it".into()
            }
            Self::MoreSeatings(count) => {
                format!("seating it {count} more times and reading both channels would settle it")
            }
            Self::BenchCannotDecide => "this bench cannot decide this window".into(),
            Self::MoreReadingsWillNotHelp => "more readings will not help".into(),
        }
    }
}

/// A verdict with all it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judgement {
    /// Under which rule.
    pub rule: Rule,
    /// The verdict.
    pub verdict: Verdict,
    /// Mean misalignment.
    pub misalignment: Misalignment,
    /// Mean shared direction.
    pub shared: Direction,
    /// Standard covariance of the misalignment, square arcminutes.
    pub misalignment_covariance: Covariance,
    /// Standard covariance of the shared direction.
    pub shared_covariance: Covariance,
    /// Covariance of misalignment (rows) and shared direction.
    pub cross_covariance: Covariance,
    /// Degrees of freedom of the readings' own part; infinite when the spread is stated and the unit
    /// was seated once.
    pub freedom: f64,
    /// Seatings of the unit whose scatter is in it; 1: seating repeatability is not.
    pub seatings: usize,
    /// P_m.
    pub in_box: f64,
    /// P_b; 1 without a boresight limit.
    pub in_boresight: f64,
    /// Window use of the means.
    pub window_use: WindowUse,
    /// Guard band along x and y, arcminutes, for drawing only.
    pub guard_arcmin: [f64; 2],
    /// What would settle it, when undecided.
    pub prospect: Option<Prospect>,
}

impl Judgement {
    /// P = P_m + P_b − 1, at least 0: a lower bound of the chance that all is inside.
    #[must_use]
    pub fn inside_at_least(&self) -> f64 {
        (self.in_box + self.in_boresight - 1.0).max(0.0)
    }

    /// Covariances of the misalignment and of the shared direction without the station's reference:
    /// what is left of them in a difference from another result of the same station. Only rounding
    /// can take a variance below 0; it is 0 then.
    #[must_use]
    pub fn without_reference(&self, reference: &Reference) -> (Covariance, Covariance) {
        let own = combined(reference.own.left, 1.0, reference.own.right, 1.0);
        let shared = combined(own, 0.25, reference.common, 1.0);
        let rest = |whole: Covariance, part: Covariance| {
            let [[xx, xy], [yx, yy]] = combined(whole, 1.0, part, -1.0);
            [[xx.max(0.0), xy], [yx, yy.max(0.0)]]
        };
        (rest(self.misalignment_covariance, own), rest(self.shared_covariance, shared))
    }
}

/// Decides on readings of which nothing more is known: as if from one seating, with a graticule of no step.
/// See [`judge_known`].
///
/// # Errors
/// As [`judge_known`].
pub fn judge(
    confirmation: &Confirmation,
    window: &Window,
    rule: Rule,
) -> Result<Option<Judgement>, Error> {
    judge_known(confirmation, &Circumstances::default(), window, rule)
}

/// Decides; `None` when a channel has no confirm readings, which is *not measured*. Readings of two
/// seatings and more are judged by how far these scatter ([`seating`]), and their means are means of
/// seatings.
///
/// # Errors
/// [`Error::BeyondField`] for a reading that is no number or out of the field; [`Error::NotACovariance`] for a stated
/// covariance that is none; [`Error::TooFew`] when the spread is to be seen in fewer than three
/// readings of a channel (under the guarded rule).
pub fn judge_known(
    confirmation: &Confirmation,
    circumstances: &Circumstances,
    window: &Window,
    rule: Rule,
) -> Result<Option<Judgement>, Error> {
    let readings = &confirmation.readings;
    if readings.left.is_empty() || readings.right.is_empty() {
        return Ok(None);
    }
    let state = DecisionState::of(confirmation, circumstances, rule)?;
    let (m, b) = (state.misalignment(), state.shared());
    let used = window.use_of(m, b);
    let counts = state.counts;
    let chances = state.chances(window, m, b, counts)?;
    let (misalignment_covariance, shared_covariance) = state.covariances(counts);
    let verdict = match rule {
        Rule::Simple if used.is_inside() => Verdict::Pass,
        Rule::Simple => Verdict::Fail,
        Rule::Guarded => chances.verdict(),
    };
    let prospect = if verdict == Verdict::Undecided {
        Some(state.prospect(window, m, b, counts)?)
    } else {
        None
    };
    let u = |k: usize| misalignment_covariance[k][k].max(0.0).sqrt();
    let freedom = state.freedom(counts)?;
    let seatings = state.seated.as_ref().map_or(1, |seated| seated.count);
    let guard = if seatings > 1 { student(ENOUGH, freedom)? } else { GUARD_FACTOR };
    Ok(Some(Judgement {
        rule,
        verdict,
        misalignment: m,
        shared: b,
        misalignment_covariance,
        shared_covariance,
        cross_covariance: state.cross(),
        freedom,
        seatings,
        in_box: chances.in_box,
        in_boresight: chances.in_boresight,
        window_use: used,
        guard_arcmin: [guard * u(0), guard * u(1)],
        prospect,
    }))
}

/// Chances of both parts.
#[derive(Clone, Copy)]
struct Chances {
    in_box: f64,
    in_boresight: f64,
}

impl Chances {
    fn verdict(self) -> Verdict {
        if self.in_box + self.in_boresight - 1.0 >= ENOUGH {
            Verdict::Pass
        } else if self.in_box.min(self.in_boresight) <= 1.0 - ENOUGH {
            Verdict::Fail
        } else {
            Verdict::Undecided
        }
    }
}

/// Means, single-reading covariances, and whether those were seen or stated.
struct DecisionState {
    /// Readings of each channel, or seatings where there are several.
    counts: PerChannel<usize>,
    seated: Option<SeatingMeans>,
    mean: PerChannel<Direction>,
    single: PerChannel<Covariance>,
    observed: bool,
    reference: Reference,
}

impl DecisionState {
    fn of(
        confirmation: &Confirmation,
        circumstances: &Circumstances,
        rule: Rule,
    ) -> Result<Self, Error> {
        let Confirmation { readings, spread, reference } = confirmation;
        for covariance in [reference.own.left, reference.own.right, reference.common] {
            check_covariance("the reference's", covariance)?;
        }
        let mut mean = PerChannel::<Direction>::default();
        let mut single = PerChannel::<Covariance>::default();
        for channel in Channel::BOTH {
            let list = &readings[channel];
            let x: Vec<f64> = list.iter().map(|reading| reading.x_arcmin).collect();
            let y: Vec<f64> = list.iter().map(|reading| reading.y_arcmin).collect();
            for values in [&x, &y] {
                check_in_field(channel, values)?;
            }
            mean[channel] = Direction::new(mean_of(&x), mean_of(&y));
            single[channel] = match *spread {
                ReadingSpread::Stated(covariance) => {
                    check_covariance("the stated one", covariance)?;
                    covariance
                }
                ReadingSpread::Observed if list.len() < 3 => {
                    if rule.asks_uncertainty() {
                        let what = "confirm readings of a channel without a stated uncertainty";
                        return Err(Error::TooFew { what, found: list.len(), needed: 3 });
                    }
                    NONE
                }
                ReadingSpread::Observed => {
                    let rounding = circumstances.rounding_arcmin2(channel);
                    no_less(scatter(list, mean[channel]), rounding, list.len())
                }
            };
        }
        let observed = *spread == ReadingSpread::Observed;
        let seated = SeatingMeans::of(confirmation, circumstances, single);
        let counts = seated.as_ref().map_or_else(
            || readings.as_ref().map(Vec::len),
            |seated| PerChannel { left: seated.count, right: seated.count },
        );
        if let Some(seated) = &seated {
            mean = seated.mean;
        }
        Ok(Self { counts, seated, mean, single, observed, reference: *reference })
    }

    fn misalignment(&self) -> Misalignment {
        Misalignment::between(self.mean.left, self.mean.right)
    }

    /// Cov(m, b), reference included.
    fn cross(&self) -> Covariance {
        if let Some(seated) = &self.seated {
            let own = combined(self.reference.own.right, 0.5, self.reference.own.left, -0.5);
            return combined(seated.cross(), 1.0, own, 1.0);
        }
        let of = |channel| self.of_mean(channel, self.counts[channel], 1.0);
        combined(of(Channel::Right), 0.5, of(Channel::Left), -0.5)
    }

    fn shared(&self) -> Direction {
        self.mean.left.midpoint(self.mean.right)
    }

    /// Covariance of one channel's mean, own reference included; `scale` widens the readings' part.
    fn of_mean(&self, channel: Channel, count: usize, scale: f64) -> Covariance {
        let share = scale / count.max(1) as f64;
        combined(self.single[channel], share, self.reference.own[channel], 1.0)
    }

    /// U_m and U_b.
    fn covariances(&self, counts: PerChannel<usize>) -> (Covariance, Covariance) {
        self.covariances_scaled(counts, 1.0)
    }

    fn covariances_scaled(
        &self,
        counts: PerChannel<usize>,
        scale: f64,
    ) -> (Covariance, Covariance) {
        if let Some(seated) = &self.seated {
            let own = combined(self.reference.own.left, 1.0, self.reference.own.right, 1.0);
            let shared = combined(own, 0.25, self.reference.common, 1.0);
            let (m, b) = seated.parts(counts.left);
            return (combined(m, scale, own, 1.0), combined(b, scale, shared, 1.0));
        }
        let [left, right] =
            Channel::BOTH.map(|channel| self.of_mean(channel, counts[channel], scale));
        let both = combined(left, 1.0, right, 1.0);
        (both, combined(both, 0.25, self.reference.common, 1.0))
    }

    /// Degrees of freedom of the readings' part: one fewer than the seatings, where there are
    /// several; else n − 2 of each channel, combined.
    fn freedom(&self, counts: PerChannel<usize>) -> Result<f64, Error> {
        if self.seated.is_some() {
            return Ok(counts.left.saturating_sub(1).max(1) as f64);
        }
        if !self.observed {
            return Ok(f64::INFINITY);
        }
        let parts = Channel::BOTH.map(|channel| {
            let count = counts[channel];
            let [[xx, _], [_, yy]] = self.single[channel];
            (((xx + yy) / count.max(1) as f64).sqrt(), count.saturating_sub(2).max(1) as f64)
        });
        welch_satterthwaite(&parts)
    }

    /// P_m and P_b about given means.
    fn chances(
        &self,
        window: &Window,
        m: Misalignment,
        b: Direction,
        counts: PerChannel<usize>,
    ) -> Result<Chances, Error> {
        let freedom = self.freedom(counts)?;
        let (u_m, u_b) = self.covariances(counts);
        if freedom.is_infinite() {
            return masses(window, m, b, u_m, u_b);
        }
        // What is no covariance at the size given is named before all sizes are gone through.
        masses(window, m, b, u_m, u_b)?;
        let scaled = |scale| self.covariances_scaled(counts, scale);
        let in_box = over_scales(freedom, |scale| {
            mass_in_box(window, m, scaled(scale).0).unwrap_or(f64::NAN)
        });
        let in_boresight = match window.boresight_arcmin() {
            Some(_) => over_scales(freedom, |scale| {
                mass_in_disc(window, b, scaled(scale).1).unwrap_or(f64::NAN)
            }),
            None => 1.0,
        };
        if in_box.is_nan() || in_boresight.is_nan() {
            let what = "scatter and reference together, at the size given,";
            return Err(Error::NotACovariance { what });
        }
        Ok(Chances { in_box, in_boresight })
    }

    /// What would settle it.
    fn prospect(
        &self,
        window: &Window,
        m: Misalignment,
        b: Direction,
        counts: PerChannel<usize>,
    ) -> Result<Prospect, Error> {
        let [left, right] = [self.reference.own.left, self.reference.own.right];
        let own = combined(left, 1.0, right, 1.0);
        let shared = combined(own, 0.25, self.reference.common, 1.0);
        let middle_arcmin = 0.5 * (window.divergence_arcmin() - window.convergence_arcmin());
        let best = Misalignment::new(middle_arcmin, 0.0);
        if masses(window, best, Direction::BORESIGHT, own, shared)?.verdict() != Verdict::Pass {
            return Ok(Prospect::BenchCannotDecide);
        }
        if masses(window, m, b, own, shared)?.verdict() == Verdict::Undecided {
            return Ok(Prospect::MoreReadingsWillNotHelp);
        }
        let settled = |more: usize| -> Result<bool, Error> {
            let counts = counts.map(|count| count + more);
            Ok(self.chances(window, m, b, counts)?.verdict() != Verdict::Undecided)
        };
        let (mut not_yet, mut more) = (0, 1);
        while !settled(more)? {
            if more >= MOST_READINGS {
                return Ok(Prospect::MoreReadingsWillNotHelp);
            }
            (not_yet, more) = (more, (2 * more).min(MOST_READINGS));
        }
        while more - not_yet > 1 {
            let middle = not_yet.midpoint(more);
            if settled(middle)? {
                more = middle;
            } else {
                not_yet = middle;
            }
        }
        Ok(match self.seated {
            Some(_) => Prospect::MoreSeatings(more),
            None => Prospect::MoreReadings(more),
        })
    }
}

fn masses(
    window: &Window,
    m: Misalignment,
    b: Direction,
    u_m: Covariance,
    u_b: Covariance,
) -> Result<Chances, Error> {
    let in_box = mass_in_box(window, m, u_m)?;
    Ok(Chances { in_box, in_boresight: mass_in_disc(window, b, u_b)? })
}

fn mass_in_box(window: &Window, m: Misalignment, u_m: Covariance) -> Result<f64, Error> {
    let low = [-window.convergence_arcmin(), -window.dipvergence_arcmin()];
    let high = [window.divergence_arcmin(), window.dipvergence_arcmin()];
    Ok(Binormal::new([m.x_arcmin, m.y_arcmin], u_m)?.mass_in_box(low, high))
}

/// 1 without a limit.
fn mass_in_disc(window: &Window, b: Direction, u_b: Covariance) -> Result<f64, Error> {
    let normal = Binormal::new([b.x_arcmin, b.y_arcmin], u_b)?;
    Ok(window.boresight_arcmin().map_or(1.0, |limit| normal.mass_in_disc(limit)))
}

/// Scatter of single readings about their mean, with n − 2 (JCGM 102:2011, 5.3.2).
fn scatter(list: &[Direction], mean: Direction) -> Covariance {
    let mut sum = NONE;
    for reading in list {
        let off = *reading - mean;
        sum[0][0] += off.x_arcmin * off.x_arcmin;
        sum[0][1] += off.x_arcmin * off.y_arcmin;
        sum[1][1] += off.y_arcmin * off.y_arcmin;
    }
    sum[1][0] = sum[0][1];
    combined(sum, 1.0 / (list.len().saturating_sub(2).max(1)) as f64, NONE, 0.0)
}

/// Scatter no smaller than the graticule's step makes it: a rectangle for each reading, and one for all `count`
/// where all are alike, which are off by the same. The scatter has the rounding in it where it shows, so it is
/// the larger that counts, not the sum.
fn no_less(scatter: Covariance, rounding_arcmin2: f64, count: usize) -> Covariance {
    let of = |axis: usize| {
        let seen = scatter[axis][axis];
        let alike = if seen > ALIKE * rounding_arcmin2 { 1.0 } else { count as f64 };
        seen.max(rounding_arcmin2 * alike)
    };
    [[of(0), scatter[0][1]], [scatter[1][0], of(1)]]
}

fn check_in_field(channel: Channel, values: &[f64]) -> Result<(), Error> {
    let limit_arcmin = FIELD_LIMIT_ARCMIN;
    values.iter().enumerate().try_for_each(|(index, &value_arcmin)| {
        if value_arcmin.abs() <= limit_arcmin {
            Ok(())
        } else {
            Err(Error::BeyondField { channel, index, value_arcmin, limit_arcmin })
        }
    })
}

fn check_covariance(what: &'static str, covariance: Covariance) -> Result<(), Error> {
    Binormal::new([0.0, 0.0], covariance).map(|_| ()).map_err(|_| Error::NotACovariance { what })
}
