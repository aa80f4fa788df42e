//! What the rounds of one session tell, worked out once for its summary.

use solver::{Channel, CircleFit, Direction, PerChannel, Relation, Sense, SenseBasis, SenseChoice};

use crate::account::circles_of;
use crate::aimed::aimed;
use crate::conclusion::Measured;
use crate::fact::{Remedy, Seq, ShownPrediction};
use crate::fold::{Round, Session};

/// How far a shim's measured effect was from the predicted one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimMiss {
    /// Whose circle.
    pub channel: Channel,
    /// Distance of the measured centre from the predicted one, arcminutes.
    pub miss_arcmin: f64,
}

/// What a shim was predicted to do to its circle's centre, and what it did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimSeen {
    /// Whose circle.
    pub channel: Channel,
    /// Predicted shift of the centre.
    pub predicted: Direction,
    /// Measured shift.
    pub measured: Direction,
}

impl ShimSeen {
    /// The length of the predicted shift, arcminutes.
    #[must_use]
    pub fn predicted_arcmin(&self) -> f64 {
        self.predicted.boresight_arcmin()
    }

    /// How much of the measured shift went where it was predicted to go, arcminutes; `None` where
    /// nothing was predicted.
    #[must_use]
    pub fn measured_along_arcmin(&self) -> Option<f64> {
        let along = self.measured.dot(self.predicted) / self.predicted_arcmin();
        along.is_finite().then_some(along)
    }
}

/// The fitted circles of every round, as far as its readings go.
pub(super) struct Rounds {
    fits: Vec<PerChannel<Option<CircleFit>>>,
}

impl Rounds {
    pub(super) fn of(session: &Session) -> Self {
        Self { fits: session.rounds.iter().map(|round| circles(session, round)).collect() }
    }

    pub(super) fn first(&self) -> Option<&PerChannel<Option<CircleFit>>> {
        self.fits.first()
    }

    /// Each shimmed channel's predicted centre, and its centre before and after.
    fn shimmed(&self, session: &Session) -> Vec<ShimOutcome> {
        let mut found = Vec::new();
        let rounds = session.rounds.iter().zip(&self.fits);
        for ((round, before), after) in rounds.zip(self.fits.iter().skip(1)) {
            for (remedy, taken) in &round.remedies {
                if let (Remedy::Shim(shims), Some(prediction)) = (&taken.remedy, &taken.prediction)
                {
                    let is_shimmed =
                        |channel: &Channel| shims.iter().any(|under| under.channel == *channel);
                    for channel in Channel::BOTH.into_iter().filter(is_shimmed) {
                        let centre = |fits: &PerChannel<Option<CircleFit>>| {
                            fits[channel].as_ref().map(|fit| fit.circle.centre)
                        };
                        if let (Some(predicted), Some(after)) =
                            (predicted_centre(prediction, channel), centre(after))
                        {
                            found.push(ShimOutcome {
                                remedy: *remedy,
                                channel,
                                predicted,
                                before: centre(before),
                                after,
                            });
                        }
                    }
                }
            }
        }
        found
    }

    pub(super) fn shim_misses(&self, session: &Session) -> Vec<ShimMiss> {
        self.shimmed(session).iter().map(ShimOutcome::miss).collect()
    }

    pub(super) fn shims(&self, session: &Session) -> Vec<ShimSeen> {
        self.shimmed(session).iter().filter_map(ShimOutcome::seen).collect()
    }
}

/// What a shim did to its circle, beside what was predicted of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimOutcome {
    /// The `seq` of the remedy's fact.
    pub remedy: Seq,
    /// Whose circle.
    pub channel: Channel,
    /// The centre as predicted.
    pub predicted: Direction,
    /// The centre before; `None` where that round does not tell.
    pub before: Option<Direction>,
    /// The centre that the round after it measured.
    pub after: Direction,
}

impl ShimOutcome {
    /// The shims of a session that had a prediction and were measured, in the order taken; none while an
    /// examination [is sat](Session::withholds).
    #[must_use]
    pub fn all(session: &Session) -> Vec<Self> {
        Rounds::of(session).shimmed(session)
    }

    /// How far it missed.
    #[must_use]
    pub fn miss(&self) -> ShimMiss {
        ShimMiss { channel: self.channel, miss_arcmin: self.after.distance_arcmin(self.predicted) }
    }

    /// The shifts; `None` where nobody knows where the centre was before.
    #[must_use]
    pub fn seen(&self) -> Option<ShimSeen> {
        let before = self.before?;
        Some(ShimSeen {
            channel: self.channel,
            predicted: self.predicted - before,
            measured: self.after - before,
        })
    }
}

fn predicted_centre(prediction: &ShownPrediction, channel: Channel) -> Option<Direction> {
    let [x, y] = prediction.circles[channel]?.centre_arcmin;
    Some(Direction::new(x, y))
}

fn circles(session: &Session, round: &Round) -> PerChannel<Option<CircleFit>> {
    let circles = circles_of(session, round.id);
    PerChannel::from_fn(|channel| circles.as_ref()?.trusted(channel).copied())
}

/// How two circles lie to each other.
pub(super) fn relation(left: &CircleFit, right: &CircleFit) -> Option<Relation> {
    let tolerance = solver::meet::RELATION_TOLERANCE;
    let met = solver::meet::meet(&left.circle, &right.circle, tolerance).ok()?;
    Some(met.relation)
}

/// Which way round the first round's crosshairs run, by the readings alone: what the unit says of its
/// rings is not asked, or a ring numbered backwards would never be found.
pub(super) fn senses(session: &Session) -> PerChannel<Option<Sense>> {
    let problem = session.rounds.first().and_then(|round| session.problem(round.id));
    PerChannel::from_fn(|channel| {
        let problem = problem.as_ref()?;
        let readings = &problem.readings[channel];
        let fit = solver::fit::fit_circle(channel, readings, problem.spread, SenseChoice::Auto);
        let fit = fit.ok()?;
        let told = matches!(fit.sense_basis, Some(SenseBasis::Found { .. }));
        fit.circle.phase.filter(|_| told).map(|phase| phase.sense)
    })
}

/// Root mean square of both fits' residuals.
pub(super) fn scatter_arcmin(fits: [&CircleFit; 2]) -> f64 {
    let squares = fits.map(|fit| fit.rms_arcmin * fit.rms_arcmin * fit.readings as f64);
    let count: usize = fits.iter().map(|fit| fit.readings).sum();
    (squares.iter().sum::<f64>() / count.max(1) as f64).sqrt()
}

/// How far the crosshairs were left from where the last chosen setting meant to put them.
pub(super) fn setting_miss_arcmin(session: &Session, measured: &Measured) -> Option<f64> {
    let aimed = aimed(session.round()?, measured)?;
    let squares = Channel::BOTH.map(|channel| aimed.miss(channel).dot(aimed.miss(channel)));
    Some((squares.iter().sum::<f64>() / 2.0).sqrt())
}
