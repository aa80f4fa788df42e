//! What ledger files said when they were read before, so that the ledger of many years is not worked through anew for
//! each opening of its shop.
//!
//! Nothing is taken unread: all bytes of a file, as far as it was read before, must have the SHA-256 that they had then,
//! for the same bytes say the same; what stands behind them is read as ever, on the same chain. Only files that were
//! whole are known, and those of no name that is text are not.

use std::borrow::Cow;
use std::collections::HashMap;
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
use crate::journal::JournalBody;
use crate::stamp::Stamp;

/// Files of a ledger as they are known.
#[derive(Default)]
pub(crate) struct KnownLedgers<'a> {
    files: Vec<KnownFile<'a>>,
    /// Whether there is so much to know, or to forget, that it is worth keeping anew.
    is_news: bool,
}

/// So many lines are worked through in a few milliseconds: who opens a shop does not wait for them to be kept.
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

    /// What is known now instead; `learnt`: whether that is more of any file.
    pub(super) fn become_known(&mut self, files: Vec<KnownFile<'a>>, learnt: bool) {
        self.is_news = learnt || files.len() < self.files.len();
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
    /// Its [entries](KnownEntry), one behind the other, those of one session together.
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
        let read = ReadTo::nothing::<JournalBody<LedgerEntry>>();
        Self { read, hashes: Vec::new(), others: Vec::new() }
    }
}

/// What was read of a file behind what was known before.
pub(super) struct ReadBehind<'a> {
    /// How far it was read, all told.
    pub(super) read: &'a ReadTo,
    /// Whether that is all of it, and whole.
    pub(super) is_whole: bool,
    /// Of all bytes that were read.
    pub(super) sha256: [u8; 32],
    /// All its facts that are no entries of those that were known before.
    pub(super) facts: &'a [LedgerFact],
    /// The entries among them.
    pub(super) entries: &'a [Fact<LedgerEntry>],
}

impl<'a> KnownFile<'a> {
    /// What is worth knowing of a file that was known so far `before` and read on, and whether that is more.
    pub(super) fn after(
        before: Option<Self>,
        path: &Path,
        behind: &ReadBehind<'_>,
    ) -> Option<(Self, bool)> {
        // Its beginning is what it was, however it goes on.
        let few = behind.entries.len() <= FEW_LINES || !behind.is_whole;
        match before {
            Some(before) if few => Some((before, false)),
            _ if few => None,
            before => Some((Self::of(before, path, behind)?, true)),
        }
    }

    fn of(before: Option<Self>, path: &Path, behind: &ReadBehind<'_>) -> Option<Self> {
        let ReadBehind { read, sha256, facts, entries, .. } = behind;
        let ReadTo { lines, length, last_hash, format } = read;
        let mut grouped = Grouped::default();
        for (entry, bytes) in before.iter().flat_map(Self::each) {
            grouped.add(entry?.session, bytes);
        }
        for entry in *entries {
            grouped.add(&entry.body.session, &KnownEntry::written(entry)?);
        }
        let is_entry = |seq: &Seq| entries.binary_search_by_key(seq, |entry| entry.seq).is_ok();
        let others = facts.iter().map(|fact| fact.seq).filter(|seq| !is_entry(seq)).collect();
        Some(Self {
            name: path.file_name()?.to_str()?.to_owned().into(),
            lines: *lines,
            length: *length,
            sha256: *sha256,
            last_hash: last_hash.digest(),
            format: *format,
            others,
            entries: grouped.all().into(),
        })
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
        let wants = |number| self.others.binary_search(&number).is_ok();
        let found = lines_again(path, bytes.by_ref().take(length), &read, wants)?;
        let found = found.filter(|_| bytes.sha256() == self.sha256);
        Ok(found.map(|LinesAgain { hashes, facts: others }| Again { read, hashes, others }))
    }

    /// Whether it has an entry or another fact for each line, and a first one: else it is not what was kept.
    pub(super) fn is_of_each_line(&self, entries: usize) -> bool {
        let lines = self.others.len().checked_add(entries);
        lines.is_some_and(|lines| lines as Seq == self.lines) && self.others.first() == Some(&1)
    }

    /// Each of its entries; `None` from where one cannot be read: then it is not what was kept.
    pub(super) fn entries(&self) -> impl Iterator<Item = Option<KnownEntry<'_>>> {
        self.each().map(|(entry, _)| entry)
    }

    /// The same with the bytes that each is kept in.
    fn each(&self) -> impl Iterator<Item = (Option<KnownEntry<'_>>, &[u8])> {
        let mut left: &[u8] = &self.entries;
        core::iter::from_fn(move || {
            if left.is_empty() {
                return None;
            }
            let (entry, behind) = postcard::take_from_bytes(left).ok().unzip();
            let behind: &[u8] = behind.unwrap_or_default();
            let bytes = left.get(..left.len().saturating_sub(behind.len())).unwrap_or_default();
            left = behind;
            Some((entry, bytes))
        })
    }
}

/// Entries as they are kept: those of one session together, in order, sessions in the order of their first.
#[derive(Default)]
struct Grouped {
    sessions: Vec<Vec<u8>>,
    places: HashMap<String, usize>,
}

impl Grouped {
    fn add(&mut self, session: &str, entry: &[u8]) {
        let place = self.places.get(session).copied().unwrap_or_else(|| {
            self.places.insert(session.to_owned(), self.sessions.len());
            self.sessions.push(Vec::new());
            self.sessions.len() - 1
        });
        if let Some(session) = self.sessions.get_mut(place) {
            session.extend_from_slice(entry);
        }
    }

    fn all(self) -> Vec<u8> {
        self.sessions.concat()
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
    fn written(entry: &Fact<LedgerEntry>) -> Option<Vec<u8>> {
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
        postcard::to_stdvec(&kept).ok()
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
pub(crate) mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::fs;

    use super::super::{Ledger, LedgerAbout, LedgerHeader, NotedSession, SigningKind};
    use super::*;
    use crate::fact::{Continued, FileMark};
    use crate::file::{LineFormat as _, RealDisk, chain};
    use crate::journal::{FIRST_FORMAT, LATEST_FORMAT};

    pub(crate) const FILE: &str = "2026.samepoint-ledger";

    fn at(line: Seq) -> Stamp {
        Stamp::at(1_764_000_000_000 + i64::try_from(line).unwrap(), 3600).unwrap()
    }

    /// A ledger of so many lines: signatures, countersignatures and returns of sessions by turns, and a note of the
    /// program's own.
    pub(crate) fn ledger_of(lines: Seq) -> Vec<u8> {
        ledger_by(LATEST_FORMAT, lines, None)
    }

    /// The same in a format, begun behind another file.
    fn ledger_by(format: u32, lines: Seq, continues: Option<Continued>) -> Vec<u8> {
        let name = if continues.is_none() { "0a".repeat(16) } else { "0b".repeat(16) };
        let (program, about) = ("samepoint 0.1.0".into(), LedgerAbout { year: 2026 });
        let header = LedgerHeader { format, program, name, continues, about };
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
                7 if format > FIRST_FORMAT => JournalBody::Noted(mark.note()),
                _ => JournalBody::Said(LedgerEntry { session, file, line, late: seq % 5 == 0 }),
            };
            let fact = Fact { seq, time: at(2 * seq), hand: "KT".into(), body };
            let (line, next) = chain::line(&hash, &JournalBody::write(&fact, format).unwrap());
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
        let but = |change: fn(&mut KnownFile<'_>)| {
            let mut known: Vec<KnownFile<'_>> = KnownLedgers::read(&kept).files;
            change(&mut known[0]);
            postcard::to_stdvec(&known).unwrap()
        };
        let within_an_entry = but(|known| {
            let length = known.entries.len() - 1;
            known.entries.to_mut().truncate(length);
        });
        let between_two = but(|known| {
            let last = known.each().last().map_or(0, |(_, bytes)| bytes.len());
            let length = known.entries.len() - last;
            known.entries.to_mut().truncate(length);
        });
        let without_header = but(|known| known.others = known.others.split_off(1));
        let of_nothing = but(|known| known.others.clear());
        for cut in [within_an_entry, between_two, without_header, of_nothing] {
            assert_ne!(cut, kept);
            assert_eq!(shop.by(&cut), (said.clone(), Some(kept.clone())), "and is kept no longer");
        }
    }

    /// A ledger that goes on in another file, one of a format that had no notes, a copy, a name that is no text.
    #[test]
    fn each_file_is_known_by_itself() {
        let first = ledger_by(FIRST_FORMAT, LINES, None);
        let shop = InShop::with(&first);
        let at = |name: &str| shop.0.path().join("ledger").join(name);
        let Ledger { files, .. } = Ledger::load(shop.0.path(), &RealDisk);
        let continues = Continued {
            file: FILE.to_owned(),
            session: files[0].header.name.clone(),
            facts: files[0].facts,
            last_hash: files[0].last_hash.to_string(),
        };
        let next = ledger_by(LATEST_FORMAT, 2 * LINES, Some(continues));
        fs::write(at("2027.samepoint-ledger"), &next).unwrap();
        fs::copy(at(FILE), at("2026 (2).samepoint-ledger")).unwrap();
        let (said, kept) = shop.by(&[]);
        let kept = kept.unwrap();
        assert!(said.contains("format: 1") && said.contains("format: 2"));
        assert_eq!(said, shop.whole());
        assert_eq!(shop.by(&kept), (said, None));
        assert_eq!(KnownLedgers::read(&kept).files.len(), 3);
        #[cfg(target_os = "linux")]
        {
            use std::os::unix::ffi::OsStrExt as _;
            let name = std::ffi::OsStr::from_bytes(b"\xff.samepoint-ledger");
            let no_text = shop.0.path().join("ledger").join(name);
            fs::write(&no_text, &next).unwrap();
            assert_eq!(shop.by(&kept), (shop.whole(), None));
            fs::remove_file(no_text).unwrap();
        }
        // One is cut, but for a copy; then that is gone, too, and the next file says so.
        fs::write(at(FILE), &first[..first.len() / 2]).unwrap();
        assert_eq!(shop.by(&kept).0, shop.whole());
        fs::remove_file(at("2026 (2).samepoint-ledger")).unwrap();
        let (said, now) = shop.by(&kept);
        assert!(said.contains("it was cut or written anew"));
        assert_eq!(said, shop.whole());
        assert_eq!(KnownLedgers::read(&now.unwrap()).files.len(), 1);
    }

    /// While the end of a file is missing, its beginning is known as before; nothing is kept anew each time.
    #[test]
    fn a_torn_end_forgets_nothing() {
        let whole = ledger_of(LINES);
        let shop = InShop::with(&whole);
        let kept = shop.by(&[]).1.unwrap();
        let more = ledger_of(LINES + 2 * FEW_LINES as Seq);
        for torn in [&[&whole[..], b"(\"0a"].concat(), &more[..more.len() - 9]] {
            shop.keep(torn);
            assert_eq!(shop.by(&kept), (shop.whole(), None));
        }
        // Of a file that was never whole nothing is kept, time and again.
        assert_eq!(shop.by(&[]), (shop.whole(), None));
    }

    /// A file that cannot be opened for a moment is known again when it can.
    #[test]
    fn what_cannot_be_opened_is_not_forgotten() {
        let shop = InShop::with(&ledger_of(LINES));
        let (said, kept) = shop.by(&[]);
        let kept = kept.unwrap();
        let (file, aside) = (shop.0.path().join("ledger").join(FILE), shop.0.path().join("aside"));
        fs::rename(&file, &aside).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(shop.0.path().join("nowhere"), &file).unwrap();
        #[cfg(unix)]
        {
            let (told, now) = shop.by(&kept);
            assert_eq!((told, now), (shop.whole(), None));
            fs::remove_file(&file).unwrap();
        }
        fs::rename(&aside, &file).unwrap();
        assert_eq!(shop.by(&kept), (said, None));
    }
}
