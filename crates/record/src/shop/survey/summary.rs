//! One session in a few figures.

use jiff::civil::Date;
use solver::{Channel, OffsetCircle, PerChannel};

use crate::conclusion::conclude;
use crate::fact::{Prediction, Remedy, SessionKind, Verdict};
use crate::fold::{Round, Session, SignatureState};

/// What a shop's list says of a session. Names are empty where nobody gave one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SessionSummary {
    /// The file's name in `sessions/`.
    pub file: String,
    /// Whether it is practice on an invented unit.
    pub practice: bool,
    /// The day of its last reading.
    pub day: Option<Date>,
    /// The unit.
    pub unit: String,
    /// Its housing type.
    pub housing: String,
    /// The station in force.
    pub station: String,
    /// Whose hand took most of the readings in use; of equals, the first.
    pub hand: String,
    /// The tolerance window in force.
    pub window: String,
    /// How many rounds.
    pub rounds: usize,
    /// The verdict as the facts give it; `None` without a window or a round.
    pub verdict: Option<Verdict>,
    /// Whether somebody signed, and nothing was added since.
    pub signed: bool,
    /// Distance of both crosshairs' middle from boresight as left, arcminutes.
    pub boresight_arcmin: Option<f64>,
    /// Window use as left.
    pub window_use: Option<f64>,
    /// Distance between the centres of both offset circles in the first round, arcminutes: what
    /// the housing and its tubes brought, before any remedy.
    pub centres_apart_arcmin: Option<f64>,
    /// How far shims missed.
    pub shim_misses: Vec<ShimMiss>,
}

/// How far a shim's measured effect was from the predicted one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShimMiss {
    /// Whose circle.
    pub channel: Channel,
    /// Distance of the measured centre from the predicted one, arcminutes.
    pub miss_arcmin: f64,
}

impl SessionSummary {
    /// What a folded session comes to.
    #[must_use]
    pub fn of(file: String, session: &Session) -> Self {
        let conclusion = conclude(session).ok();
        let measured = conclusion.as_ref().and_then(|conclusion| conclusion.measured.as_ref());
        let first = session.rounds.first().map(|round| circles(session, round));
        let last = session.rounds.iter().rev().find_map(|round| round.in_use().next_back());
        Self {
            file,
            practice: session
                .header
                .as_ref()
                .is_some_and(|header| matches!(header.kind, SessionKind::Practice(_))),
            day: last.map(|entry| entry.time.date()),
            unit: session.unit().map(|unit| unit.name.clone()).unwrap_or_default(),
            housing: session.unit().map(|unit| unit.housing.clone()).unwrap_or_default(),
            station: session.station().map(|station| station.name.clone()).unwrap_or_default(),
            hand: session.main_hand().to_owned(),
            window: session.window().map(|window| window.name.clone()).unwrap_or_default(),
            rounds: session.rounds.len(),
            verdict: conclusion.as_ref().map(|conclusion| conclusion.verdict),
            signed: matches!(session.signature(), SignatureState::Signed(held) if !held.outdated),
            boresight_arcmin: measured.map(|measured| measured.boresight_arcmin),
            window_use: measured.map(|measured| measured.window_use.worst()),
            centres_apart_arcmin: first.and_then(|first| {
                let (left, right) = first.left.zip(first.right)?;
                Some(left.centre.distance_arcmin(right.centre))
            }),
            shim_misses: shim_misses(session),
        }
    }

    /// Whether the session came to a verdict: pass, fail or undecided.
    #[must_use]
    pub fn is_decided(&self) -> bool {
        self.verdict.is_some_and(|verdict| verdict != Verdict::NotMeasured)
    }

    /// Whether it passed without a second round.
    #[must_use]
    pub fn passed_first(&self) -> bool {
        self.verdict == Some(Verdict::Pass) && self.rounds == 1
    }
}

/// The fitted circles of a round, as far as its readings go.
fn circles(session: &Session, round: &Round) -> PerChannel<Option<OffsetCircle>> {
    let Some(problem) = session.problem(round.id) else { return PerChannel::default() };
    PerChannel::from_fn(|channel| {
        let readings = &problem.readings[channel];
        let fit =
            solver::fit::fit_circle(channel, readings, problem.spread, problem.sense[channel]);
        fit.ok().filter(|fit| !fit.arc_too_short()).map(|fit| fit.circle)
    })
}

/// Each shim taken with a prediction, against the round after it.
fn shim_misses(session: &Session) -> Vec<ShimMiss> {
    let mut misses = Vec::new();
    for (round, next) in session.rounds.iter().zip(session.rounds.iter().skip(1)) {
        for (_, taken) in &round.remedies {
            if let (Remedy::Shim(shims), Some(prediction)) = (&taken.remedy, &taken.prediction) {
                let measured = circles(session, next);
                let shimmed =
                    |channel: &Channel| shims.iter().any(|under| under.channel == *channel);
                for channel in Channel::BOTH.into_iter().filter(shimmed) {
                    misses.extend(miss(channel, prediction, measured[channel]));
                }
            }
        }
    }
    misses
}

fn miss(
    channel: Channel,
    prediction: &Prediction,
    measured: Option<OffsetCircle>,
) -> Option<ShimMiss> {
    let [x, y] = prediction.circles[channel]?.centre_arcmin;
    let miss_arcmin = measured?.centre.distance_arcmin(solver::Direction::new(x, y));
    Some(ShimMiss { channel, miss_arcmin })
}
