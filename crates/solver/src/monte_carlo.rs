//! Uncertainty by random trials, where linear covariance fails: grazing crossings, window use,
//! distances smaller than their own uncertainty.
//!
//! Seeded: the same seed gives the same answer on every machine (ChaCha8, portable). A job for a
//! worker thread, never for a frame: 10⁵ trials of a crossing take some tens of milliseconds.
//!
//! # Source
//! JCGM 101:2008: propagation of distributions (5, 7), coverage intervals (7.7). Scaling a fit's
//! own scatter by Student's t: 6.4.9.

use core::f64::consts::TAU;

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::{CircleCovariance, CircleFit};
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::tolerance::Window;

/// Trials are clamped to this many.
pub const MOST_TRIALS: usize = 10_000_000;

/// A seeded source of random numbers.
#[derive(Debug)]
pub struct Source {
    generator: ChaCha8Rng,
    spare: Option<f64>,
}

impl Source {
    /// From a seed.
    #[must_use]
    pub fn seeded(seed: u64) -> Self {
        Self { generator: ChaCha8Rng::seed_from_u64(seed), spare: None }
    }

    /// Even over [low, high); `low` itself where that is no interval.
    pub fn rectangular(&mut self, low: f64, high: f64) -> f64 {
        let share: f64 = self.generator.random();
        let value = low + share * (high - low);
        if high > low && value.is_finite() { value } else { low }
    }

    /// Standard normal (Box and Muller, both values used).
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        // 1 − u is in (0, 1]: its logarithm is finite.
        let share: f64 = self.generator.random();
        let length = (-2.0 * (1.0 - share).ln()).sqrt();
        let angle: f64 = self.generator.random::<f64>() * TAU;
        let (sin, cos) = angle.sin_cos();
        self.spare = Some(length * sin);
        length * cos
    }

    /// √(ν/χ²): what turns a normal deviate into Student's t; 1 for more than a thousand degrees.
    pub(crate) fn student_scale(&mut self, freedom: usize) -> f64 {
        if freedom == 0 || freedom > 1_000 {
            return 1.0;
        }
        let squares: f64 = (0..freedom).map(|_| self.normal().powi(2)).sum();
        (freedom as f64 / squares.max(f64::MIN_POSITIVE)).sqrt()
    }

    /// A direction with independent normal parts of one standard deviation.
    pub fn direction(&mut self, sigma_arcmin: f64) -> Direction {
        Direction::new(sigma_arcmin * self.normal(), sigma_arcmin * self.normal())
    }
}

/// Values of a model in `trials` random trials, in ascending order; trials that give no number
/// are left out.
///
/// ```
/// use solver::monte_carlo::{coverage, propagate, Interval};
/// // JCGM 101:2008, 9.2.2: four standard normal quantities: u = 2.
/// let values = propagate(100_000, 1, |source| (0..4).map(|_| source.normal()).sum());
/// let interval = coverage(&values, 0.95, Interval::Symmetric)?;
/// assert!((interval.1 - 3.92).abs() < 0.05);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn propagate(trials: usize, seed: u64, mut model: impl FnMut(&mut Source) -> f64) -> Vec<f64> {
    let mut source = Source::seeded(seed);
    let mut values: Vec<f64> = (0..trials.min(MOST_TRIALS))
        .map(|_| model(&mut source))
        .filter(|value| !value.is_nan())
        .collect();
    values.sort_by(f64::total_cmp);
    values
}

/// Which of the intervals with a coverage probability.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Interval {
    /// As much left out below as above.
    Symmetric,
    /// The shortest.
    Shortest,
}

/// The interval that holds a share of the trials' values.
///
/// # Errors
/// [`Error::OutOfRange`] for a probability not inside (0, 1), [`Error::TooFew`] for fewer than two
/// values.
///
/// # Source
/// JCGM 101:2008, 7.7.
pub fn coverage(sorted: &[f64], probability: f64, kind: Interval) -> Result<(f64, f64), Error> {
    Error::check_probability("a probability", probability)?;
    let count = sorted.len();
    if count < 2 {
        return Err(Error::TooFew { what: "values", found: count, needed: 2 });
    }
    // q = pM, rounded; r = (M − q)/2, rounded; counted from 1 in the source.
    let held = ((probability * count as f64 + 0.5) as usize).clamp(1, count - 1);
    let start = match kind {
        Interval::Symmetric => (count - held).div_ceil(2).saturating_sub(1),
        Interval::Shortest => (0..count - held)
            .min_by(|&a, &b| {
                (sorted[a + held] - sorted[a]).total_cmp(&(sorted[b + held] - sorted[b]))
            })
            .unwrap_or(0),
    };
    Ok((sorted[start], sorted[start + held]))
}

/// The value below which a share of the sorted values lies; `None` of none.
#[must_use]
pub fn quantile(sorted: &[f64], probability: f64) -> Option<f64> {
    let position = (probability * sorted.len() as f64).ceil() as usize;
    sorted.get(position.saturating_sub(1)).copied()
}

/// A fit with the factor of its covariance, ready to be drawn from.
pub(crate) struct FitSampler {
    circle: OffsetCircle,
    factor: [[f64; 4]; 4],
    freedom: Option<usize>,
}

impl FitSampler {
    fn from_fit(channel: Channel, fit: &CircleFit) -> Result<Self, Error> {
        Self::new(channel, fit.circle, fit.covariance.as_ref(), fit.counted_freedom())
    }

    /// A channel's circle with its covariance; `freedom` where that rests on the readings' own
    /// scatter.
    ///
    /// # Errors
    /// [`Error::TooFew`] without covariance.
    pub(crate) fn new(
        channel: Channel,
        circle: OffsetCircle,
        covariance: Option<&CircleCovariance>,
        freedom: Option<usize>,
    ) -> Result<Self, Error> {
        let covariance = covariance.ok_or(Error::TooFew {
            what: match channel {
                Channel::Left => "left readings to spare for an uncertainty",
                Channel::Right => "right readings to spare for an uncertainty",
            },
            found: 0,
            needed: 1,
        })?;
        Ok(Self { circle, factor: cholesky(covariance), freedom })
    }

    pub(crate) fn draw(&self, source: &mut Source) -> OffsetCircle {
        let normals = [(); 4].map(|()| source.normal());
        let scale = self.freedom.map_or(1.0, |freedom| source.student_scale(freedom));
        let mut off = [0.0; 4];
        for (entry, row) in off.iter_mut().zip(&self.factor) {
            *entry = scale * row.iter().zip(&normals).map(|(f, n)| f * n).sum::<f64>();
        }
        let mut circle = self.circle;
        circle.centre = circle.centre + Direction::new(off[0], off[1]);
        circle.radius_arcmin += off[2];
        if let Some(phase) = &mut circle.phase {
            phase.zero_deg += off[3];
        }
        if circle.radius_arcmin < 0.0 {
            // The same points from the other side.
            circle.radius_arcmin = -circle.radius_arcmin;
            if let Some(phase) = &mut circle.phase {
                phase.zero_deg += 180.0;
            }
        }
        circle
    }
}

/// Lower triangular L with L Lᵀ the covariance; a variance that is used up leaves a zero column.
fn cholesky(covariance: &CircleCovariance) -> [[f64; 4]; 4] {
    let mut factor = [[0.0_f64; 4]; 4];
    for column in 0..covariance.size().min(4) {
        let known: f64 = (0..column).map(|k| factor[column][k].powi(2)).sum();
        let left = covariance.get(column, column) - known;
        // Rounding of the subtraction is not variance.
        if left.is_nan() || left <= 1e-14 * covariance.get(column, column) {
            continue;
        }
        let pivot = left.sqrt();
        factor[column][column] = pivot;
        for row in column + 1..covariance.size().min(4) {
            let known: f64 = (0..column).map(|k| factor[row][k] * factor[column][k]).sum();
            factor[row][column] = (covariance.get(row, column) - known) / pivot;
        }
    }
    factor
}

/// Where a crossing may be, from random trials of both circles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossingSpread {
    /// Share of the trials in which the circles meet at all.
    pub meets: f64,
    /// Mean place where they meet.
    pub mean: Direction,
    /// Covariance of that place, square arcminutes.
    pub covariance_arcmin2: [[f64; 2]; 2],
    /// Radius about the mean that holds 95 % of *all* trials; `None` when they meet in fewer.
    pub radius_95_arcmin: Option<f64>,
    /// 95 % of all trials are no farther from boresight than this; `None` as above.
    pub boresight_95_arcmin: Option<f64>,
    /// Trials made.
    pub trials: usize,
    /// The seed.
    pub seed: u64,
}

/// Propagates both fits through a crossing: in each trial the crossing nearest to `near`.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two trials, a fit without covariance, or when the circles meet
/// in fewer than two trials.
pub fn crossing(
    fits: PerChannel<&CircleFit>,
    near: Direction,
    trials: usize,
    seed: u64,
) -> Result<CrossingSpread, Error> {
    let left = FitSampler::from_fit(Channel::Left, fits.left)?;
    let right = FitSampler::from_fit(Channel::Right, fits.right)?;
    let trials = check_trials(trials)?;
    let mut source = Source::seeded(seed);
    let mut found = Vec::new();
    for _ in 0..trials {
        let (left, right) = (left.draw(&mut source), right.draw(&mut source));
        let nearest = meet(&left, &right, RELATION_TOLERANCE).ok().and_then(|met| {
            met.crossings()
                .map(|crossing| crossing.point)
                .min_by(|a, b| a.distance_arcmin(near).total_cmp(&b.distance_arcmin(near)))
        });
        found.extend(nearest);
    }
    let met = found.len();
    if met < 2 {
        return Err(Error::TooFew {
            what: "trials in which the circles meet",
            found: met,
            needed: 2,
        });
    }
    let share = 1.0 / met as f64;
    let mean = found.iter().fold(Direction::BORESIGHT, |sum, &point| sum + point * share);
    let mut covariance = [[0.0; 2]; 2];
    for point in &found {
        let off = *point - mean;
        covariance[0][0] += off.x_arcmin * off.x_arcmin;
        covariance[0][1] += off.x_arcmin * off.y_arcmin;
        covariance[1][1] += off.y_arcmin * off.y_arcmin;
    }
    covariance[1][0] = covariance[0][1];
    let covariance = covariance.map(|row| row.map(|entry| entry / (met - 1) as f64));
    let of_all = |measure: &dyn Fn(&Direction) -> f64| {
        let mut values: Vec<f64> = found.iter().map(measure).collect();
        values.resize(trials, f64::INFINITY);
        values.sort_by(f64::total_cmp);
        quantile(&values, 0.95).filter(|value| value.is_finite())
    };
    Ok(CrossingSpread {
        meets: met as f64 / trials as f64,
        mean,
        covariance_arcmin2: covariance,
        radius_95_arcmin: of_all(&|point| point.distance_arcmin(mean)),
        boresight_95_arcmin: of_all(&|point| point.boresight_arcmin()),
        trials,
        seed,
    })
}

/// What a pair of ring angles will give, from random trials of both circles and of the setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SettingSpread {
    /// 95 % of the trials use no more of the window than this; `None` without a window.
    pub use_95: Option<f64>,
    /// Share of the trials inside the window; `None` without one.
    pub inside: Option<f64>,
    /// 95 % of the trials are misaligned by no more than this, arcminutes.
    pub misalignment_95_arcmin: f64,
    /// 95 % of the trials' shared directions are no farther from boresight than this.
    pub boresight_95_arcmin: f64,
    /// Trials made.
    pub trials: usize,
    /// The seed.
    pub seed: u64,
}

/// Propagates both fits and the error of setting a ring to a setting: `ring_setting_deg` (standard,
/// degrees) is what setting adds to the σθ of the scale the ring is set by, which each fit knows
/// ([`CircleFit::ring_set_u_deg`]).
///
/// # Errors
/// [`Error::TooFew`] for fewer than two trials, a fit without covariance or without ring angles;
/// [`Error::OutOfRange`] for a ring-setting error below 0 or ring angles that are no numbers.
pub fn setting(
    fits: PerChannel<&CircleFit>,
    ring_deg: PerChannel<f64>,
    ring_setting_deg: f64,
    window: Option<Window>,
    trials: usize,
    seed: u64,
) -> Result<SettingSpread, Error> {
    Error::check_ring_setting(ring_setting_deg)?;
    for (_, &deg) in ring_deg.iter() {
        Error::check(deg.is_finite(), "a ring angle", deg, "a number")?;
    }
    for (_, fit) in fits.iter() {
        if fit.circle.phase.is_none() {
            return Err(Error::TooFew { what: "ring angles logged", found: 0, needed: 1 });
        }
    }
    let slip_deg = fits.map(|fit| fit.ring_set_u_deg(ring_setting_deg));
    let left = FitSampler::from_fit(Channel::Left, fits.left)?;
    let right = FitSampler::from_fit(Channel::Right, fits.right)?;
    let trials = check_trials(trials)?;
    let mut source = Source::seeded(seed);
    let mut used = Vec::with_capacity(trials);
    let (mut apart, mut away) = (Vec::with_capacity(trials), Vec::with_capacity(trials));
    for _ in 0..trials {
        let mut at = |drawn: &FitSampler, channel: Channel| {
            let circle = drawn.draw(&mut source);
            let set_deg = ring_deg[channel] + slip_deg[channel] * source.normal();
            circle.at_ring(set_deg).unwrap_or(circle.centre)
        };
        let (left, right) = (at(&left, Channel::Left), at(&right, Channel::Right));
        apart.push(left.distance_arcmin(right));
        away.push(left.midpoint(right).boresight_arcmin());
        used.extend(window.map(|window| window.used_by(left, right).worst()));
    }
    for values in [&mut used, &mut apart, &mut away] {
        values.sort_by(f64::total_cmp);
    }
    let inside = window.map(|_| used.partition_point(|&share| share <= 1.0) as f64 / trials as f64);
    Ok(SettingSpread {
        use_95: quantile(&used, 0.95),
        inside,
        misalignment_95_arcmin: quantile(&apart, 0.95).unwrap_or(0.0),
        boresight_95_arcmin: quantile(&away, 0.95).unwrap_or(0.0),
        trials,
        seed,
    })
}

pub(crate) const fn check_trials(trials: usize) -> Result<usize, Error> {
    if trials < 2 {
        return Err(Error::TooFew { what: "trials", found: trials, needed: 2 });
    }
    Ok(if trials > MOST_TRIALS { MOST_TRIALS } else { trials })
}
