//! A reading in its round, and what it means.

use solver::{Channel, Direction, Misalignment, PerChannel};

use crate::fact::{Reading, Seq, SwingStop};
use crate::stamp::Stamp;

/// A reading in its round.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its identity.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand.
    pub hand: String,
    /// As typed.
    pub reading: Reading,
    /// The station whose map it went through: the `seq` of its fact.
    pub station: Option<Seq>,
    /// What it means, through the map in force when it was logged; `None` when it cannot be told.
    pub value: Option<Value>,
    /// Whether it names no interpupillary distance, or the one that the unit was set up at when it was
    /// taken.
    pub at_own_ipd: bool,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
    /// Its place among the round's readings of its purpose and channel, from 1, withdrawn ones counted: what a
    /// hand calls it by, whatever else is withdrawn.
    pub number: usize,
}

/// Why a reading is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Withdrawal {
    /// The fact that withdrew it.
    pub by: Seq,
    /// The reason given.
    pub reason: String,
}

/// What a reading means: degrees in [0, 360) and arcminutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// One channel's direction.
    Direction {
        /// Whose.
        channel: Channel,
        /// The ring angle.
        ring_deg: Option<f64>,
        /// Where it points.
        direction: Direction,
    },
    /// The difference of the channels.
    Relative {
        /// The ring angles.
        ring_deg: PerChannel<Option<f64>>,
        /// p_R − p_L.
        misalignment: Misalignment,
    },
    /// In the box or not.
    Box {
        /// The ring angles.
        ring_deg: PerChannel<Option<f64>>,
        /// Whether inside.
        inside: bool,
    },
}

impl Entry {
    /// Whether it counts.
    #[must_use]
    pub const fn in_use(&self) -> bool {
        self.withdrawn.is_none()
    }

    /// The channel's direction, where this is a reading of that channel that could be mapped.
    #[must_use]
    pub fn direction(&self, of: Channel) -> Option<(Option<f64>, Direction)> {
        match self.value {
            Some(Value::Direction { channel, ring_deg, direction }) if channel == of => {
                Some((ring_deg, direction))
            }
            _ => None,
        }
    }

    /// Whether it was taken where the unit stood when it was set up.
    #[must_use]
    pub const fn at_set_up_position(&self) -> bool {
        matches!(self.reading.swing_stop, None | Some(SwingStop::Working)) && self.at_own_ipd
    }
}
