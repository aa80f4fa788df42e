//! Whether readings lie on the offset circle that other readings of their channel were fitted to.
//!
//! With n̂ the unit vector from the fitted centre to a reading p, its distance off the circle is |p − c| − r;
//! d is the mean of n of them, so that a ring turned between them does no harm. To first order, n̄ the mean
//! of their n̂,
//!
//! u²(d) = n̄ᵀU_c n̄ + 2 n̄ᵀU_cr + u²(r) + σ²/n + u_a²,
//!
//! U the fit's covariance, σ the standard uncertainty of a reading and u_a whatever else may have moved
//! the crosshair between the fit and these readings: a lock, a seating. Along the circle, where the ring
//! angle is known, the distance from the predicted place has the variance of that place along the
//! circle (ring setting included) + σ²/n. Either is tested by d²/u², which is χ² with one degree of
//! freedom, or F with one and ν where σ was estimated with ν.
//!
//! Readings that scatter more than stated about the circle they were fitted to widen all of this:
//! σ² is multiplied by max(1, χ²/ν) of the fit (Birge's ratio). It is never narrowed.
//!
//! # Source
//! Propagation: JCGM 100:2008, 5.1.2 and 5.2.2; JCGM 102:2011, 6.2. The ratio: R. T. Birge, *Phys. Rev.*
//! 40 (1932) 207 (from memory). A mean against an independent prediction: N. R. Draper, H. Smith, *Applied
//! Regression Analysis*, 3rd ed. (1998), chapter 1 (from memory).

use crate::angle::rad_from_deg;
use crate::direction::Direction;
use crate::fit::CircleFit;
use crate::stats::quantile::{chi_squared, chi_squared_above, f, f_above};
use crate::uncertainty::Uncertainty;

/// How far readings lie from where a fit expects them, and how likely that is by chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Departure {
    /// How far, arcminutes: outside the circle, or counter-clockwise along it; negative the other way.
    pub off_arcmin: f64,
    /// Its standard uncertainty, arcminutes, with its degrees of freedom.
    pub u: Uncertainty,
    /// How likely a departure at least as large is by chance.
    pub p_value: f64,
}

impl Departure {
    /// The largest departure that is still explained at a level (a probability of a false alarm),
    /// arcminutes; `None` for a level not inside (0, 1).
    #[must_use]
    pub fn explained_arcmin(&self, level: f64) -> Option<f64> {
        let Uncertainty { standard, freedom } = self.u;
        let ratio = if freedom.is_finite() {
            f(1.0 - level, 1.0, freedom)
        } else {
            chi_squared(1.0 - level, 1.0)
        };
        ratio.ok().map(|ratio| ratio.sqrt() * standard)
    }

    fn of(off_arcmin: f64, variance: f64, freedom: f64) -> Option<Self> {
        let ratio = off_arcmin * off_arcmin / variance;
        let p_value = if freedom.is_finite() {
            f_above(ratio, 1.0, freedom)
        } else {
            chi_squared_above(ratio, 1.0)
        };
        let u = Uncertainty { standard: variance.sqrt(), freedom };
        p_value.ok().map(|p_value| Self { off_arcmin, u, p_value })
    }
}

impl CircleFit {
    /// How far the mean of some readings of this channel, none of them fitted, lies off the circle.
    ///
    /// `moved_u_arcmin`: standard uncertainty, each axis, of what else may have moved the crosshair since,
    /// arcminutes; 0 where nothing was touched.
    ///
    /// # Degenerate input
    /// `None` without readings, without covariance, where the arc is too short for a circle, for a reading
    /// at the circle's centre, and for what is no number.
    ///
    /// # Accuracy
    /// First order: good while u(d) is small beside the radius.
    #[must_use]
    pub fn departure_across(
        &self,
        readings: &[Direction],
        moved_u_arcmin: f64,
    ) -> Option<Departure> {
        if readings.is_empty() || self.arc_too_short() {
            return None;
        }
        let share = 1.0 / readings.len() as f64;
        let (mut off_arcmin, mut n) = (0.0, Direction::BORESIGHT);
        for reading in readings {
            let outward = *reading - self.circle.centre;
            n = n + outward * (share / outward.boresight_arcmin());
            off_arcmin += share * self.circle.off_circle_arcmin(*reading);
        }
        let fitted = self.covariance?.edge_variance_arcmin2(n.x_arcmin, n.y_arcmin);
        let own = self.reading_variance_arcmin2()? * share;
        let variance = self.widening() * (fitted + own) + moved_u_arcmin * moved_u_arcmin;
        Departure::of(off_arcmin, variance, self.freedom()?)
    }

    /// How far along the circle, counter-clockwise, the mean of some readings lies from where the ring
    /// angle they were taken at puts the crosshair.
    ///
    /// `setting_u_deg`: standard uncertainty of that ring angle, degrees.
    ///
    /// # Degenerate input
    /// As [`departure_across`](Self::departure_across); `None` too where the ring's numbering is not known.
    #[must_use]
    pub fn departure_along(
        &self,
        readings: &[Direction],
        ring_deg: f64,
        setting_u_deg: f64,
    ) -> Option<Departure> {
        if readings.is_empty() || self.arc_too_short() {
            return None;
        }
        let share = 1.0 / readings.len() as f64;
        let mean =
            readings.iter().fold(Direction::BORESIGHT, |sum, reading| sum + *reading * share);
        let outward = mean - self.circle.centre;
        let expected = self.circle.at_ring(ring_deg)? - self.circle.centre;
        let across = Direction::new(-expected.y_arcmin, expected.x_arcmin);
        // The arc, not the chord: half a turn away is far, not near.
        let turned_rad = outward.dot(across).atan2(outward.dot(expected));
        let radius_arcmin = self.circle.radius_arcmin;
        let t = across * (1.0 / radius_arcmin);
        let [[xx, xy], [_, yy]] = self.pointing_covariance(ring_deg, setting_u_deg)?;
        let fitted = xx * t.x_arcmin * t.x_arcmin
            + 2.0 * xy * t.x_arcmin * t.y_arcmin
            + yy * t.y_arcmin * t.y_arcmin;
        let variance = self.widening() * (fitted + self.reading_variance_arcmin2()? * share);
        Departure::of(radius_arcmin * turned_rad, variance, self.freedom()?)
    }

    /// Standard uncertainty, x and y, arcminutes, of how far one reading of this channel lies from where a
    /// ring angle is expected to put the crosshair.
    ///
    /// The covariance of the expected place (ring setting included), σ² of the reading and u_a² of whatever
    /// else may have moved the crosshair, turned with the pod. A reading that was fitted itself lies nearer
    /// than this says: the place was drawn towards it.
    ///
    /// `setting_u_deg`: standard uncertainty of the ring angle, degrees; `moved_u_arcmin`: u_a, each axis;
    /// `rolled_deg`: how far the pod has rolled since, degrees counter-clockwise, 0 at set-up.
    ///
    /// # Degenerate input
    /// As [`departure_along`](Self::departure_along).
    ///
    /// # Source
    /// JCGM 102:2011, 6.2 (law of propagation); for evenly spaced readings the linear model has
    /// u² = σ²(1 + 2/n) each way, which `tests/properties/own_circle.rs` holds it to.
    #[must_use]
    pub fn departure_u(
        &self,
        ring_deg: f64,
        setting_u_deg: f64,
        moved_u_arcmin: f64,
        rolled_deg: f64,
    ) -> Option<[Uncertainty; 2]> {
        if self.arc_too_short() {
            return None;
        }
        let [[xx, xy], [_, yy]] = self.pointing_covariance(ring_deg, setting_u_deg)?;
        let own = self.reading_variance_arcmin2()?;
        let (sin, cos) = rad_from_deg(rolled_deg).sin_cos();
        let cross = 2.0 * sin * cos * xy;
        let placed =
            [cos * cos * xx - cross + sin * sin * yy, sin * sin * xx + cross + cos * cos * yy];
        let freedom = self.freedom()?;
        let of = |placed: f64| {
            let variance = self.widening() * (placed + own) + moved_u_arcmin * moved_u_arcmin;
            (variance.is_finite() && variance >= 0.0)
                .then(|| Uncertainty { standard: variance.sqrt(), freedom })
        };
        let [x, y] = placed.map(of);
        Some([x?, y?])
    }

    /// σ² of one reading, each axis: as stated, else as the residuals give it.
    fn reading_variance_arcmin2(&self) -> Option<f64> {
        match self.sigma_arcmin {
            Some(sigma_arcmin) => Some(sigma_arcmin * sigma_arcmin),
            None if self.degrees_of_freedom > 0 => {
                Some(self.weighted_squares_arcmin2 / self.degrees_of_freedom as f64)
            }
            None => None,
        }
    }

    /// max(1, χ²/ν), where σ is stated and readings are to spare. Without any what is left of the squares is rounding.
    fn widening(&self) -> f64 {
        let stated = self.sigma_arcmin.filter(|_| self.degrees_of_freedom > 0);
        let ratio = stated.map_or(1.0, |sigma_arcmin| {
            let freedom = self.degrees_of_freedom as f64;
            self.weighted_squares_arcmin2 / (sigma_arcmin * sigma_arcmin * freedom)
        });
        ratio.max(1.0)
    }
}
