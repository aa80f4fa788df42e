//! One session's file looked at: as it was kept, or read whole.

use std::path::{Path, PathBuf};

use super::cache::{KeptSummaries, ReadLast};
use super::gate::Gate;
use super::summary::SessionSummary;
use crate::error::Error;
use crate::fact::Seq;
use crate::file::{Disk, End, scan_each};
use crate::fold::{Session, fold};
use crate::ledger::SigningLine;
use crate::linked::Link;
use crate::recall::recall;
use crate::review::blind::beside_blind;
use crate::review::{self, Beside, BlindWord, Follows, NamedPicture, State, otherwise};
use crate::shop::{ListedFile, Listing};

/// What came of looking at files that stand one behind the other.
pub(super) struct LookedTurn {
    /// Which file of all is the first of them.
    pub(super) first: usize,
    /// How many were looked at.
    pub(super) files: usize,
    /// How many were read whole.
    pub(super) read_whole: usize,
    /// What they come to, those left out that are passed over.
    pub(super) summaries: Vec<SessionSummary>,
    /// What is passed over, in order.
    pub(super) passed_over: Vec<PassedOver>,
}

impl LookedTurn {
    /// Nothing looked at yet; so many files may be.
    pub(super) fn new(first: usize, most: usize) -> Self {
        let summaries = Vec::with_capacity(most);
        Self { first, files: 0, read_whole: 0, summaries, passed_over: Vec::new() }
    }
}

/// A file that is passed over: which of all it is, why, and which session it says it is.
pub(super) struct PassedOver {
    pub(super) file: usize,
    pub(super) why: Error,
    pub(super) session: Option<String>,
}

/// Why a file cannot be read, and which session it says it is.
struct NotRead(Error, Option<String>);

impl From<Error> for NotRead {
    fn from(why: Error) -> Self {
        Self(why, None)
    }
}

/// What files are looked at with.
pub(super) struct LooksAt<'a> {
    /// Where they lie.
    pub(super) listing: &'a Listing,
    pub(super) beside: &'a Beside,
    pub(super) disk: &'a dyn Disk,
    pub(super) kept: &'a KeptSummaries,
    /// Where in what is kept was read last.
    pub(super) last: ReadLast,
    /// Where those wait that are to read a file whole.
    pub(super) gate: &'a Gate,
}

impl LooksAt<'_> {
    /// Looks at one.
    pub(super) fn at(&mut self, listed: &ListedFile, turn: &mut LookedTurn) {
        let file = turn.first + turn.files;
        turn.files += 1;
        if let Some(summary) = self.kept.of(self.listing, listed, &mut self.last) {
            turn.summaries.push(summary);
            return;
        }
        let path = &self.listing.path_of(listed);
        let _place = self.gate.enter();
        let before = self.kept.before_reading(path);
        turn.read_whole += 1;
        match self.read(path) {
            Ok((summary, session)) => {
                if summary.end_missing.is_none() {
                    self.kept.keep(path, listed, before, &session, &summary);
                }
                turn.summaries.push(summary);
            }
            Err(NotRead(why, session)) => {
                turn.passed_over.push(PassedOver { file, why, session });
            }
        }
    }

    fn read(&self, path: &Path) -> Result<(SessionSummary, Session), NotRead> {
        let Self { beside, disk, .. } = *self;
        let file = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
        let mut signing = Vec::new();
        let scanned =
            scan_each(path, file, |fact, hash| signing.extend(SigningLine::of(fact, hash)))?;
        let session = fold(&scanned.facts);
        let end_missing = match scanned.end {
            End::Damaged(damage) => {
                let why = Error::Damaged { path: path.to_owned(), damage };
                return Err(NotRead(why, session.header.map(|header| header.session)));
            }
            End::Missing(end) => Some(end),
            End::Clean => None,
        };
        let name = path.file_name().map(PathBuf::from).unwrap_or_default();
        let follows = review::follows(&scanned.facts, &session);
        let line_found = review::countersigned_line_found(path, disk, &session)?;
        let state = State::of(&session, &follows, end_missing.is_none(), line_found);
        let follows = match follows {
            Follows::Yes { .. } => Some(true),
            Follows::No(_) => Some(false),
            Follows::CannotTell(_) | Follows::NothingStored => None,
        };
        let file = name.display().to_string();
        let mut otherwise = otherwise::changed(&session);
        otherwise.extend(otherwise::in_shop(&session, beside));
        let checked =
            Link::of(&session).and_then(|link| beside_blind(path.parent()?, &session, &link));
        let blind = BlindWord::of(checked.as_slice());
        let named = NamedPicture::all(&session, &beside.folder);
        let pictures = named.iter().filter_map(NamedPicture::trouble).collect();
        let facts = scanned.facts.len() as Seq;
        let found = SessionSummary::of(file, &session);
        let recall = recall(&session, &beside.zeros.spells).filter(|_| !found.practice);
        let recall = recall.map(Box::new);
        let begun = scanned.facts.first().map(|fact| fact.time.date());
        let summary = SessionSummary {
            begun,
            follows,
            end_missing,
            state,
            otherwise,
            pictures,
            blind,
            facts,
            signing,
            recall,
            ..found
        };
        Ok((summary, session))
    }
}
