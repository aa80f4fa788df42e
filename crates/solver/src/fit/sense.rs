//! Which way round the crosshair runs: told, found, or assumed and said to be.

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg};
use crate::channel::Channel;
use crate::circle::{Phase, Sense};
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::algebraic::taubin_framed;
use crate::fit::enough::Evidence;
use crate::fit::linear;
use crate::fit::reading::{Reading, SenseChoice, Spread};
use crate::fit::refine::{Model, Parameters};
use crate::fit::result::{CircleCovariance, CircleFit, SenseBasis, SigmaBasis};

/// The two senses must differ by this much (Δχ²) before the readings are said to tell.
const TELLING: f64 = 9.0;

/// A radius beyond this many reaches of the readings is a shallow arc, which may have a second
/// minimum with the centre on its other side.
const SHALLOW: f64 = 1.5;

/// Fits under the sense that was chosen, or under the better of the two.
pub(super) fn fit_with_choice(
    channel: Channel,
    readings: &[Reading],
    spread: Spread,
    choice: SenseChoice,
    evidence: &Evidence,
) -> Result<CircleFit, Error> {
    let fit = |sense, basis| fit_with_sense(channel, readings, spread, evidence, sense, basis);
    match choice {
        _ if evidence.with_ring == 0 => fit(Sense::With, None),
        SenseChoice::Given(sense) => fit(sense, Some(SenseBasis::Given)),
        SenseChoice::Auto if evidence.distinct_angles < 3 => {
            fit(Sense::With, Some(SenseBasis::Assumed))
        }
        SenseChoice::Auto => {
            match (fit(Sense::With, None), fit(Sense::Against, None)) {
                (Ok(with), Ok(against)) => {
                    // Positive speaks for *with*.
                    let difference = against.misfit_beside(&with);
                    let found = SenseBasis::Found { difference: difference.abs() };
                    if difference >= TELLING {
                        Ok(CircleFit { sense_basis: Some(found), ..with })
                    } else if difference <= -TELLING {
                        Ok(CircleFit { sense_basis: Some(found), ..against })
                    } else {
                        Ok(CircleFit { sense_basis: Some(SenseBasis::Assumed), ..with })
                    }
                }
                (Ok(with), Err(_)) => {
                    Ok(CircleFit { sense_basis: Some(SenseBasis::Assumed), ..with })
                }
                // *With* is not even possible: the readings have spoken.
                (Err(_), Ok(against)) => Ok(CircleFit {
                    sense_basis: Some(SenseBasis::Found { difference: f64::INFINITY }),
                    ..against
                }),
                (Err(error), Err(_)) => Err(error),
            }
        }
    }
}

fn fit_with_sense(
    channel: Channel,
    readings: &[Reading],
    spread: Spread,
    evidence: &Evidence,
    sense: Sense,
    sense_basis: Option<SenseBasis>,
) -> Result<CircleFit, Error> {
    let frame = evidence.frame;
    let sigma_framed = spread.sigma_arcmin.map(|sigma| sigma / frame.unit_arcmin);
    let model = Model {
        readings,
        frame,
        sense,
        ring_ratio: sigma_framed.map_or(0.0, |sigma| rad_from_deg(spread.ring_sigma_deg) / sigma),
        phased: evidence.with_ring > 0,
    };
    let found = if evidence.with_ring == readings.len() && model.ring_ratio <= 0.0 {
        // Linear: the start is the answer.
        linear::from_angles(readings, &frame, sense)
    } else {
        starts(&model, evidence)
            .into_iter()
            .flatten()
            .filter_map(|start| model.settle(start))
            .map(|settled| (model.cost(&settled, settled.radius), settled))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, settled)| settled)
    };
    let Some(at) = found else {
        // Without ring angles a circle that runs away runs away to a straight line.
        return Err(if evidence.with_ring == 0 {
            Error::OnALine { channel }
        } else {
            Error::Undetermined { channel }
        });
    };
    let Some(inverse) = model.inverse_information(&at) else {
        return Err(if at.radius <= f64::EPSILON {
            Error::NoOffset { channel }
        } else {
            Error::Undetermined { channel }
        });
    };

    let parameters = if model.phased { 4 } else { 3 };
    let components = readings.len() + evidence.with_ring;
    let degrees_of_freedom = components.saturating_sub(parameters);
    let cost = model.cost(&at, at.radius);
    let (variance, sigma_basis) = match sigma_framed {
        Some(sigma) => (Some(sigma * sigma), SigmaBasis::Stated),
        None if degrees_of_freedom > 0 => {
            (Some(cost / degrees_of_freedom as f64), SigmaBasis::Residuals)
        }
        None => (None, SigmaBasis::Unknown),
    };
    let covariance = variance.map(|variance| {
        let unit = frame.unit_arcmin;
        let sizes = [unit, unit, unit, deg_from_rad(1.0)];
        CircleCovariance::from_fn(parameters, |i, j| variance * sizes[i] * sizes[j] * inverse[i][j])
    });
    let phase =
        model.phased.then(|| Phase { zero_deg: reduced_deg(deg_from_rad(at.phase_rad)), sense });
    let mut fit = CircleFit {
        circle: at.to_circle(&frame, phase),
        covariance,
        rms_arcmin: 0.0,
        weighted_squares_arcmin2: cost * frame.unit_arcmin * frame.unit_arcmin,
        degrees_of_freedom,
        readings: readings.len(),
        with_ring: evidence.with_ring,
        sense_basis,
        sigma_basis,
        sigma_arcmin: spread.sigma_arcmin,
    };
    let squares: f64 =
        readings.iter().map(|reading| fit.residual(reading).length_arcmin.powi(2)).sum();
    fit.rms_arcmin = (squares / readings.len() as f64).sqrt();
    Ok(fit)
}

/// Where the search may start: the linear fit of the readings with angles, Taubin's fit of all
/// points, and, for a shallow arc, its mirror image.
fn starts(model: &Model<'_>, evidence: &Evidence) -> [Option<Parameters>; 3] {
    let linear = linear::from_angles(model.readings, &evidence.frame, model.sense)
        .filter(|_| evidence.distinct_angles >= 2);
    if evidence.with_ring == model.readings.len() || !evidence.spans_a_plane {
        return [linear, None, None];
    }
    let Some(circle) = taubin_framed(model.readings, &evidence.frame) else {
        return [linear, None, None];
    };
    let start = |centre: Direction| Parameters {
        centre,
        radius: circle.radius_arcmin,
        phase_rad: mean_phase_rad(model, centre),
    };
    let mirrored = (circle.radius_arcmin > SHALLOW).then(|| start(circle.centre * -1.0));
    [linear, Some(start(circle.centre)), mirrored]
}

/// The mean, round the circle, of what each ring angle says φ is.
fn mean_phase_rad(model: &Model<'_>, centre: Direction) -> f64 {
    model
        .readings
        .iter()
        .filter_map(|reading| {
            let from_centre = model.frame.framed(reading.direction) - centre;
            let turned_rad = model.sense.sign() * rad_from_deg(reading.ring_deg?);
            Some(Direction::polar(1.0, from_centre.angle_rad() + turned_rad))
        })
        .fold(Direction::BORESIGHT, |sum, each| sum + each)
        .angle_rad()
}
