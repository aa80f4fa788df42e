//! Global risk: what a window and a rule do to the units that a shop makes, before any one of them is
//! measured. The consumer's risk is the chance that a unit is outside and passes all the same, the
//! producer's that it is inside and does not pass.
//!
//! Beside it stands the specific risk of one unit that has been measured ([`crate::decision`]).
//!
//! # Assumptions
//! Units as made are normally distributed, and so is what is measured about what is true; the
//! misalignment m and the shared direction b have nothing to do with each other; past units tell what
//! coming ones are like.
//!
//! # Source
//! JCGM 106:2012, 9 (9.5: both risks of binary decision rules).

use crate::decision::{Covariance, ENOUGH, Rule};
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::stats::binormal::Binormal;
use crate::stats::quantile::normal;
use crate::tolerance::Window;

/// Units whose measurements tell what units are like. Common practice, no source: from so many on their
/// spread is known to a sixth.
pub const ENOUGH_UNITS: usize = 20;

/// Measured misalignments that units are taken to have, and measured shared directions: points of a
/// Fibonacci lattice, as many as the first number.
const MISALIGNMENTS: [u32; 2] = [987, 610];
const SHARED: [u32; 2] = [233, 144];

/// Shares of all units, each of them a chance for the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlobalRisk {
    /// Outside, and passed.
    pub consumers: f64,
    /// Inside, and not passed: failed, or left undecided.
    pub producers: f64,
    /// Passed, rightly or not.
    pub passed: f64,
    /// Inside, passed or not.
    pub inside: f64,
}

/// Both risks of one quantity: made with a mean and a standard deviation, measured with a standard
/// uncertainty, inside where it lies between the tolerance limits, passed where what is measured lies
/// between the acceptance limits. All in one unit.
///
/// # Errors
/// As [`Binormal::new`]: a spread that is below 0 or no number.
///
/// # Accuracy
/// 1e-13, absolute.
///
/// # Source
/// JCGM 106:2012, 9.5.2 and 9.5.3, as masses of the bivariate normal distribution of true and measured
/// value.
///
/// ```
/// use solver::global_risk::of_one;
/// // Resistors of 1 500 Ω, inside ± 0.20 Ω, passed within ± 0.18 Ω.
/// let risk = of_one([1_500.0, 0.12], 0.04, [1_499.8, 1_500.2], [1_499.82, 1_500.18])?;
/// assert!((risk.consumers - 0.009_878).abs() < 1e-6);
/// assert!((risk.producers - 0.069_027).abs() < 1e-6);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn of_one(
    [mean, spread]: [f64; 2],
    measurement_u: f64,
    tolerance: [f64; 2],
    acceptance: [f64; 2],
) -> Result<GlobalRisk, Error> {
    Error::check(spread >= 0.0, "a spread", spread, "0 or more")?;
    Error::check(measurement_u >= 0.0, "an uncertainty", measurement_u, "0 or more")?;
    let own = spread * spread;
    let both = Binormal::new([mean; 2], [[own, own], [own, own + measurement_u * measurement_u]])?;
    const ALL: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];
    let mass = |truth: [f64; 2], measured: [f64; 2]| {
        both.mass_in_box([truth[0], measured[0]], [truth[1], measured[1]])
    };
    let (inside, passed) = (mass(tolerance, ALL), mass(ALL, acceptance));
    let rightly = mass(tolerance, acceptance);
    Ok(GlobalRisk {
        consumers: (passed - rightly).max(0.0),
        producers: (inside - rightly).max(0.0),
        passed,
        inside,
    })
}

/// A measured unit: what [`Produced::seen`] learns from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredUnit {
    /// Its mean misalignment.
    pub misalignment: Misalignment,
    /// Where both channels point together.
    pub shared: Direction,
    /// Standard covariance of the misalignment, square arcminutes.
    pub misalignment_covariance: Covariance,
    /// Standard covariance of the shared direction.
    pub shared_covariance: Covariance,
}

/// Where units lie, as they are made, and how well one is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Produced {
    misalignment: Axes,
    shared: Axes,
}

/// Two coordinates as made, and as measured about what they are.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Axes {
    mean: [f64; 2],
    own: Covariance,
    measured: Covariance,
}

impl Produced {
    /// From units measured in the past: their mean; their scatter less what the measurement adds to it (none
    /// is left where they scatter less than that); the mean covariance of a measurement.
    ///
    /// # Errors
    /// [`Error::TooFew`] for fewer than [`ENOUGH_UNITS`]; [`Error::OutOfRange`] or
    /// [`Error::NotACovariance`] for numbers that are none.
    pub fn seen(units: &[MeasuredUnit]) -> Result<Self, Error> {
        if units.len() < ENOUGH_UNITS {
            let what = "measured units to tell what units are like";
            return Err(Error::TooFew { what, found: units.len(), needed: ENOUGH_UNITS });
        }
        let misalignment = |unit: &MeasuredUnit| {
            let m = unit.misalignment;
            ([m.x_arcmin, m.y_arcmin], unit.misalignment_covariance)
        };
        let shared = |unit: &MeasuredUnit| {
            ([unit.shared.x_arcmin, unit.shared.y_arcmin], unit.shared_covariance)
        };
        Ok(Self {
            misalignment: Axes::seen(units.iter().map(misalignment))?,
            shared: Axes::seen(units.iter().map(shared))?,
        })
    }

    /// Mean and covariance of the misalignment of units as made.
    #[must_use]
    pub const fn misalignment(&self) -> ([f64; 2], Covariance) {
        (self.misalignment.mean, self.misalignment.own)
    }

    /// Both risks of a window under a rule, for units that come and measurements like those of the past.
    ///
    /// # Errors
    /// As [`Binormal::new`], for numbers too large to be worked with.
    ///
    /// # Accuracy
    /// 0.002, absolute, by comparison with [`of_one`]: measured values spread evenly over their
    /// distribution, with no chance in it, and for each the exact chance that the unit is inside.
    pub fn risk(&self, window: &Window, rule: Rule) -> Result<GlobalRisk, Error> {
        let box_low = [-window.convergence_arcmin(), -window.dipvergence_arcmin()];
        let box_high = [window.divergence_arcmin(), window.dipvergence_arcmin()];
        let in_box = |mean, covariance| {
            Ok::<f64, Error>(Binormal::new(mean, covariance)?.mass_in_box(box_low, box_high))
        };
        let (m, b) = (self.misalignment.prepared()?, self.shared.prepared()?);
        let axis = |at: [f64; 2]| Misalignment::new(at[0], at[1]);
        let misalignments: Vec<ValueRisk> = evenly(MISALIGNMENTS)
            .map(|z| {
                let seen = m.seen(z?);
                let used = window.use_of(axis(seen), Direction::BORESIGHT);
                Ok(ValueRisk {
                    passes: used.is_inside(),
                    chance: in_box(seen, self.misalignment.measured)?,
                    truly: in_box(m.truth(seen), m.left_open)?,
                })
            })
            .collect::<Result<_, Error>>()?;
        let shared: Vec<ValueRisk> = match window.boresight_arcmin() {
            None => vec![ValueRisk { passes: true, chance: 1.0, truly: 1.0 }],
            Some(limit) => evenly(SHARED)
                .map(|z| {
                    let seen = b.seen(z?);
                    let in_disc = |mean, covariance| {
                        Ok::<f64, Error>(Binormal::new(mean, covariance)?.mass_in_disc(limit))
                    };
                    Ok(ValueRisk {
                        passes: seen[0].hypot(seen[1]) <= limit,
                        chance: in_disc(seen, self.shared.measured)?,
                        truly: in_disc(b.truth(seen), b.left_open)?,
                    })
                })
                .collect::<Result<_, Error>>()?,
        };
        let share = 1.0 / (misalignments.len() * shared.len()) as f64;
        let mut risk = GlobalRisk { consumers: 0.0, producers: 0.0, passed: 0.0, inside: 0.0 };
        for m in &misalignments {
            for b in &shared {
                let truly = m.truly * b.truly;
                let passed = match rule {
                    Rule::Simple => m.passes && b.passes,
                    Rule::Guarded => m.chance + b.chance - 1.0 >= ENOUGH,
                };
                risk.inside += share * truly;
                if passed {
                    risk.passed += share;
                    risk.consumers += share * (1.0 - truly);
                } else {
                    risk.producers += share * truly;
                }
            }
        }
        Ok(risk)
    }
}

/// What one measured value comes to.
struct ValueRisk {
    /// Whether it is inside itself.
    passes: bool,
    /// The chance that the unit is inside, as far as the reading tells.
    chance: f64,
    /// The same, with what is known of units as made.
    truly: f64,
}

/// What measuring makes of two coordinates, worked out once.
struct Prepared {
    mean: [f64; 2],
    /// Square root of the covariance of measured values.
    root: Covariance,
    /// How much of a measured value's distance from the mean is the unit's own.
    gain: Covariance,
    /// Covariance of what is true, once it is measured.
    left_open: Covariance,
}

impl Axes {
    fn seen(units: impl Iterator<Item = ([f64; 2], Covariance)> + Clone) -> Result<Self, Error> {
        let count = units.clone().count() as f64;
        let mut mean = [0.0; 2];
        let mut measured = [[0.0; 2]; 2];
        for (at, covariance) in units.clone() {
            for i in 0..2 {
                mean[i] += at[i] / count;
                for j in 0..2 {
                    measured[i][j] += covariance[i][j] / count;
                }
            }
        }
        let mut own = [[0.0; 2]; 2];
        for (at, _) in units {
            for i in 0..2 {
                for j in 0..2 {
                    own[i][j] += (at[i] - mean[i]) * (at[j] - mean[j]) / (count - 1.0);
                }
            }
        }
        let own = not_below_nothing(plus(own, measured, -1.0));
        // Refuses what is no number, here and not value by value.
        Binormal::new(mean, own)?;
        Binormal::new(mean, measured)?;
        Ok(Self { mean, own, measured })
    }

    fn prepared(&self) -> Result<Prepared, Error> {
        let total = plus(self.own, self.measured, 1.0);
        let [[xx, xy], [_, yy]] = total;
        let x = xx.max(0.0).sqrt();
        let across = if x > 0.0 { xy / x } else { 0.0 };
        let y = (yy - across * across).max(0.0).sqrt();
        let determinant = xx * yy - xy * xy;
        let gain = if determinant > 1e-12 * xx * yy {
            times(
                self.own,
                [[yy / determinant, -xy / determinant], [-xy / determinant, xx / determinant]],
            )
        } else {
            let of = |own: f64, all: f64| if all > 0.0 { own / all } else { 0.0 };
            [[of(self.own[0][0], xx), 0.0], [0.0, of(self.own[1][1], yy)]]
        };
        let left_open = not_below_nothing(plus(self.own, times(gain, self.own), -1.0));
        Binormal::new(self.mean, left_open)?;
        Ok(Prepared { mean: self.mean, root: [[x, 0.0], [across, y]], gain, left_open })
    }
}

impl Prepared {
    fn seen(&self, z: [f64; 2]) -> [f64; 2] {
        let Self { mean, root, .. } = self;
        [mean[0] + root[0][0] * z[0], mean[1] + root[1][0] * z[0] + root[1][1] * z[1]]
    }

    fn truth(&self, seen: [f64; 2]) -> [f64; 2] {
        let Self { mean, gain, .. } = self;
        let off = [seen[0] - mean[0], seen[1] - mean[1]];
        [0, 1].map(|i: usize| mean[i] + gain[i][0] * off[0] + gain[i][1] * off[1])
    }
}

/// Points that fill two dimensions evenly, and each by itself, as standard normal deviates.
///
/// Source: the Fibonacci lattice (H. Niederreiter, *Random Number Generation and Quasi-Monte Carlo
/// Methods*, 1992, chapter 5; from memory).
fn evenly([count, step]: [u32; 2]) -> impl Iterator<Item = Result<[f64; 2], Error>> {
    (0..count).map(move |place| {
        let across = (u64::from(place) * u64::from(step)) % u64::from(count);
        let share = |place: f64| normal((place + 0.5) / f64::from(count));
        Ok([share(f64::from(place))?, share(across as f64)?])
    })
}

/// A + b·B.
fn plus(a: Covariance, b: Covariance, factor: f64) -> Covariance {
    [0, 1].map(|i: usize| [0, 1].map(|j: usize| a[i][j] + factor * b[i][j]))
}

fn times(a: Covariance, b: Covariance) -> Covariance {
    [0, 1].map(|i: usize| [0, 1].map(|j: usize| a[i][0] * b[0][j] + a[i][1] * b[1][j]))
}

/// The nearest covariance: symmetric, and what is below nothing along an axis of its own taken away.
fn not_below_nothing([[xx, xy], [yx, yy]]: Covariance) -> Covariance {
    let xy = 0.5 * (xy + yx);
    let (middle, half) = (0.5 * (xx + yy), 0.5 * (xx - yy));
    let reach = half.hypot(xy);
    let (large, small) = ((middle + reach).max(0.0), (middle - reach).max(0.0));
    if middle - reach >= 0.0 || reach <= 0.0 {
        return [[xx.max(0.0), xy], [xy, yy.max(0.0)]];
    }
    // cos 2α and sin 2α of the axis along which it is largest.
    let (cos2, sin2) = (half / reach, xy / reach);
    let (mean, rest) = (0.5 * (large + small), 0.5 * (large - small));
    let off = rest * sin2;
    [[(mean + rest * cos2).max(0.0), off], [off, (mean - rest * cos2).max(0.0)]]
}
