//! The one way from readings to an answer: [`Problem`] → [`Solution`].

use crate::angle::rounded_deg;
use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN, Misalignment};
use crate::error::Error;
use crate::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use crate::meet::{Meeting, RELATION_TOLERANCE, Relation, meet};
use crate::next_reading::{NextReading, next_reading};
use crate::pointing::{SettingUncertainty, setting_uncertainty};
use crate::setting::{best_compromise, best_over_swing};
use crate::swing::{SwingRange, WorstSwing, worst_over};
use crate::tolerance::{Window, WindowUse};
use crate::uncertainty::Uncertainty;

/// One round's readings of a unit and what is known about them.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Each channel's readings, in the order logged.
    pub readings: PerChannel<Vec<Reading>>,
    /// Stated uncertainty.
    pub spread: Spread,
    /// The step that each channel was read to, arcminutes, where it is known: it bounds from below how
    /// closely readings that are all alike can be taken to know ([`CircleFit::with_step`]).
    pub step_arcmin: PerChannel<Option<f64>>,
    /// Which way round each crosshair runs.
    pub sense: PerChannel<SenseChoice>,
    /// The tolerance window, if one is chosen.
    pub window: Option<Window>,
    /// How far the pods swing from where the readings were taken, if that is known.
    pub swing: Option<SwingRange>,
    /// When two circles count as touching, as a share of the larger radius.
    pub relation_tolerance: f64,
}

impl Default for Problem {
    fn default() -> Self {
        Self {
            readings: PerChannel::default(),
            spread: Spread::default(),
            step_arcmin: PerChannel::default(),
            sense: PerChannel::default(),
            window: None,
            swing: None,
            relation_tolerance: RELATION_TOLERANCE,
        }
    }
}

/// What the readings say so far. A channel that cannot be fitted yet carries what it lacks.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Each channel's circle, or what is missing.
    pub fits: PerChannel<Result<CircleFit, Error>>,
    /// How the circles meet; `None` until both are known.
    pub meeting: Option<Meeting>,
    /// The recommended setting, or why there is none.
    pub setting: Result<Setting, NoSetting>,
    /// The worst of that setting over the swing; `None` without a setting, a window or a swing.
    /// It warns and never changes what is recommended.
    pub over_swing: Option<WorstSwing>,
}

impl Solution {
    /// Both fits, when both are known.
    #[must_use]
    pub fn both_fits(&self) -> Option<PerChannel<&CircleFit>> {
        match (&self.fits.left, &self.fits.right) {
            (Ok(left), Ok(right)) => Some(PerChannel { left, right }),
            _ => None,
        }
    }

    /// The reading that would improve the nearest crossing most ([`mod@crate::next_reading`]); `None`
    /// where the circles do not cross.
    #[must_use]
    pub fn next_reading(&self) -> Option<NextReading> {
        let meeting = self.meeting.filter(|met| met.relation == Relation::Crossing)?;
        next_reading(self.both_fits()?, meeting.nearest()?)
    }

    /// How well the recommended setting is known, with rings set to a standard uncertainty
    /// (degrees) beside the σθ of their scales; `None` without a setting, ring angles or covariances.
    ///
    /// # Errors
    /// As [`setting_uncertainty`].
    pub fn setting_uncertainty(
        &self,
        setting_u_deg: f64,
    ) -> Result<Option<SettingUncertainty>, Error> {
        let (Some(fits), Ok(setting)) = (self.both_fits(), &self.setting) else {
            return Ok(None);
        };
        let PerChannel { left: Some(left), right: Some(right) } = setting.ring_deg else {
            return Ok(None);
        };
        setting_uncertainty(fits, PerChannel { left, right }, setting_u_deg)
    }

    /// Uncertainty of each ring target of the recommended setting, degrees: at a crossing from
    /// both fits, since both move it; at a compromise from the channel's own, its place held. None where
    /// readings do not fit their stated σ ([`Solution::misfits`]).
    #[must_use]
    pub fn ring_u_deg(&self) -> PerChannel<Option<Uncertainty>> {
        let (Some(fits), Ok(setting)) = (self.both_fits(), &self.setting) else {
            return PerChannel::default();
        };
        if self.misfits().next().is_some() {
            return PerChannel::default();
        }
        let crossing = match setting.kind {
            SettingKind::Crossing => self.meeting.as_ref().and_then(Meeting::nearest),
            SettingKind::Compromise | SettingKind::ByHand => None,
        };
        crossing.and_then(|crossing| crossing.uncertainty).map_or_else(
            || PerChannel::from_fn(|channel| fits[channel].ring_u_deg(setting.points[channel])),
            |uncertainty| uncertainty.ring_u_deg,
        )
    }

    /// The channels whose readings lie farther off their circle than the stated σ can explain (χ², p < 0.01):
    /// something was misread, or σ is not what is stated. No ± and no probability that rests on that σ holds
    /// then, and what is recommended rests on readings that do not fit.
    pub fn misfits(&self) -> impl Iterator<Item = Channel> + '_ {
        let misfit = |fit: &CircleFit| fit.does_not_fit();
        Channel::BOTH.into_iter().filter(move |&of| self.fits[of].as_ref().is_ok_and(misfit))
    }

    /// Whether the two crosshairs run opposite ways round: one flip or one ring is wrong.
    #[must_use]
    pub fn senses_differ(&self) -> bool {
        self.both_fits().is_some_and(|fits| {
            match (fits.left.circle.phase, fits.right.circle.phase) {
                (Some(left), Some(right)) => left.sense != right.sense,
                _ => false,
            }
        })
    }
}

/// A pair of ring angles and what they give, at the position in which the readings were taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Where it comes from.
    pub kind: SettingKind,
    /// Ring angles, degrees in [0, 360); `None` where the ring's numbering is not known.
    pub ring_deg: PerChannel<Option<f64>>,
    /// Where each channel will point.
    pub points: PerChannel<Direction>,
    /// p_R − p_L.
    pub misalignment: Misalignment,
    /// Distance of (p_L + p_R)/2 from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// Window use, when there is a window.
    pub window_use: Option<WindowUse>,
}

impl Setting {
    /// The same setting with ring targets that a hand can set: rounded to the ring's step first,
    /// then everything computed from the rounded angles. Unchanged where a ring's numbering is
    /// not known.
    #[must_use]
    pub fn rounded_to(
        &self,
        circles: PerChannel<&OffsetCircle>,
        step_deg: f64,
        window: Option<Window>,
    ) -> Self {
        let ring_deg = self.ring_deg.map(|ring| ring.map(|deg| rounded_deg(deg, step_deg)));
        let points = PerChannel::from_fn(|channel| {
            ring_deg[channel]
                .and_then(|deg| circles[channel].at_ring(deg))
                .unwrap_or(self.points[channel])
        });
        setting_at(self.kind, points, ring_deg, window)
    }
}

/// Where a setting comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SettingKind {
    /// A point where the circles meet.
    Crossing,
    /// The best that can be done where no crossing point is inside the window.
    Compromise,
    /// A hand's own choice.
    ByHand,
}

impl SettingKind {
    /// `"crossing"`, `"compromise"` or `"by hand"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crossing => "crossing",
            Self::Compromise => "compromise",
            Self::ByHand => "by hand",
        }
    }
}

/// Why no setting is recommended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoSetting {
    /// At least one circle is not known yet.
    CircleMissing,
    /// A channel's readings cover too short an arc to trust its circle.
    ArcTooShort(Channel),
}

/// Both circles and how they meet: what a solution rests on, without asking for a setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Circles {
    /// Each channel's circle, or what is missing.
    pub fits: PerChannel<Result<CircleFit, Error>>,
    /// How the circles meet; `None` until both are known.
    pub meeting: Option<Meeting>,
}

impl Circles {
    /// A channel's fit, once it is known.
    #[must_use]
    pub fn fit(&self, channel: Channel) -> Option<&CircleFit> {
        self.fits[channel].as_ref().ok()
    }

    /// The same where its readings cover enough of an arc to trust it.
    #[must_use]
    pub fn trusted(&self, channel: Channel) -> Option<&CircleFit> {
        self.fit(channel).filter(|fit| !fit.arc_too_short())
    }

    /// The circles that are known.
    #[must_use]
    pub fn known(&self) -> PerChannel<Option<OffsetCircle>> {
        PerChannel::from_fn(|channel| self.fit(channel).map(|fit| fit.circle))
    }

    /// Where they cross nearest to boresight; `None` where they do not cross, or one is not known.
    #[must_use]
    pub fn nearest(&self) -> Option<Direction> {
        self.meeting.as_ref()?.nearest().map(|crossing| crossing.point)
    }
}

/// Fits both circles and finds where they meet.
///
/// # Errors
/// Only what concerns the problem as a whole: uncertainties or tolerances that make no sense.
/// What a channel lacks is in [`Circles::fits`].
pub fn circles(problem: &Problem) -> Result<Circles, Error> {
    problem.spread.check()?;
    let fits = PerChannel::from_fn(|channel| {
        let readings = &problem.readings[channel];
        check_readings(channel, readings)?;
        let fit = fit_circle(channel, readings, problem.spread, problem.sense[channel])?;
        Ok(fit.with_step(readings, problem.step_arcmin[channel].unwrap_or_default()))
    });
    let mut meeting = None;
    if let (Ok(left), Ok(right)) = (&fits.left, &fits.right) {
        let met = meet(&left.circle, &right.circle, problem.relation_tolerance)?;
        meeting = Some(met.with_covariance(PerChannel { left, right }));
    }
    Ok(Circles { fits, meeting })
}

/// Fits both circles, finds where they meet and recommends a setting.
///
/// # Errors
/// Only what concerns the problem as a whole: uncertainties or tolerances that make no sense.
/// What a channel lacks is in [`Solution::fits`].
pub fn solve(problem: &Problem) -> Result<Solution, Error> {
    let Circles { fits, meeting } = circles(problem)?;
    let setting = match (&fits.left, &fits.right, &meeting) {
        (Ok(left), _, Some(_)) if left.arc_too_short() => {
            Err(NoSetting::ArcTooShort(Channel::Left))
        }
        (_, Ok(right), Some(_)) if right.arc_too_short() => {
            Err(NoSetting::ArcTooShort(Channel::Right))
        }
        (Ok(left), Ok(right), Some(met)) => {
            Ok(recommended(problem.window, PerChannel { left, right }, met)?)
        }
        _ => Err(NoSetting::CircleMissing),
    };
    let over_swing = match (&setting, problem.window, problem.swing) {
        (Ok(setting), Some(window), Some(range)) => {
            Some(worst_over(setting.points, &window, range))
        }
        _ => None,
    };
    Ok(Solution { fits, meeting, setting, over_swing })
}

/// The nearest crossing where it is inside the window, or where there is no window; else the best
/// compromise.
fn recommended(
    window: Option<Window>,
    fits: PerChannel<&CircleFit>,
    met: &Meeting,
) -> Result<Setting, Error> {
    let crossing = met.nearest().map(|crossing| {
        let points = PerChannel { left: crossing.point, right: crossing.point };
        setting_at(SettingKind::Crossing, points, crossing.ring_deg, window)
    });
    let worst = |setting: &Setting| setting.window_use.map_or(0.0, |used| used.worst());
    if let Some(crossing) = crossing
        && worst(&crossing) <= 1.0
    {
        return Ok(crossing);
    }
    let best = compromise(window, fits)?;
    // Where nothing beats the crossing, the crossing it is.
    Ok(crossing.filter(|crossing| worst(crossing) <= worst(&best)).unwrap_or(best))
}

/// The best compromise of two fitted circles as a setting: the smallest window use over both
/// rings, or without a window the smallest |m|.
///
/// # Errors
/// As [`best_compromise`]: circles whose numbers are not finite.
pub fn compromise(window: Option<Window>, fits: PerChannel<&CircleFit>) -> Result<Setting, Error> {
    let circles = fits.map(|fit| fit.circle);
    let best = best_compromise(&circles.left, &circles.right, window.as_ref())?;
    let ring_deg = PerChannel::from_fn(|channel| circles[channel].ring_for(best.points[channel]));
    Ok(setting_at(SettingKind::Compromise, best.points, ring_deg, window))
}

/// The setting for a whole swing: the one whose worst window use over it is smallest. Its own window
/// use is where the readings were taken.
///
/// # Errors
/// As [`best_over_swing`].
pub fn over_swing(
    window: &Window,
    range: SwingRange,
    fits: PerChannel<&CircleFit>,
) -> Result<Setting, Error> {
    let circles = fits.map(|fit| fit.circle);
    let best = best_over_swing(&circles.left, &circles.right, window, range)?;
    let ring_deg = PerChannel::from_fn(|channel| circles[channel].ring_for(best.points[channel]));
    // A crossing is offered to the search as one point, and is the best as that or not at all.
    let kind = if best.points.left == best.points.right {
        SettingKind::Crossing
    } else {
        SettingKind::Compromise
    };
    Ok(setting_at(kind, best.points, ring_deg, Some(*window)))
}

pub(crate) fn setting_at(
    kind: SettingKind,
    points: PerChannel<Direction>,
    ring_deg: PerChannel<Option<f64>>,
    window: Option<Window>,
) -> Setting {
    Setting {
        kind,
        ring_deg,
        points,
        misalignment: Misalignment::between(points.left, points.right),
        boresight_arcmin: points.left.midpoint(points.right).boresight_arcmin(),
        window_use: window.map(|window| window.used_by(points.left, points.right)),
    }
}

fn check_readings(channel: Channel, readings: &[Reading]) -> Result<(), Error> {
    // NaN compares as beyond the field.
    let within = |arcmin: f64| arcmin.abs() <= FIELD_LIMIT_ARCMIN;
    let fine = |reading: &Reading| {
        within(reading.direction.x_arcmin)
            && within(reading.direction.y_arcmin)
            && reading.ring_deg.is_none_or(f64::is_finite)
    };
    if readings.iter().all(fine) {
        return Ok(());
    }
    for (index, reading) in readings.iter().enumerate() {
        let Direction { x_arcmin, y_arcmin } = reading.direction;
        for (field, value) in
            [("ring angle", reading.ring_deg.unwrap_or(0.0)), ("x", x_arcmin), ("y", y_arcmin)]
        {
            if !value.is_finite() {
                return Err(Error::ReadingNotFinite { channel, index, field });
            }
        }
        for value_arcmin in [x_arcmin, y_arcmin] {
            if value_arcmin.abs() > FIELD_LIMIT_ARCMIN {
                return Err(Error::BeyondField {
                    channel,
                    index,
                    value_arcmin,
                    limit_arcmin: FIELD_LIMIT_ARCMIN,
                });
            }
        }
    }
    Ok(())
}
