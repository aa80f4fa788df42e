//! A rescue file: its header line, the facts on disk when it was begun, the facts that wait.
//!
//! Each line is one of a chain, `("<64 hex>",BODY)` and LF. The header begins a chain of one line.
//! The lines of the facts on disk, where they are there, begin another, as the file itself does. The
//! lines of the facts that wait go on from the last line on disk, whose hash the header names.

use std::io::Read;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::RESCUE_EXTENSION;
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::file::chain::{self, ChainHash};
use crate::file::line_format::LineFormat;
use crate::file::scan::{LARGEST_FILE, scan_facts};
use crate::file::{Disk, End};
use crate::stamp::Stamp;

/// The format this program writes and reads.
const FORMAT: u32 = 1;

/// What a rescue file in a sentence is called.
const NAME: &str = "rescue file";

/// No file holds more facts: each takes more than a byte.
const MOST_FACTS: Seq = LARGEST_FILE;

/// What a rescue file says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// What its facts are of: `session`, `check file`, `study`.
    pub kind: String,
    /// The file they belong to.
    pub path: PathBuf,
    /// What that is about, in words: the unit, the station.
    pub title: String,
    /// How many of its facts were on disk when writing stopped.
    pub saved: Seq,
    /// The 64 hex digits of the last line on disk.
    pub saved_hash: String,
    /// When the rescue file was begun.
    pub begun: Stamp,
    /// Whose hand had the file open.
    pub hand: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct RescueHeaderLine {
    rescue: u32,
    kind: String,
    path: String,
    title: String,
    saved: u64,
    saved_hash: String,
    begun: String,
    hand: String,
}

impl About {
    /// The header line.
    pub(super) fn line(&self) -> Result<Vec<u8>, Error> {
        let header = RescueHeaderLine {
            rescue: FORMAT,
            kind: self.kind.clone(),
            path: self.path.to_string_lossy().into_owned(),
            title: self.title.clone(),
            saved: self.saved,
            saved_hash: self.saved_hash.clone(),
            begun: self.begun.to_string(),
            hand: self.hand.clone(),
        };
        let body = ron::to_string(&header);
        let body = body.map_err(|why| Error::FactNotWritable { what: why.to_string() })?;
        Ok(chain::line(&ChainHash::START, &body).0)
    }

    /// What the header line of a rescue file says, and whether it is as it was written.
    fn of_line(path: &Path, line: &[u8]) -> Result<(Self, bool), Error> {
        let (body, whole) = match chain::follow(&ChainHash::START, line) {
            Ok((body, _)) => (body, true),
            Err(_) => (chain::body_of(line).unwrap_or_default(), false),
        };
        let unread = |what: String| Error::WrongFile { path: path.to_owned(), wanted: NAME, what };
        let not_told = || {
            unread("its first line is damaged, so nothing tells what it is of; keep it".to_owned())
        };
        let header: RescueHeaderLine = core::str::from_utf8(body)
            .ok()
            .and_then(|body| ron::from_str(body).ok())
            .ok_or_else(not_told)?;
        if header.saved > MOST_FACTS {
            return Err(not_told());
        }
        if header.rescue != FORMAT {
            let (format, known) = (header.rescue, FORMAT);
            return Err(Error::NewerFormat { path: path.to_owned(), format, known });
        }
        let about = Self {
            kind: header.kind,
            path: PathBuf::from(header.path),
            title: header.title,
            saved: header.saved,
            saved_hash: header.saved_hash,
            begun: header.begun.parse().map_err(|_| not_told())?,
            hand: header.hand,
        };
        Ok((about, whole))
    }
}

/// A rescue file, read.
#[derive(Clone, Debug)]
pub struct Rescue<B> {
    /// What it says of itself.
    pub about: About,
    /// The facts that were on disk when it was begun: all of them, or none where there was no room.
    pub known: Vec<Fact<B>>,
    /// The facts that waited, in order, as far as they verify.
    pub waiting: Vec<Fact<B>>,
    /// The hash of each of their lines.
    pub(super) hashes: Vec<ChainHash>,
    /// What of it cannot be read, in words.
    pub damage: Option<String>,
}

/// The header of a rescue file.
///
/// # Errors
/// [`Error::Io`]; [`Error::WrongFile`] when the header cannot be read; [`Error::NewerFormat`].
pub fn about(path: &Path, disk: &dyn Disk) -> Result<About, Error> {
    let bytes = bytes_of(path, disk)?;
    About::of_line(path, lines(&bytes).next().unwrap_or_default()).map(|(about, _)| about)
}

/// Reads a rescue file of one kind.
///
/// # Errors
/// As [`about`]. Damage behind the header is no error: what verifies is there, and
/// [`Rescue::damage`] says what does not.
pub fn read<B: LineFormat>(path: &Path, disk: &dyn Disk) -> Result<Rescue<B>, Error> {
    let bytes = bytes_of(path, disk)?;
    let mut all = lines(&bytes);
    let (about, header_whole) = About::of_line(path, all.next().unwrap_or_default())?;
    if about.kind != B::FILE {
        let what = format!("its facts are of a {}", crate::shown::one_line(&about.kind));
        return Err(Error::WrongFile { path: path.to_owned(), wanted: B::FILE, what });
    }
    let rest: Vec<&[u8]> = all.collect();
    let saved_hash = ChainHash::read(&about.saved_hash);
    let follows =
        |line: &&[u8]| saved_hash.is_some_and(|saved| chain::follow(&saved, line).is_ok());
    let first = rest.iter().position(follows);
    let (before, behind) = rest.split_at(first.unwrap_or(rest.len()));
    let mut rescue = Rescue {
        known: known(path, before, about.saved),
        about,
        waiting: Vec::new(),
        hashes: Vec::new(),
        damage: (!header_whole).then(|| "its first line is damaged".to_owned()),
    };
    let mut hash = saved_hash.unwrap_or(ChainHash::START);
    for (line, seq) in behind.iter().zip(rescue.about.saved + 1..) {
        match fact_of(&hash, line, seq) {
            Some((fact, next)) => {
                rescue.waiting.push(fact);
                rescue.hashes.push(next);
                hash = next;
            }
            None => break,
        }
    }
    let read = rescue.waiting.len();
    if read < behind.len() {
        let number = before.len() + read + 2;
        let last = read + 1 == behind.len() && !bytes.ends_with(b"\n");
        rescue.damage = Some(if last {
            format!("its last line, {number}, is not whole: the program ended while writing it")
        } else {
            format!("it is damaged from line {number} on; what stands there cannot be read")
        });
    } else if first.is_none() {
        rescue.damage =
            Some("none of its lines goes on from the line that its header names".to_owned());
    }
    Ok(rescue)
}

/// The facts on disk when it was begun, if every one of them is there and verifies.
fn known<B: LineFormat>(path: &Path, lines: &[&[u8]], saved: Seq) -> Vec<Fact<B>> {
    let mut bytes = lines.join(&b'\n');
    bytes.push(b'\n');
    let scan = scan_facts::<B>(path, &bytes[..]).ok();
    let whole = scan.filter(|scan| scan.end == End::Clean && scan.facts.len() as Seq == saved);
    whole.map(|scan| scan.facts).unwrap_or_default()
}

fn fact_of<B: LineFormat>(
    previous: &ChainHash,
    line: &[u8],
    seq: Seq,
) -> Option<(Fact<B>, ChainHash)> {
    let (body, hash) = chain::follow(previous, line).ok()?;
    // The latest format has words for all that an earlier one says.
    let fact = B::read(core::str::from_utf8(body).ok()?, B::FORMAT).ok()?;
    (fact.seq == seq).then_some((fact, hash))
}

fn bytes_of(path: &Path, disk: &dyn Disk) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    disk.open_read(path)
        .and_then(|file| file.take(LARGEST_FILE).read_to_end(&mut bytes))
        .map_err(|why| Error::io("read", path, why))?;
    Ok(bytes)
}

/// Lines without their LF. The last may lack it.
fn lines(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    let bytes = bytes.strip_suffix(b"\n").unwrap_or(bytes);
    bytes.split(|&byte| byte == b'\n')
}

/// Whether a name is a rescue file's.
pub(super) fn is_named_so(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == RESCUE_EXTENSION)
}
