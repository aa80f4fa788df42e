//! What ledger files said when they were read before, so that the ledger of many years is not worked through anew for
//! each opening of its shop.
//!
//! Nothing is taken unread: all bytes of a file, as far as it was read before, must have the SHA-256 that they had then,
//! for the same bytes say the same; what stands behind them is read as ever, on the same chain. Only files that were
//! whole are known, and those of no name that is text are not.

use std::borrow::Cow;
use std::io::{self, Read};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::wire::KindWords;
use super::{LedgerEntry, LedgerFact, SigningLine};
use crate::fact::{Fact, Seq};
use crate::file::chain::ChainHash;
use crate::file::hashed::Hashed;
use crate::file::scan::{LinesAgain, ReadTo, lines_again};
use crate::file::v1::wire::Wire as _;
use crate::stamp::Stamp;

/// Files of a ledger as they are known.
#[derive(Default)]
pub(crate) struct KnownLedgers<'a> {
    files: Vec<KnownFile<'a>>,
    /// Whether so much was read whole, or gone, that it is worth keeping anew.
    is_news: bool,
}

/// So many lines are read whole in a few milliseconds.
const FEW_LINES: usize = 500;

impl<'a> KnownLedgers<'a> {
    /// From what was [kept](Self::kept). Of what was not, nothing is known.
    pub(crate) fn read(kept: &'a [u8]) -> Self {
        let files = postcard::from_bytes(kept).unwrap_or_default();
        Self { files, is_news: false }
    }

    /// To be kept; `None` where nearly all of it is.
    pub(crate) fn kept(&self) -> Option<Vec<u8>> {
        self.is_news.then(|| postcard::to_stdvec(&self.files).ok())?
    }

    /// The file of this name, as it was.
    pub(super) fn file(&self, path: &Path) -> Option<&KnownFile<'a>> {
        self.files.iter().find(|known| path.file_name() == Some(known.name.as_ref().as_ref()))
    }

    /// What is known now instead.
    pub(super) fn become_known(&mut self, files: Vec<KnownFile<'a>>, read_whole: usize) {
        self.is_news = read_whole > FEW_LINES || files.len() < self.files.len();
        self.files = files;
    }
}

/// A file that was whole when it was read.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub(super) struct KnownFile<'a> {
    #[serde(borrow)]
    name: Cow<'a, str>,
    lines: Seq,
    length: u64,
    /// Of all its bytes.
    sha256: [u8; 32],
    last_hash: [u8; 32],
    format: u32,
    /// The numbers of its lines that are no entries: they are few, and read again.
    others: Vec<Seq>,
    /// Its [entries](KnownEntry), one behind the other.
    #[serde(borrow)]
    entries: Cow<'a, [u8]>,
}

/// What a file that is known tells when it is read again.
pub(super) struct Again {
    pub(super) read: ReadTo,
    /// The hash of each line.
    pub(super) hashes: Vec<ChainHash>,
    /// The facts that are no entries.
    pub(super) others: Vec<LedgerFact>,
}

impl Again {
    /// Of a file of which nothing is known.
    pub(super) const fn nothing() -> Self {
        let read = ReadTo::nothing::<crate::journal::JournalBody<LedgerEntry>>();
        Self { read, hashes: Vec::new(), others: Vec::new() }
    }
}

impl<'a> KnownFile<'a> {
    /// A file that was read to a line that is its last, and whole. `entries`: behind those that were known `before`.
    pub(super) fn of(
        path: &Path,
        read: &ReadTo,
        sha256: [u8; 32],
        others: Vec<Seq>,
        before: Option<Self>,
        entries: &[Fact<LedgerEntry>],
    ) -> Option<Self> {
        let name = path.file_name()?.to_str()?.to_owned().into();
        let ReadTo { lines, length, last_hash, format } = read;
        let mut all = before.map(|before| before.entries).unwrap_or_default();
        for entry in entries {
            KnownEntry::write(entry, all.to_mut())?;
        }
        let (last_hash, entries) = (last_hash.digest(), all);
        let (lines, length, format) = (*lines, *length, *format);
        Some(Self { name, lines, length, sha256, last_hash, format, others, entries })
    }

    /// Reads it again, as far as it was read before; `None` where that is other bytes now, or fewer.
    ///
    /// # Errors
    /// As the system says.
    pub(super) fn again(
        &self,
        path: &Path,
        bytes: &mut Hashed<impl Read>,
    ) -> io::Result<Option<Again>> {
        let last_hash = ChainHash::of_digest(self.last_hash);
        let Self { lines, length, format, .. } = *self;
        let read = ReadTo { lines, length, last_hash, format };
        let wants = |number| self.others.contains(&number);
        let found = lines_again(path, bytes.by_ref().take(length), &read, wants)?;
        let found = found.filter(|_| bytes.sha256() == self.sha256);
        Ok(found.map(|LinesAgain { hashes, facts: others }| Again { read, hashes, others }))
    }

    /// Each of its entries in order, and when it was noted; `None` from where it cannot be read: then it is not what was
    /// kept.
    pub(super) fn entries(&self) -> impl Iterator<Item = Option<KnownEntry<'_>>> {
        let mut left: &[u8] = &self.entries;
        core::iter::from_fn(move || {
            if left.is_empty() {
                return None;
            }
            let (entry, behind) = postcard::take_from_bytes(left).ok().unzip();
            left = behind.unwrap_or_default();
            Some(entry)
        })
    }
}

/// An entry as it is kept.
#[derive(Debug, Deserialize, Serialize)]
pub(super) struct KnownEntry<'a> {
    /// The session's own name.
    pub(super) session: &'a str,
    /// The name its file had.
    pub(super) file: &'a str,
    hash: &'a [u8],
    seq: Seq,
    kind: KindWords,
    time: (i64, i32),
    hand: &'a str,
    late: bool,
    at: (i64, i32),
}

impl KnownEntry<'_> {
    fn write(entry: &Fact<LedgerEntry>, to: &mut Vec<u8>) -> Option<()> {
        let Fact { time: at, body: LedgerEntry { session, file, line, late }, .. } = entry;
        let SigningLine { seq, hash, kind, time, hand } = line;
        let time_of = |time: &Stamp| (time.unix_milliseconds(), time.offset_seconds());
        let kept = KnownEntry {
            session,
            file,
            hash: &hash.digest(),
            seq: *seq,
            kind: KindWords::write(kind),
            time: time_of(time),
            hand,
            late: *late,
            at: time_of(at),
        };
        to.extend(postcard::to_stdvec(&kept).ok()?);
        Some(())
    }

    /// The line, whether it was noted late, and when.
    pub(super) fn line(&self) -> Option<(SigningLine, bool, Stamp)> {
        let time_of = |(milliseconds, offset)| Stamp::at(milliseconds, offset);
        let line = SigningLine {
            seq: self.seq,
            hash: ChainHash::of_digest(self.hash.try_into().ok()?),
            kind: self.kind.clone().read().ok()?,
            time: time_of(self.time)?,
            hand: self.hand.into(),
        };
        Some((line, self.late, time_of(self.at)?))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::fs;

    use super::super::{Ledger, LedgerAbout, LedgerHeader, NotedSession, SigningKind};
    use super::*;
    use crate::fact::FileMark;
    use crate::file::{LineFormat as _, RealDisk, chain};
    use crate::journal::{JournalBody, LATEST_FORMAT};

    const FILE: &str = "2026.samepoint-ledger";

    fn at(line: Seq) -> Stamp {
        Stamp::at(1_764_000_000_000 + i64::try_from(line).unwrap(), 3600).unwrap()
    }

    /// A ledger of so many lines, signatures and countersignatures of sessions by turns.
    fn ledger_of(lines: Seq) -> Vec<u8> {
        let header = LedgerHeader {
            format: LATEST_FORMAT,
            program: "samepoint 0.1.0".into(),
            name: "00112233445566778899aabbccddeeff".into(),
            continues: None,
            about: LedgerAbout { year: 2026 },
        };
        let (file, why) = ("2025.samepoint-ledger".to_owned(), "its end is missing".to_owned());
        let mark = FileMark::BegunBeside { file, why };
        let (mut bytes, mut hash) = (Vec::new(), ChainHash::START);
        for seq in 1..=lines {
            let (session, kind) = match seq % 3 {
                0 => (seq / 3, SigningKind::Signed),
                1 => (seq / 3, SigningKind::Countersigned),
                _ => (seq / 7, SigningKind::Returned),
            };
            let line = SigningLine {
                seq: seq + 9,
                hash: ChainHash::START.next(&seq.to_le_bytes()),
                kind,
                time: at(seq),
                hand: "KT".into(),
            };
            let (session, file) =
                (format!("{session:032x}").into(), format!("{session}.samepoint").into());
            let body = match seq {
                1 => JournalBody::Header(header.clone()),
                7 => JournalBody::Noted(mark.note()),
                _ => JournalBody::Said(LedgerEntry { session, file, line, late: seq % 5 == 0 }),
            };
            let fact = Fact { seq, time: at(2 * seq), hand: "KT".into(), body };
            let (line, next) =
                chain::line(&hash, &JournalBody::write(&fact, LATEST_FORMAT).unwrap());
            bytes.extend(line);
            hash = next;
        }
        bytes
    }

    struct InShop(tempfile::TempDir);

    impl InShop {
        fn with(ledger: &[u8]) -> Self {
            let shop = Self(tempfile::tempdir().unwrap());
            fs::create_dir(shop.0.path().join("ledger")).unwrap();
            shop.keep(ledger);
            shop
        }

        fn keep(&self, ledger: &[u8]) {
            fs::write(self.0.path().join("ledger").join(FILE), ledger).unwrap();
        }

        /// What the ledger says by what is kept, and what would be kept instead.
        fn by(&self, kept: &[u8]) -> (String, Option<Vec<u8>>) {
            let mut known = KnownLedgers::read(kept);
            let ledger = Ledger::load_knowing(self.0.path(), &RealDisk, &mut known);
            (told(&ledger), known.kept())
        }

        fn whole(&self) -> String {
            told(&Ledger::load(self.0.path(), &RealDisk))
        }
    }

    /// All that a ledger says.
    fn told(ledger: &Ledger) -> String {
        let sessions = ledger.sessions().map(|NotedSession { noted, .. }| format!("{noted:?}\n"));
        let sessions: String = sessions.collect();
        format!("{sessions}{:?} {:?} {:?}", ledger.files, ledger.skipped, ledger.troubles())
    }

    const LINES: Seq = 600;

    #[test]
    fn what_is_known_is_not_worked_through_again() {
        let all = ledger_of(LINES + 2 * FEW_LINES as Seq);
        let few = ledger_of(LINES);
        assert!(all.starts_with(&few));
        let shop = InShop::with(&few);
        let (said, kept) = shop.by(&[]);
        assert_eq!(said, shop.whole());
        let kept = kept.unwrap();
        assert_eq!(shop.by(&kept), (said.clone(), None), "nothing is new");
        // That it was taken from there shows in a hand that is another one there.
        let mut other = kept.clone();
        let place = kept.windows(2).rposition(|two| two == b"KT").unwrap();
        other[place..place + 2].copy_from_slice(b"RB");
        let (of_other, _) = shop.by(&other);
        assert_eq!(of_other.matches("RB").count(), 1);
        assert_eq!(of_other.replace("RB", "KT"), said);
        // Some lines more are read, and more of them are worth keeping.
        let line_ends = |lines: usize| {
            let mut ends = all.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
            ends.nth(lines - 1).unwrap().0 + 1
        };
        for (more, is_news) in [(1, false), (FEW_LINES, false), (FEW_LINES + 1, true)] {
            let lines = usize::try_from(LINES).unwrap() + more;
            shop.keep(&all[..line_ends(lines)]);
            let (said, kept) = shop.by(&kept);
            assert_eq!(said, shop.whole(), "{more} lines more");
            assert_eq!(kept.is_some(), is_news, "{more} lines more");
            if let Some(kept) = kept {
                assert_eq!(shop.by(&kept), (said, None));
                assert_eq!(KnownLedgers::read(&kept).files[0].lines, lines as Seq);
            }
        }
        fs::remove_file(shop.0.path().join("ledger").join(FILE)).unwrap();
        let (said, kept) = shop.by(&kept);
        assert_eq!(
            (said, kept.unwrap().len()),
            (shop.whole(), 1),
            "a file that is gone is forgotten"
        );
    }

    /// Whatever became of the file since, the ledger says what it says to somebody who knows nothing.
    #[test]
    fn other_bytes_are_read_as_ever() {
        let whole = ledger_of(LINES);
        let shop = InShop::with(&whole);
        let (_, kept) = shop.by(&[]);
        let kept = kept.unwrap();
        let (before, mut other) = (shop.whole(), 0);
        let mut is = |bytes: &[u8], why: &str| {
            shop.keep(bytes);
            let (said, _) = shop.by(&kept);
            assert_eq!(said, shop.whole(), "{why}");
            other += usize::from(said != before);
        };
        let len = whole.len();
        for place in (0..len).step_by(2999).chain([1, len - 2, len - 1]) {
            let mut flipped = whole.clone();
            flipped[place] ^= 1;
            is(&flipped, "a bit is another");
            is(&whole[..place], "cut");
            is(&[&whole[..place], &whole[place..], b"(\"0a"].concat(), "torn");
            is(&[&whole[..place], b"\n", &whole[place..]].concat(), "a line end more");
        }
        is(&String::from_utf8(whole.clone()).unwrap().replace('\n', "\r\n").into_bytes(), "CRLF");
        is(&[&whole[..], &[0; 400]].concat(), "a hole");
        let more = ledger_of(LINES + 3);
        is(&more[..more.len() - 1], "more, without a line end");
        let mut flipped = more.clone();
        flipped[len + 80] ^= 1;
        is(&flipped, "a bit of what is more");
        assert!(other > 250, "nearly all of it shows: {other}");
    }

    /// What was kept is of no use where it was cut, and is not trusted to be in order.
    #[test]
    fn what_is_kept_may_be_anything() {
        let shop = InShop::with(&ledger_of(LINES));
        let (said, kept) = shop.by(&[]);
        let kept = kept.unwrap();
        for place in (0..kept.len()).step_by(997) {
            assert_eq!(shop.by(&kept[..place]).0, said, "cut at {place}");
            for bit in 0..8 {
                let mut flipped = kept.clone();
                flipped[place] ^= 1 << bit;
                let _ = shop.by(&flipped);
            }
        }
        let mut known: Vec<KnownFile<'_>> = KnownLedgers::read(&kept).files;
        known[0].entries.to_mut().pop();
        let cut = postcard::to_stdvec(&known).unwrap();
        assert_eq!(shop.by(&cut).0, said);
    }
}
