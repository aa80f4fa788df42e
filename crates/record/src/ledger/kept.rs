//! What all ledger files of a shop say together, and what is wrong with them.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::{Copied, Entries, LEDGER_EXTENSION, LEDGER_FOLDER, LedgerEntry, LedgerHeader, moment};
use crate::error::Error;
use crate::fact::{Fact, FileMark, Seq};
use crate::file::chain::ChainHash;
use crate::file::{Disk, End, Unread, scan_each};
use crate::journal::{FIRST_FORMAT, JournalBody, fold};
use crate::shop::files_in;
use crate::shown;
use crate::stamp::Stamp;

/// A shop's ledger as it was when it was read.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Its files, by name, as far as they can be read.
    pub files: Vec<KeptLedger>,
    /// Files that cannot be read at all.
    pub skipped: Vec<Unread>,
    /// What is noted of each session, by the session's own name, in the order of the files.
    noted: HashMap<String, Vec<Noted>>,
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
    hashes: Vec<ChainHash>,
}

/// A line that is noted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted {
    /// What is noted.
    pub entry: LedgerEntry,
    /// When it was noted.
    pub at: Stamp,
    /// The ledger file, by name.
    pub ledger: String,
}

impl Ledger {
    /// Reads the ledger of a shop. A shop without one has an empty one.
    #[must_use]
    pub fn load(shop: &Path, disk: &dyn Disk) -> Self {
        let mut ledger = Self::default();
        let paths = match files_in(&shop.join(LEDGER_FOLDER), LEDGER_EXTENSION) {
            Ok(paths) => paths,
            Err(why) => {
                let folder = shop.join(LEDGER_FOLDER);
                ledger.skipped.push(Unread { path: folder, why, held: None });
                return ledger;
            }
        };
        for path in paths {
            if let Err(why) = ledger.take(&path, disk) {
                ledger.skipped.push(Unread::of(path, why, disk));
            }
        }
        ledger
    }

    fn take(&mut self, path: &Path, disk: &dyn Disk) -> Result<(), Error> {
        let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
        let mut hashes = Vec::new();
        let scanned =
            scan_each::<JournalBody<LedgerEntry>>(path, bytes, |_, hash| hashes.push(*hash))?;
        let name = shown::path(path.file_name().map_or(path, Path::new));
        let Entries { journal, entries } = fold(&scanned.facts);
        for Fact { time: at, body: entry, .. } in entries {
            let of_session = self.noted.entry(entry.session.clone()).or_default();
            let is_same = |noted: &Noted| noted.entry.is_of(entry.line.seq, &entry.line.hash);
            // A ledger file that was copied says the same twice.
            if !of_session.iter().any(is_same) {
                of_session.push(Noted { entry, at, ledger: name.clone() });
            }
        }
        let Some(header) = journal.header else { return Err(Error::HeaderOutOfPlace) };
        let (facts, last_hash, end) = (hashes.len() as Seq, scanned.last_hash, scanned.end);
        let (path, format, marks) = (path.to_owned(), scanned.format, journal.marks);
        self.files.push(KeptLedger { path, header, format, marks, facts, last_hash, end, hashes });
        Ok(())
    }

    /// Whether a ledger stands beside the sessions.
    #[must_use]
    pub fn stands(&self) -> bool {
        !self.files.is_empty() || !self.skipped.is_empty()
    }

    /// What is noted of a session.
    #[must_use]
    pub fn of(&self, session: &str) -> &[Noted] {
        self.noted.get(session).map_or(&[], Vec::as_slice)
    }

    /// The session of which a line is noted, and the note; `None` where none is, or several are.
    #[must_use]
    pub fn noted_as(&self, seq: Seq, hash: &str) -> Option<(&str, &Noted)> {
        let mut all = self.sessions().filter_map(|(session, noted)| {
            Some((session, noted.iter().find(|noted| noted.entry.is_of(seq, hash))?))
        });
        let only = all.next()?;
        all.next().is_none().then_some(only)
    }

    /// Every session that is noted, by its own name, in no order.
    pub fn sessions(&self) -> impl Iterator<Item = (&str, &[Noted])> {
        self.noted.iter().map(|(session, noted)| (session.as_str(), noted.as_slice()))
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
