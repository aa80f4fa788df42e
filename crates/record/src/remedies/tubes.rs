//! Housing error apart from tube offset, from a session's rounds with tubes traded or turned.

use solver::remedy::swap::{SeatedTube, TubeFacts};
use solver::source_split::{Observation, Split};
use solver::{Channel, PerChannel};

use super::tried::fit;
use crate::fold::{Round, Session};
use crate::unit::Unit;

/// Uncertainties a split takes, arcminutes.
const U_RANGE_ARCMIN: [f64; 2] = [1e-3, 1e3];

/// What the rounds of a session tell of the tubes that sit in it now. Only rounds with the eyepieces
/// and shims that are in it now count: both move a centre too. Tubes are known by serial number.
#[must_use]
pub fn tube_facts(session: &Session) -> TubeFacts {
    let Some(now) = session.unit() else { return TubeFacts::default() };
    let mut serials: Vec<&str> = Vec::new();
    let mut observations = Vec::new();
    for round in &session.rounds {
        let Some(unit) = unit_of(session, round).filter(|unit| same_but_for_tubes(unit, now))
        else {
            continue;
        };
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
    }
    let seated = now.tubes.as_ref().map(|tube| {
        let tube_number = serials.iter().position(|serial| *serial == tube.serial)?;
        Some(SeatedTube { tube: tube_number, turned_deg: tube.turned_deg })
    });
    match (seated.left, seated.right, Split::of(&observations)) {
        (Some(left), Some(right), Ok(split)) => {
            TubeFacts::from_split(&split, PerChannel { left, right })
        }
        _ => TubeFacts::default(),
    }
}

/// The unit as built in a round.
fn unit_of<'a>(session: &'a Session, round: &Round) -> Option<&'a Unit> {
    let seq = round.unit?;
    session.units.iter().find(|said| said.seq == seq).map(|said| &said.value)
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
