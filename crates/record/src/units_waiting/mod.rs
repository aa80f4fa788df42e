//! The units that wait in a shop: since when, until when, for what, and how far each has come. One
//! append-only file of the shop, kept as a session is kept.
//!
//! - what can be said is here; [`fold`](mod@fold): what the facts come to, and what may be said next;
//! - `wire`: the words of its format.

pub mod fold;
mod wire;

use std::path::Path;

use jiff::civil::Date;

use crate::error::Error;
use crate::fact::texts::texts;
use crate::fact::{Continued, Fact, Note, Seq};
use crate::file::{FactFile, FileOptions, new_session_name};

pub use fold::{Due, UnitWaiting, UnitsWaiting, WaitingState, fold};

/// The format of such a file.
pub const FORMAT: u32 = 1;

/// The extension of such a file.
pub const EXTENSION: &str = "samepoint-waiting";

/// A shop's file of units that wait.
pub type WaitingFile = FactFile<WaitingBody>;

/// A fact of it.
pub type WaitingFact = Fact<WaitingBody>;

/// What a fact of it says.
#[derive(Clone, Debug, PartialEq)]
pub enum WaitingBody {
    /// The file begins; always and only fact 1.
    Header(WaitingHeader),
    /// What the program itself notes about the file.
    Noted(Note),
    /// A unit came in and waits.
    Added(WaitingUnit),
    /// How far a unit has come.
    Moved(Moved),
}

/// How such a file begins.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitingHeader {
    /// The format of the file, which it keeps.
    pub format: u32,
    /// The program that began it, with version.
    pub program: String,
    /// The file's own name among all files: 32 hex digits, drawn at random.
    pub name: String,
    /// The damaged file this one goes on from.
    pub continues: Option<Continued>,
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

impl WaitingFile {
    /// Begins a shop's file.
    ///
    /// # Errors
    /// As [`SessionFile::create`](crate::SessionFile).
    pub fn begin_list(
        path: &Path,
        program: &str,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let header = WaitingHeader {
            format: FORMAT,
            program: program.to_owned(),
            name: new_session_name()?,
            continues: None,
        };
        Self::create_with(path, WaitingBody::Header(header), hand, options)
    }
}

texts!(enum WaitingBody { Header, Noted, Added, Moved; ; });
texts!(WaitingHeader { program, name, continues; format });
texts!(WaitingUnit { unit, purpose, condition; due });
texts!(Moved { to; entry });
texts!(enum WaitingStep { Begun, Interrupted, TakenOff; ; Waits, Ready });
