//! What a remedy is predicted to give: circles, a setting, its use.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::fit::{CircleCovariance, CircleFit};
use crate::remedy::plans::scored;
use crate::setting::{best_compromise, best_over_swing};
use crate::swing::{SwingRange, WorstSwing, worst_over};
use crate::tolerance::{Window, WindowUse};

/// A circle after a remedy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PredictedCircle {
    /// Its phase is `None` where an eyepiece comes to another pod: unknown until read.
    pub circle: OffsetCircle,
    /// Of the fit it comes from, with the uncertainty of what the remedy does added; `None` where the
    /// fit has none.
    pub covariance: Option<CircleCovariance>,
    /// Of the fit alone.
    pub(super) of_fit: Option<CircleCovariance>,
    /// Degrees of freedom where the covariance rests on the readings' own scatter.
    pub(super) freedom: Option<usize>,
    /// σθ of the scale its ring is read and set by, degrees.
    pub(super) ring_sigma_deg: f64,
}

/// What kind of setting a remedy is told by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PredictedKind {
    /// The crossing nearest boresight.
    Crossing,
    /// The circles cross, and another setting uses less of the window.
    Compromise,
    /// The circles do not meet: the setting that uses least of the window.
    NearestApproach,
}

impl PredictedKind {
    /// `"crossing"`, else `"compromise"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crossing => "crossing",
            Self::Compromise | Self::NearestApproach => "compromise",
        }
    }
}

/// The rings' setting after a remedy: one, with its place and what it uses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PredictedSetting {
    /// Which.
    pub kind: PredictedKind,
    /// Ring angles, degrees in [0, 360); `None` where the phase is not known.
    pub ring_deg: PerChannel<Option<f64>>,
    /// Where each channel will point.
    pub points: PerChannel<Direction>,
    /// Window use there.
    pub window_use: WindowUse,
    /// The worst over the swing, where one is given.
    pub over_swing: Option<WorstSwing>,
}

impl PredictedSetting {
    /// How far from boresight both channels point on the average, arcminutes.
    #[must_use]
    pub fn boresight_arcmin(&self) -> f64 {
        self.points.left.midpoint(self.points.right).boresight_arcmin()
    }

    /// How far they point apart.
    #[must_use]
    pub fn misalignment(&self) -> Misalignment {
        Misalignment::between(self.points.left, self.points.right)
    }

    /// Whether it stays inside, over the swing where one is given.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.worst() <= 1.0
    }

    /// The worst over the swing, else the use at rest.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.over_swing.map_or(self.window_use, |worst| worst.used).worst()
    }
}

/// What a remedy is predicted to give. A prediction until measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Prediction {
    /// The circles after it.
    pub circles: PerChannel<PredictedCircle>,
    /// Where they cross nearest to boresight, if they do.
    pub crossing: Option<Direction>,
    /// Worst window use at that crossing, over the swing where one is given; infinite without a
    /// crossing. Remedies are ranked by it.
    pub score: f64,
    /// What would be set: the crossing that the score is of, or what uses less, over the swing where
    /// one is given. `None` where the circles do not meet and no compromise was worked out.
    pub setting: Option<PredictedSetting>,
    /// Errors of what the remedy does, one standard deviation each, independent of each other: how
    /// each moves both centres together.
    pub(super) together: Vec<PerChannel<Direction>>,
}

/// What use is judged by.
#[derive(Clone, Copy, Debug)]
pub(super) struct UseJudge<'a> {
    pub(super) window: &'a Window,
    pub(super) swing: Option<SwingRange>,
}

impl UseJudge<'_> {
    fn setting(
        &self,
        kind: PredictedKind,
        circles: PerChannel<OffsetCircle>,
        points: PerChannel<Direction>,
    ) -> PredictedSetting {
        PredictedSetting {
            kind,
            ring_deg: PerChannel::from_fn(|channel| circles[channel].ring_for(points[channel])),
            points,
            window_use: self.window.used_by(points.left, points.right),
            over_swing: self.swing.map(|range| worst_over(points, self.window, range)),
        }
    }
}

/// Shares of the window that differ by less are the same: a crossing that no setting beats is told
/// as a crossing.
const SAME: f64 = 1e-9;

impl Prediction {
    /// From the fits: circles as they will be, and what of it is uncertain together.
    pub(super) fn new(
        fits: PerChannel<PredictedCircle>,
        together: Vec<PerChannel<Direction>>,
        judge: UseJudge<'_>,
    ) -> Self {
        let circles = PerChannel::from_fn(|channel| {
            let steps = together.iter().map(|step| step[channel]);
            let known: PredictedCircle = fits[channel];
            PredictedCircle { covariance: known.of_fit.map(|own| widened(&own, steps)), ..known }
        });
        let bare = circles.map(|predicted| predicted.circle);
        let (score, crossing) = scored(&bare.left, &bare.right, judge.window, judge.swing);
        let setting = crossing.map(|point| {
            judge.setting(PredictedKind::Crossing, bare, PerChannel { left: point, right: point })
        });
        Self { circles, crossing, score, setting, together }
    }

    /// Works out the compromise for what the remedy is ranked by (at rest, or over the swing), and
    /// takes it where it uses less of the window there than the crossing does.
    pub(super) fn compromise(&mut self, judge: UseJudge<'_>) -> Result<(), Error> {
        let bare = self.circles.map(|predicted| predicted.circle);
        let points = match judge.swing {
            None => best_compromise(&bare.left, &bare.right, Some(judge.window))?.points,
            Some(range) => best_over_swing(&bare.left, &bare.right, judge.window, range)?.points,
        };
        let kind = match self.crossing {
            Some(_) => PredictedKind::Compromise,
            None => PredictedKind::NearestApproach,
        };
        let found = judge.setting(kind, bare, points);
        if self.setting.is_none_or(|crossing| found.worst() < crossing.worst() - SAME) {
            self.setting = Some(found);
        }
        Ok(())
    }

    /// Distance of the crossing from boresight; infinite without one.
    pub(super) fn away_arcmin(&self) -> f64 {
        self.crossing.map_or(f64::INFINITY, Direction::boresight_arcmin)
    }
}

impl PredictedCircle {
    /// As fitted.
    pub(super) fn of_fit(fit: &CircleFit) -> Self {
        Self {
            circle: fit.circle,
            covariance: fit.covariance,
            of_fit: fit.covariance,
            freedom: fit.counted_freedom(),
            ring_sigma_deg: fit.ring_sigma_deg,
        }
    }

    /// Moved to another circle, known as well as it was.
    pub(super) fn moved_to(self, circle: OffsetCircle) -> Self {
        Self { circle, ..self }
    }

    /// With the eyepiece of another channel, and the circle that follows.
    pub(super) fn with_eyepiece_of(self, other: &Self, circle: OffsetCircle) -> Self {
        let covariance = self.of_fit.zip(other.of_fit).map(|(own, others)| {
            CircleCovariance::from_fn(3, |i, j| match (i, j) {
                (2, 2) => others.get(2, 2),
                (2, _) | (_, 2) => 0.0,
                _ => own.get(i, j),
            })
        });
        Self {
            circle,
            covariance,
            of_fit: covariance,
            // The fewer: the wider.
            freedom: [self.freedom, other.freedom].into_iter().flatten().min(),
            ring_sigma_deg: other.ring_sigma_deg,
        }
    }
}

/// A covariance with independent moves of the centre added.
fn widened(
    covariance: &CircleCovariance,
    steps: impl Iterator<Item = Direction> + Clone,
) -> CircleCovariance {
    CircleCovariance::from_fn(covariance.size(), |i, j| {
        let added: f64 = steps
            .clone()
            .map(|step| {
                let parts = [step.x_arcmin, step.y_arcmin, 0.0, 0.0];
                parts[i.min(3)] * parts[j.min(3)]
            })
            .sum();
        covariance.get(i, j) + added
    })
}
