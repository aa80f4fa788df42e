//! Reading a file of facts from its bytes: line by line, nothing trusted, memory bounded by the facts.

use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;

use serde::Deserialize;

use crate::error::Error;
use crate::fact::{Body, Fact, Seq};
use crate::file::bad_field::BadField;
use crate::file::chain::{self, Break, ChainHash, LONGEST_LINE};
use crate::file::damage::{Damage, DamageKind, MissingEnd};
use crate::file::line_format::LineFormat;

/// What a file holds.
#[derive(Clone, Debug)]
pub struct Scan<B = Body> {
    /// The facts, in order, up to the first damage.
    pub facts: Vec<Fact<B>>,
    /// The format they are written in.
    pub format: u32,
    /// The hash of every line by which somebody answers for the file: what a seal is over.
    pub signing_hashes: Vec<(Seq, ChainHash)>,
    /// The hash of the last of their lines.
    pub last_hash: ChainHash,
    /// The bytes those lines take.
    pub good_length: u64,
    /// Whether the last of them lacks its LF, which the next must bring.
    pub lacks_line_end: bool,
    /// What follows them.
    pub end: End,
}

/// What follows the last good line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// Nothing: the file is whole.
    Clean,
    /// Something that is no whole line, and nothing behind it: the end is missing, and may have
    /// been acknowledged.
    Missing(MissingEnd),
    /// Damage; what lies behind is not read.
    Damaged(Damage),
}

/// What lies behind this many bytes is not read, so that memory has a bound: a thousand times a long
/// session.
pub const LARGEST_FILE: u64 = 256 << 20;

/// Reads all facts of a session.
///
/// # Errors
/// As [`scan_facts`].
pub fn scan(path: &Path, bytes: impl Read) -> Result<Scan, Error> {
    scan_facts(path, bytes)
}

/// Reads all facts of a file of one kind.
///
/// # Errors
/// [`Error::Io`] when the bytes cannot be read, [`Error::WrongFile`] when there is no header of
/// this kind to begin with, [`Error::NewerFormat`] by number. Damage is no error: it is in
/// [`Scan::end`].
pub fn scan_facts<B: LineFormat>(path: &Path, bytes: impl Read) -> Result<Scan<B>, Error> {
    scan_each(path, bytes, |_, _| ())
}

/// The same, and `heard` is told of every fact with its line's hash.
///
/// # Errors
/// As [`scan_facts`].
pub fn scan_each<B: LineFormat>(
    path: &Path,
    bytes: impl Read,
    heard: impl FnMut(&Fact<B>, &ChainHash),
) -> Result<Scan<B>, Error> {
    scan_on(path, bytes, &ReadTo::nothing::<B>(), heard)
}

/// How far a file was read before: so many lines, all good, the last with its LF.
#[derive(Clone, Debug)]
pub(crate) struct ReadTo {
    pub(crate) lines: Seq,
    /// The bytes they take.
    pub(crate) length: u64,
    /// The hash of the last of them.
    pub(crate) last_hash: ChainHash,
    /// The format that the first of them says.
    pub(crate) format: u32,
}

impl ReadTo {
    /// A file that was not read before.
    pub(crate) const fn nothing<B: LineFormat>() -> Self {
        Self { lines: 0, length: 0, last_hash: ChainHash::START, format: B::FORMAT }
    }
}

/// Lines that were read before.
pub(crate) struct LinesAgain<B> {
    /// The hash of each, as it states it.
    pub(crate) hashes: Vec<ChainHash>,
    /// The facts of those that are asked for.
    pub(crate) facts: Vec<Fact<B>>,
}

/// Goes through lines that were read before; `None` where it is others. That it is the same bytes, whoever calls it
/// knows: no chain is followed here.
pub(crate) fn lines_again<B: LineFormat>(
    path: &Path,
    bytes: impl Read,
    read: &ReadTo,
    wants: impl Fn(Seq) -> bool,
) -> io::Result<Option<LinesAgain<B>>> {
    let mut lines = LineScanner::new(BufReader::with_capacity(PIECE, bytes), 0);
    let (mut hashes, mut facts) = (Vec::new(), Vec::new());
    while let Some(ScannedLine { bytes, .. }) = lines.next()? {
        let content = bytes.strip_suffix(b"\n").unwrap_or(bytes);
        let Some(hash) = chain::stated(content) else { return Ok(None) };
        hashes.push(hash);
        let number = hashes.len() as Seq;
        if wants(number) {
            let body = chain::body_of(content).unwrap_or_default();
            let Ok(fact) = fact_of(path, number, body, read.format) else { return Ok(None) };
            facts.push(fact);
        }
    }
    let same = hashes.len() as Seq == read.lines && hashes.last() == Some(&read.last_hash);
    Ok(same.then_some(LinesAgain { hashes, facts }))
}

/// So much is read at a time, bytes.
const PIECE: usize = 1 << 16;

/// Goes on behind lines that were read before. Told, and heard, is of those behind them alone; where they end is told
/// of the whole file. `bytes`: what stands behind them.
///
/// # Errors
/// As [`scan_facts`].
pub(crate) fn scan_on<B: LineFormat>(
    path: &Path,
    bytes: impl Read,
    read: &ReadTo,
    mut heard: impl FnMut(&Fact<B>, &ChainHash),
) -> Result<Scan<B>, Error> {
    let mut facts: Vec<Fact<B>> = Vec::new();
    let mut signing_hashes = Vec::new();
    let mut format = read.format;
    let walked = walk_on(path, B::FILE, bytes, read, |number, body, hash| {
        let fact: Fact<B> = fact_of(path, number, body, format)?;
        if number == 1 {
            format = fact.body.format();
        }
        if fact.body.is_signing() {
            signing_hashes.push((number, *hash));
        }
        heard(&fact, hash);
        facts.push(fact);
        Ok(())
    })?;
    Ok(Scan {
        facts,
        format,
        signing_hashes,
        last_hash: walked.last_hash,
        good_length: walked.good_length,
        lacks_line_end: walked.lacks_line_end,
        end: walked.end,
    })
}

/// Some facts of a file, each with its line's hash.
#[derive(Clone, Debug)]
pub struct PickedFacts<B = Body> {
    /// The facts, in order, up to the first damage: the header and those asked for.
    pub facts: Vec<(Fact<B>, ChainHash)>,
    /// How many good lines the file has.
    pub lines: Seq,
    /// What follows them.
    pub end: End,
}

/// Follows the chain of a file and reads, besides its header, only the lines whose BODY is asked for.
///
/// # Errors
/// As [`scan_facts`].
pub fn scan_some<B: LineFormat>(
    path: &Path,
    bytes: impl Read,
    wants: impl Fn(&[u8]) -> bool,
) -> Result<PickedFacts<B>, Error> {
    let mut facts: Vec<(Fact<B>, ChainHash)> = Vec::new();
    let mut format = B::FORMAT;
    let walked = walk(path, B::FILE, bytes, |number, body, hash| {
        if number == 1 || wants(body) {
            let fact: Fact<B> = fact_of(path, number, body, format)?;
            if number == 1 {
                format = fact.body.format();
            }
            facts.push((fact, *hash));
        }
        Ok(())
    })?;
    Ok(PickedFacts { facts, lines: walked.lines, end: walked.end })
}

/// Follows the chain of a session without reading what its lines say, which is quicker: how many
/// lines are good, and what follows them.
///
/// # Errors
/// As [`scan`], without [`Error::NewerFormat`].
pub fn check_chain(path: &Path, bytes: impl Read) -> Result<(Seq, End), Error> {
    let walked = walk(path, Body::FILE, bytes, |_, _, _| Ok(()))?;
    Ok((walked.lines, walked.end))
}

/// The hash of every line that holds, in order: line n at index n − 1.
///
/// # Errors
/// As [`check_chain`].
pub fn line_hashes(path: &Path, bytes: impl Read) -> Result<Vec<ChainHash>, Error> {
    let mut all = Vec::new();
    walk(path, Body::FILE, bytes, |_, _, hash| {
        all.push(*hash);
        Ok(())
    })?;
    Ok(all)
}

struct Walked {
    lines: Seq,
    last_hash: ChainHash,
    good_length: u64,
    lacks_line_end: bool,
    end: End,
}

/// Goes from line to line for as long as they hold and `visit` takes what they say.
fn walk(
    path: &Path,
    wanted: &'static str,
    bytes: impl Read,
    visit: impl FnMut(Seq, &[u8], &ChainHash) -> Result<(), UnreadLine>,
) -> Result<Walked, Error> {
    walk_on(path, wanted, bytes, &ReadTo::nothing::<Body>(), visit)
}

/// The same behind lines that were read before.
fn walk_on(
    path: &Path,
    wanted: &'static str,
    bytes: impl Read,
    read: &ReadTo,
    mut visit: impl FnMut(Seq, &[u8], &ChainHash) -> Result<(), UnreadLine>,
) -> Result<Walked, Error> {
    let mut lines = LineScanner::new(BufReader::with_capacity(PIECE, bytes), read.length);
    let mut walked = Walked {
        lines: read.lines,
        last_hash: read.last_hash,
        good_length: read.length,
        lacks_line_end: false,
        end: End::Clean,
    };
    let mut rewritten = None;
    while let Some(line) = lines.next().map_err(|why| Error::io("read", path, why))? {
        if line.offset > LARGEST_FILE {
            let why =
                "it is larger than 256 MiB, more than a lifetime of one unit; choose another file";
            return Err(Error::io("read", path, io::Error::new(io::ErrorKind::FileTooLarge, why)));
        }
        let number = walked.lines + 1;
        let damage = |kind| Damage { line: number, offset: line.offset, kind };
        let content = match take_line(&walked.last_hash, line) {
            Ok(content) => content,
            Err(Rejected::NotWhole) => {
                let (offset, bytes) = (line.offset, line.bytes.len() as u64);
                walked.end = End::Missing(MissingEnd { line: number, offset, bytes });
                break;
            }
            Err(Rejected::Damaged(kind)) => {
                walked.end = End::Damaged(damage(kind));
                break;
            }
        };
        match visit(number, content.body, &content.hash) {
            Ok(()) => {}
            Err(UnreadLine::Refused(error)) => return Err(*error),
            Err(UnreadLine::Damaged(kind)) => {
                walked.end = End::Damaged(damage(kind));
                break;
            }
        }
        walked.lines = number;
        walked.last_hash = content.hash;
        walked.good_length += content.length;
        walked.lacks_line_end = content.lacks_line_end;
        if content.carriage_return && rewritten.is_none() {
            rewritten = Some(damage(DamageKind::LineEndsRewritten));
        }
        if content.padding > 0 {
            let (offset, bytes) = (walked.good_length, content.padding);
            walked.end = End::Missing(MissingEnd { line: number + 1, offset, bytes });
            break;
        }
    }
    if let Some(damage) = rewritten
        && walked.end == End::Clean
    {
        walked.end = End::Damaged(damage);
    }
    if walked.lines == 0 {
        return Err(wrong_file(path, wanted, &walked.end, lines.first_looked_like_a_line));
    }
    Ok(walked)
}

fn wrong_file(path: &Path, wanted: &'static str, end: &End, looked_like_a_line: bool) -> Error {
    let what = match end {
        End::Damaged(damage) if looked_like_a_line => {
            return Error::Damaged { path: path.to_owned(), damage: damage.clone() };
        }
        End::Missing(_) if looked_like_a_line => {
            "its first line is not whole, so nothing in it can be read, and it may have held more; \
             keep it: what still verifies behind that line can be salvaged into a new one"
        }
        End::Damaged(_) | End::Missing(_) => {
            "it does not begin with the header of one; choose another file"
        }
        End::Clean => "it is empty; begin a new one",
    };
    Error::WrongFile { path: path.to_owned(), wanted, what: what.to_owned() }
}

/// Lines as they stand in the file, each at most a little longer than allowed.
struct LineScanner<R> {
    bytes: R,
    line: Vec<u8>,
    /// Where the next line begins.
    offset: u64,
    first_looked_like_a_line: bool,
}

#[derive(Clone, Copy)]
struct ScannedLine<'a> {
    /// With its LF, if it has one.
    bytes: &'a [u8],
    /// Where it begins, bytes from the start of the file.
    offset: u64,
    /// Whether nothing follows it.
    last: bool,
}

impl<R: BufRead> LineScanner<R> {
    /// `offset`: where the first line begins.
    fn new(bytes: R, offset: u64) -> Self {
        let line = Vec::with_capacity(1 << 10);
        Self { bytes, line, offset, first_looked_like_a_line: false }
    }

    fn next(&mut self) -> io::Result<Option<ScannedLine<'_>>> {
        self.line.clear();
        // One byte more than a whole line tells a line that is too long from one that is not.
        let most = LONGEST_LINE as u64 + 2;
        (&mut self.bytes).take(most).read_until(b'\n', &mut self.line)?;
        if self.line.is_empty() {
            return Ok(None);
        }
        let offset = self.offset;
        self.offset += self.line.len() as u64;
        if offset == 0 {
            // Either end of the prefix survives any one damaged byte.
            let head = self.line.get(..self.line.len().min(256)).unwrap_or_default();
            self.first_looked_like_a_line = head.starts_with(b"(\"") || contains(head, b"(format:");
        }
        let last = self.bytes.fill_buf()?.is_empty();
        Ok(Some(ScannedLine { bytes: &self.line, offset, last }))
    }
}

fn contains(haystack: &[u8], needle: &[u8]) -> bool {
    haystack.windows(needle.len()).any(|window| window == needle)
}

/// A line that continues the chain.
struct Content<'a> {
    body: &'a [u8],
    hash: ChainHash,
    /// Bytes of the line that count as good.
    length: u64,
    lacks_line_end: bool,
    /// NUL bytes behind a whole last line: space the disk had set aside for what never came.
    padding: u64,
    carriage_return: bool,
}

enum Rejected {
    /// The last line, which is no whole line.
    NotWhole,
    Damaged(DamageKind),
}

fn take_line<'a>(previous: &ChainHash, line: ScannedLine<'a>) -> Result<Content<'a>, Rejected> {
    let (content, has_line_end) =
        line.bytes.strip_suffix(b"\n").map_or((line.bytes, false), |content| (content, true));
    if content.len() > LONGEST_LINE {
        return Err(Rejected::Damaged(DamageKind::TooLong));
    }
    let whole = |body, hash| Content {
        body,
        hash,
        length: line.bytes.len() as u64,
        lacks_line_end: !has_line_end,
        padding: 0,
        carriage_return: false,
    };
    let broken = match chain::follow(previous, content) {
        Ok((body, hash)) => return Ok(whole(body, hash)),
        Err(broken) => broken,
    };
    if let Some(shorter) = content.strip_suffix(b"\r")
        && let Ok((body, hash)) = chain::follow(previous, shorter)
    {
        return Ok(Content { carriage_return: true, ..whole(body, hash) });
    }
    if let Some(end) = content.iter().position(|&byte| byte == b'\r')
        && content.get(..end).is_some_and(|first| chain::follow(previous, first).is_ok())
    {
        return Err(Rejected::Damaged(DamageKind::LineEndsRewritten));
    }
    if line.last && !has_line_end {
        let unpadded = without_trailing_nul(content);
        if let Ok((body, hash)) = chain::follow(previous, unpadded) {
            let (length, padding) = (unpadded.len(), content.len() - unpadded.len());
            return Ok(Content {
                length: length as u64,
                padding: padding as u64,
                ..whole(body, hash)
            });
        }
        let shorter = content.split_last().map_or(content, |(_, rest)| rest);
        return Err(if chain::follow(previous, shorter).is_ok() {
            Rejected::Damaged(DamageKind::LineEnd)
        } else {
            Rejected::NotWhole
        });
    }
    // A crash can leave a hole before bytes that did reach the disk: a run of NULs, which no
    // whole line holds and no single damaged bit makes.
    if line.last && (content.first() == Some(&0) || contains(content, &[0, 0])) {
        return Err(Rejected::NotWhole);
    }
    Err(Rejected::Damaged(match broken {
        Break::NotALine => DamageKind::NotALine,
        Break::HashDiffers => DamageKind::HashDiffers,
    }))
}

fn without_trailing_nul(content: &[u8]) -> &[u8] {
    let kept = content.iter().rposition(|&byte| byte != 0).map_or(0, |last| last + 1);
    content.get(..kept).unwrap_or_default()
}

/// What every format's header line says first.
#[derive(Deserialize)]
struct FormatOnly {
    format: u32,
    #[serde(default)]
    file: String,
}

pub(super) enum UnreadLine {
    Refused(Box<Error>),
    Damaged(DamageKind),
}

impl UnreadLine {
    /// The refusal that it is, if it is one.
    pub(super) fn refused(self) -> Result<(), Error> {
        match self {
            Self::Refused(error) => Err(*error),
            Self::Damaged(_) => Ok(()),
        }
    }
}

/// `file_format`: what the file's header said, on any line after it.
pub(super) fn fact_of<B: LineFormat>(
    path: &Path,
    number: Seq,
    body: &[u8],
    file_format: u32,
) -> Result<Fact<B>, UnreadLine> {
    let not_a_fact = |what: BadField| UnreadLine::Damaged(DamageKind::NotAFact { what });
    let body = core::str::from_utf8(body)
        .map_err(|_| not_a_fact(BadField::new("it is not text in UTF-8")))?;
    let read = if number == 1 {
        let FormatOnly { format, file } =
            ron::from_str(body).map_err(|why| not_a_fact(BadField::new(why)))?;
        if file != B::TAG {
            let of = if file.is_empty() { "a session".to_owned() } else { format!("“{file}”") };
            return Err(UnreadLine::Refused(Box::new(Error::WrongFile {
                path: path.to_owned(),
                wanted: B::FILE,
                what: format!("its header says it is {of}; choose another file"),
            })));
        }
        if format > B::FORMAT {
            return Err(UnreadLine::Refused(Box::new(Error::NewerFormat {
                path: path.to_owned(),
                format,
                known: B::FORMAT,
            })));
        }
        if format < 1 {
            return Err(not_a_fact(BadField::no_format(format)));
        }
        B::read_header(body)
    } else {
        B::read(body, file_format)
    };
    let fact = read.map_err(not_a_fact)?;
    if fact.seq == number {
        Ok(fact)
    } else {
        Err(UnreadLine::Damaged(DamageKind::OutOfSequence { found: fact.seq }))
    }
}
