//! What a view of the middle lacks.

use record::practice::WITHHELD;

use crate::shell::refusals::{BOTH_CIRCLES, DO_NOT_FIT, NO_SESSION, NO_STATION};

/// Why a view shows nothing, in a sentence that says what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NothingToShow {
    /// Nothing is open.
    #[error("{NO_SESSION}")]
    Session,
    /// An examination is sat.
    #[error("{WITHHELD}")]
    Withheld,
    /// Nothing to read on.
    #[error("{NO_STATION}")]
    Station,
    /// An empty round.
    #[error("Nothing was read in this round yet.")]
    Readings,
    /// Readings that contradict what is said of their scatter.
    #[error("{DO_NOT_FIT}")]
    Fit,
    /// Channels without a circle.
    #[error("{BOTH_CIRCLES}")]
    Circles,
    /// The same of the ring map.
    #[error("The ring map needs both circles: log both channels.")]
    RingMapCircles,
    /// Circles without ring angles.
    #[error("The ring map needs ring angles: log them with the readings of both channels.")]
    RingMapAngles,
    /// Nothing that use is a share of.
    #[error("The ring map shows window use: choose a tolerance window under Set up.")]
    RingMapWindow,
    /// The same over the swing.
    #[error("Window use needs a tolerance window: choose one under Set up.")]
    SwingWindow,
    /// A swing of unknown length.
    #[error(
        "How far the pods swing is not known: say the interpupillary distance under Set up, and choose a \
         housing whose hinges the shop knows."
    )]
    Swing,
    /// No swing.
    #[error("The pods of this housing slide: nothing swings.")]
    Slides,
    /// Rounds that share all their parts.
    #[error(
        "Nothing can be told apart yet: name both tubes under Set up, read a round with more readings than \
         the least, swap the tubes (Remedy), and read the next."
    )]
    Sources,
}
