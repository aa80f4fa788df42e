//! The shop's ledger: a line for each signature, countersignature and return that was saved in one of
//! its sessions or calibrations, in the shop's `ledger/`, one append-only file a year, kept as a session is kept.
//!
//! A session's chain cannot show that whole lines were cut off its end, that the file was written anew,
//! or that it is gone. The ledger can, as long as it stands. Losing the ledger loses no session.
//!
//! - what can be said is here; [`signing`]: the lines of a session that are noted; `wire`: their words; what
//!   it shares with other such files: [`journal`](crate::journal);
//! - [`kept`]: what all ledger files of a shop say, and what is wrong with them; `load`: reading them; `known`: what
//!   they said when they were read before; `by_session`: all of it, session by session;
//! - [`against`]: a session held against it; [`copies`]: files of one session held against each other;
//! - [`enter`]: noting what was saved.
//!
//! Times are claims, here as everywhere: nothing rests on them. A file is of the year in which it was
//! begun, and which year an entry stands in means nothing.

pub mod against;
mod by_session;
pub mod copies;
pub mod enter;
pub mod kept;
pub(crate) mod known;
mod load;
pub mod signing;
mod wire;

use smol_str::SmolStr;

use crate::error::Error;
use crate::fact::texts::texts;
use crate::fact::{Fact, Seq};
use crate::file::chain::ChainHash;
use crate::journal::{JournalFact, JournalFile, JournalHeader, JournalState, Meaning, Vocabulary};
use crate::stamp::Stamp;

pub(crate) use against::LinesAgainst;
pub use against::{LedgerFinding, LedgerSays, hold_against};
pub use by_session::{Noted, NotedSession};
pub use copies::{Copied, Copy, copies_among, copies_beside};
pub use enter::{Noting, note_all, note_files, note_session, note_signings, set_end_aside};
pub use kept::Ledger;
pub(crate) use known::KnownLedgers;
pub use signing::{SigningLine, Signings, signings};

/// The extension of a ledger's file.
pub const LEDGER_EXTENSION: &str = "samepoint-ledger";

/// The folder of a shop that holds its ledger.
pub const LEDGER_FOLDER: &str = "ledger";

/// A ledger file.
pub type LedgerFile = JournalFile<LedgerEntry>;

/// A fact of a ledger: its time and hand are those of the noting.
pub type LedgerFact = JournalFact<LedgerEntry>;

/// How a ledger file begins. It goes on from the ledger file before it, as that ended then: so a later cut of
/// that one is known.
pub type LedgerHeader = JournalHeader<LedgerAbout>;

/// What a ledger file is about.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerAbout {
    /// The year it was begun in.
    pub year: i16,
}

/// A line of a session that was saved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerEntry {
    /// The own name of the session, or of the calibration.
    pub session: SmolStr,
    /// The name its file had: its ending tells which it is.
    pub file: SmolStr,
    /// The line.
    pub line: SigningLine,
    /// Whether it was found later, instead of being noted when it was saved.
    pub late: bool,
}

/// What a line that is noted did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SigningKind {
    /// A hand signed.
    Signed,
    /// A supervisor agreed.
    Countersigned,
    /// A supervisor sent it back.
    Returned,
}

impl SigningKind {
    /// `signature`, `countersignature`, `return`.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Signed => "signature",
            Self::Countersigned => "countersignature",
            Self::Returned => "return",
        }
    }
}

impl LedgerEntry {
    /// `signature of RV at fact 12, 2026-11-25 09:12`
    #[must_use]
    pub fn words(&self) -> String {
        self.line.words()
    }

    /// Whether it is of this line.
    #[must_use]
    pub fn is_of(&self, seq: Seq, hash: &ChainHash) -> bool {
        self.line.seq == seq && self.line.hash == *hash
    }
}

/// What a ledger file comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entries {
    /// How it begins, and what was noted about the file.
    pub journal: JournalState<LedgerAbout>,
    /// What is noted, in order.
    pub entries: Vec<Fact<LedgerEntry>>,
}

impl Vocabulary for LedgerEntry {
    const FILE: &'static str = "ledger";
    const TAG: &'static str = "ledger of a shop";
    type About = LedgerAbout;
    type Means = Entries;

    fn check_about(_: &LedgerAbout) -> Result<(), Error> {
        Ok(())
    }
}

impl Meaning for Entries {
    type Says = LedgerEntry;

    fn journal(&self) -> &JournalState<LedgerAbout> {
        &self.journal
    }

    fn journal_mut(&mut self) -> &mut JournalState<LedgerAbout> {
        &mut self.journal
    }

    fn admits(&self, _: &LedgerEntry) -> Result<(), Error> {
        Ok(())
    }

    fn take(&mut self, fact: Fact<LedgerEntry>) -> Result<(), Error> {
        self.entries.push(fact);
        Ok(())
    }
}

texts!(LedgerAbout { ; year });
// The session's own name is compared, and shown as all else is.
texts!(LedgerEntry { file, line; session, late });
texts!(SigningLine { hand; seq, hash, kind, time });

/// A time for a sentence: `2026-11-25 09:12`.
fn moment(time: Stamp) -> String {
    format!("{} {}", time.date(), time.time_of_day())
}
