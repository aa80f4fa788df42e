//! Which way round the crosshair runs: told, found, or assumed and said to be.

use core::f64::consts::TAU;

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg};
use crate::channel::Channel;
use crate::circle::{Phase, Sense};
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::algebraic::PointMoments;
use crate::fit::enough::ReadingEvidence;
use crate::fit::frame::FramedReadings;
use crate::fit::geometric;
use crate::fit::linear::{Moments, sensed, times};
use crate::fit::reading::{SenseChoice, Spread};
use crate::fit::refine::RefineModel;
use crate::fit::result::{CircleCovariance, CircleFit, SenseBasis, SigmaBasis};
use crate::fit::settled::{Parameters, Settled};

/// The two senses must differ by this much (Δχ²) before the readings are said to tell.
const TELLING: f64 = 9.0;

/// A radius beyond this many reaches of the readings is a shallow arc, which may have a second
/// minimum with the centre on its other side.
const SHALLOW: f64 = 1.5;

/// Fits under the sense that was chosen, or under the better of the two.
pub(super) fn fit_with_choice(
    channel: Channel,
    spread: Spread,
    choice: SenseChoice,
    evidence: &ReadingEvidence,
    readings: &FramedReadings<'_>,
) -> Result<CircleFit, Error> {
    let moments = (evidence.with_ring > 0).then(|| Moments::of(readings)).flatten();
    let given = Given { evidence, readings, moments };
    let fit = |sense, basis| fit_with_sense(channel, spread, &given, sense, basis, &mut None);
    match choice {
        _ if evidence.with_ring == 0 => fit(Sense::With, None),
        SenseChoice::Given(sense) => fit(sense, Some(SenseBasis::Given)),
        SenseChoice::Auto if evidence.distinct_angles < 3 => {
            fit(Sense::With, Some(SenseBasis::Assumed))
        }
        SenseChoice::Auto => {
            let mut points = [None, None];
            let [of_with, of_against] = &mut points;
            let with = fit_with_sense(channel, spread, &given, Sense::With, None, of_with);
            let against = fit_with_sense(channel, spread, &given, Sense::Against, None, of_against);
            let known = |fit: CircleFit, basis| Ok(CircleFit { sense_basis: Some(basis), ..fit });
            let squares = |fit: &Result<CircleFit, Error>, point| {
                fit.as_ref().map_or(point, |fit| Some(fit.weighted_squares_arcmin2))
            };
            let [of_with, of_against] = points;
            // Positive speaks for *with*.
            let both = squares(&against, of_against).zip(squares(&with, of_with));
            let difference = both.map(|(against, with)| {
                let components = readings.len() + evidence.with_ring;
                misfit_beside(against, with, spread.sigma_arcmin, components)
            });
            let found = SenseBasis::Found { difference: difference.map_or(0.0, f64::abs) };
            match (with, against, difference) {
                (Ok(with), _, Some(difference)) if difference >= TELLING => known(with, found),
                (_, Ok(against), Some(difference)) if difference <= -TELLING => {
                    known(against, found)
                }
                (Ok(with), _, _) => known(with, SenseBasis::Assumed),
                // *With* is not even possible: the readings have spoken.
                (Err(_), Ok(against), None) => {
                    known(against, SenseBasis::Found { difference: f64::INFINITY })
                }
                // A circle against the ring fits no better than no circle at all.
                (Err(error), _, _) => Err(error),
            }
        }
    }
}

/// How much worse one fit of the same readings is than another: Δχ² with σ stated, else n ln of the
/// ratio of sums of squares, n the components read. 0 when both are exact.
fn misfit_beside(own: f64, others: f64, sigma_arcmin: Option<f64>, components: usize) -> f64 {
    if let Some(sigma) = sigma_arcmin {
        return (own - others) / (sigma * sigma);
    }
    match (own > 0.0, others > 0.0) {
        (true, true) => components as f64 * (own / others).ln(),
        (true, false) => f64::INFINITY,
        (false, true) => f64::NEG_INFINITY,
        (false, false) => 0.0,
    }
}

/// What a fit under either sense starts from.
struct Given<'a> {
    evidence: &'a ReadingEvidence,
    readings: &'a FramedReadings<'a>,
    /// Of the readings that have a ring angle.
    moments: Option<Moments>,
}

/// The circle under one sense. Where there is none, `point_squares` is what the best that is no circle, a single
/// point, leaves over, if that is so: readings evenly round the ring leave just that under the wrong sense,
/// and it tells which way round as any other fit would.
fn fit_with_sense(
    channel: Channel,
    spread: Spread,
    given: &Given<'_>,
    sense: Sense,
    sense_basis: Option<SenseBasis>,
    point_squares: &mut Option<f64>,
) -> Result<CircleFit, Error> {
    let Given { evidence, readings, moments } = given;
    let frame = readings.frame;
    let unframed = |squares: f64| squares * frame.unit_arcmin * frame.unit_arcmin;
    let sigma_framed = spread.sigma_arcmin.map(|sigma| sigma / frame.unit_arcmin);
    let ring_ratio = sigma_framed.map_or(0.0, |sigma| rad_from_deg(spread.ring_sigma_deg) / sigma);
    let Some(Settled { at, cost, squares, inverse }) = settle(given, sense, ring_ratio) else {
        // Without ring angles a circle that runs away runs away to a straight line.
        let error = if evidence.with_ring == 0 {
            Error::OnALine { channel }
        } else {
            Error::Undetermined { channel }
        };
        // The search stops where there is no radius; with none, all weights are one.
        let point = moments
            .as_ref()
            .filter(|_| evidence.with_ring == readings.len())
            .and_then(|moments| moments.fit(sense))
            .filter(|linear| linear.at.radius <= f64::EPSILON);
        *point_squares = point.map(|point| unframed(point.settled(readings).squares));
        return Err(error);
    };
    let Some(inverse) = inverse else {
        let no_offset = at.radius <= f64::EPSILON;
        let error =
            if no_offset { Error::NoOffset { channel } } else { Error::Undetermined { channel } };
        *point_squares = no_offset.then(|| unframed(cost));
        return Err(error);
    };

    let readings = readings.len();
    let parameters = if evidence.with_ring > 0 { 4 } else { 3 };
    let degrees_of_freedom = (readings + evidence.with_ring).saturating_sub(parameters);
    let (variance, sigma_basis) = match sigma_framed {
        Some(sigma) => (Some(sigma * sigma), SigmaBasis::Stated),
        None if degrees_of_freedom > 0 => {
            (Some(cost / degrees_of_freedom as f64), SigmaBasis::Residuals)
        }
        None => (None, SigmaBasis::Unknown),
    };
    let unit = frame.unit_arcmin;
    let scaled = |variance: f64| {
        let sizes = [unit, unit, unit, deg_from_rad(1.0)];
        CircleCovariance::from_fn(parameters, |i, j| variance * sizes[i] * sizes[j] * inverse[i][j])
    };
    let covariance = variance.map(scaled);
    // Readings nearer to each other than their spread by more than a number can say.
    let finite =
        |covariance: &CircleCovariance| (0..parameters).all(|i| covariance.get(i, i).is_finite());
    if !covariance.as_ref().is_none_or(finite) {
        return Err(Error::Undetermined { channel });
    }
    let phase = (evidence.with_ring > 0)
        .then(|| Phase { zero_deg: reduced_deg(deg_from_rad(at.phase_rad)), sense });
    Ok(CircleFit {
        circle: at.to_circle(&frame, phase),
        covariance,
        rms_arcmin: (squares / readings as f64).sqrt() * frame.unit_arcmin,
        weighted_squares_arcmin2: unframed(cost),
        degrees_of_freedom,
        readings,
        with_ring: evidence.with_ring,
        sense_basis,
        sigma_basis,
        sigma_arcmin: spread.sigma_arcmin,
        ring_sigma_deg: spread.ring_sigma_deg,
        step_arcmin: None,
        arc_deg: (evidence.with_ring == 0 && spread.sigma_arcmin.is_none())
            .then(|| arc_deg(given.readings, at.centre)),
        unit_covariance: scaled(1.0 / (unit * unit)),
    })
}

/// The circle with the smallest sum of squares under one sense, by the shortest way that leads to
/// it; `None` when the search runs away.
fn settle(given: &Given<'_>, sense: Sense, ring_ratio: f64) -> Option<Settled> {
    let Given { evidence, readings, moments } = given;
    if evidence.with_ring == readings.len() && ring_ratio <= 0.0 {
        // Linear: the start is the answer.
        return Some(moments.as_ref()?.fit(sense)?.settled(readings));
    }
    let points = PointMoments::of_readings(readings);
    let starts = starts(given, &points, sense);
    if evidence.with_ring == 0
        && let [None, Some(start), None] = starts
        && let Some(settled) = geometric::settled(readings, &points, start)
    {
        return Some(settled);
    }
    let model = RefineModel::new(readings, sense, ring_ratio, evidence.with_ring > 0);
    starts
        .into_iter()
        .flatten()
        .filter_map(|start| model.settle(start))
        .map(|at| (model.cost(&at, at.radius), at))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, at)| model.settled(at))
}

/// Where the search may start: the linear fit of the readings with angles, Taubin's fit of all
/// points, and, for a shallow arc, its mirror image.
fn starts(given: &Given<'_>, points: &PointMoments, sense: Sense) -> [Option<Parameters>; 3] {
    let Given { evidence, readings, moments } = given;
    let linear = moments
        .as_ref()
        .filter(|_| evidence.distinct_angles >= 2)
        .and_then(|moments| moments.fit(sense))
        .map(|linear| linear.at);
    if evidence.with_ring == readings.len() || !evidence.spans_a_plane {
        return [linear, None, None];
    }
    let Some(circle) = points.start() else {
        return [linear, None, None];
    };
    let start = |centre: Direction| Parameters {
        centre,
        radius: circle.radius_arcmin,
        phase_rad: if evidence.with_ring == 0 {
            0.0
        } else {
            mean_phase_rad(readings, sense, centre)
        },
    };
    let mirrored = (circle.radius_arcmin > SHALLOW).then(|| start(circle.centre * -1.0));
    [linear, Some(start(circle.centre)), mirrored]
}

/// The mean, round the circle, of what each ring angle says φ is.
fn mean_phase_rad(readings: &FramedReadings<'_>, sense: Sense, centre: Direction) -> f64 {
    readings
        .iter()
        .filter_map(|reading| {
            let turn = sensed(reading.turn?, sense);
            let from_centre = reading.at - centre;
            let outward = from_centre * (1.0 / from_centre.boresight_arcmin());
            // Turned back to ring zero; a reading at the very centre says nothing.
            let zero = times(outward, Direction::new(turn.x_arcmin, -turn.y_arcmin));
            zero.is_finite().then_some(zero)
        })
        .fold(Direction::BORESIGHT, |sum, each| sum + each)
        .angle_rad()
}

/// How far round the readings go as seen from a centre: a turn less the widest gap between two neighbours.
fn arc_deg(readings: &FramedReadings<'_>, centre: Direction) -> f64 {
    let mut seen_rad: Vec<f64> =
        readings.iter().map(|reading| (reading.at - centre).angle_rad()).collect();
    seen_rad.sort_by(f64::total_cmp);
    let neighbours = seen_rad.iter().zip(seen_rad.iter().skip(1)).map(|(a, b)| b - a);
    let round = seen_rad.first().zip(seen_rad.last()).map(|(first, last)| first + TAU - last);
    let widest = neighbours.chain(round).fold(0.0, f64::max);
    deg_from_rad(TAU - widest)
}
