//! What a remedy is predicted to give: circles, a setting, its use.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::{CircleCovariance, CircleFit};
use crate::remedy::plans::scored;
use crate::setting::best_compromise;
use crate::solve::SettingKind;
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

/// The rings' setting after a remedy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PredictedSetting {
    /// The nearest crossing, or the best that can be done without.
    pub kind: SettingKind,
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
    /// What would be set; `None` where the circles do not meet and no compromise was worked out.
    pub setting: Option<PredictedSetting>,
    /// Errors of what the remedy does, one standard deviation each, independent of each other: how
    /// each moves both centres together.
    pub(super) together: Vec<PerChannel<Direction>>,
}

/// What use is judged by.
#[derive(Clone, Copy, Debug)]
pub(super) struct Judge<'a> {
    pub(super) window: &'a Window,
    pub(super) swing: Option<SwingRange>,
}

impl Judge<'_> {
    fn setting(
        &self,
        kind: SettingKind,
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

impl Prediction {
    /// From the fits: circles as they will be, and what of it is uncertain together.
    pub(super) fn new(
        fits: PerChannel<PredictedCircle>,
        together: Vec<PerChannel<Direction>>,
        judge: Judge<'_>,
    ) -> Self {
        let circles = PerChannel::from_fn(|channel| {
            let steps = together.iter().map(|step| step[channel]);
            let known: PredictedCircle = fits[channel];
            PredictedCircle { covariance: known.of_fit.map(|own| widened(&own, steps)), ..known }
        });
        let bare = circles.map(|predicted| predicted.circle);
        let (score, crossing) = scored(&bare.left, &bare.right, judge.window, judge.swing);
        let setting = crossing.map(|point| {
            judge.setting(SettingKind::Crossing, bare, PerChannel { left: point, right: point })
        });
        Self { circles, crossing, score, setting, together }
    }

    /// Works out the compromise, and takes it where it uses less than the crossing at rest.
    pub(super) fn compromise(&mut self, judge: Judge<'_>) -> Result<(), Error> {
        let bare = self.circles.map(|predicted| predicted.circle);
        let best = best_compromise(&bare.left, &bare.right, Some(judge.window))?;
        let crossing = self.setting.map_or(f64::INFINITY, |setting| setting.window_use.worst());
        if best.value < crossing {
            self.setting = Some(judge.setting(SettingKind::Compromise, bare, best.points));
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
