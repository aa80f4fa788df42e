//! A unit on the bench: its housing, and which tube, eyepiece and shims sit on which side.

use solver::{PerChannel, Sense, SenseChoice};

use crate::check::{Checked, finite, named, positive};
use crate::error::Error;
use crate::housing::ShimEnds;

/// One viewer as it is built at the moment. A swap or a shim is a new `Unit` fact.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unit {
    /// Its serial number or the shop's name for it.
    pub name: String,
    /// The name of its housing type.
    pub housing: String,
    /// The tube in each pod.
    pub tubes: PerChannel<Tube>,
    /// The eyepiece in each pod.
    pub eyepieces: PerChannel<Eyepiece>,
    /// The shims under each tube.
    pub shims: PerChannel<Vec<Shim>>,
    /// Anything else worth knowing.
    pub note: String,
}

/// An image-intensifier tube where it sits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tube {
    /// Its serial number; empty when not noted.
    pub serial: String,
    /// How far it is turned from its usual place, degrees clockwise seen from the eye side.
    pub turned_deg: f64,
}

/// An eyepiece where it sits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Eyepiece {
    /// Its serial number; empty when not noted.
    pub serial: String,
    /// Which way round its ring is numbered.
    pub ring: RingNumbering,
}

/// Which way round a ring is numbered, looking into the eyepiece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum RingNumbering {
    /// Nobody said: the readings decide where they can.
    #[default]
    NotSaid,
    /// Clockwise: the crosshair runs with it.
    Clockwise,
    /// Counter-clockwise: the crosshair runs against it.
    Counter,
}

impl RingNumbering {
    /// What the fit is told.
    #[must_use]
    pub const fn sense(self) -> SenseChoice {
        match self {
            Self::NotSaid => SenseChoice::Auto,
            Self::Clockwise => SenseChoice::Given(Sense::With),
            Self::Counter => SenseChoice::Given(Sense::Against),
        }
    }
}

/// A stack of leaves under a tube.
#[derive(Clone, Debug, PartialEq)]
pub struct Shim {
    /// Where, degrees clockwise from up, seen from the eye side.
    pub clock_deg: f64,
    /// Its leaves, mm each, thickest first.
    pub leaves_mm: Vec<f64>,
    /// At which end, or both.
    pub ends: ShimEnds,
}

impl Checked for Shim {
    fn check(&self) -> Result<(), Error> {
        finite("clock_deg", self.clock_deg)?;
        self.leaves_mm.iter().try_for_each(|&mm| positive("leaves_mm", mm))
    }
}

impl Checked for Unit {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)?;
        for (channel, tube) in self.tubes.iter() {
            finite(&format!("tubes.{channel}.turned_deg"), tube.turned_deg)?;
            self.shims[channel].iter().try_for_each(Checked::check)?;
        }
        Ok(())
    }
}
