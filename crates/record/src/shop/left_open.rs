//! What a shop does not say yet, and what that costs: nothing of it keeps anybody from working.

use core::fmt;

use jiff::civil::Date;

use super::{PictureFound, Shop};
use crate::hands::HandRole;
use crate::station::{ReferenceUncertainty, Shows};

/// Something a shop does not say yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftOpen {
    /// What it is called.
    Name,
    /// Where it is.
    Address,
    /// The picture its papers are to have.
    HeadPicture(PictureFound),
    /// Whose hands work in it.
    Hands,
    /// Anybody who may sign.
    Technician,
    /// Anybody beside who signs who may countersign.
    Supervisor,
    /// A station.
    Station,
    /// A tolerance window.
    Window,
    /// A housing type.
    Housing,
    /// How well a station reads.
    Spread(String),
    /// How well a station's own reference is known.
    Reference(String),
    /// A station's calibration.
    Calibration(String),
    /// A housing's optics, so that no shim can be worked out.
    Optics(String),
    /// Where a housing takes shims.
    Seat(String),
    /// How a housing's pods move.
    Adjustment(String),
}

impl fmt::Display for LeftOpen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name => f.write_str("the shop has no name yet, so it is called after its folder"),
            Self::Address => f.write_str("the shop’s address is not said"),
            Self::HeadPicture(found) => {
                write!(f, "the picture on the shop’s papers {found}: they come without it")
            }
            Self::Hands => f.write_str(
                "no hand is listed, so nobody’s authority is checked, and every report says so",
            ),
            Self::Technician => f.write_str("nobody who is listed may sign: that takes a technician"),
            Self::Supervisor => f.write_str(
                "nobody may countersign what the other signed: that takes a second hand, a supervisor",
            ),
            Self::Station => f.write_str(
                "no station is kept: readings are arcminutes from boresight, with no stated uncertainty",
            ),
            Self::Window => {
                f.write_str("no tolerance window is kept: readings are logged and nothing is judged")
            }
            Self::Housing => f.write_str(
                "no housing type is kept: rings are set to whole degrees, and no shim can be worked out",
            ),
            Self::Spread(name) => write!(
                f,
                "how far a reading on {name} scatters is not said: it is estimated from each round"
            ),
            Self::Reference(name) => write!(
                f,
                "how well the reference of {name} is known is not said: it counts as exact in every verdict"
            ),
            Self::Calibration(name) => {
                write!(f, "no calibration of {name} is on record: every verdict says so")
            }
            Self::Optics(name) => write!(
                f,
                "the focal length of the eyepiece of {name} is not said: no shim can be worked out"
            ),
            Self::Seat(name) => write!(f, "where {name} takes shims is not said"),
            Self::Adjustment(name) => {
                write!(f, "how the pods of {name} move is not said: the swing is not looked at")
            }
        }
    }
}

impl Shop {
    /// What this shop does not say yet, in the order in which it is best seen to.
    #[must_use]
    pub fn left_open(&self, today: Date) -> Vec<LeftOpen> {
        let mut open = Vec::new();
        match &self.letterhead {
            None => open.push(LeftOpen::Name),
            Some(letterhead) if letterhead.address.trim().is_empty() => {
                open.push(LeftOpen::Address);
            }
            Some(_) => {}
        }
        let found = self.head_picture_found().filter(|found| *found != PictureFound::Whole);
        open.extend(found.map(LeftOpen::HeadPicture));
        open.extend(self.hands_left_open(today));
        if self.stations.is_empty() {
            open.push(LeftOpen::Station);
        }
        if self.windows.is_empty() {
            open.push(LeftOpen::Window);
        }
        if self.housings.is_empty() {
            open.push(LeftOpen::Housing);
        }
        for station in self.stations.iter().map(|kept| &kept.value) {
            // What only shows inside or outside has no number that could scatter.
            if station.spread.sigma_arcmin.is_none() && station.shows != Shows::Box {
                open.push(LeftOpen::Spread(station.name.clone()));
            }
            if station.reference == ReferenceUncertainty::default() {
                open.push(LeftOpen::Reference(station.name.clone()));
            }
            if station.calibration.is_none() {
                open.push(LeftOpen::Calibration(station.name.clone()));
            }
        }
        for housing in self.housings.iter().map(|kept| &kept.value) {
            if housing.eyepiece_focal_mm.is_none() {
                open.push(LeftOpen::Optics(housing.name.clone()));
            }
            if housing.seat.is_none() {
                open.push(LeftOpen::Seat(housing.name.clone()));
            }
            if housing.bridge().is_none() {
                open.push(LeftOpen::Adjustment(housing.name.clone()));
            }
        }
        open
    }

    fn hands_left_open(&self, today: Date) -> Option<LeftOpen> {
        if !self.hands.lists_anybody() {
            return Some(LeftOpen::Hands);
        }
        let in_force =
            || self.hands.known.iter().map(|kept| &kept.value).filter(|hand| hand.in_force(today));
        let may = |role: HandRole| in_force().filter(move |hand| hand.roles.contains(&role));
        if may(HandRole::Technician).next().is_none() {
            return Some(LeftOpen::Technician);
        }
        let other = may(HandRole::Supervisor).any(|supervisor| {
            may(HandRole::Technician).any(|hand| hand.initials != supervisor.initials)
        });
        (!other).then_some(LeftOpen::Supervisor)
    }
}
