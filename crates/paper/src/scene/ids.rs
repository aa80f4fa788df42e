//! What an item is, and what it stands for.

use solver::Channel;

/// What an item is, whichever picture it stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ItemId {
    /// The origin.
    Boresight,
    /// The circle a window's boresight limit draws.
    BoresightLimit,
    /// The circle in which what both channels share stays inside over the swing.
    SwingSafe,
    /// Words beside it.
    SwingSafeLabel,
    /// Words beside the boresight limit.
    BoresightLimitLabel,
    /// The band in which a channel's circle lies with 95 % coverage.
    Band(Channel),
    /// A channel's offset circle.
    Circle(Channel),
    /// Its centre.
    Centre(Channel),
    /// A reading, by the number its maker gave it.
    Reading(Channel, u64),
    /// What that reading leaves over, magnified.
    Residual(Channel, u64),
    /// The ellipse in which a crossing point lies with 95 % coverage.
    Ellipse(u8),
    /// A crossing point; 0 is the one nearest boresight.
    Crossing(u8),
    /// Words beside it.
    CrossingLabel(u8),
    /// Where a channel's crosshair goes at the setting, when that is no crossing.
    Setting(Channel),
    /// Words beside it.
    SettingLabel(Channel),
    /// The tolerance window round the left crosshair at the setting.
    Window,
    /// The window less its guard band.
    Guard,
    /// Where a channel points as the pods swing.
    Swing(Channel),
    /// Where both point together as the pods swing: half way between the channels.
    SwingShared,
    /// Where a channel points at an end of the swing.
    SwingEnd(Channel, SwingEnd),
    /// Where a channel's crosshair is now.
    Now(Channel),
    /// The path it takes to the setting.
    Path(Channel),
    /// The head of the arrow on that path.
    PathHead(Channel),
    /// A channel's circle in a ghost, by the ghost's place in the list.
    GhostCircle(u8, Channel),
    /// Where a ghost's circles meet.
    GhostCrossing(u8),
    /// A ghost's name.
    GhostLabel(u8),
    /// One end of a measurement.
    MeasureEnd(MeasureEnd),
    /// What is measured.
    MeasureLine,
    /// The measurement in words.
    MeasureLabel,
}

/// An end of the swing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SwingEnd {
    /// The least ψ.
    Low,
    /// The greatest ψ.
    High,
}

/// An end of a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MeasureEnd {
    /// Where it was begun.
    From,
    /// Where it leads.
    To,
}

/// What an item stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// An offset circle.
    Circle(Channel),
    /// An offset circle from too short an arc to trust.
    DoubtfulCircle(Channel),
    /// The uncertainty of an offset circle.
    Band(Channel),
    /// A circle's centre.
    Centre(Channel),
    /// A logged reading.
    Reading(Channel),
    /// A reading taken before anything was touched.
    AsFound(Channel),
    /// A reading taken with the rings set, to confirm them.
    Confirm(Channel),
    /// The reading that is selected in the log.
    Selected(Channel),
    /// A magnified residual.
    Residual(Channel),
    /// Where the crosshair is now.
    Now(Channel),
    /// The way it should go.
    Path(Channel),
    /// Where a channel points as the pods swing.
    Swing(Channel),
    /// Where both point together as the pods swing.
    SwingShared,
    /// A setting that is only being tried.
    Trial(Channel),
    /// The recommended crossing point and its words: *here*.
    Here,
    /// The other crossing point and its words.
    Elsewhere,
    /// The uncertainty of a crossing point.
    Ellipse,
    /// The tolerance window.
    Window,
    /// The guard band inside it.
    Guard,
    /// The boresight limit and its words.
    Limit,
    /// The boresight.
    Boresight,
    /// A circle of an earlier round, or one that a remedy would make.
    Ghost(Channel),
    /// Where such circles meet, and their name.
    GhostCrossing,
    /// A measurement.
    Measure,
}
