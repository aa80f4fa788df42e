//! From readings to an offset circle, with its covariance.
//!
//! One weighted least-squares estimator serves readings with ring angles, without, and any mix.
//! With a = r (cos φ, sin φ), R a rotation and all angles in radians:
//!
//! - a reading with a ring angle leaves the vector e = p − c − R(−sθ)a, split along the predicted
//!   radial and tangential directions, with variances σ² and σ² + (r σθ)²;
//! - a reading without one leaves its distance to the circle, |p − c| − r, with variance σ².
//!
//! Weights are held at the current r while the sum of squares is made smallest, then taken anew,
//! until nothing changes; the derivative of the weights is not taken. So with σθ = 0 and every
//! angle known this is linear least squares, and with no angle the geometric (orthogonal
//! distance) circle fit.
//!
//! - [`reading`]: what goes in; [`result`]: what comes out; [`design`]: how one hangs on the other;
//! - [`frame`]: the frame the numbers are worked in; [`settled`]: a circle in it;
//! - [`enough`]: whether the readings can settle a circle at all;
//! - [`linear`]: the answer where every ring angle is known; [`geometric`]: the short way to it
//!   where none is; [`algebraic`]: where the search starts;
//! - [`refine`]: the careful search for everything else; [`ring_sums`]: its readings with ring
//!   angles, in sums; [`row_qr`]: the factor that gives its covariance;
//! - [`sense`]: which way round, and the whole put together; [`blunder`]: whether one misread
//!   reading turned it.
//!
//! # Source
//! Geometric fit: W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558. Start: G. Taubin, IEEE
//! Trans. PAMI 13 (1991) 1115. Covariance of a least-squares estimate: JCGM 100:2008, H.3 and
//! JCGM 102:2011; the residuals, weights and parameters are this project's.

pub mod algebraic;
mod blunder;
pub(crate) mod design;
mod enough;
mod frame;
mod geometric;
mod linear;
pub mod reading;
mod refine;
pub mod result;
mod ring_sums;
mod row_qr;
mod sense;
mod settled;

pub use reading::{Reading, SenseChoice, Spread};
pub use result::{CircleCovariance, CircleFit, Consistency, Residual, SenseBasis, SigmaBasis};

use crate::channel::Channel;
use crate::circle::Sense;
use crate::error::Error;
use crate::fit::frame::FramedReadings;

/// Fits one channel's offset circle.
///
/// # Units
/// Directions and σ in arcminutes, ring angles and σθ in degrees.
///
/// # Errors
/// [`Error`] says what is missing: too few angles and points, points on a line, a crosshair that
/// does not move, or an uncertainty that makes no sense. `channel` only names the culprit.
///
/// # Degenerate input
/// Repeated readings are welcome. Exact data give residuals and covariance of zero. An arc too
/// short to trust is fitted and marked ([`CircleFit::arc_too_short`]).
///
/// # Accuracy
/// To machine precision times the conditioning of the problem, which the covariance shows.
///
/// ```
/// use solver::fit::{fit_circle, Reading, SenseChoice, Spread};
/// use solver::{Channel, Direction};
/// let readings = [
///     Reading::at_ring(0.0, Direction::new(30.0, 0.0)),
///     Reading::at_ring(90.0, Direction::new(10.0, -20.0)),
///     Reading::at_ring(180.0, Direction::new(-10.0, 0.0)),
/// ];
/// let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto)?;
/// assert!((fit.circle.radius_arcmin - 20.0).abs() < 1e-12);
/// assert!((fit.circle.centre.x_arcmin - 10.0).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn fit_circle(
    channel: Channel,
    readings: &[Reading],
    spread: Spread,
    sense: SenseChoice,
) -> Result<CircleFit, Error> {
    spread.check()?;
    let evidence = enough::weigh(channel, readings)?;
    let framed = FramedReadings::new(readings, evidence.frame);
    let fit = |choice| sense::fit_with_choice(channel, spread, choice, &evidence, &framed);
    let mut found = fit(sense);
    if let Ok(found) = &mut found {
        blunder::reconsider(found, readings, || fit(SenseChoice::Given(Sense::With)).ok());
    }
    found
}
