//! Least squares: the map that puts what was read nearest to what was shown.
//!
//! Worked in divisions, where reading happens: g = g₀ + F R⁻¹ S⁻¹ p + error, with a variance of σ²/n + (k u)² each
//! axis for a deviation of standard uncertainty u read n times; k, divisions per arcminute, is held while the
//! map is fitted and brought up to date until it stays. Without σ all deviations weigh alike and the scatter
//! about the map scales the covariance.
//!
//! # Source
//! One scale: the closed form of a plane similarity, S. Umeyama, *Least-squares estimation of transformation
//! parameters between two point patterns*, IEEE Transactions on Pattern Analysis and Machine Intelligence 13
//! (1991) 376 (from memory), weighted, with the reflection given. A scale for each axis: Gauss–Newton from there.
//! Covariance: the linear propagation of GUM (JCGM 100:2008) 5.1 and 5.2.

use nalgebra::{Matrix2, Matrix3, Matrix5, Matrix5x2, Vector2, Vector3};

use super::found::{FoundMap, MapFinding, MapResidual};
use super::gap::MapGap;
use super::known::{Flips, MapProblem, Scales};
use crate::angle::deg_from_rad;
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN};
use crate::stats::quantile::{chi_squared_above, f_above};

/// Deviations closer than this share of the largest are one.
const ONE_PLACE: f64 = 1e-9;
/// A graticule has no more divisions than this.
const MOST_DIVISIONS: f64 = 1e9;
/// How often weights are brought up to date, and how often a scale for each axis is refined.
const ROUNDS: usize = 60;

/// One deviation as it is fitted: the mean of its readings.
#[derive(Clone, Copy, Debug)]
struct FittedDeviation {
    place: usize,
    known: Vector2<f64>,
    u: f64,
    read: Vector2<f64>,
    count: f64,
}

/// Turn (radians), divisions per arcminute along x and y, g₀.
#[derive(Clone, Copy, Debug)]
struct MapShape {
    turn: f64,
    per_arcmin: [f64; 2],
    zero: Vector2<f64>,
    flips: Flips,
}

impl MapShape {
    /// F R⁻¹ S⁻¹.
    fn matrix(&self) -> Matrix2<f64> {
        let (sin, cos) = self.turn.sin_cos();
        let [x, y] = self.per_arcmin;
        self.flipped(Matrix2::new(cos * x, sin * y, -sin * x, cos * y))
    }

    fn flipped(&self, of: Matrix2<f64>) -> Matrix2<f64> {
        let sign = |flip: bool| if flip { -1.0 } else { 1.0 };
        Matrix2::new(sign(self.flips.x), 0.0, 0.0, sign(self.flips.y)) * of
    }

    fn off(&self, pair: &FittedDeviation) -> Vector2<f64> {
        pair.read - self.zero - self.matrix() * pair.known
    }

    /// Mean square divisions per arcminute.
    fn size(&self) -> f64 {
        let [x, y] = self.per_arcmin;
        f64::midpoint(x * x, y * y)
    }

    /// What a reading does with turn (radians), logarithm of both scales, g₀: transposed.
    fn by(&self, known: Vector2<f64>, one_scale: bool) -> Matrix5x2<f64> {
        let (sin, cos) = self.turn.sin_cos();
        let [kx, ky] = self.per_arcmin;
        let turn = self.flipped(Matrix2::new(-sin * kx, cos * ky, -cos * kx, -sin * ky)) * known;
        let m = self.matrix();
        let (x, y) = (m.column(0) * known.x, m.column(1) * known.y);
        let mut by = Matrix5x2::zeros();
        by.set_row(0, &turn.transpose());
        by.set_row(1, &(if one_scale { x + y } else { x.into_owned() }).transpose());
        if !one_scale {
            by.set_row(2, &y.transpose());
        }
        by[(3, 0)] = 1.0;
        by[(4, 1)] = 1.0;
        by
    }
}

/// Finds the map of a channel.
///
/// # Errors
/// [`MapGap`]: what is missing or cannot be.
///
/// # Degenerate input
/// One deviation alone determines no map, two determine one scale and nothing to check it by; deviations on one
/// line determine no second scale.
///
/// ```
/// use solver::Direction;
/// use solver::upkeep::station_map::{Flips, KnownDeviation, MapProblem, Scales, find_map};
/// let shown = |x, y, readings| KnownDeviation { direction: Direction::new(x, y), u_arcmin: 0.0, readings };
/// // Boresight at (1, 2), one division two arcminutes, x falls to the right.
/// let deviations = [shown(0.0, 0.0, &[[1.0, 2.0]]), shown(20.0, 0.0, &[[-9.0, 2.0]]), shown(0.0, 20.0, &[[1.0, 12.0]])];
/// let flips = Flips { x: true, y: false };
/// let problem = MapProblem { flips, deviations: &deviations, sigma_divisions: Some(0.1), scales: Scales::One };
/// let found = find_map(&problem)?;
/// assert!((found.arcmin_per_division[0] - 2.0).abs() < 1e-12 && found.rotation_deg.abs() < 1e-12);
/// # Ok::<(), solver::upkeep::station_map::MapGap>(())
/// ```
pub fn find_map(problem: &MapProblem<'_>) -> Result<FoundMap, MapGap> {
    let pairs = pairs_of(problem)?;
    let shape = fitted(problem, &pairs).map_err(|gap| {
        // Seen in a mirror, deviations that lie all round leave nothing of one another.
        let apart = matches!(gap, MapGap::ReadsAlike | MapGap::OutOfReach) && !is_line(&pairs);
        let mirrored = apart && mirrored_misfit(problem, &pairs).is_some();
        if mirrored { MapGap::Mirrored } else { gap }
    })?;
    let one_scale = problem.scales == Scales::One;
    let unknowns = if one_scale { 4 } else { 5 };
    let spare = (2 * pairs.len()).saturating_sub(unknowns);
    let weights = weights(problem, &pairs, shape.size());
    let misfit: f64 =
        pairs.iter().zip(&weights).map(|(pair, w)| w * shape.off(pair).norm_squared()).sum();
    let (within, within_freedom) = within(problem);
    let (scale, freedom) = match problem.sigma_divisions {
        Some(_) => (Some(1.0), f64::INFINITY),
        None if spare > 0 => (Some(misfit / spare as f64), spare as f64),
        None => (None, 0.0),
    };
    let linear = information(&shape, &pairs, &weights, one_scale);
    let covariance = scale.and_then(|scale| covariance(&shape, linear?, scale, one_scale));
    let shared_arcmin2 = match (problem.sigma_divisions, linear) {
        (Some(_), Some(linear)) => shared(&shape, &pairs, &weights, linear, one_scale),
        _ => [[0.0; 2]; 2],
    };
    let map = FoundMap {
        flips: problem.flips,
        rotation_deg: deg_from_rad(shape.turn),
        arcmin_per_division: shape.per_arcmin.map(f64::recip),
        boresight_divisions: [shape.zero.x, shape.zero.y],
        scales: problem.scales,
        covariance,
        shared_arcmin2,
        freedom,
        spare,
        rms_arcmin: 0.0,
        consistency: problem.sigma_divisions.and_then(|sigma| {
            let freedom = spare as f64 + within_freedom;
            chi_squared_above(misfit + within / (sigma * sigma), freedom).ok()
        }),
        repeats_divisions: (within_freedom > 0.0).then(|| (within / within_freedom).sqrt()),
        residuals: vec![None; problem.deviations.len()],
        findings: Vec::new(),
    };
    let numbers = [map.rotation_deg, map.arcmin_per_division[0], map.arcmin_per_division[1]];
    if !numbers.iter().chain(&map.boresight_divisions).all(|value| value.is_finite()) {
        return Err(MapGap::OutOfReach);
    }
    Ok(looked_at(map, problem, &pairs, &shape, misfit))
}

/// Residuals, and what they say.
fn looked_at(
    mut map: FoundMap,
    problem: &MapProblem<'_>,
    pairs: &[FittedDeviation],
    shape: &MapShape,
    misfit: f64,
) -> FoundMap {
    let mut squares = 0.0;
    let mut standing_out = (f64::INFINITY, 0);
    let mut tried = 0_u32;
    for pair in pairs {
        let off = direction_of(shape, shape.off(pair));
        squares += off.boresight_arcmin().powi(2);
        let rest: Vec<FittedDeviation> =
            pairs.iter().filter(|other| other.place != pair.place).copied().collect();
        let left_out = without(problem, &rest, pair);
        let probability = left_out.and_then(|(_, probability)| probability);
        if let Some(probability) = probability {
            tried += 1;
            if probability < standing_out.0 {
                standing_out = (probability, pair.place);
            }
        }
        let residual = MapResidual {
            off,
            readings: pair.count as usize,
            left_out: left_out.map(|(off, _)| off),
            probability,
        };
        if let Some(held) = map.residuals.get_mut(pair.place) {
            *held = Some(residual);
        }
    }
    map.rms_arcmin = (squares / pairs.len().max(1) as f64).sqrt();
    let on_a_line = is_line(pairs);
    if !on_a_line && mirrored_misfit(problem, pairs).is_some_and(|mirrored| mirrored < misfit) {
        map.findings.push(MapFinding::Mirrored);
    } else if map.rotation_deg.abs() >= 90.0 {
        map.findings.push(MapFinding::BothTurned);
    } else if map.rotation_deg.abs() > 45.0 {
        map.findings.push(MapFinding::TurnedFar);
    }
    if map.consistency.is_some_and(|probability| probability < 0.01) {
        map.findings.push(MapFinding::DoesNotFit);
    }
    // Bonferroni: the least of so many.
    if standing_out.0 * f64::from(tried) < 0.05 {
        map.findings.push(MapFinding::StandsOut(standing_out.1));
    }
    if map.spare == 0 {
        map.findings.push(MapFinding::NoSpare);
    }
    if on_a_line {
        map.findings.push(MapFinding::OneLine);
    }
    map
}

/// What was read, deviation by deviation, each checked.
fn pairs_of(problem: &MapProblem<'_>) -> Result<Vec<FittedDeviation>, MapGap> {
    if problem.sigma_divisions.is_some_and(|sigma| !(sigma > 1e-12 && sigma < MOST_DIVISIONS)) {
        return Err(MapGap::Sigma);
    }
    let mut pairs = Vec::new();
    for (place, known) in problem.deviations.iter().enumerate() {
        let wrong = |what| MapGap::NotANumber { deviation: place + 1, what };
        let Direction { x_arcmin, y_arcmin } = known.direction;
        let within = |value: f64, most: f64| value.is_finite() && value.abs() <= most;
        if ![x_arcmin, y_arcmin].iter().all(|value| within(*value, FIELD_LIMIT_ARCMIN)) {
            return Err(wrong("its direction"));
        }
        if !(known.u_arcmin >= 0.0 && known.u_arcmin <= FIELD_LIMIT_ARCMIN) {
            return Err(wrong("its uncertainty"));
        }
        if known.readings.iter().flatten().any(|value| !within(*value, MOST_DIVISIONS)) {
            return Err(wrong("a reading"));
        }
        if known.readings.is_empty() {
            continue;
        }
        let count = known.readings.len() as f64;
        let sum =
            known.readings.iter().fold(Vector2::zeros(), |sum, [x, y]| sum + Vector2::new(*x, *y));
        let known_at = Vector2::new(x_arcmin, y_arcmin);
        pairs.push(FittedDeviation {
            place,
            known: known_at,
            u: known.u_arcmin,
            read: sum / count,
            count,
        });
    }
    if pairs.is_empty() { Err(MapGap::NothingRead) } else { Ok(pairs) }
}

/// Sum of squares of repeats about their means, and its degrees of freedom.
fn within(problem: &MapProblem<'_>) -> (f64, f64) {
    let mut sum = (0.0, 0.0);
    for known in problem.deviations {
        let count = known.readings.len();
        for axis in [0, 1] {
            let values = known.readings.iter().filter_map(|reading: &[f64; 2]| reading.get(axis));
            let mean = values.clone().sum::<f64>() / count.max(1) as f64;
            sum.0 += values.map(|value| (value - mean).powi(2)).sum::<f64>();
        }
        sum.1 += 2.0 * count.saturating_sub(1) as f64;
    }
    sum
}

fn weights(problem: &MapProblem<'_>, pairs: &[FittedDeviation], size: f64) -> Vec<f64> {
    let weight = |pair: &FittedDeviation| {
        problem
            .sigma_divisions
            .map_or(1.0, |sigma| (sigma * sigma / pair.count + size * pair.u * pair.u).recip())
    };
    pairs.iter().map(weight).collect()
}

/// The map of least misfit, with weights that fit its scale.
fn fitted(problem: &MapProblem<'_>, pairs: &[FittedDeviation]) -> Result<MapShape, MapGap> {
    let largest = pairs.iter().map(|pair| pair.known.amax()).fold(0.0, f64::max);
    let first = pairs.first().ok_or(MapGap::NothingRead)?;
    let apart = pairs.iter().map(|pair| (pair.known - first.known).amax()).fold(0.0, f64::max);
    if apart <= ONE_PLACE * largest || apart == 0.0 {
        let read =
            pairs.iter().fold(Vector2::zeros(), |sum, pair| sum + pair.read) / pairs.len() as f64;
        let boresight_divisions = (largest == 0.0).then_some([read.x, read.y]);
        return Err(MapGap::OnePlace { boresight_divisions });
    }
    if problem.scales == Scales::Each && is_line(pairs) {
        return Err(MapGap::OneLine);
    }
    let mut weights = vec![1.0; pairs.len()];
    let mut shape = similar(problem.flips, pairs, &weights)?;
    for _ in 0..ROUNDS {
        weights = self::weights(problem, pairs, shape.size());
        let next = match problem.scales {
            Scales::One => similar(problem.flips, pairs, &weights)?,
            Scales::Each => each_axis(shape, pairs, &weights)?,
        };
        let still = (next.size() - shape.size()).abs() <= 1e-15 * shape.size()
            && (next.turn - shape.turn).abs() <= 1e-15;
        shape = next;
        if still {
            break;
        }
    }
    Ok(shape)
}

/// Weighted means of what was shown and read.
fn middles(
    pairs: &[FittedDeviation],
    weights: &[f64],
) -> Result<(Vector2<f64>, Vector2<f64>), MapGap> {
    let total: f64 = weights.iter().sum();
    let mean = |of: fn(&FittedDeviation) -> Vector2<f64>| {
        pairs.iter().zip(weights).fold(Vector2::zeros(), |sum, (pair, w)| sum + of(pair) * *w)
            / total
    };
    let means = (mean(|pair| pair.known), mean(|pair| pair.read));
    let usable = means.0.iter().chain(means.1.iter()).all(|value| value.is_finite());
    if usable { Ok(means) } else { Err(MapGap::OutOfReach) }
}

/// One scale, in closed form.
fn similar(flips: Flips, pairs: &[FittedDeviation], weights: &[f64]) -> Result<MapShape, MapGap> {
    let (known_middle, read_middle) = middles(pairs, weights)?;
    let flat = MapShape { turn: 0.0, per_arcmin: [1.0; 2], zero: Vector2::zeros(), flips };
    let (mut along, mut across, mut sum, mut read_sum) = (0.0, 0.0, 0.0, 0.0);
    for (pair, w) in pairs.iter().zip(weights) {
        let p = pair.known - known_middle;
        let g = flat.matrix() * (pair.read - read_middle);
        along += w * p.dot(&g);
        across += w * (p.y * g.x - p.x * g.y);
        sum += w * p.norm_squared();
        read_sum += w * g.norm_squared();
    }
    let (cos, sin) = (along / sum, across / sum);
    let size = cos.hypot(sin);
    // What was read spreads, but not as what was shown: no similarity but one of size 0.
    if read_sum.is_finite()
        && size.is_finite()
        && size * size * sum <= 1e-18 * read_sum.max(f64::MIN_POSITIVE)
    {
        return Err(MapGap::ReadsAlike);
    }
    let turn = sin.atan2(cos);
    let shape = MapShape { turn, per_arcmin: [size; 2], ..flat };
    let zero = read_middle - shape.matrix() * known_middle;
    if !(size.is_finite() && size > 1e-12 && zero.iter().all(|value| value.is_finite())) {
        return Err(if size.is_finite() { MapGap::ReadsAlike } else { MapGap::OutOfReach });
    }
    Ok(MapShape { zero, ..shape })
}

/// A scale for each axis: Gauss–Newton about the means, from a map that is near.
fn each_axis(
    from: MapShape,
    pairs: &[FittedDeviation],
    weights: &[f64],
) -> Result<MapShape, MapGap> {
    let (known_middle, read_middle) = middles(pairs, weights)?;
    let mut shape = from;
    for _ in 0..ROUNDS {
        let mut normal = Matrix3::zeros();
        let mut right = Vector3::zeros();
        for (pair, w) in pairs.iter().zip(weights) {
            let p = pair.known - known_middle;
            let off = pair.read - read_middle - shape.matrix() * p;
            let by = shape.by(p, false).fixed_rows::<3>(0).into_owned();
            normal += by * by.transpose() * *w;
            right += by * off * *w;
        }
        let step = normal.cholesky().map(|solver| solver.solve(&right)).ok_or(MapGap::OneLine)?;
        if !step.iter().all(|part| part.is_finite()) {
            return Err(MapGap::OutOfReach);
        }
        // A step of more than a third of a turn or a factor of e is no step but a leap.
        let largest = step.amax();
        let step = if largest > 1.0 { step / largest } else { step };
        let [kx, ky] = shape.per_arcmin;
        shape.turn += step.x;
        shape.per_arcmin = [kx * step.y.exp(), ky * step.z.exp()];
        if step.amax() < 1e-15 {
            break;
        }
    }
    shape.turn = libm::remainder(shape.turn, core::f64::consts::TAU);
    shape.zero = read_middle - shape.matrix() * known_middle;
    let usable = shape.per_arcmin.iter().all(|k| k.is_finite() && *k > 1e-12);
    if usable { Ok(shape) } else { Err(MapGap::OutOfReach) }
}

/// Whether all that was shown lies on one line.
fn is_line(pairs: &[FittedDeviation]) -> bool {
    let count = pairs.len().max(1) as f64;
    let middle = pairs.iter().fold(Vector2::zeros(), |sum, pair| sum + pair.known) / count;
    let spread = pairs.iter().fold(Matrix2::zeros(), |sum, pair| {
        let p = pair.known - middle;
        sum + p * p.transpose()
    });
    let (trace, determinant) = (spread.trace(), spread.determinant());
    // Narrower than a thousandth of its length.
    determinant <= 1e-6 * trace * trace / 4.0
}

/// JᵀWJ of turn, logarithms of scale, g₀; with one scale its third row is empty.
fn information(
    shape: &MapShape,
    pairs: &[FittedDeviation],
    weights: &[f64],
    one_scale: bool,
) -> Option<Matrix5<f64>> {
    let mut information = Matrix5::zeros();
    for (pair, w) in pairs.iter().zip(weights) {
        let by = shape.by(pair.known, one_scale);
        information += by * by.transpose() * *w;
    }
    if one_scale {
        information[(2, 2)] = 1.0;
    }
    let inverse = information.cholesky().map(|solver| solver.inverse())?;
    inverse.iter().all(|part| part.is_finite()).then_some(inverse)
}

fn covariance(
    shape: &MapShape,
    linear: Matrix5<f64>,
    scale: f64,
    one_scale: bool,
) -> Option<[[f64; 5]; 5]> {
    let [x, y] = shape.per_arcmin.map(|k| -k.recip());
    let mut to = Matrix5::zeros();
    to[(0, 0)] = deg_from_rad(1.0);
    to[(1, 1)] = x;
    to[(2, if one_scale { 1 } else { 2 })] = y;
    to[(3, 3)] = 1.0;
    to[(4, 4)] = 1.0;
    let there = to * linear * to.transpose() * scale;
    let all = core::array::from_fn(|row| {
        core::array::from_fn(|column| f64::midpoint(there[(row, column)], there[(column, row)]))
    });
    there.iter().all(|part| part.is_finite()).then_some(all)
}

/// What of the covariance of boresight comes from the deviations' own errors, arcminutes².
fn shared(
    shape: &MapShape,
    pairs: &[FittedDeviation],
    weights: &[f64],
    linear: Matrix5<f64>,
    one_scale: bool,
) -> [[f64; 2]; 2] {
    let mut spread = Matrix5::zeros();
    for (pair, w) in pairs.iter().zip(weights) {
        let by = shape.by(pair.known, one_scale);
        spread += by * by.transpose() * (w * w * shape.size() * pair.u * pair.u);
    }
    let zero = (linear * spread * linear).fixed_view::<2, 2>(3, 3).into_owned();
    let to = shape.matrix().try_inverse().unwrap_or_else(Matrix2::zeros);
    let there = to * zero * to.transpose();
    let mixed = f64::midpoint(there[(0, 1)], there[(1, 0)]);
    [[there[(0, 0)], mixed], [mixed, there[(1, 1)]]]
}

/// What an offset in divisions is in arcminutes.
fn direction_of(shape: &MapShape, divisions: Vector2<f64>) -> Direction {
    let there = shape.matrix().try_inverse().unwrap_or_else(Matrix2::zeros) * divisions;
    Direction::new(there.x, there.y)
}

/// How far a deviation is from where the others put it, and how probable a difference as large as that is.
fn without(
    problem: &MapProblem<'_>,
    rest: &[FittedDeviation],
    pair: &FittedDeviation,
) -> Option<(Direction, Option<f64>)> {
    let shape = fitted(problem, rest).ok()?;
    let off = shape.off(pair);
    let there = direction_of(&shape, off);
    if !there.is_finite() {
        return None;
    }
    let one_scale = problem.scales == Scales::One;
    let weights = weights(problem, rest, shape.size());
    let spare = (2 * rest.len()).saturating_sub(if one_scale { 4 } else { 5 });
    let known = information(&shape, rest, &weights, one_scale);
    let probability = known.and_then(|known| {
        let own = self::weights(problem, &[*pair], shape.size()).first()?.recip();
        let by = shape.by(pair.known, one_scale);
        let spread = by.transpose() * known * by + Matrix2::identity() * own;
        let distance = off.dot(&(spread.try_inverse()? * off));
        if problem.sigma_divisions.is_some() {
            return chi_squared_above(distance, 2.0).ok();
        }
        // Two spare equations at the least: with fewer nothing is known of the scatter.
        let misfit: f64 =
            rest.iter().zip(&weights).map(|(pair, w)| w * shape.off(pair).norm_squared()).sum();
        let spare = (spare >= 2).then_some(spare as f64)?;
        f_above(distance / 2.0 / (misfit / spare), 2.0, spare).ok()
    });
    Some((there, probability))
}

/// What the misfit would be with one of the numbers running the other way.
fn mirrored_misfit(problem: &MapProblem<'_>, pairs: &[FittedDeviation]) -> Option<f64> {
    let flips = Flips { y: !problem.flips.y, ..problem.flips };
    let problem = MapProblem { flips, ..*problem };
    let shape = fitted(&problem, pairs).ok()?;
    let weights = weights(&problem, pairs, shape.size());
    Some(pairs.iter().zip(&weights).map(|(pair, w)| w * shape.off(pair).norm_squared()).sum())
}
