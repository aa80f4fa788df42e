//! What a session tells of the parts in it: the circle of each pod in each round, the shims taken off its
//! centre.

use solver::remedy::shim::ShimEffect;
use solver::shelf::Radius;
use solver::{Channel, Direction, OffsetCircle};

use crate::account::circles_of;
use crate::fold::Session;
use crate::stamp::Stamp;
use crate::station::ReferenceUncertainty;
use crate::unit::Shim;

/// One pod's circle in one round.
#[derive(Clone, Debug, PartialEq)]
pub struct PodSeen {
    /// The session's file.
    pub file: String,
    /// When its round was opened.
    pub time: Stamp,
    /// Its round, as people count.
    pub round: usize,
    /// The unit.
    pub unit: String,
    /// Its housing type.
    pub housing: String,
    /// Which pod.
    pub channel: Channel,
    /// The tube in it; empty where nobody named one.
    pub tube: String,
    /// How far it was turned, degrees clockwise.
    pub turned_deg: f64,
    /// The eyepiece; empty where nobody named one.
    pub eyepiece: String,
    /// The circle as it was read.
    pub circle: OffsetCircle,
    /// Covariance of its centre, station reference included, square arcminutes.
    pub covariance_arcmin2: [[f64; 2]; 2],
    /// Its radius.
    pub radius: Radius,
    /// The shims under the tube.
    pub shims: Vec<Shim>,
}

impl PodSeen {
    /// What its shims do to the centre, and the standard uncertainty of that as a share of itself; `None`
    /// where there are shims and nothing tells what they do.
    #[must_use]
    pub fn shimmed_by(&self, effect: Option<&ShimEffect>) -> Option<(Direction, f64)> {
        if self.shims.is_empty() {
            return Some((Direction::BORESIGHT, 0.0));
        }
        let effect = effect?;
        let shift = self.shims.iter().fold(Direction::BORESIGHT, |sum, shim| {
            sum + effect.shift(shim.ends, shim.leaves_mm.iter().sum(), shim.clock_deg)
        });
        Some((shift, effect.relative_u()))
    }
}

/// Every circle of a session that can be trusted and whose uncertainty is known.
#[must_use]
pub fn pods_seen(file: &str, session: &Session) -> Vec<PodSeen> {
    let mut seen = Vec::new();
    for round in &session.rounds {
        let said = session.units.iter().find(|said| Some(said.seq) == round.unit);
        let (Some(unit), Some(circles)) =
            (said.map(|said| &said.body), circles_of(session, round.id))
        else {
            continue;
        };
        let station = session.stations.iter().find(|said| Some(said.seq) == round.station);
        let reference = station.map(|said| said.body.reference).unwrap_or_default();
        let named = session.housing().map(|housing| housing.name.as_str()).unwrap_or_default();
        let housing = if unit.housing.is_empty() { named } else { &unit.housing };
        for channel in Channel::BOTH {
            let Some(fit) = circles.trusted(channel) else { continue };
            let Some(covariance) = fit.covariance else { continue };
            let radius = fit.circle.radius_arcmin;
            let u_arcmin = covariance.get(2, 2).max(0.0).sqrt();
            if !(radius > 0.0 && radius.is_finite() && u_arcmin.is_finite()) {
                continue;
            }
            let entry = |i: usize, j: usize| {
                let floor = if i == j { LEAST_U_ARCMIN * LEAST_U_ARCMIN } else { 0.0 };
                covariance.get(i, j) + floor + of_reference(&reference, channel, i, j)
            };
            seen.push(PodSeen {
                file: file.to_owned(),
                time: round.time,
                round: round.number,
                unit: unit.name.clone(),
                housing: housing.to_owned(),
                channel,
                tube: unit.tubes[channel].serial.clone(),
                turned_deg: unit.tubes[channel].turned_deg,
                eyepiece: unit.eyepieces[channel].serial.clone(),
                circle: fit.circle,
                covariance_arcmin2: [0, 1].map(|i| [0, 1].map(|j| entry(i, j))),
                radius: Radius { arcmin: radius, u_arcmin: u_arcmin.max(LEAST_U_ARCMIN) },
                shims: unit.shims[channel].clone(),
            });
        }
    }
    seen
}

/// No centre is known better than this, arcminutes: what is exact has no weight.
const LEAST_U_ARCMIN: f64 = 1e-3;

/// A station's zero, as the reference leaves it open.
fn of_reference(reference: &ReferenceUncertainty, channel: Channel, i: usize, j: usize) -> f64 {
    if i != j {
        return 0.0;
    }
    let own = reference.own_u_arcmin[channel];
    let at = |u: [f64; 2]| if i == 0 { u[0] * u[0] } else { u[1] * u[1] };
    at(own) + at(reference.common_u_arcmin)
}
