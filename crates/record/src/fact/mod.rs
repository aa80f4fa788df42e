//! Facts: all that can be said in a session, in formats 1 and 2.
//!
//! A session is a list of facts, never changed, only added to; what the screen shows is their
//! [`fold`](crate::fold::fold). These types are the program's; the words written to a file are in
//! [`file::v1` and `file::v2`](crate::file).
//!
//! - [`reading`]: what was seen; [`camera`]: in which picture; [`work`]: what was set up, done and chosen;
//! - [`sign`]: who answers for it; [`hand`]: when two names are one hand; [`mark`]: what the program
//!   notes about the file; [`day`]: what is noted of the working day.
//! - `texts`: every text a fact holds, so that none is left out where they are made visible.

pub mod camera;
pub mod day;
pub mod hand;
pub mod mark;
pub mod reading;
pub mod sign;
pub mod texts;
pub mod work;

pub use crate::seq::Seq;
pub(crate) use camera::is_sha256;
pub use camera::{Camera, Frame, FrameRead, Lines, NotedCrosshair, PictureMark};
pub use day::{DayKind, DayNote};
pub use hand::{NOT_NAMED, is_nobody, same_hand};
pub use mark::{FileMark, FileMarkKind};
pub use reading::{
    Approach, BoxReading, DirectionReading, Lock, Purpose, Reading, RelativeReading, Seen,
    SwingStop,
};
pub use sign::{Countersigned, LONGEST_SEAL, Number, Returned, Sealed, Signed, Verdict};
pub use work::{
    Continued, Exercise, FIRST_FORMAT, Header, LATEST_FORMAT, LookingResult, LookingTest, Note,
    NotedPicture, Precondition, PreconditionItem, PredictionBasis, Remedy, RemedyTaken,
    RoundOpened, RoundReason, SessionKind, SettingChosen, SettingSource, Setup, ShimUnder,
    ShownCircle, ShownPrediction, TurnedPart, Withdrawn,
};

use crate::housing::Housing;
use crate::stamp::Stamp;
use crate::station::Station;
use crate::unit::Unit;
use crate::window::NamedWindow;

/// One thing said once, when, and by whom.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact<B = Body> {
    /// Its place in the session.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand.
    pub hand: String,
    /// What.
    pub body: B,
}

/// What a fact says.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// The session begins; always and only fact 1.
    Header(Header),
    /// The job and how the unit stands on the bench.
    Setup(Setup),
    /// One thing to be seen to before reading.
    Precondition(Precondition),
    /// The station, copied in; readings after it go through its map.
    Station(Station),
    /// The tolerance window, copied in.
    Window(NamedWindow),
    /// The housing type, copied in.
    Housing(Housing),
    /// The unit as it is built now, copied in.
    Unit(Unit),
    /// A round begins.
    RoundOpened(RoundOpened),
    /// Something was read.
    Reading(Reading),
    /// A reading that was real is left out, with the reason.
    Withdrawn(Withdrawn),
    /// The latest live undoable fact is taken back.
    Undo(Seq),
    /// An undone fact is put back.
    Redo(Seq),
    /// The hand chose where to set the rings.
    SettingChosen(SettingChosen),
    /// A remedy was carried out, with what was predicted of it.
    RemedyTaken(RemedyTaken),
    /// Someone looked through at a far point.
    LookingTest(LookingTest),
    /// A remark.
    Note(Note),
    /// A picture kept in the shop.
    Picture(NotedPicture),
    /// The technician answers for a verdict.
    Signed(Signed),
    /// The supervisor agrees.
    Countersigned(Countersigned),
    /// The supervisor sends it back.
    Returned(Returned),
    /// A signature, countersignature or return is sealed with its hand's key. Format 2.
    Sealed(Sealed),
    /// The station's camera map, copied in; pictures after it are read through it. Format 2.
    Camera(Camera),
    /// The picture that a reading rests on. Format 2.
    Frame(Frame),
}

impl Body {
    /// The kind of fact in a few words, for a timeline.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Header(_) => "session begun",
            Self::Setup(_) => "set-up",
            Self::Precondition(_) => "before reading",
            Self::Station(_) => "station",
            Self::Window(_) => "tolerance window",
            Self::Housing(_) => "housing",
            Self::Unit(_) => "unit",
            Self::RoundOpened(_) => "round opened",
            Self::Reading(_) => "reading",
            Self::Withdrawn(_) => "reading withdrawn",
            Self::Undo(_) => "undo",
            Self::Redo(_) => "redo",
            Self::SettingChosen(_) => "setting chosen",
            Self::RemedyTaken(_) => "remedy taken",
            Self::LookingTest(_) => "looking test",
            Self::Note(note) => match DayKind::of(note) {
                Some(kind) => kind.word(),
                None => "note",
            },
            Self::Picture(_) => "picture",
            Self::Signed(_) => "signed",
            Self::Countersigned(_) => "countersigned",
            Self::Returned(_) => "returned",
            Self::Sealed(_) => "sealed",
            Self::Camera(_) => "camera map",
            Self::Frame(_) => "picture of a reading",
        }
    }

    /// What the program noted of the session's file, if this is that.
    #[must_use]
    pub fn mark(&self) -> Option<FileMarkKind> {
        match self {
            Self::Note(note) => FileMarkKind::of(note),
            _ => None,
        }
    }

    /// Whether undo may name such a fact at all. The session's beginning, undo and redo
    /// themselves, everything signed and what the program noted of the file stay.
    #[must_use]
    pub fn is_undoable(&self) -> bool {
        self.mark().is_none()
            && !matches!(self, Self::Note(note) if note.told_channel().is_some())
            && !matches!(self, Self::Header(_))
            && !self.is_of_history()
    }

    /// Whether a signature before such a fact, while it is live, no longer speaks for the session
    /// as it stands.
    #[must_use]
    pub fn outdates_signature(&self) -> bool {
        self.mark().is_some()
            || matches!(self, Self::Note(note) if DayKind::of(note) == Some(DayKind::Checked))
            || !(matches!(self, Self::Note(_) | Self::Picture(_)) || self.is_of_history())
    }

    /// Whether it is about other facts: takes one back, or signs or seals what they come to.
    const fn is_of_history(&self) -> bool {
        matches!(self, Self::Undo(_) | Self::Redo(_) | Self::Sealed(_)) || self.is_signing()
    }

    /// Whether somebody answers for the session with it: what a seal can be over.
    #[must_use]
    pub const fn is_signing(&self) -> bool {
        matches!(self, Self::Signed(_) | Self::Countersigned(_) | Self::Returned(_))
    }
}
