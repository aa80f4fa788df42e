//! The units that wait in a shop: since when, until when, for what, and how far each has come. One
//! append-only file of the shop, kept as a session is kept.
//!
//! - what can be said is here; [`fold`](mod@fold): what the facts come to, and what may be said next;
//! - `wire`: the words of its format.

pub mod fold;
mod wire;

use jiff::civil::Date;

use crate::fact::Seq;
use crate::fact::texts::texts;
use crate::journal::{JournalFact, JournalFile, JournalHeader};

pub use fold::{UnitDue, UnitWaiting, UnitsWaiting, WaitingState};

/// The format of such a file.
pub const FORMAT: u32 = 1;

/// The extension of such a file.
pub const EXTENSION: &str = "samepoint-waiting";

/// A shop's file of units that wait.
pub type WaitingFile = JournalFile<WaitingBody>;

/// A fact of it.
pub type WaitingFact = JournalFact<WaitingBody>;

/// How such a file begins: what every such file says, and nothing besides.
pub type WaitingHeader = JournalHeader<WaitingAbout>;

/// What such a file is about: its shop is the folder it lies in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WaitingAbout {}

/// What a hand says in it.
#[derive(Clone, Debug, PartialEq)]
pub enum WaitingBody {
    /// A unit came in and waits.
    Added(WaitingUnit),
    /// How far a unit has come.
    Moved(Moved),
}

/// A unit that waits, as a hand wrote it down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WaitingUnit {
    /// What is written on it.
    pub unit: String,
    /// The day it is due.
    pub due: Option<Date>,
    /// For what: customer and job, in words.
    pub purpose: String,
    /// In which condition it came in.
    pub condition: String,
}

/// How far a unit has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Which: the `seq` of the fact that added it.
    pub entry: Seq,
    /// Where to.
    pub to: WaitingStep,
}

/// A step of a unit that waits.
#[derive(Clone, Debug, PartialEq)]
pub enum WaitingStep {
    /// It waits again as if nothing had been done, or is put back on the list.
    Waits,
    /// Work began in the session of this name.
    Begun(String),
    /// Work rests, for this reason.
    Interrupted(String),
    /// It is done and may be fetched.
    Ready,
    /// It is off the list, for this reason.
    TakenOff(String),
}

texts!(WaitingAbout { ; });
texts!(enum WaitingBody { Added, Moved; ; });
texts!(WaitingUnit { unit, purpose, condition; due });
texts!(Moved { to; entry });
texts!(enum WaitingStep { Begun, Interrupted, TakenOff; ; Waits, Ready });
