//! Housing error apart from tube offset, from a session's rounds with tubes swapped or turned.

use solver::remedy::swap::{SeatedTube, TubeFacts};
use solver::source_split::{Observation, Split};
use solver::{Channel, PerChannel};

use super::tried::fit;
use crate::fold::{Round, Session};
use crate::unit::Unit;

/// Uncertainties a split takes, arcminutes.
const U_RANGE_ARCMIN: [f64; 2] = [1e-3, 1e3];

/// Housing error apart from tube offset, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct TubeSplit {
    /// What the rounds determine; tubes are numbered as in `serials`.
    pub split: Split,
    /// The tubes' serial numbers.
    pub serials: Vec<String>,
    /// The numbers of the rounds it rests on.
    pub rounds: Vec<usize>,
    /// How the tubes sit now; `None` where no round that counts saw that tube.
    pub seated: PerChannel<Option<SeatedTube>>,
}

/// What the rounds of a session tell of pods and tubes; `None` before any does. Only rounds with the
/// eyepieces and shims that are in it now count: both move a centre too. Tubes are known by serial
/// number.
#[must_use]
pub fn tube_split(session: &Session) -> Option<TubeSplit> {
    let now = session.unit()?;
    let mut serials: Vec<&str> = Vec::new();
    let mut observations = Vec::new();
    let mut rounds = Vec::new();
    for round in &session.rounds {
        let Some(unit) = unit_of(session, round).filter(|unit| same_but_for_tubes(unit, now))
        else {
            continue;
        };
        let before = observations.len();
        for pod in Channel::BOTH {
            let tube = &unit.tubes[pod];
            let Some(fit) = fit(session, round.id, pod) else { continue };
            let Some(covariance) = fit.covariance else { continue };
            if tube.serial.is_empty() {
                continue;
            }
            let number = number_of(&mut serials, &tube.serial);
            let variance_arcmin2 = (covariance.get(0, 0) + covariance.get(1, 1)) / 2.0;
            let [least, most] = U_RANGE_ARCMIN;
            observations.push(Observation {
                pod,
                tube: number,
                turned_deg: tube.turned_deg,
                centre: fit.circle.centre,
                u_arcmin: variance_arcmin2.sqrt().clamp(least, most),
            });
        }
        if observations.len() > before {
            rounds.push(round.number);
        }
    }
    let seated = now.tubes.as_ref().map(|tube| {
        let tube_number = serials.iter().position(|serial| *serial == tube.serial)?;
        Some(SeatedTube { tube: tube_number, turned_deg: tube.turned_deg })
    });
    let split = Split::of(&observations).ok()?;
    let serials = serials.into_iter().map(str::to_owned).collect();
    Some(TubeSplit { split, serials, rounds, seated })
}

/// What the rounds of a session tell of the tubes that sit in it now.
#[must_use]
pub fn tube_facts(session: &Session) -> TubeFacts {
    let Some(TubeSplit { split, seated, .. }) = tube_split(session) else {
        return TubeFacts::default();
    };
    match (seated.left, seated.right) {
        (Some(left), Some(right)) => TubeFacts::from_split(&split, PerChannel { left, right }),
        _ => TubeFacts::default(),
    }
}

/// The unit as built in a round.
fn unit_of<'a>(session: &'a Session, round: &Round) -> Option<&'a Unit> {
    let seq = round.unit?;
    session.units.iter().find(|said| said.seq == seq).map(|said| &said.body)
}

fn same_but_for_tubes(a: &Unit, b: &Unit) -> bool {
    let same_eyepiece = |pod| a.eyepieces[pod].serial == b.eyepieces[pod].serial;
    Channel::BOTH.into_iter().all(same_eyepiece) && a.shims == b.shims && a.housing == b.housing
}

fn number_of<'a>(serials: &mut Vec<&'a str>, serial: &'a str) -> usize {
    serials.iter().position(|known| *known == serial).unwrap_or_else(|| {
        serials.push(serial);
        serials.len() - 1
    })
}
