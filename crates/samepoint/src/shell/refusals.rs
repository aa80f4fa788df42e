//! What several sheets and places refuse in the same words.

use paper::words::capital;
use record::{Access, NoAuthority};

/// Why something is not done, in words for beside the field or the sheet that asked for it.
#[derive(Clone, Debug, thiserror::Error)]
pub enum Refusal {
    /// There is nowhere to put it.
    #[error("{NO_SHOP}")]
    NoShop,
    /// Nobody is named.
    #[error("{NO_HAND}")]
    NoHand,
    /// The hand at the bench is asked for.
    #[error("Say first who you are, above: what you typed stays.")]
    WhoFirst,
    /// Initials like those of another.
    #[error("“{typed}” looks like {other}, whom this shop lists: write it as the shop does.")]
    LooksLike {
        /// As typed, its marks visible.
        typed: String,
        /// As the shop lists it.
        other: String,
    },
    /// A unit without a name.
    #[error("{NO_UNIT_NAME}")]
    NoUnitName,
    /// No window to judge by.
    #[error("This shop keeps no tolerance window yet: parts are matched to come inside one.")]
    NoWindowKept,
    /// A new session is begun already.
    #[error("A new session is half filled in already: start it or put it away first (Ctrl+N).")]
    HalfFilledIn,
    /// A field that holds no number.
    #[error("{field}: {why}")]
    Field {
        /// What the sheet calls it.
        field: &'static str,
        /// What is wrong with what is typed.
        why: record::Error,
    },
    /// A field whose number must be more than nothing.
    #[error("{field}: it must be more than 0 {unit}.")]
    NotMoreThanZero {
        /// What the sheet calls it.
        field: &'static str,
        /// Of what.
        unit: &'static str,
    },
    /// A field whose number lies beyond what there is.
    #[error("{field}: from {least} to {most} {unit}; {shown} is beyond.")]
    Beyond {
        /// What the sheet calls it.
        field: &'static str,
        /// The least there is, as shown.
        least: String,
        /// The most there is, as shown.
        most: String,
        /// Of what.
        unit: &'static str,
        /// As typed.
        shown: String,
    },
    /// A field that holds no whole number.
    #[error("Trials: “{0}” is not a whole number; 2 or 3 are usual.")]
    Trials(String),
    /// A field that holds no number of an invented unit.
    #[error("Unit number: “{0}” is not a whole number from 1 to 999,999.")]
    UnitNumber(String),
    /// A plan that is too small or too large.
    #[error("{}", capital(&.0.to_string()))]
    Plan(record::Error),
    /// A looking test without what it saw.
    #[error("Say what was seen: fused, double, or broken off.")]
    NothingSeen,
    /// What is signed takes nothing more.
    #[error(
        "Signed “{verdict}” by {hand}: the record is closed. A new round (F9) opens it again and needs a new \
         signature."
    )]
    Signed {
        /// The verdict's word.
        verdict: &'static str,
        /// Who signed.
        hand: String,
    },
    /// No session is on the bench.
    #[error("{NO_SESSION}")]
    NoSession,
    /// The open round was left alone, and nobody has said what happened meanwhile.
    #[error(
        "Say first whether anything but a ring was touched since the last reading, above: what you typed stays."
    )]
    TouchedFirst,
    /// A file that is only read.
    #[error("{}", capital(&format!("{}.", .0)))]
    OnlyRead(Access),
    /// What was added is not on disk yet; how it stands.
    #[error("It waits to be written: {0}.")]
    Waits(String),
    /// A station that the shop does not keep.
    #[error("{}", no_station(.0))]
    NoStation(String),
    /// A hand that may not do this; who may.
    #[error("{}", capital(&format!("{why}. {who}")))]
    NoAuthority {
        /// Why not.
        why: NoAuthority,
        /// Who may, in a sentence.
        who: String,
    },
    /// The record, in a sentence of its own.
    #[error("{}", capital(&format!("{}.", .0)))]
    Sentence(record::Error),
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
    /// The solver.
    #[error(transparent)]
    Solver(#[from] solver::Error),
}

/// For a sheet, which keeps what it shows.
impl From<Refusal> for String {
    fn from(refusal: Refusal) -> Self {
        refusal.to_string()
    }
}

/// A unit without a name.
pub(crate) const NO_UNIT_NAME: &str = "Name the unit: what is written on it.";
/// Nobody is named.
pub(crate) const NO_HAND: &str = "Give your initials: every entry names its hand.";

/// There is nowhere to put it.
pub(crate) const NO_SHOP: &str = "No shop is open: open a shop folder first.";
/// Where a file dialog was asked for.
pub(crate) const NO_DIALOG: &str = "No file dialog answers on this desktop. Type the path instead.";
/// Where no session is open.
pub(crate) const NO_SESSION: &str = "No session is open: start one (Ctrl+N) or open one (Ctrl+O).";
/// Where a view needs a station.
pub(crate) const NO_STATION: &str = "No station is chosen: choose one under Set up (Ctrl+1).";
/// Where a reading would be told while an examination is sat.
pub(crate) const NOT_TOLD_IN_EXAM: &str = "In an examination no reading is told.";
/// Where what follows needs both circles.
pub(crate) const BOTH_CIRCLES: &str = "Both circles have to be known first: log both channels.";
/// Where readings contradict the stated scatter.
pub(crate) const DO_NOT_FIT: &str = "The readings do not fit what the station says they scatter by: nothing \
                                     is judged. Look for one misread.";
/// Why nothing is read as found any more.
pub(crate) const RINGS_TURNED: &str =
    "A reading was logged, so rings have been turned: as found is over.";

/// Said where a station is named that the shop does not keep.
pub(crate) fn no_station(name: &str) -> String {
    format!("There is no station {name} in this shop.")
}
