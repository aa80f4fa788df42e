//! How a job goes: as found, a round, a setting, shims where it is no good, confirm readings, the
//! looking test, a signature, and what the supervisor says.

use jiff::ToSpan as _;
use record::fact::{Remedy, RemedyTaken, ShownPrediction};
use record::remedies::{KnownOfUnit, taking};
use record::{
    Body, Countersigned, Error, Lock, LookingResult, LookingTest, Note, Purpose, Reading, Returned,
    Seq, Typed,
};
use solver::remedy::rank::RemedyAction;
use solver::{Channel, Direction, PerChannel};

use super::log::Log;
use super::truth::{Draw, SHIM_SHARE};
use crate::chosen::chosen;

/// Ring positions of a usual round; the last closes it at the first position.
const ROUND: [f64; 6] = [0.0, 60.0, 120.0, 180.0, 240.0, 0.0];

/// Who answers what is signed.
pub(crate) const SUPERVISOR: &str = "SH";

/// Standard deviation of how a unit sits after it was taken off, each axis, arcminutes.
const SEATING_ARCMIN: f64 = 0.15;

/// Window use from which a setting is not taken without a remedy.
const NO_GOOD: f64 = 0.85;

/// Logs both circles and chooses the recommended setting; its rings and its window use.
fn log_and_choose(log: &mut Log) -> Result<Option<(PerChannel<f64>, f64)>, Error> {
    for channel in Channel::BOTH {
        for ring_deg in ROUND {
            log.read(Purpose::Log, channel, ring_deg, Direction::BORESIGHT, |_, _| ())?;
        }
    }
    let Some(chosen) = chosen(&log.session(), log.round)? else { return Ok(None) };
    let used = chosen.window_use.unwrap_or(0.0);
    let PerChannel { left, right } = chosen.ring_deg;
    Ok(left.zip(right).map(|(left, right)| (PerChannel { left, right }, used)))
}

/// A whole job up to its confirm readings, `found_at_deg` where the rings came, with shims where the housing takes them and the first round
/// is no good.
pub(crate) fn measure(
    log: &mut Log,
    found_at_deg: PerChannel<f64>,
    lock_turn_deg: PerChannel<f64>,
    draw: &mut Draw,
) -> Result<(), Error> {
    log.as_found(found_at_deg)?;
    let Some((mut rings_deg, used)) = log_and_choose(log)? else { return Ok(()) };
    let can_shim = log.session().housing().is_some_and(|housing| housing.seat.is_some());
    if used > NO_GOOD && can_shim && shim(log, draw)? {
        match log_and_choose(log)? {
            Some((rings, _)) => rings_deg = rings,
            None => return Ok(()),
        }
    }
    if let Some(chosen) = chosen(&log.session(), log.round)? {
        log.add(35, Body::SettingChosen(chosen))?;
    }
    confirm(log, rings_deg, lock_turn_deg, draw)
}

/// Takes the best shim plan; `false` where there is none.
fn shim(log: &mut Log, draw: &mut Draw) -> Result<bool, Error> {
    let session = log.session();
    let known = KnownOfUnit::of_session(&session, &[]);
    let Some(problem) = session.problem(log.round) else { return Ok(false) };
    let solution = solver::solve(&problem)?;
    let (Some(fits), Some(window)) = (solution.both_fits(), problem.window) else {
        return Ok(false);
    };
    let ranking = known.ranked(fits, &window, session.swing())?;
    let is_shims = |remedy: &&solver::remedy::rank::RankedRemedy| {
        matches!(remedy.action, RemedyAction::Shims(_))
    };
    let Some(best) = ranking.remedies.iter().find(is_shims) else { return Ok(false) };
    // What the model predicts, less what the seats give.
    for channel in Channel::BOTH {
        let shift = best.predicted.circles[channel].circle.centre - fits[channel].circle.centre;
        let centre = &mut log.bench.circles[channel].centre;
        if shift.boresight_arcmin() > 0.0 {
            *centre =
                *centre + shift * SHIM_SHARE + Direction::new(draw.normal(0.2), draw.normal(0.2));
        }
    }
    for body in taking(&session, log.round, best, &known) {
        let opens = matches!(body, Body::RoundOpened(_));
        let body = match body {
            Body::RemedyTaken(taken) => Body::RemedyTaken(nine_decimals(taken)),
            body => body,
        };
        let seq = log.add(300, body)?;
        if opens {
            log.round = seq;
        }
    }
    Ok(true)
}

/// A prediction coarser than one machine's sine from another's.
fn nine_decimals(taken: RemedyTaken) -> RemedyTaken {
    let kept = |value: f64| (value * 1e9).round() / 1e9;
    let prediction = taken.prediction.map(|prediction| ShownPrediction {
        circles: prediction.circles.map(|circle| {
            circle.map(|mut circle| {
                circle.centre_arcmin = circle.centre_arcmin.map(kept);
                circle.radius_arcmin = kept(circle.radius_arcmin);
                circle.phase_deg = circle.phase_deg.map(kept);
                circle
            })
        }),
        crossing_arcmin: prediction.crossing_arcmin.map(|point| point.map(kept)),
        ring_deg: prediction.ring_deg.map(|ring| ring.map(kept)),
        window_use: prediction.window_use.map(kept),
        worst_window_use: prediction.worst_window_use.map(kept),
        ..prediction
    });
    debug_assert!(matches!(taken.remedy, Remedy::Shim(_)));
    RemedyTaken { prediction, ..taken }
}

/// Confirm readings: one with the locks open, two tight, two after reseating; rings are not read once
/// they are set.
pub(crate) fn confirm(
    log: &mut Log,
    rings_deg: PerChannel<f64>,
    lock_turn_deg: PerChannel<f64>,
    draw: &mut Draw,
) -> Result<(), Error> {
    for (lock, reseated, times) in
        [(Lock::Before, false, 2), (Lock::After, false, 2), (Lock::After, true, 2)]
    {
        for _ in 0..times {
            let seated = if reseated { SEATING_ARCMIN } else { 0.0 };
            let off = Direction::new(draw.normal(seated), draw.normal(seated));
            for channel in Channel::BOTH {
                let turned = if lock == Lock::After { lock_turn_deg[channel] } else { 0.0 };
                let ring_deg = rings_deg[channel] + turned;
                log.read(Purpose::Confirm, channel, ring_deg, off, |reading, seen| {
                    note(reading, lock, reseated && channel == Channel::Left);
                    seen.ring_deg = None;
                })?;
            }
        }
    }
    Ok(())
}

fn note(reading: &mut Reading, lock: Lock, reseated: bool) {
    reading.lock = Some(lock);
    reading.reseated = reseated;
    reading.dioptre = Typed::parse("0").ok();
}

/// A look through at a far point.
pub(crate) fn look(log: &mut Log, result: LookingResult) -> Result<(), Error> {
    log.add(
        600,
        Body::LookingTest(LookingTest {
            distance_m: Some(Typed::parse("1200")?),
            result,
            observer: String::new(),
            note: "lamp on the water tower".into(),
        }),
    )?;
    Ok(())
}

/// What the supervisor says two days later.
pub(crate) fn answer(
    log: &mut Log,
    signature: Seq,
    comment: &str,
    agrees: bool,
) -> Result<(), Error> {
    let last_hash = log.last_hash()?;
    let hand = log.session().main_hand().to_owned();
    let day = log.day();
    log.hand_over(SUPERVISOR, day.checked_add(2.days()).unwrap_or(day));
    let comment = comment.to_owned();
    log.add(
        60,
        if agrees {
            Body::Countersigned(Countersigned { signature, last_hash, comment, hands_sha256: None })
        } else {
            Body::Returned(Returned { signature, comment })
        },
    )?;
    log.hand_over(&hand, log.day());
    Ok(())
}

/// A remark.
pub(crate) fn remark(log: &mut Log, text: &str) -> Result<Seq, Error> {
    log.add(30, Body::Note(Note { text: text.into(), about: None }))
}
