//! The maps that follow from what was shown and read, and what is missing.

use core::fmt;

use solver::upkeep::station_map::{
    Flips, FoundMap, KnownDeviation, MapFinding, MapGap, MapProblem, Scales, find_map,
};
use solver::{Channel, PerChannel};

use super::{Calibrating, CalibrationSigned, FoundBy, KnownShown, SignedMap};
use crate::axis::Axis;
use crate::station::{Calibration, Station, StationMap};

/// Why a calibration gives no station's numbers yet.
#[derive(Clone, Debug, PartialEq)]
pub enum CalibrationGap {
    /// Which way a number runs was not looked at.
    NotLookedAt(Channel, Axis),
    /// No map can be told.
    Map(Channel, MapGap),
    /// Something speaks against a map so that it must not be used.
    Against(Channel, MapFinding),
    /// How well a map is known cannot be told.
    HowWell(Channel),
    /// Certificate and due day are not said.
    Terms,
}

impl fmt::Display for CalibrationGap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotLookedAt(channel, axis) => {
                let way = match axis {
                    Axis::X => "to the right",
                    Axis::Y => "up",
                };
                write!(f, "{channel}: put the crosshair {way} and say which way {axis} went")
            }
            Self::Map(channel, gap) => write!(f, "{channel}: {gap}"),
            Self::Against(channel, finding) => write!(f, "{channel}: {finding}"),
            Self::HowWell(channel) => write!(
                f,
                "{channel}: how well the map is known cannot be told; say how well a reading is read, or show one \
                 deviation more"
            ),
            Self::Terms => {
                f.write_str("say the certificate and to which day the calibration holds")
            }
        }
    }
}

/// What follows for one channel: the map, and the deviations its residuals belong to, in their order.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationOutcome {
    /// The map.
    pub found: FoundMap,
    /// The deviations.
    pub known: Vec<KnownShown>,
}

impl Calibrating {
    /// The map of a channel, whatever speaks against it.
    ///
    /// # Errors
    /// What is missing.
    pub fn outcome(&self, channel: Channel) -> Result<CalibrationOutcome, CalibrationGap> {
        let [x, y] = self.flips[channel];
        let seen =
            |falls: Option<bool>, axis| falls.ok_or(CalibrationGap::NotLookedAt(channel, axis));
        let flips = Flips { x: seen(x, Axis::X)?, y: seen(y, Axis::Y)? };
        let known: Vec<KnownShown> = self.in_use().cloned().collect();
        let readings: Vec<Vec<[f64; 2]>> =
            known.iter().map(|shown| self.read_of(shown.seq, channel)).collect();
        let deviations: Vec<KnownDeviation<'_>> = known
            .iter()
            .zip(&readings)
            .map(|(shown, readings)| KnownDeviation {
                direction: shown.direction(),
                u_arcmin: shown.taken.u.as_ref().map_or(0.0, crate::number::Typed::value),
                readings,
            })
            .collect();
        let terms = self.terms.as_ref();
        let each_axis = terms.is_some_and(|terms| terms.each_axis);
        let problem = MapProblem {
            flips,
            deviations: &deviations,
            sigma_divisions: terms.and_then(|terms| Some(terms.sigma.as_ref()?.value())),
            scales: if each_axis { Scales::Each } else { Scales::One },
        };
        let found = find_map(&problem).map_err(|gap| CalibrationGap::Map(channel, gap))?;
        Ok(CalibrationOutcome { found, known })
    }

    /// The numbers that follow, to be signed.
    ///
    /// # Errors
    /// What is missing, or speaks against them.
    pub fn numbers(&self, program: &str) -> Result<CalibrationSigned, CalibrationGap> {
        let of = |channel| {
            let found = self.outcome(channel)?.found;
            if let Some(finding) = found.findings.iter().find(|finding| finding.forbids()) {
                return Err(CalibrationGap::Against(channel, *finding));
            }
            let known = found.reference_u_arcmin().ok_or(CalibrationGap::HowWell(channel))?;
            Ok((SignedMap { map: station_map(&found), own_u_arcmin: known.0 }, known.1))
        };
        let terms = self.terms.as_ref();
        let (left, left_shared) = of(Channel::Left)?;
        let (right, right_shared) = of(Channel::Right)?;
        let terms = terms.ok_or(CalibrationGap::Terms)?;
        let common = [&terms.common_x, &terms.common_y];
        let common_u_arcmin = [0, 1].map(|axis| {
            let stated = common
                .get(axis)
                .and_then(|typed| typed.as_ref())
                .map_or(0.0, crate::number::Typed::value);
            let shared = [left_shared, right_shared].map(|shared| shared[axis]);
            stated.hypot(shared[0].max(shared[1]))
        });
        Ok(CalibrationSigned {
            program: program.to_owned(),
            maps: PerChannel { left, right },
            common_u_arcmin,
        })
    }

    /// A station with the numbers that were signed, naming where they are from.
    #[must_use]
    pub fn applied(
        &self,
        signed: &CalibrationSigned,
        by: &FoundBy,
        to: &Station,
    ) -> Option<Station> {
        let terms = self.terms.as_ref()?;
        let maps = &signed.maps;
        Some(Station {
            map: PerChannel { left: maps.left.map, right: maps.right.map },
            reference: signed.reference(),
            calibration: Some(Calibration {
                certificate: by.words(&terms.certificate),
                done: Some(terms.done),
                due: terms.due,
            }),
            ..to.clone()
        })
    }
}

/// Residuals as they are drawn: from each deviation to where the map puts it, made larger so that they are seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrows {
    /// How far the drawing reaches from boresight, arcminutes.
    pub reach_arcmin: f64,
    /// How many times larger than it is each residual is drawn.
    pub larger: f64,
    /// From and to, arcminutes.
    pub each: Vec<[[f64; 2]; 2]>,
}

impl CalibrationOutcome {
    /// The residuals of the deviations that were read.
    #[must_use]
    pub fn arrows(&self) -> Arrows {
        let pairs = self.known.iter().zip(&self.found.residuals);
        let read: Vec<_> = pairs
            .filter_map(|(known, residual)| Some((known.direction(), residual.as_ref()?.off)))
            .collect();
        let most = |of: &mut dyn Iterator<Item = f64>| {
            of.filter(|value| value.is_finite()).fold(0.0, f64::max)
        };
        let reach = most(&mut read.iter().map(|(at, _)| at.boresight_arcmin())).max(1.0);
        let longest = most(&mut read.iter().map(|(_, off)| off.boresight_arcmin()));
        // The longest takes a quarter of the way at most; 1, 2 and 5, so that lengths can be compared.
        let larger =
            if longest > 1e-9 * reach { one_two_five(0.25 * reach / longest) } else { 1.0 };
        let each = read.iter().map(|(at, off)| {
            let to = [at.x_arcmin + larger * off.x_arcmin, at.y_arcmin + larger * off.y_arcmin];
            [[at.x_arcmin, at.y_arcmin], to]
        });
        Arrows { reach_arcmin: 1.3 * reach, larger, each: each.collect() }
    }
}

/// The largest of 1, 2, 5, 10, 20 … that is no more than a number; 1 at least.
fn one_two_five(most: f64) -> f64 {
    let decade = 10_f64.powf(most.log10().floor());
    let step = [5.0, 2.0].into_iter().find(|step| step * decade <= most).unwrap_or(1.0);
    (step * decade).max(1.0)
}

fn station_map(found: &FoundMap) -> StationMap {
    StationMap {
        flip_x: found.flips.x,
        flip_y: found.flips.y,
        rotation_deg: found.rotation_deg,
        arcmin_per_division: found.arcmin_per_division,
        boresight_divisions: found.boresight_divisions,
    }
}
