//! Taking a remedy: the facts that say so, with the prediction as it was shown.

use solver::PerChannel;
use solver::angle::reduced_deg;
use solver::remedy::rank::{RankedRemedy as Ranked, RemedyAction};
use solver::remedy::shim::{ChannelShim as Put, ShimEffect};

use super::KnownOfUnit;
use crate::fact::{
    Body, PredictionBasis, Remedy, RemedyTaken, RoundOpened, RoundReason, Seq, ShimUnder,
    ShownCircle, ShownPrediction, TurnedPart,
};
use crate::fold::Session;
use crate::housing::ShimEnds;
use crate::unit::{Eyepiece, Shim, Tube, Unit};

/// Half way round: the only turn of a tube that is worked out.
const HALF_TURN_DEG: f64 = 180.0;

/// The facts that taking a remedy makes, in order: the remedy with its prediction, the next round,
/// and in it the unit as it is built from then on. `round`: the one it was worked out from;
/// `effect`: what a shim was taken to do. A shim that may go at either end is recorded at the front one:
/// choose by [`RemedyAction::at_end`] before.
#[must_use]
pub fn taking(session: &Session, round: Seq, remedy: &Ranked, known: &KnownOfUnit) -> Vec<Body> {
    let remedy = &Ranked { action: remedy.action.at_end(ShimEnds::Front), ..remedy.clone() };
    facts(session, round, &remedy.action, Some(prediction(remedy, known)))
}

/// The same of a remedy that is the hand's own, where nothing was predicted.
#[must_use]
pub fn taking_own(session: &Session, round: Seq, action: &RemedyAction) -> Vec<Body> {
    facts(session, round, action, None)
}

fn facts(
    session: &Session,
    round: Seq,
    action: &RemedyAction,
    prediction: Option<ShownPrediction>,
) -> Vec<Body> {
    let done = what_was_done(action);
    let built = session.unit().map(|unit| Body::Unit(rebuilt(unit, &done)));
    let taken = RemedyTaken { round, remedy: done, prediction, note: String::new() };
    let opened = RoundOpened { why: RoundReason::Remedy, note: String::new() };
    let mut bodies = vec![Body::RemedyTaken(taken), Body::RoundOpened(opened)];
    bodies.extend(built);
    bodies
}

fn what_was_done(action: &RemedyAction) -> Remedy {
    match action {
        RemedyAction::Shims(shims) => Remedy::Shim(
            shims
                .iter()
                .filter_map(|(channel, shim)| {
                    Some(ShimUnder { channel, shim: stack(shim.as_ref()?) })
                })
                .collect(),
        ),
        RemedyAction::EyepieceSwap => Remedy::SwapEyepieces,
        RemedyAction::TubeSwap => Remedy::SwapTubes,
        RemedyAction::TubeTurn(channel) => {
            Remedy::TurnTube(TurnedPart { channel: *channel, by_deg: HALF_TURN_DEG })
        }
    }
}

fn stack(shim: &Put) -> Shim {
    Shim { clock_deg: shim.clock_deg, leaves_mm: shim.leaves_mm.clone(), ends: shim.ends }
}

/// The unit as a remedy leaves it built; what was fitted anew has no serial number yet.
pub(super) fn rebuilt(unit: &Unit, remedy: &Remedy) -> Unit {
    let mut built = unit.clone();
    match remedy {
        Remedy::Shim(shims) => {
            for ShimUnder { channel, shim } in shims {
                built.shims[*channel].push(shim.clone());
            }
        }
        Remedy::SwapEyepieces => built.eyepieces = built.eyepieces.swapped(),
        Remedy::SwapTubes => built.tubes = built.tubes.swapped(),
        Remedy::TurnTube(turned) => {
            let tube = &mut built.tubes[turned.channel];
            tube.turned_deg = reduced_deg(tube.turned_deg + turned.by_deg);
        }
        Remedy::ReplaceTube(channel) => built.tubes[*channel] = Tube::default(),
        Remedy::ReplaceEyepiece(channel) => built.eyepieces[*channel] = Eyepiece::default(),
        Remedy::Other => {}
    }
    built
}

fn prediction(remedy: &Ranked, known: &KnownOfUnit) -> ShownPrediction {
    let predicted = &remedy.predicted;
    let setting = predicted.setting.as_ref();
    ShownPrediction {
        circles: PerChannel::from_fn(|channel| {
            let circle = predicted.circles[channel].circle;
            Some(ShownCircle {
                centre_arcmin: [circle.centre.x_arcmin, circle.centre.y_arcmin],
                radius_arcmin: circle.radius_arcmin,
                phase_deg: circle.phase.map(|phase| phase.zero_deg),
            })
        }),
        crossing_arcmin: predicted.crossing.map(|point| [point.x_arcmin, point.y_arcmin]),
        crossing_u_arcmin: None,
        ring_deg: setting.map_or_else(PerChannel::default, |setting| setting.ring_deg),
        window_use: setting.map(|setting| setting.window_use.worst()),
        worst_window_use: setting
            .and_then(|setting| setting.over_swing.as_ref())
            .map(|worst| worst.used.worst()),
        basis: match (&remedy.action, known.effect) {
            (RemedyAction::Shims(_), Some(ShimEffect::Measured { .. })) => {
                PredictionBasis::Measured
            }
            (RemedyAction::Shims(_), _) => PredictionBasis::Model,
            _ => PredictionBasis::Readings,
        },
        words: remedy.action.sentences().join(" "),
    }
}
