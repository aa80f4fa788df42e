//! What still verifies behind a damage.
//!
//! A line's hash is taken over the hash of the line before as that line *states* it. So where a line's
//! content is damaged and its stated hash is not, the lines behind it verify all the same; and where its
//! stated hash is damaged and its content is not, the line behind it proves the content. A line whose
//! neighbour is gone altogether can be read and proves nothing of itself: it counts as lost, though the
//! lines behind it may hold.
//!
//! The chain begins at the first line. Where that is lost, the lines behind it show that they follow one
//! another, and not what stood before them; what the first line alone said, `first_line` looks for
//! elsewhere.

use core::fmt;
use std::io::{self, Read};
use std::path::Path;

use crate::error::Error;
use crate::fact::{Body, Fact, Seq};
use crate::figures::{counted_s, sentence};
use crate::file::chain::{self, ChainHash, LONGEST_LINE};
use crate::file::line_format::LineFormat;
use crate::file::scan::{LARGEST_FILE, fact_of};
use crate::ledger::SigningLine;

/// More lost lines than this are not stood in for: a forged number could ask for any count.
const MOST_LOST: u64 = 100_000;

/// So many stated hashes behind the last line that verifies are tried.
const MOST_BEFORE: usize = 16;

/// What of a session's file verifies.
#[derive(Clone, Debug, PartialEq)]
pub struct Salvage {
    /// The header; `None` where the first line is lost.
    pub header: Option<Fact>,
    /// Whether the header verifies; else it was read as it stands.
    pub header_verifies: bool,
    /// The facts behind the header that verify, in order, with the numbers they had.
    pub facts: Vec<Fact>,
    /// What lies between them.
    pub gaps: Vec<Gap>,
    /// Whether the file is whole, to the last byte: then there is nothing to salvage.
    pub is_whole: bool,
    /// Facts whose lines' own hashes are damaged; the lines behind them prove what they say.
    pub proved: Vec<Seq>,
    /// The hash that the last line that verifies states.
    pub last_hash: ChainHash,
    /// What lies behind the last of them.
    pub rest: Option<Gap>,
    /// The lines that verify by which a hand signed, countersigned or returned: the ledger may know them.
    pub signings: Vec<SigningLine>,
    /// Where lines of another file, or of this one once more, begin: they are left out. Bytes from the
    /// start.
    pub another_from: Option<u64>,
    /// What is known from elsewhere of a first line that is lost, in sentences; found when a new file is
    /// made.
    pub instead: Option<String>,
}

/// A place where nothing verifies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The first fact that is lost there.
    pub first: Seq,
    /// How many are lost, as the facts behind tell; of the end nobody can tell.
    pub lost: Option<u64>,
    /// Where it begins, bytes from the start of the file.
    pub offset: u64,
    /// How many bytes stand there.
    pub bytes: u64,
    /// Facts there that can be read and are not proved: their numbers as they stand, and their kinds.
    pub readable: Vec<(Seq, &'static str)>,
}

impl Gap {
    /// The last fact that is lost there, where that is known.
    #[must_use]
    pub fn last(&self) -> Option<Seq> {
        Some(self.first + self.lost?.checked_sub(1)?)
    }
}

impl fmt::Display for Gap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { first, lost, offset, bytes, readable } = self;
        match (lost, self.last()) {
            (None, _) => write!(f, "from line {first} on nothing verifies")?,
            (Some(0), _) => write!(f, "before line {first} stands what is no line of it")?,
            (Some(1), _) => write!(f, "line {first} is lost")?,
            (Some(_), last) => write!(f, "lines {first} to {} are lost", last.unwrap_or(*first))?,
        }
        write!(f, " (byte {offset}, {})", counted_s(*bytes, "byte"))?;
        if !readable.is_empty() {
            let said: Vec<String> =
                readable.iter().take(20).map(|(seq, word)| format!("{seq} {word}")).collect();
            let more = if readable.len() > 20 { " and more" } else { "" };
            write!(f, "; readable there but unproved: {}{more}", said.join(", "))?;
        }
        Ok(())
    }
}

impl Salvage {
    /// What was found, one sentence a line.
    #[must_use]
    pub fn words(&self) -> String {
        let mut said =
            vec![format!("{} of the session verify.", counted_s(self.facts.len(), "fact"))];
        match &self.header {
            None => said.push(
                "Its first line is lost, and with it which session it is, in which format it was \
                 written and which file it goes on from; what verifies shows that these lines follow \
                 one another, and not what stood before them."
                    .to_owned(),
            ),
            Some(_) if !self.header_verifies => {
                said.push("Its first line can be read and is not proved.".to_owned());
            }
            Some(_) => {}
        }
        said.extend(self.instead.clone());
        if !self.proved.is_empty() {
            let lines: Vec<String> = self.proved.iter().map(ToString::to_string).collect();
            said.push(format!(
                "Damaged hashes, of lines that those behind them prove: {}.",
                lines.join(", ")
            ));
        }
        for gap in self.gaps.iter().chain(&self.rest) {
            said.push(sentence(&gap.to_string()));
        }
        if let Some(offset) = self.another_from {
            said.push(format!(
                "From byte {offset} on stand lines of another file, or of this one once more; they are \
                 left out."
            ));
        }
        said.join("\n")
    }

    /// Whether facts are lost, or may be.
    #[must_use]
    pub fn lost_any(&self) -> bool {
        self.rest.is_some() || self.gaps.iter().any(|gap| gap.lost != Some(0))
    }
}

/// Finds what verifies in a session's file, behind a damage too.
///
/// # Errors
/// [`Error::Io`], [`Error::NewerFormat`], and [`Error::WrongFile`] where nothing in it is known for a
/// session: another kind of file, or one whose first line is lost while nothing behind it verifies, or
/// says what no format up to this program's does.
pub fn salvage(path: &Path, bytes: impl Read) -> Result<Salvage, Error> {
    let mut all = Vec::new();
    let read = bytes.take(LARGEST_FILE + 1).read_to_end(&mut all);
    read.map_err(|why| Error::io("read", path, why))?;
    if all.len() as u64 > LARGEST_FILE {
        let why = "it is larger than 256 MiB, most of it no facts; nothing is salvaged from it";
        return Err(Error::io("read", path, io::Error::new(io::ErrorKind::FileTooLarge, why)));
    }
    let mut search = SalvageSearch::new(path);
    for (offset, line) in lines(&all) {
        search.line(offset, line)?;
    }
    search.found()
}

/// Lines as they stand, each with where it begins.
fn lines(bytes: &[u8]) -> impl Iterator<Item = (usize, &[u8])> {
    let mut offset = 0;
    bytes.split_inclusive(|byte| *byte == b'\n').map(move |line| {
        offset += line.len();
        (offset - line.len(), line)
    })
}

/// A hash that the next line may have been taken over.
#[derive(Clone, Copy)]
struct HashBefore {
    hash: ChainHash,
    /// Whether a line that verifies after it proves the content of the line before it.
    proves: bool,
}

struct SalvageSearch<'a> {
    path: &'a Path,
    header: Option<(Fact, bool)>,
    facts: Vec<Fact>,
    gaps: Vec<Gap>,
    is_whole: bool,
    proved: Vec<Seq>,
    /// The number of the last fact that verifies, and the hash of its line.
    last: Seq,
    good: ChainHash,
    before: Vec<HashBefore>,
    gap: Option<Gap>,
    /// A fact whose line's stated hash alone may be damaged, the bytes of that line, and its hash.
    doubtful: Option<(Fact, u64, ChainHash)>,
    signings: Vec<SigningLine>,
    another_from: Option<u64>,
    /// A line that verifies and says what no session of a known format does, by where it begins.
    strange: Option<u64>,
}

impl<'a> SalvageSearch<'a> {
    fn new(path: &'a Path) -> Self {
        let before = vec![HashBefore { hash: ChainHash::START, proves: false }];
        Self {
            path,
            header: None,
            facts: Vec::new(),
            gaps: Vec::new(),
            is_whole: true,
            proved: Vec::new(),
            last: 0,
            good: ChainHash::START,
            before,
            gap: None,
            doubtful: None,
            signings: Vec::new(),
            another_from: None,
            strange: None,
        }
    }

    fn line(&mut self, offset: usize, whole: &[u8]) -> Result<(), Error> {
        let line = whole.strip_suffix(b"\n").unwrap_or(whole);
        if self.piece(offset, line)? {
            return Ok(());
        }
        self.is_whole = false;
        // A byte or two cut off the very front: what every line begins with.
        if offset == 0 {
            for lead in [&b"("[..], b"(\""] {
                if self.piece(offset, &[lead, line].concat())? {
                    return Ok(());
                }
            }
        }
        // Where a line end is damaged, two lines stand in one.
        let mut at = 0;
        for start in chain::starts(line).filter(|start| *start > 0).chain([line.len()]) {
            let last = start == line.len();
            let end = if last { start } else { start - 1 };
            let piece = line.get(at..end.max(at)).unwrap_or_default();
            let taken = (at > 0 || !last) && self.piece(offset + at, piece)?;
            if !taken {
                let end = if last { whole.len() } else { start };
                self.lost(offset + at, piece, end - at);
            }
            at = start;
        }
        Ok(())
    }

    /// Whether a piece is a line that verifies. `offset`: where it begins.
    fn piece(&mut self, offset: usize, piece: &[u8]) -> Result<bool, Error> {
        if piece.len() > LONGEST_LINE {
            return Ok(false);
        }
        let unpadded = piece.iter().rposition(|byte| !matches!(byte, 0 | b'\r'));
        let short = piece.get(..unpadded.map_or(0, |last| last + 1)).unwrap_or_default();
        let follow = |before: &HashBefore| {
            let body = chain::where_body_stands(short)?;
            let hash = before.hash.next(body);
            (chain::stated(short) == Some(hash)).then_some((body, hash, before.proves))
        };
        let Some((body, hash, proves)) = self.before.iter().find_map(follow) else {
            return Ok(false);
        };
        let Some(fact) = self.fact(body)? else {
            self.strange.get_or_insert(offset as u64);
            return Ok(false);
        };
        let doubtful = self.doubtful.take().filter(|_| proves);
        let expected = self.last + 1 + u64::from(doubtful.is_some());
        if fact.seq < expected {
            self.begins_another(offset);
            return Ok(false);
        }
        if fact.seq - self.last > MOST_LOST {
            return Ok(false);
        }
        if let Some((proved, bytes, hash)) = doubtful {
            if let Some(gap) = &mut self.gap {
                gap.bytes -= bytes;
                gap.readable.pop();
            }
            self.gap = self.gap.take().filter(|gap| gap.bytes > 0);
            self.close_gap(proved.seq);
            self.proved.push(proved.seq);
            self.keep(proved, &hash);
        }
        self.is_whole &= short.len() == piece.len() && chain::is_one(short);
        self.close_gap(fact.seq);
        self.keep(fact, &hash);
        self.good = hash;
        self.before = vec![HashBefore { hash, proves: false }];
        Ok(true)
    }

    fn keep(&mut self, fact: Fact, hash: &ChainHash) {
        self.last = fact.seq;
        self.signings.extend(SigningLine::of(&fact, hash));
        if fact.seq == 1 { self.header = Some((fact, true)) } else { self.facts.push(fact) }
    }

    /// Numbers begin again: what stands here may verify, and is not what follows the last good line. Only
    /// what follows that very line is taken from now on.
    fn begins_another(&mut self, offset: usize) {
        self.another_from.get_or_insert(offset as u64);
        self.before = vec![HashBefore { hash: self.good, proves: false }];
    }

    /// A gap ends before this fact, if there is one.
    fn close_gap(&mut self, next: Seq) {
        let lost = next - self.last - 1;
        if self.gap.is_none() && lost == 0 {
            return;
        }
        let first = self.last + 1;
        let nothing = Gap { first, lost: None, offset: 0, bytes: 0, readable: Vec::new() };
        let gap = self.gap.take().unwrap_or(nothing);
        self.gaps.push(Gap { first, lost: Some(lost), ..gap });
    }

    fn fact(&self, body: &[u8]) -> Result<Option<Fact>, Error> {
        // What only the first line is, is tried first where there is none yet.
        if self.header.is_none() && self.last == 0 {
            match fact_of::<Body>(self.path, 1, body, Body::FORMAT) {
                Ok(header) => return Ok(Some(header)),
                Err(unread) => unread.refused()?,
            }
        }
        let text = core::str::from_utf8(body).ok();
        let read = text.and_then(|text| Body::read(text, self.format()).ok());
        Ok(read.filter(|fact| fact.seq > 1))
    }

    /// The format of the file, as its header says it.
    fn format(&self) -> u32 {
        self.header.as_ref().map_or(Body::FORMAT, |(header, _)| header.body.format())
    }

    /// A piece that does not verify.
    fn lost(&mut self, offset: usize, piece: &[u8], bytes: usize) {
        let body = chain::where_body_stands(piece);
        let read = body.and_then(|body| self.fact(body).ok().flatten());
        // Of a line in several pieces the first states its hash.
        let mut before = std::mem::take(&mut self.before);
        before.retain(|before| !before.proves);
        before.extend(chain::stated(piece).map(|hash| HashBefore { hash, proves: false }));
        if before.len() > MOST_BEFORE {
            before.drain(1..before.len() - MOST_BEFORE + 1);
        }
        let next = self.last + 1;
        self.doubtful = None;
        if let (Some(body), Some(fact)) = (body, &read) {
            // Its content may be whole and only its stated hash damaged.
            if fact.seq == next {
                let hash = self.good.next(body);
                before.push(HashBefore { hash, proves: true });
                self.doubtful = Some((fact.clone(), bytes as u64, hash));
            }
        }
        self.before = before;
        let begins_again = |body| fact_of::<Body>(self.path, 1, body, Body::FORMAT).is_ok();
        if self.last > 0 && (self.another_from.is_some() || body.is_some_and(begins_again)) {
            self.begins_another(offset);
        }
        if let Some(fact) = &read
            && fact.seq == 1
            && self.header.is_none()
        {
            self.header = Some((fact.clone(), false));
        }
        let gap = self.gap.get_or_insert_with(|| Gap {
            first: next,
            lost: None,
            offset: offset as u64,
            bytes: 0,
            readable: Vec::new(),
        });
        gap.bytes += bytes as u64;
        gap.readable.extend(read.map(|fact| (fact.seq, fact.body.word())));
    }

    fn found(self) -> Result<Salvage, Error> {
        let unknown =
            |what: String| Error::WrongFile { path: self.path.to_owned(), wanted: "session", what };
        match (&self.header, self.strange) {
            (None, Some(offset)) => {
                return Err(unknown(format!(
                    "its first line is lost, and the line at byte {offset} says what no session of \
                     format {} or before does: it is another kind of file, or of a newer program; \
                     nothing is salvaged from it",
                    Body::FORMAT
                )));
            }
            (None, None) if self.facts.is_empty() => {
                return Err(unknown(
                    "its first line cannot be read and nothing behind it verifies, so nothing can be \
                     salvaged; keep it"
                        .to_owned(),
                ));
            }
            _ => {}
        }
        let (header, header_verifies) =
            self.header.map_or((None, false), |(fact, verifies)| (Some(fact), verifies));
        let mut gaps = self.gaps;
        // A first line that is read as it stands is not lost.
        if header.is_some() && !header_verifies {
            if let Some(gap) = gaps.first_mut().filter(|gap| gap.first == 1) {
                gap.first = 2;
                gap.lost = gap.lost.and_then(|lost| lost.checked_sub(1));
                gap.readable.retain(|(seq, _)| *seq != 1);
            }
            gaps.retain(|gap| gap.first != 2 || gap.lost != Some(0));
        }
        Ok(Salvage {
            header,
            header_verifies,
            facts: self.facts,
            gaps,
            is_whole: self.is_whole,
            proved: self.proved,
            last_hash: self.good,
            rest: self.gap,
            signings: self.signings,
            another_from: self.another_from,
            instead: None,
        })
    }
}
