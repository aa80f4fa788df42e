//! What was seen at the station, as it was typed.

use solver::words::{CLOCKWISE, COUNTER_CLOCKWISE};
use solver::{Channel, PerChannel};

use crate::fact::Seq;
use crate::number::Typed;
use crate::station::ReadingUnit;

/// One reading. Its identity is the `seq` of its fact.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The round it belongs to: the `seq` of its `RoundOpened`.
    pub round: Seq,
    /// What it is for.
    pub purpose: Purpose,
    /// Where the pods stood in their swing; `None`: where they were set up.
    pub swing_stop: Option<SwingStop>,
    /// The interpupillary distance it was taken at, mm, when it was not that of the set-up.
    pub ipd_mm: Option<Typed>,
    /// Whether the locks had been tightened; `None` when it was not noted.
    pub lock: Option<Lock>,
    /// Whether the unit had been taken off and seated again since the reading before.
    pub reseated: bool,
    /// What the dioptre of the channel read stood at; `None` when it was not noted.
    pub dioptre: Option<Typed>,
    /// What was seen.
    pub seen: Seen,
}

/// What a reading is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// Before anything was touched; kept to be shown beside *as left*.
    AsFound,
    /// To learn the offset circle.
    Log,
    /// To judge the unit as set, rings locked.
    Confirm,
}

impl Purpose {
    /// The words for it on screen.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::Log => "log",
            Self::Confirm => "confirm",
        }
    }
}

/// Where the pods stand in their swing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SwingStop {
    /// At the narrow stop.
    Narrow,
    /// At the user's interpupillary distance.
    Working,
    /// At the wide stop.
    Wide,
}

/// Before or after the locks were tightened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lock {
    /// Not tightened yet.
    Before,
    /// Tightened.
    After,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// One channel's crosshair.
    Direction(DirectionReading),
    /// Only the difference between the channels, p_R − p_L.
    Relative(RelativeReading),
    /// Only whether it lay inside a box.
    Box(BoxReading),
}

/// One channel's crosshair, read on the graticule.
#[derive(Clone, Debug, PartialEq)]
pub struct DirectionReading {
    /// Whose.
    pub channel: Channel,
    /// The ring angle, degrees; `None` when the ring could not be read.
    pub ring_deg: Option<Typed>,
    /// Across.
    pub x: Typed,
    /// Up.
    pub y: Typed,
    /// The unit x and y were typed in.
    pub unit: ReadingUnit,
    /// The way the ring was turned to get there.
    pub approach: Approach,
}

/// The difference of the channels at a pair of ring angles; divisions go through the right
/// channel's map, without its g₀.
#[derive(Clone, Debug, PartialEq)]
pub struct RelativeReading {
    /// The ring angles, degrees.
    pub ring_deg: PerChannel<Option<Typed>>,
    /// Across: right less left.
    pub x: Typed,
    /// Up: right less left.
    pub y: Typed,
    /// The unit x and y were typed in.
    pub unit: ReadingUnit,
    /// The way each ring was turned to get there.
    pub approach: PerChannel<Approach>,
}

/// Inside or outside the station's box at a pair of ring angles; never more than that.
#[derive(Clone, Debug, PartialEq)]
pub struct BoxReading {
    /// The ring angles, degrees.
    pub ring_deg: PerChannel<Option<Typed>>,
    /// Whether it lay inside.
    pub inside: bool,
    /// The way each ring was turned to get there.
    pub approach: PerChannel<Approach>,
}

/// The way a ring was turned to reach an angle; rings have play.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Approach {
    /// Nobody noted it.
    #[default]
    NotNoted,
    /// Clockwise, looking into the eyepiece.
    Clockwise,
    /// Counter-clockwise.
    Counter,
}

impl Approach {
    /// The words for it on screen.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotNoted => "not noted",
            Self::Clockwise => CLOCKWISE,
            Self::Counter => COUNTER_CLOCKWISE,
        }
    }
}

impl Reading {
    /// A reading of one channel's crosshair with nothing else noted.
    #[must_use]
    pub const fn direction(round: Seq, purpose: Purpose, direction: DirectionReading) -> Self {
        Self::seen(round, purpose, Seen::Direction(direction))
    }

    /// A reading of any kind with nothing else noted.
    #[must_use]
    pub const fn seen(round: Seq, purpose: Purpose, seen: Seen) -> Self {
        Self {
            round,
            purpose,
            swing_stop: None,
            ipd_mm: None,
            lock: None,
            reseated: false,
            dioptre: None,
            seen,
        }
    }

    /// The channel whose crosshair was read; `None` when the reading is of both.
    #[must_use]
    pub const fn channel(&self) -> Option<Channel> {
        match &self.seen {
            Seen::Direction(direction) => Some(direction.channel),
            Seen::Relative(_) | Seen::Box(_) => None,
        }
    }

    /// The ring angle noted for a channel.
    #[must_use]
    pub fn ring_deg(&self, channel: Channel) -> Option<&Typed> {
        match &self.seen {
            Seen::Direction(direction) if direction.channel == channel => {
                direction.ring_deg.as_ref()
            }
            Seen::Direction(_) => None,
            Seen::Relative(relative) => relative.ring_deg[channel].as_ref(),
            Seen::Box(inside) => inside.ring_deg[channel].as_ref(),
        }
    }
}
