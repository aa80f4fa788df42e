//! An open file: its facts in memory, their lines on the way to disk.

use core::fmt;
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::error::Error;
use crate::fact::{Body, Fact, Seq};
use crate::file::bad_field::BadField;
use crate::file::chain::{self, ChainHash, LONGEST_LINE};
use crate::file::damage::{Damage, MissingEnd};
use crate::file::disk::{Disk, RealDisk};
use crate::file::line_format::LineFormat;
use crate::file::lock::{Holder, Opener};
use crate::file::writer::{Desk, Event, Wake, Writer, WriterCommand};
use crate::stamp::Stamp;

/// How a file is opened.
#[derive(Clone)]
pub struct FileOptions {
    /// The disk it lies on.
    pub disk: Arc<dyn Disk>,
    /// Who opens it.
    pub opener: Opener,
    /// Called from the writer thread whenever [`FactFile::poll`] has something to give.
    pub wake: Wake,
}

impl FileOptions {
    /// The machine's disk, and nobody to wake.
    #[must_use]
    pub fn real(opener: Opener) -> Self {
        Self { disk: Arc::new(RealDisk), opener, wake: Arc::new(|| ()) }
    }
}

/// A session's file.
pub type SessionFile = FactFile<Body>;

/// A file that is open. Dropping it writes what is waiting, as far as it can be written.
pub struct FactFile<B> {
    pub(super) path: PathBuf,
    pub(super) disk: Arc<dyn Disk>,
    pub(super) facts: Vec<Fact<B>>,
    pub(super) access: Access,
    pub(super) notices: Vec<Notice>,
    pub(super) end_missing: Option<MissingEnd>,
    /// The lock, for as long as the file is open for writing.
    pub(super) lock: Option<Box<dyn Send>>,
    pub(super) writer: Option<Writer>,
    /// What is needed to start writing once the user agrees.
    pub(super) waiting_desk: Option<Desk>,
    /// The format it is written in, for as long as it is.
    pub(super) format: u32,
    /// The hashes of the lines by which somebody answers for the file, written or not.
    pub(super) signing_hashes: Vec<(Seq, ChainHash)>,
    /// Hash of the last line, written or not.
    pub(super) last_hash: ChainHash,
    /// Hash of the last line on disk.
    pub(super) saved_hash: ChainHash,
    pub(super) saved_length: u64,
    pub(super) lacks_line_end: bool,
    pub(super) waiting: VecDeque<WaitingLine>,
    pub(super) stopped: Option<Error>,
    pub(super) written_only: bool,
}

/// What a disk that cannot sync lacks, in words.
pub(super) const SYNCED: &str = "synced to disk";

/// A line that is not acknowledged yet.
pub(super) struct WaitingLine {
    seq: Seq,
    pub(super) line: Vec<u8>,
    hash: ChainHash,
}

/// Whether facts can be added.
#[derive(Clone, Debug)]
pub enum Access {
    /// Yes.
    Writing,
    /// Once the user agrees to write where files cannot be locked or synced.
    AskFirst {
        /// `locked` or `synced to disk`.
        missing: &'static str,
    },
    /// No.
    ReadOnly(ReadOnlyReason),
}

/// Why a file is open for reading only.
#[derive(Clone, Debug)]
pub enum ReadOnlyReason {
    /// It was opened that way.
    Asked,
    /// Somebody has it open for writing.
    InUse(Holder),
    /// It is damaged; the facts before the damage are there.
    Damaged(Damage),
    /// Its end is missing and may have been saved; it waits for the hand's word:
    /// [`FactFile::set_end_aside`].
    EndMissing(MissingEnd),
    /// The system does not let us write there.
    NotPermitted(Error),
}

impl fmt::Display for Access {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Writing => f.write_str("open for writing"),
            Self::AskFirst { missing } => write!(
                f,
                "files cannot be {missing} in this place; agree to write all the same, or keep the \
                 file on another disk"
            ),
            Self::ReadOnly(reason) => write!(f, "for reading only: {reason}"),
        }
    }
}

impl fmt::Display for ReadOnlyReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Asked => f.write_str("it was opened that way"),
            Self::InUse(holder) => {
                write!(f, "{holder} has it open; close it there, or look on here")
            }
            Self::Damaged(damage) => write!(
                f,
                "{damage}; the facts before are intact: continue in a new file, and keep this one"
            ),
            Self::EndMissing(end) => write!(
                f,
                "{end}; set these bytes aside and go on, or continue in a new file, or look on"
            ),
            Self::NotPermitted(why) => {
                write!(f, "{why}; continue in a new file in a folder you may write to")
            }
        }
    }
}

/// Something to tell about a file that is no error.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The end is missing, and may have been saved.
    EndMissing(MissingEnd),
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EndMissing(end) => {
                write!(f, "{end}; where another has the file open it may be at writing it just now")
            }
        }
    }
}

/// How far what was appended has come.
#[derive(Clone, Debug)]
pub enum SaveState {
    /// All of it is on disk.
    Saved,
    /// All of it is written, but this disk does not sync: a power cut may lose the last of it.
    Written,
    /// The writer is at it.
    Saving {
        /// Facts on the way.
        waiting: usize,
    },
    /// It cannot be written; it waits in memory.
    Stopped {
        /// Why, and what to do.
        why: Error,
        /// Facts in memory only.
        waiting: usize,
    },
    /// Nothing can be added.
    ReadOnly,
}

impl<B: LineFormat> FactFile<B> {
    /// Adds a fact and returns its number at once; saving is told by [`poll`](Self::poll).
    ///
    /// While writing is stopped facts are still taken, and wait in memory.
    ///
    /// # Errors
    /// [`Error::ReadOnly`] or [`Error::Unsupported`] while nothing may be written;
    /// [`Error::FactTooLong`]; [`Error::HeaderOutOfPlace`]. Whether the fact makes sense is asked of
    /// its fold first: [`Session::admits`](crate::fold::Session::admits).
    pub fn append(&mut self, body: impl Into<B>, time: Stamp, hand: &str) -> Result<Seq, Error> {
        self.may_be_written()?;
        let body = body.into();
        if body.is_header() {
            return Err(Error::HeaderOutOfPlace);
        }
        let seq = self.facts.len() as Seq + 1;
        let fact = Fact { seq, time, hand: hand.to_owned(), body };
        let (line, hash) = line_of(&self.last_hash, &fact, self.format)?;
        self.push(fact, line, hash);
        Ok(seq)
    }

    /// Takes facts that were said of this file elsewhere and never reached it, as they were said:
    /// times, hands and numbers stay. They must go on where its last line ends.
    ///
    /// # Errors
    /// As [`append`](Self::append), and [`Error::DoesNotGoOn`]; nothing is taken then.
    pub fn adopt(&mut self, facts: Vec<Fact<B>>) -> Result<(), Error> {
        self.may_be_written()?;
        let (mut hash, mut lines) = (self.last_hash, Vec::with_capacity(facts.len()));
        for (fact, seq) in facts.iter().zip(self.facts.len() as Seq + 1..) {
            if fact.body.is_header() {
                return Err(Error::HeaderOutOfPlace);
            }
            if fact.seq != seq {
                return Err(Error::DoesNotGoOn { path: self.path.clone() });
            }
            let (line, next) = line_of(&hash, fact, self.format)?;
            lines.push((line, next));
            hash = next;
        }
        for (fact, (line, hash)) in facts.into_iter().zip(lines) {
            self.push(fact, line, hash);
        }
        Ok(())
    }

    fn may_be_written(&self) -> Result<(), Error> {
        match &self.access {
            Access::Writing => Ok(()),
            Access::AskFirst { missing } => {
                Err(Error::Unsupported { path: self.path.clone(), missing })
            }
            Access::ReadOnly(reason) => {
                Err(Error::ReadOnly { path: self.path.clone(), why: reason.to_string() })
            }
        }
    }

    fn push(&mut self, fact: Fact<B>, mut line: Vec<u8>, hash: ChainHash) {
        let seq = fact.seq;
        if self.lacks_line_end {
            line.insert(0, b'\n');
            self.lacks_line_end = false;
        }
        if fact.body.is_signing() {
            self.signing_hashes.push((seq, hash));
        }
        self.facts.push(fact);
        self.last_hash = hash;
        if self.stopped.is_none() {
            self.hand_to_writer(seq, line.clone());
        }
        self.waiting.push_back(WaitingLine { seq, line, hash });
    }

    fn hand_to_writer(&mut self, seq: Seq, line: Vec<u8>) {
        let sent =
            self.writer.as_ref().is_some_and(|w| w.send(WriterCommand::Append { seq, line }));
        if !sent {
            self.stopped = Some(Error::WriterGone { path: self.path.clone() });
        }
    }

    /// What has become of appended facts since the last call, in order.
    pub fn poll(&mut self) -> Vec<Event> {
        let mut events = Vec::new();
        while let Some(event) = self.writer.as_ref().and_then(Writer::event) {
            match &event {
                Event::Saved { seq } => self.acknowledge(*seq),
                Event::Written { seq } => {
                    self.written_only = true;
                    self.acknowledge(*seq);
                }
                Event::Stopped { why, .. } => self.stopped = Some(why.clone()),
            }
            events.push(event);
        }
        events
    }

    fn acknowledge(&mut self, seq: Seq) {
        while self.waiting.front().is_some_and(|waiting| waiting.seq <= seq) {
            if let Some(done) = self.waiting.pop_front() {
                self.saved_length += done.line.len() as u64;
                self.saved_hash = done.hash;
            }
        }
    }

    /// Tries the waiting facts again after a stop, when its cause is gone.
    pub fn try_again(&mut self) {
        self.poll();
        let Some(writer) = &self.writer else { return };
        if self.stopped.is_none() {
            return;
        }
        let lines = self.waiting.iter();
        let sent = writer.send(WriterCommand::TryAgain)
            && lines.fold(true, |sent, waiting| {
                let (seq, line) = (waiting.seq, waiting.line.clone());
                sent && writer.send(WriterCommand::Append { seq, line })
            });
        self.stopped = (!sent).then(|| Error::WriterGone { path: self.path.clone() });
    }

    /// Agrees to write where files cannot be locked or synced: after [`Access::AskFirst`], or when
    /// writing stopped with [`Error::Unsupported`].
    ///
    /// # Errors
    /// [`Error::Io`] when the writer cannot be started.
    pub fn agree(&mut self) -> Result<(), Error> {
        self.poll();
        if let (Access::AskFirst { missing }, Some(desk)) = (&self.access, self.waiting_desk.take())
        {
            // What was written to begin it was not synced either.
            self.written_only |= *missing == SYNCED;
            let desk = Desk { without_sync: true, ..desk };
            if let Some(end) = self.end_missing() {
                self.waiting_desk = Some(desk);
                self.waits_for_the_end(end);
                return Ok(());
            }
            self.writer = Some(Writer::start(desk)?);
            self.access = Access::Writing;
        } else if let (Some(Error::Unsupported { .. }), Some(writer)) =
            (&self.stopped, &self.writer)
        {
            writer.send(WriterCommand::GoWithoutSync);
            self.try_again();
        }
        Ok(())
    }

    /// Open for reading until the hand says what to do about the missing end; the reason tells it.
    pub(super) fn waits_for_the_end(&mut self, end: MissingEnd) {
        self.access = Access::ReadOnly(ReadOnlyReason::EndMissing(end));
        self.notices.clear();
    }

    /// How far what was appended has come. Call [`poll`](Self::poll) before.
    #[must_use]
    pub fn save_state(&self) -> SaveState {
        let waiting = self.waiting.len();
        match (&self.access, &self.stopped) {
            (Access::ReadOnly(_) | Access::AskFirst { .. }, _) => SaveState::ReadOnly,
            (Access::Writing, Some(why)) => SaveState::Stopped { why: why.clone(), waiting },
            (Access::Writing, None) if waiting > 0 => SaveState::Saving { waiting },
            (Access::Writing, None) if self.written_only => SaveState::Written,
            (Access::Writing, None) => SaveState::Saved,
        }
    }

    /// Waits until all is written, or cannot be. The facts stay readable.
    ///
    /// # Errors
    /// Why the facts still in memory could not be written.
    pub fn finish(&mut self) -> Result<(), Error> {
        if let Some(writer) = &mut self.writer {
            writer.finish();
        }
        self.poll();
        self.writer = None;
        self.lock = None;
        if self.waiting.is_empty() {
            return Ok(());
        }
        let gone = || Error::WriterGone { path: self.path.clone() };
        Err(self.stopped.clone().unwrap_or_else(gone))
    }

    /// All facts, saved or not, in order.
    #[must_use]
    pub fn facts(&self) -> &[Fact<B>] {
        &self.facts
    }

    /// The facts that are not on disk yet.
    #[must_use]
    pub fn unsaved(&self) -> &[Fact<B>] {
        let saved = self.facts.len() - self.waiting.len();
        self.facts.get(saved..).unwrap_or_default()
    }

    /// The facts that are on disk.
    #[must_use]
    pub fn saved(&self) -> &[Fact<B>] {
        let saved = self.facts.len() - self.waiting.len();
        self.facts.get(..saved).unwrap_or_default()
    }

    /// The lines of the [unsaved](Self::unsaved) facts, each with its LF, in order: the first goes on
    /// from the last line on disk.
    pub(crate) fn waiting_lines(&self) -> impl Iterator<Item = (Seq, &[u8])> {
        self.waiting.iter().map(|waiting| {
            let line = &waiting.line[..];
            (waiting.seq, line.strip_prefix(b"\n").unwrap_or(line))
        })
    }

    /// The hash of the last line, written or not.
    pub(crate) const fn end_hash(&self) -> ChainHash {
        self.last_hash
    }

    /// Whether facts can be added.
    #[must_use]
    pub const fn access(&self) -> &Access {
        &self.access
    }

    /// What there is to tell about the file.
    #[must_use]
    pub fn notices(&self) -> &[Notice] {
        &self.notices
    }

    /// Whether the hand has to [`agree`](Self::agree) before anything, or anything more, is written.
    #[must_use]
    pub fn asks_to_agree(&self) -> bool {
        matches!(self.access, Access::AskFirst { .. })
            || matches!(self.stopped, Some(Error::Unsupported { .. }))
    }

    /// Where its end is missing, if it is.
    #[must_use]
    pub fn end_missing(&self) -> Option<MissingEnd> {
        self.end_missing
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The format it is written in, for as long as it is.
    #[must_use]
    pub const fn format(&self) -> u32 {
        self.format
    }

    /// The 64 hex digits of a line by which somebody answers for the file: what a seal is over. `None` for
    /// any other.
    #[must_use]
    pub fn signing_hash(&self, seq: Seq) -> Option<&str> {
        let found = self.signing_hashes.iter().rev().find(|(signing, _)| *signing == seq);
        found.map(|(_, hash)| hash.as_str())
    }

    /// The hash of every line by which somebody answers for the file: what a seal is over.
    #[must_use]
    pub fn signing_hashes(&self) -> &[(Seq, ChainHash)] {
        &self.signing_hashes
    }

    /// The 64 hex digits of the last line on disk.
    #[must_use]
    pub fn last_hash(&self) -> String {
        self.saved_hash.to_string()
    }
}

impl<B> fmt::Debug for FactFile<B> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("FactFile")
            .field("path", &self.path)
            .field("facts", &self.facts.len())
            .field("access", &self.access)
            .field("waiting", &self.waiting.len())
            .field("stopped", &self.stopped)
            .finish_non_exhaustive()
    }
}

/// Writes facts as a whole file would hold them, header first, without being one: for fixtures,
/// copies and tests.
///
/// # Errors
/// As [`FactFile::append`], and [`Error::Io`].
pub fn write_all_lines<B: LineFormat>(
    facts: &[Fact<B>],
    mut to: impl std::io::Write,
) -> Result<(), Error> {
    let mut hash = ChainHash::START;
    let format = facts.first().map_or(B::FORMAT, |first| first.body.format());
    for fact in facts {
        let (line, next) = line_of(&hash, fact, format)?;
        to.write_all(&line).map_err(|why| Error::io("write", Path::new("the facts"), why))?;
        hash = next;
    }
    Ok(())
}

fn not_writable(why: BadField) -> Error {
    Error::FactNotWritable { what: why.to_string() }
}

/// A fact's line after another, in a file of a format.
pub(crate) fn line_of<B: LineFormat>(
    previous: &ChainHash,
    fact: &Fact<B>,
    format: u32,
) -> Result<(Vec<u8>, ChainHash), Error> {
    let body = B::write(fact, format).map_err(not_writable)?;
    // What cannot be read back the same must not get into a file that promises it.
    let read_back = if fact.seq == 1 { B::read_header(&body) } else { B::read(&body, format) };
    match read_back {
        Ok(read) if read == *fact => {}
        Ok(_) => {
            let what = "it would not read back the same".to_owned();
            return Err(Error::FactNotWritable { what });
        }
        Err(why) => return Err(not_writable(why)),
    }
    let (line, hash) = chain::line(previous, &body);
    if line.len() > LONGEST_LINE + 1 {
        return Err(Error::FactTooLong { bytes: line.len() - 1, limit: LONGEST_LINE });
    }
    Ok((line, hash))
}
