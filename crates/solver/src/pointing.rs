//! How well it is known where a channel points at a ring angle, and what a pair of them gives.
//!
//! p(θ) = c + r (cos ψ, sin ψ), ψ = φ − sθ, so dp = dc + n dr + r t (dφ − s dθ) with n along ψ and t
//! across it. To first order; window use, which is zero at every crossing and has corners, goes
//! through [`crate::monte_carlo::setting`] instead.
//!
//! A ring is set by the scale that was read: θ is off by σθ once more, by a draw of its own that
//! is in no reading and no covariance of the fit, beside what setting it to a step adds.
//!
//! # Source
//! JCGM 102:2011, 6.2 (explicit multivariate models).

use crate::angle::{deg_from_rad, rad_from_deg};
use crate::channel::PerChannel;
use crate::direction::{Direction, Misalignment};
use crate::ellipse::Ellipse;
use crate::error::Error;
use crate::fit::CircleFit;
use crate::uncertainty::{COVERAGE, Uncertainty, effective_freedom};

/// How well a setting is known, the error of setting the rings by their scales included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SettingUncertainty {
    /// Where the channels will point apart, by the fits.
    pub misalignment: Misalignment,
    /// Covariance of the misalignment p_R − p_L, square arcminutes.
    pub misalignment_arcmin2: [[f64; 2]; 2],
    /// Covariance of the shared direction (p_L + p_R)/2, square arcminutes.
    pub shared_arcmin2: [[f64; 2]; 2],
    /// Effective degrees of freedom of both.
    pub freedom: f64,
}

impl SettingUncertainty {
    /// The 95 % ellipse of the misalignment, about it; x and y in the ellipse are m_x and m_y.
    #[must_use]
    pub fn ellipse(&self) -> Option<Ellipse> {
        let Misalignment { x_arcmin, y_arcmin } = self.misalignment;
        let centre = Direction::new(x_arcmin, y_arcmin);
        Ellipse::covering(centre, self.misalignment_arcmin2, COVERAGE, self.freedom).ok()
    }
}

impl CircleFit {
    /// Standard uncertainty of where a ring stands that was set by its scale, degrees: the scale's own
    /// σθ, stated with the readings, and what setting it adds (its step, by [`step_u_deg`]).
    #[must_use]
    pub fn ring_set_u_deg(&self, setting_u_deg: f64) -> f64 {
        self.ring_sigma_deg.hypot(setting_u_deg)
    }

    /// Covariance of where the channel points at a ring angle, square arcminutes, when the ring
    /// is set with a standard uncertainty (degrees) beside the σθ of its scale; `None` without
    /// covariance or phase.
    #[must_use]
    pub fn pointing_covariance(&self, ring_deg: f64, setting_u_deg: f64) -> Option<[[f64; 2]; 2]> {
        let [fitted, slip] = self.pointing_parts(ring_deg, setting_u_deg)?;
        Some(combine(fitted, slip, |a, b| a + b))
    }

    /// The same in two parts: what the fit leaves open, and what setting the ring adds.
    fn pointing_parts(&self, ring_deg: f64, setting_u_deg: f64) -> Option<[[[f64; 2]; 2]; 2]> {
        let (covariance, phase) = (self.covariance?, self.circle.phase?);
        let psi_deg = phase.zero_deg - phase.sense.sign() * ring_deg;
        let n = Direction::polar(1.0, rad_from_deg(psi_deg));
        let per_deg = self.circle.radius_arcmin * rad_from_deg(1.0);
        let along = Direction::new(-n.y_arcmin, n.x_arcmin) * per_deg;
        let rows = [[1.0, 0.0, n.x_arcmin, along.x_arcmin], [0.0, 1.0, n.y_arcmin, along.y_arcmin]];
        let slip = along * self.ring_set_u_deg(setting_u_deg);
        let slips = [slip.x_arcmin, slip.y_arcmin];
        let mut fitted = [[0.0; 2]; 2];
        for i in 0..2 {
            let product = covariance.times(rows[i]);
            for j in 0..2 {
                fitted[i][j] = product.iter().zip(&rows[j]).map(|(a, b)| a * b).sum();
            }
        }
        // Rounding must not make it lopsided.
        fitted[1][0] = fitted[0][1];
        Some([fitted, slips.map(|a| slips.map(|b| a * b))])
    }

    /// Uncertainty of the ring angle that turns the crosshair towards a given direction, degrees:
    /// what a target at a fixed place (a compromise's, say) owes to this fit. `None` without
    /// covariance or phase, or for a direction at the very centre.
    #[must_use]
    pub fn ring_u_deg(&self, direction: Direction) -> Option<Uncertainty> {
        let covariance = self.covariance?;
        // Which way round only turns the sign, but without a phase there is no ring angle.
        self.circle.phase?;
        let outward = direction - self.circle.centre;
        let distance = outward.boresight_arcmin();
        // θ = s(φ − ψ) with dψ = −t·dc/|p − c|.
        let across = Direction::new(-outward.y_arcmin, outward.x_arcmin)
            * (deg_from_rad(1.0) / (distance * distance));
        let variance = covariance.variance_of([across.x_arcmin, across.y_arcmin, 0.0, 1.0]);
        let standard = variance.sqrt();
        standard.is_finite().then_some(Uncertainty { standard, freedom: self.freedom()? })
    }
}

/// Standard uncertainty of a ring set to whole steps, degrees: it may stand evenly anywhere within
/// one step, so step/√12.
///
/// # Source
/// JCGM 100:2008, 4.3.7.
#[must_use]
pub fn step_u_deg(step_deg: f64) -> f64 {
    step_deg / 12.0_f64.sqrt()
}

/// What a pair of ring angles (degrees) gives and how well that is known, with rings set to a
/// standard uncertainty (degrees) beside the σθ of their scales; `None` without covariances or phases.
///
/// # Errors
/// [`Error::OutOfRange`] for a ring angle that is no number or a ring-setting error below 0.
pub fn setting_uncertainty(
    fits: PerChannel<&CircleFit>,
    ring_deg: PerChannel<f64>,
    setting_u_deg: f64,
) -> Result<Option<SettingUncertainty>, Error> {
    Error::check_ring_setting(setting_u_deg)?;
    for (_, &deg) in ring_deg.iter() {
        Error::check(deg.is_finite(), "a ring angle", deg, "a number")?;
    }
    let known = || {
        let part = |fit: &CircleFit, deg: f64| {
            let [fitted, slip] = fit.pointing_parts(deg, setting_u_deg)?;
            Some((fit.circle.at_ring(deg)?, fitted, fit.freedom()?, slip))
        };
        let (left, left_fitted, left_freedom, left_slip) = part(fits.left, ring_deg.left)?;
        let (right, right_fitted, right_freedom, right_slip) = part(fits.right, ring_deg.right)?;
        let slip = combine(left_slip, right_slip, |a, b| a + b);
        let fitted = combine(left_fitted, right_fitted, |a, b| a + b);
        let sum = combine(fitted, slip, |a, b| a + b);
        Some(SettingUncertainty {
            misalignment: Misalignment::between(left, right),
            misalignment_arcmin2: sum,
            shared_arcmin2: sum.map(|row| row.map(|entry| 0.25 * entry)),
            freedom: effective_freedom(&[
                (left_fitted, left_freedom),
                (right_fitted, right_freedom),
                (slip, f64::INFINITY),
            ]),
        })
    };
    Ok(known())
}

fn combine(a: [[f64; 2]; 2], b: [[f64; 2]; 2], rule: impl Fn(f64, f64) -> f64) -> [[f64; 2]; 2] {
    core::array::from_fn(|i| core::array::from_fn(|j| rule(a[i][j], b[i][j])))
}
