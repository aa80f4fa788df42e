//! Stations that show only the difference: from m = p_R − p_L at pairs of ring angles to settings.
//!
//! With p(θ) = c + r (cos(φ − sθ), sin(φ − sθ)) for each channel, written with complex numbers,
//!
//! m = D + b exp(−i s_R θ_R) − a exp(−i s_L θ_L),  D = c_R − c_L,
//!
//! a = r_L exp(iφ_L) and b = r_R exp(iφ_R) the offsets at ring zero: linear in D, a and b, so the fit
//! ([`fit`]) is one linear least squares. Readings have one σ, each axis; an uncertain ring angle moves them
//! along two tangents at once, which no reading here can tell apart, so it is counted as so much more
//! scatter and weighs nothing.
//!
//! # What determines it
//! Three distinct pairs of ring angles, if each ring was turned and the two not by the same amount
//! throughout. For suppose α + β w_L + γ w_R = 0 at every pair, w = exp(−isθ), not all of α, β, γ zero.
//! If none is zero, the three terms are the sides of a triangle of fixed lengths with one side fixed, and
//! there are two such at most: three distinct pairs rule it out. If γ is zero w_L never changes, if β
//! is, w_R; if α is, w_R/w_L: the rings were turned in step (in opposite step where the senses
//! differ).
//!
//! That settles it for exact numbers. Of read ones more is asked ([`certainty`]): a ring turned by no more
//! than it is good to, two rings turned alike to as much, or a radius below twice its uncertainty leave it
//! [open](Open), and nothing is recommended.
//!
//! # Senses
//! As for a circle: told, or found per channel where the best fit with the one differs from the best with
//! the other by Δχ² ≥ 9 (σ unknown: n ln of the ratio of sums of squares, n twice the readings) and that
//! ring stood at three distinct angles; else *with* is used and said to be assumed.
//!
//! # Settings
//! m = 0 where the circle of radius r_L about 0 and that of radius r_R about D meet: none, one or two
//! pairs. Where boresight lies is not in m: the same readings come from both circles moved together
//! anywhere. So no pair can be preferred for lying nearer, and the one is recommended that takes
//! the least turning (the sum of both turns) from where the rings are, the other given beside it:
//! it stays nearest to what was read, and turns rings and their play least. A window's boresight
//! limit is not judged.
//! - `basis`: the columns of its least squares; `senses`: which way round each crosshair runs.

mod basis;
pub mod certainty;
pub mod fit;
mod senses;

pub use certainty::{Open, RelativeSpread, WindowStatus};
pub use fit::{RelativeFit, RelativeOffset, fit_relative};

use crate::angle::{reduced_deg, rounded_deg, turn_deg};
use crate::channel::{Channel, PerChannel};
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::fit::{SenseChoice, Spread};
use crate::meet::{RELATION_TOLERANCE, Relation, meet};
use crate::setting::best_compromise;
use crate::solve::SettingKind;
use crate::tolerance::{Window, WindowUse};
use crate::uncertainty::Uncertainty;

/// What such a station cannot say, in words for screen and paper.
pub const BORESIGHT_UNKNOWN: &str = "This station shows only the difference: rings can be set to \
    agree, but how far from boresight they meet is not known.";

/// What is said beside a window that has a boresight limit.
pub const BORESIGHT_NOT_JUDGED: &str = "The window's boresight limit is not judged.";

/// The difference of both channels read once, at a pair of ring angles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeReading {
    /// Ring angles, degrees, any turn.
    pub ring_deg: PerChannel<f64>,
    /// p_R − p_L.
    pub misalignment: Misalignment,
}

/// One round's readings and what is known about them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RelativeProblem {
    /// The readings, in the order logged.
    pub readings: Vec<RelativeReading>,
    /// σ of a reading, each axis, arcminutes; `None`: estimated from the residuals.
    pub sigma_arcmin: Option<f64>,
    /// σθ of a ring angle, degrees; above 0 only with σ.
    pub ring_sigma_deg: f64,
    /// The least step to which rings are read and set, degrees; 0: none.
    pub ring_step_deg: f64,
    /// The step to which differences were read, arcminutes, where it is known: readings that are all alike are
    /// no better known than that.
    pub step_arcmin: Option<f64>,
    /// Which way round each crosshair runs.
    pub sense: PerChannel<SenseChoice>,
    /// The tolerance window, if one is chosen; its boresight limit is not judged.
    pub window: Option<Window>,
    /// Where the rings are now, degrees; `None`: where the last reading has them.
    pub rings_now_deg: Option<PerChannel<f64>>,
}

/// What the readings say.
#[derive(Clone, Debug, PartialEq)]
pub struct RelativeSolution {
    /// Centre difference and both offsets.
    pub fit: RelativeFit,
    /// How a circle of the left radius and one of the right lie to each other, D apart.
    pub relation: Relation,
    /// The least |m| that two rings can leave, arcminutes; 0 where they can agree.
    pub gap_arcmin: f64,
    /// Rings that agree, else the best compromise: recommended where nothing is [open](Self::open).
    pub setting: RelativeSetting,
    /// What the readings leave open: what is not settled by them is not recommended.
    pub open: Vec<Open>,
    /// The pair of ring angles whose difference would tell most, degrees.
    pub read_next_deg: PerChannel<f64>,
    /// The other pair that agrees, where there are two.
    pub other: Option<RelativeSetting>,
    /// The window has a boresight limit, and nothing here says whether it is kept.
    pub boresight_not_judged: bool,
    scale: certainty::RingScale,
}

/// A pair of ring angles and the difference it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeSetting {
    /// A crossing leaves no difference; a compromise is the best where there is none.
    pub kind: SettingKind,
    /// Ring angles, degrees in [0, 360).
    pub ring_deg: PerChannel<f64>,
    /// From where the rings are, degrees in (−180, 180], clockwise positive; half a turn is
    /// clockwise.
    pub turn_deg: PerChannel<f64>,
    /// p_R − p_L.
    pub misalignment: Misalignment,
    /// Uncertainty of each part of it, arcminutes; `None` where neither σ nor spare readings are.
    pub misalignment_u: Option<Uncertainty>,
    /// Uncertainty of each ring target of a crossing, degrees; `None` as above, of a compromise, or
    /// where the circles only touch.
    pub ring_u_deg: PerChannel<Option<Uncertainty>>,
    /// Use of the window's box, without its boresight limit; `None` without a window.
    pub window_use: Option<WindowUse>,
}

/// Fits the readings and finds the rings that agree.
///
/// # Errors
/// As [`fit_relative`].
///
/// # Degenerate input
/// Circles that coincide (D = 0, equal radii) agree at every pair of a family; one of it is given.
///
/// ```
/// use solver::relative::{RelativeProblem, RelativeReading, solve_relative};
/// use solver::{Misalignment, PerChannel};
/// // Both offsets 10′ to the right at ring zero, centres 12′ apart.
/// let read = |left: f64, right: f64, x, y| RelativeReading {
///     ring_deg: PerChannel { left, right },
///     misalignment: Misalignment::new(x, y),
/// };
/// let readings = vec![
///     read(0.0, 0.0, 12.0, 0.0),
///     read(90.0, 0.0, 22.0, 10.0),
///     read(0.0, 90.0, 2.0, -10.0),
/// ];
/// let solution = solve_relative(&RelativeProblem { readings, ..Default::default() })?;
/// assert!((solution.fit.between.x_arcmin - 12.0).abs() < 1e-12);
/// assert!((solution.fit.offsets.left.radius_arcmin - 10.0).abs() < 1e-12);
/// assert!(solution.setting.misalignment.length_arcmin() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn solve_relative(problem: &RelativeProblem) -> Result<RelativeSolution, Error> {
    let spread =
        Spread { sigma_arcmin: problem.sigma_arcmin, ring_sigma_deg: problem.ring_sigma_deg };
    let fit = fit::fit_spread(&problem.readings, spread, problem.step_arcmin, problem.sense)?;
    let step_deg = problem.ring_step_deg;
    let holds = step_deg >= 0.0 && step_deg.is_finite();
    Error::check(holds, "the step of a ring", step_deg, "0° or more")?;
    let scale = certainty::RingScale { sigma_deg: problem.ring_sigma_deg, step_deg };
    let now_deg = problem
        .rings_now_deg
        .or_else(|| problem.readings.last().map(|reading| reading.ring_deg))
        .unwrap_or_default();
    for channel in Channel::BOTH {
        let holds = now_deg[channel].is_finite();
        Error::check(holds, "where a ring is now", now_deg[channel], "a number of degrees")?;
    }
    let window = problem.window.map(without_boresight).transpose()?;
    let circles = fit.circles();
    let met = meet(&circles.left, &circles.right, RELATION_TOLERANCE)?;
    let at = |kind, points: PerChannel<Direction>| {
        // Circles of this fit have phases.
        let ring_deg = PerChannel::from_fn(|channel| {
            circles[channel].ring_for(points[channel]).unwrap_or_default()
        });
        let misalignment = Misalignment::between(points.left, points.right);
        RelativeSetting {
            kind,
            ring_deg,
            turn_deg: PerChannel::from_fn(|channel| {
                turn_deg(reduced_deg(now_deg[channel]), ring_deg[channel])
            }),
            misalignment,
            misalignment_u: fit.misalignment_u(ring_deg).filter(|_| !fit.does_not_fit()),
            ring_u_deg: if kind == SettingKind::Crossing
                && met.relation == Relation::Crossing
                && !fit.does_not_fit()
            {
                fit.ring_u_deg(ring_deg)
            } else {
                PerChannel::default()
            },
            window_use: window.map(|window| window.use_of(misalignment, Direction::BORESIGHT)),
        }
    };
    let mut agreeing = met.crossings().map(|crossing| {
        at(SettingKind::Crossing, PerChannel { left: crossing.point, right: crossing.point })
    });
    let (setting, other) = match (agreeing.next(), agreeing.next()) {
        (Some(first), Some(second)) => {
            if comes_before(&second, &first) {
                (second, Some(first))
            } else {
                (first, Some(second))
            }
        }
        (Some(only), None) => (only, None),
        _ => {
            let best = best_compromise(&circles.left, &circles.right, window.as_ref())?;
            (at(SettingKind::Compromise, best.points), None)
        }
    };
    Ok(RelativeSolution {
        open: certainty::open(&fit, scale),
        read_next_deg: fit.next_pair_deg(now_deg),
        scale,
        fit,
        relation: met.relation,
        gap_arcmin: met.gap_arcmin,
        setting,
        other,
        boresight_not_judged: problem.window.is_some_and(|w| w.boresight_arcmin().is_some()),
    })
}

impl RelativeSolution {
    /// A setting as hands set it: both ring angles to a whole number of steps, and what is then left.
    ///
    /// `step_deg` above 0, degrees; a step that is none leaves the angles as they are.
    #[must_use]
    pub fn rounded_to(
        &self,
        setting: &RelativeSetting,
        step_deg: f64,
        window: Option<Window>,
    ) -> RelativeSetting {
        let ring_deg = setting.ring_deg.map(|deg| rounded_deg(deg, step_deg));
        let misalignment = self.fit.misalignment_at(ring_deg);
        let window = window.and_then(|window| without_boresight(window).ok());
        RelativeSetting {
            ring_deg,
            turn_deg: PerChannel::from_fn(|channel| {
                let now_deg = setting.ring_deg[channel] - setting.turn_deg[channel];
                turn_deg(reduced_deg(now_deg), ring_deg[channel])
            }),
            misalignment,
            misalignment_u: setting.misalignment_u.and(self.fit.misalignment_u(ring_deg)),
            window_use: window.map(|window| window.use_of(misalignment, Direction::BORESIGHT)),
            ..*setting
        }
    }

    /// A window as differences are held against it: without its boresight limit.
    #[must_use]
    pub fn window_box(&self, window: Option<Window>) -> Option<Window> {
        without_boresight(window?).ok()
    }

    /// The differences that two rings can reach: no nearer to the centre difference than the first,
    /// no farther than the second, arcminutes.
    #[must_use]
    pub fn reach_arcmin(&self) -> [f64; 2] {
        let PerChannel { left, right } = self.fit.offsets.map(|offset| offset.radius_arcmin);
        [(left - right).abs(), left + right]
    }
}

/// Less turning first; as much of it, the lower left ring angle: sums within 1e-9° are equal.
fn comes_before(a: &RelativeSetting, b: &RelativeSetting) -> bool {
    let [of_a, of_b] = [a, b].map(|setting| {
        let turns = setting.turn_deg.map(f64::abs);
        turns.left + turns.right
    });
    if (of_a - of_b).abs() > 1e-9 { of_a < of_b } else { a.ring_deg.left < b.ring_deg.left }
}

fn without_boresight(window: Window) -> Result<Window, Error> {
    let (convergence, divergence) = (window.convergence_arcmin(), window.divergence_arcmin());
    Window::new(convergence, divergence, window.dipvergence_arcmin(), None)
}

impl RelativeSolution {
    /// What it cannot say, in sentences: of boresight, and of a window's limit on it.
    pub fn cautions(&self) -> impl Iterator<Item = &'static str> {
        [Some(BORESIGHT_UNKNOWN), self.limit_caution()].into_iter().flatten()
    }

    /// Of a window's limit on boresight, where there is one.
    #[must_use]
    pub fn limit_caution(&self) -> Option<&'static str> {
        self.boresight_not_judged.then_some(BORESIGHT_NOT_JUDGED)
    }
}
