//! What all ledger files of a shop say together, and what is wrong with them.

use std::path::{Path, PathBuf};

use super::by_session::{Noted, NotedBySession, NotedSession};
use super::{Copied, LedgerHeader, moment};
use crate::fact::{Fact, FileMark, Seq};
use crate::file::chain::ChainHash;
use crate::file::{End, Unread};
use crate::journal::FIRST_FORMAT;
use crate::shown;

/// A shop's ledger as it was when it was read.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Its files, by name, as far as they can be read.
    pub files: Vec<KeptLedger>,
    /// Files that cannot be read at all.
    pub skipped: Vec<Unread>,
    /// What is noted of each session, in the order of the files.
    pub(super) noted: NotedBySession,
}

/// A ledger file.
#[derive(Clone, Debug)]
pub struct KeptLedger {
    /// The file.
    pub path: PathBuf,
    /// How it begins.
    pub header: LedgerHeader,
    /// The format it is written in.
    pub format: u32,
    /// What was noted about the file itself.
    pub marks: Vec<Fact<String>>,
    /// Its good lines.
    pub facts: Seq,
    /// The hash of the last of them.
    pub last_hash: ChainHash,
    /// What follows them.
    pub end: End,
    /// The hash of every good line: a later file names the last one of its day.
    pub(super) hashes: Vec<ChainHash>,
}

impl Ledger {
    /// Whether a ledger stands beside the sessions.
    #[must_use]
    pub fn stands(&self) -> bool {
        !self.files.is_empty() || !self.skipped.is_empty()
    }

    /// What is noted of a session.
    #[must_use]
    pub fn of(&self, session: &str) -> &[Noted] {
        self.place_of(session).map_or(&[], |place| self.noted.at(place))
    }

    /// Which of all sessions that are noted this is, if it is.
    pub(crate) fn place_of(&self, session: &str) -> Option<usize> {
        self.noted.place_of(session)
    }

    /// What is noted of the session at a place.
    pub(crate) fn at(&self, place: usize) -> &[Noted] {
        self.noted.at(place)
    }

    /// The session of which a line is noted, and the note; `None` where none is, or several are.
    #[must_use]
    pub fn noted_as(&self, seq: Seq, hash: &ChainHash) -> Option<(&str, &Noted)> {
        let mut all = self
            .sessions()
            .flat_map(|told| told.noted)
            .filter(|noted| noted.entry.is_of(seq, hash));
        let only = all.next()?;
        all.next().is_none().then_some((only.entry.session.as_str(), only))
    }

    /// What is noted of every session, each at its [place](Self::place_of).
    pub fn sessions(&self) -> impl ExactSizeIterator<Item = NotedSession<'_>> {
        (0..self.noted.len()).map(|place| {
            let (noted, is_of_calibration) =
                (self.noted.at(place), self.noted.is_of_calibration(place));
            NotedSession { noted, is_of_calibration }
        })
    }

    /// What is wrong with the ledger itself, a sentence each: then it may have said more.
    #[must_use]
    pub fn troubles(&self) -> Vec<String> {
        let mut said: Vec<String> = self
            .skipped
            .iter()
            .map(|unread| format!("A ledger of the shop cannot be read: {}.", unread.why))
            .collect();
        for file in &self.files {
            if let Some(trouble) = file.trouble() {
                let name = file.name();
                said.push(format!(
                    "In the shop’s ledger {name} {trouble}; it may have noted more."
                ));
            }
        }
        said.extend(self.files.iter().filter_map(|file| self.cut_before(file)));
        said.extend(self.went_on_twice());
        // What was wrong once stays said, also where the file itself shows it no more.
        let still: Vec<String> = self.not_whole().map(|mark| mark.note().text).collect();
        for file in &self.files {
            let once = file.marks.iter().filter(|mark| !still.contains(&mark.body));
            said.extend(once.map(|mark| {
                format!(
                    "In the shop’s ledger {}, fact {}, {}, {}: {}",
                    file.name(),
                    mark.seq,
                    moment(mark.time),
                    mark.hand,
                    mark.body
                )
            }));
        }
        said
    }

    /// The files whose end is missing and that have words for what a hand decides about it:
    /// [`set_end_aside`](super::set_end_aside).
    pub fn torn(&self) -> impl Iterator<Item = &KeptLedger> {
        let torn = |file: &&KeptLedger| matches!(file.end, End::Missing(_));
        self.files.iter().filter(torn).filter(|file| file.format > FIRST_FORMAT)
    }

    /// What a file that is begun now must say of those beside it: of each that is not whole, or cannot be read at
    /// all, what no file here says of it yet.
    pub(super) fn beside(&self) -> Vec<FileMark> {
        let noted = |text: &String| {
            self.files.iter().flat_map(|file| &file.marks).any(|mark| mark.body == *text)
        };
        self.not_whole().filter(|mark| !noted(&mark.note().text)).collect()
    }

    fn not_whole(&self) -> impl Iterator<Item = FileMark> {
        let beside = |file: &KeptLedger| {
            Some(FileMark::BegunBeside { file: file.name(), why: file.trouble()? })
        };
        self.files.iter().filter_map(beside).chain(self.skipped.iter().map(Unread::beside))
    }

    /// Files of one name that have other lines from some line on.
    fn went_on_twice(&self) -> Vec<String> {
        let pairs = self.files.iter().enumerate().flat_map(|(at, one)| {
            let others = self.files.iter().skip(at + 1);
            others.filter(|other| other.header.name == one.header.name).map(move |two| (one, two))
        });
        pairs
            .filter_map(|(one, two)| {
                let Copied::Forked(shared) = Copied::of(&one.hashes, &two.hashes) else { return None };
                Some(format!(
                    "The shop’s ledgers {} and {} are one ledger that went on in two files after line \
                     {shared}; what both note is counted.",
                    one.name(),
                    two.name()
                ))
            })
            .collect()
    }

    /// Whether the file that this one goes on from still ends, or ended then, as it says.
    fn cut_before(&self, file: &KeptLedger) -> Option<String> {
        let after = file.header.continues.as_ref()?;
        let name = file.name();
        let named = shown::one_line(&after.file);
        let Some(before) = self.files.iter().find(|one| one.header.name == after.session) else {
            return Some(format!(
                "The shop’s ledger {name} goes on from {named}, which is gone; it noted more."
            ));
        };
        let index = usize::try_from(after.facts.saturating_sub(1)).unwrap_or(usize::MAX);
        let holds = before.hashes.get(index).is_some_and(|hash| hash.as_str() == after.last_hash);
        (!holds).then(|| {
            format!(
                "The shop’s ledger {} is not as it was when {name} was begun, with {} lines: it was \
                 cut or written anew.",
                before.name(),
                after.facts
            )
        })
    }
}

impl KeptLedger {
    /// What is wrong with its end, without a full stop.
    fn trouble(&self) -> Option<String> {
        match &self.end {
            End::Clean => None,
            End::Missing(end) => Some(end.to_string()),
            End::Damaged(damage) => Some(damage.to_string()),
        }
    }

    /// The file's name.
    #[must_use]
    pub fn name(&self) -> String {
        shown::path(self.path.file_name().map_or(&self.path, Path::new))
    }
}
