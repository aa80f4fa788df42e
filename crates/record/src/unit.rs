//! A unit on the bench: its housing, and which tube, eyepiece and shims sit on which side.

use solver::{PerChannel, Sense, SenseChoice};

use crate::error::Error;
use crate::housing::ShimEnds;
use crate::validate::{Checked, finite, named, positive};

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

impl Unit {
    /// Whether this is another build than before: other parts, or the same ones turned or shimmed
    /// otherwise. To name a part, a ring's numbering or the housing for the first time builds
    /// nothing.
    #[must_use]
    pub fn is_rebuilt_from(&self, before: &Self) -> bool {
        let other = |now: &str, then: &str| !now.is_empty() && !then.is_empty() && now != then;
        other(&self.housing, &before.housing)
            || self.shims != before.shims
            || self.tubes.iter().any(|(channel, tube)| {
                let then = &before.tubes[channel];
                other(&tube.serial, &then.serial) || tube.turned_deg != then.turned_deg
            })
            || self.eyepieces.iter().any(|(channel, eyepiece)| {
                other(&eyepiece.serial, &before.eyepieces[channel].serial)
            })
    }
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

impl Shim {
    /// How high it is, mm.
    #[must_use]
    pub fn height_mm(&self) -> f64 {
        self.leaves_mm.iter().sum()
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn to_say_more_about_a_unit_does_not_rebuild_it() {
        let bare = Unit { name: "0147".into(), ..Unit::default() };
        let mut said = bare.clone();
        said.housing = "Heron B".into();
        said.eyepieces.left = Eyepiece { serial: "E-1".into(), ring: RingNumbering::Counter };
        said.note = "loan pool".into();
        assert!(!said.is_rebuilt_from(&bare));
        let mut swapped = said.clone();
        swapped.eyepieces.left.serial = "E-2".into();
        assert!(swapped.is_rebuilt_from(&said));
        let mut turned = said.clone();
        turned.tubes.right.turned_deg = 180.0;
        assert!(turned.is_rebuilt_from(&said));
    }
}
