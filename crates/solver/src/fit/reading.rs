//! What goes into a fit: readings, their uncertainty, and the sense of the ring.

use crate::circle::Sense;
use crate::direction::{Direction, FIELD_LIMIT_ARCMIN};
use crate::error::Error;

/// One channel's crosshair read once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Where the crosshair was.
    pub direction: Direction,
    /// The ring angle, degrees, any turn; `None` when the ring could not be read.
    pub ring_deg: Option<f64>,
}

impl Reading {
    /// A reading with its ring angle.
    #[must_use]
    pub const fn at_ring(ring_deg: f64, direction: Direction) -> Self {
        Self { direction, ring_deg: Some(ring_deg) }
    }

    /// A reading without ring angle.
    #[must_use]
    pub const fn without_ring(direction: Direction) -> Self {
        Self { direction, ring_deg: None }
    }
}

/// The standard uncertainty of a reading and of a ring angle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// σ, each axis, arcminutes, > 0; `None`: estimated from the residuals.
    pub sigma_arcmin: Option<f64>,
    /// σθ, degrees, ≥ 0; more than 0 needs `sigma_arcmin`.
    pub ring_sigma_deg: f64,
}

/// Which way round a channel's crosshair runs: told, or found from the readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SenseChoice {
    /// Found where the readings can tell, else *with* is assumed and said to be.
    #[default]
    Auto,
    /// Told.
    Given(Sense),
}

impl Spread {
    /// # Errors
    /// σ must be a number above 0 and no larger than the field, σθ one of 0 or more, and σθ > 0
    /// needs σ: without it the
    /// two have no ratio.
    pub fn check(&self) -> Result<(), Error> {
        if let Some(value_arcmin) = self.sigma_arcmin
            && !(value_arcmin > 0.0 && value_arcmin <= FIELD_LIMIT_ARCMIN)
        {
            return Err(Error::SigmaNotPositive { value_arcmin });
        }
        let value_deg = self.ring_sigma_deg;
        if !(value_deg >= 0.0 && value_deg.is_finite()) {
            return Err(Error::RingSigmaNegative { value_deg });
        }
        if value_deg > 0.0 && self.sigma_arcmin.is_none() {
            return Err(Error::RingSigmaWithoutSigma);
        }
        Ok(())
    }
}
