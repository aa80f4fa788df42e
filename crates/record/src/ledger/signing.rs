//! The lines of a session that the ledger notes.

use std::path::Path;

use smol_str::SmolStr;

use super::{SigningKind, moment};
use crate::error::Error;
use crate::fact::{Body, Fact, Header, Seq, SessionKind};
use crate::file::chain::ChainHash;
use crate::file::{Disk, End, scan_some};
use crate::shown;
use crate::stamp::Stamp;

/// A line by which a hand signed, countersigned or returned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SigningLine {
    /// Which fact of its session.
    pub seq: Seq,
    /// The hash of its line.
    pub hash: ChainHash,
    /// What it did.
    pub kind: SigningKind,
    /// When, as the session says.
    pub time: Stamp,
    /// Whose hand, as the session says.
    pub hand: SmolStr,
}

impl SigningLine {
    /// The line of a fact, if the ledger notes such facts.
    #[must_use]
    pub fn of(fact: &Fact, hash: &ChainHash) -> Option<Self> {
        let kind = kind_of(&fact.body)?;
        let (seq, time, hand) = (fact.seq, fact.time, SmolStr::from(&fact.hand));
        Some(Self { seq, hash: *hash, kind, time, hand })
    }

    /// `signature of RV at fact 12, 2026-11-25 09:12`
    #[must_use]
    pub fn words(&self) -> String {
        let hand = if self.hand.is_empty() { "nobody".into() } else { shown::one_line(&self.hand) };
        format!("{} of {hand} at fact {}, {}", self.kind.noun(), self.seq, moment(self.time))
    }
}

/// What a fact is to the ledger; `None` of what it does not note.
#[must_use]
pub const fn kind_of(body: &Body) -> Option<SigningKind> {
    match body {
        Body::Signed(_) => Some(SigningKind::Signed),
        Body::Countersigned(_) => Some(SigningKind::Countersigned),
        Body::Returned(_) => Some(SigningKind::Returned),
        _ => None,
    }
}

/// What of a session the ledger notes.
#[derive(Clone, Debug, PartialEq)]
pub struct Signings {
    /// The session's own name.
    pub session: String,
    /// Whether it is practice, which is not noted.
    pub practice: bool,
    /// Its signing lines, in order, as far as the file is good.
    pub lines: Vec<SigningLine>,
    /// How many good lines it has.
    pub facts: Seq,
    /// What follows them.
    pub end: End,
}

/// What of a session file the ledger notes. Only the lines that look it are read, the chain of all is
/// followed.
///
/// # Errors
/// As [`scan`](crate::file::scan()).
pub fn signings(path: &Path, disk: &dyn Disk) -> Result<Signings, Error> {
    let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
    let some = scan_some::<Body>(path, bytes, looks_signing)?;
    let header = some.facts.first().and_then(|(fact, _)| match &fact.body {
        Body::Header(header) => Some(header),
        _ => None,
    });
    let practice = |header: &Header| matches!(header.kind, SessionKind::Practice(_));
    Ok(Signings {
        session: header.map(|header| header.session.clone()).unwrap_or_default(),
        practice: header.is_some_and(practice),
        lines: some.facts.iter().filter_map(|(fact, hash)| SigningLine::of(fact, hash)).collect(),
        facts: some.lines,
        end: some.end,
    })
}

/// Whether a line may sign, countersign or return; what it is, its words tell.
pub(crate) fn looks_signing(body: &[u8]) -> bool {
    [&b"igned("[..], b"eturned("].iter().any(|word| body.windows(word.len()).any(|at| at == *word))
}
