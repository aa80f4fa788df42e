//! What every kind of file must stand, whatever its lines say: any bit turned, a cut at any byte, lines
//! doubled, taken out or gone on with elsewhere, a format of the future. Each is located, no fact is made
//! up, nothing is called saved and nothing is written.

use std::fmt::Debug;
use std::path::Path;

use record::file::chain::{self, ChainHash};
use record::file::{End, check_chain, scan_facts, write_all_lines};
use record::{
    Access, DamageKind, Error, Fact, FactFile, FileOptions, LineFormat, ReadOnlyReason, SaveState,
};

/// Facts as a whole file holds them.
pub(crate) fn lines_of<B: LineFormat>(facts: &[Fact<B>]) -> Vec<u8> {
    let mut bytes = Vec::new();
    write_all_lines(facts, &mut bytes).unwrap();
    bytes
}

/// A file that is kept for ever: it means what it meant, and would be written the same.
pub(crate) fn reads_for_ever<B: LineFormat + Debug>(
    path: &Path,
    format: u32,
    facts: &[Fact<B>],
    same: impl Fn(&Fact<B>, &Fact<B>) -> bool,
) {
    let told = path.display();
    let kept = std::fs::read(path).unwrap();
    let scan = scan_facts::<B>(path, &kept[..]).unwrap();
    assert_eq!((&scan.end, scan.format), (&End::Clean, format), "{told}");
    assert_eq!(scan.facts.len(), facts.len(), "{told}");
    for (read, made) in scan.facts.iter().zip(facts) {
        assert!(same(read, made), "{told}: {read:?}");
    }
    assert!(lines_of(&scan.facts) == kept, "{told} would be written differently");
}

/// Attacks a file of these facts in every way; panics where one is not found, or not where it is.
pub(crate) fn stands_every_attack<B: LineFormat + Debug>(facts: &[Fact<B>], options: &FileOptions) {
    let whole = lines_of(facts);
    let attacked = Attacked { facts, starts: starts(&whole), whole, options };
    assert!(facts.len() > 3, "too short to be cut in the middle");
    attacked.any_bit_turned();
    attacked.cut_at_any_byte();
    attacked.lines_doubled_and_taken_out();
    attacked.gone_on_with_elsewhere();
    attacked.numbered_twice();
    attacked.of_the_future();
}

/// Where each line of a file begins, and where the file ends.
fn starts(bytes: &[u8]) -> Vec<usize> {
    let ends = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
    std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect()
}

/// The BODY of a line with its LF.
fn body(line: &[u8]) -> &str {
    let text = std::str::from_utf8(line).unwrap();
    &text[68..text.len() - 2]
}

struct Attacked<'a, B> {
    facts: &'a [Fact<B>],
    whole: Vec<u8>,
    starts: Vec<usize>,
    options: &'a FileOptions,
}

impl<B: LineFormat + Debug> Attacked<'_, B> {
    /// A line, from 1, with its LF.
    fn line(&self, number: usize) -> &[u8] {
        &self.whole[self.starts[number - 1]..self.starts[number]]
    }

    /// The lines up to one, and with it.
    fn up_to(&self, number: usize) -> &[u8] {
        &self.whole[..self.starts[number]]
    }

    fn behind(&self, number: usize) -> &[u8] {
        &self.whole[self.starts[number]..]
    }

    /// Damaged at this line; what stands before it is read, and nothing else.
    fn damaged_at(&self, bytes: &[u8], line: usize, what: &str) -> DamageKind {
        match scan_facts::<B>(Path::new("attacked"), bytes) {
            Ok(scan) => {
                let End::Damaged(damage) = scan.end else { panic!("{what}: {:?}", scan.end) };
                assert_eq!(damage.line, line as u64, "{what}: {damage}");
                assert_eq!(scan.facts, self.facts[..line - 1], "{what}");
                damage.kind
            }
            Err(Error::Damaged { damage, .. }) => {
                assert_eq!((damage.line, line), (1, 1), "{what}: {damage}");
                damage.kind
            }
            Err(other) => panic!("{what}: {other}"),
        }
    }

    /// Opened to be written to, it is not, and stays as it is byte for byte.
    fn opens_read_only(&self, bytes: &[u8], what: &str) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("attacked");
        std::fs::write(&path, bytes).unwrap();
        match FactFile::<B>::open(&path, self.options.clone()) {
            Ok(mut file) => {
                let why = match file.access() {
                    Access::ReadOnly(why) => why.clone(),
                    other => panic!("{what}: {other}"),
                };
                let told =
                    matches!(why, ReadOnlyReason::Damaged(_) | ReadOnlyReason::EndMissing(_));
                assert!(told, "{what}: {why}");
                assert!(matches!(file.save_state(), SaveState::ReadOnly), "{what}");
                let more = self.facts.last().unwrap();
                assert!(file.append(more.body.clone(), more.time, "").is_err(), "{what}");
                assert!(file.finish().is_ok(), "{what}");
            }
            Err(Error::Damaged { .. } | Error::WrongFile { .. } | Error::NewerFormat { .. }) => {}
            Err(other) => panic!("{what}: {other}"),
        }
        assert!(std::fs::read(&path).unwrap() == bytes, "{what}: it was written to");
    }

    fn any_bit_turned(&self) {
        let mut bytes = self.whole.clone();
        for at in 0..bytes.len() {
            let line = self.starts.partition_point(|&start| start <= at);
            for bit in 0..8 {
                bytes[at] ^= 1 << bit;
                let what = format!("byte {at}, bit {bit}");
                match check_chain(Path::new("attacked"), &bytes[..]) {
                    Ok((_, End::Damaged(damage))) | Err(Error::Damaged { damage, .. }) => {
                        assert_eq!(damage.line, line as u64, "{what}");
                    }
                    other => panic!("{what}: {other:?}"),
                }
                // What the lines say is asked at one bit of each byte, and the disk now and then.
                if at % 8 == bit {
                    self.damaged_at(&bytes, line, &what);
                }
                if at % 97 == 0 && bit == 2 {
                    self.opens_read_only(&bytes, &what);
                }
                bytes[at] ^= 1 << bit;
            }
        }
    }

    fn cut_at_any_byte(&self) {
        for at in 0..self.whole.len() {
            let cut = &self.whole[..at];
            let what = format!("cut at byte {at}");
            let lines = self.starts.partition_point(|&start| start <= at) - 1;
            let read = scan_facts::<B>(Path::new("attacked"), cut);
            // Where only the LF is missing the line is whole.
            let whole = lines + usize::from(at + 1 == self.starts[lines + 1]);
            if whole == 0 {
                assert!(matches!(read, Err(Error::WrongFile { .. })), "{what}: {read:?}");
                continue;
            }
            let read = read.unwrap();
            assert_eq!(read.facts, self.facts[..whole], "{what}");
            match read.end {
                // Whole lines cut off the end are what no chain shows.
                End::Clean => assert!(whole > lines || at == self.starts[lines], "{what}"),
                End::Missing(end) => {
                    let found = (end.line, end.offset, end.offset + end.bytes);
                    let (line, offset) = (lines as u64 + 1, self.starts[lines] as u64);
                    assert_eq!(found, (line, offset, at as u64), "{what}");
                    if at % 61 == 0 {
                        self.opens_read_only(cut, &what);
                    }
                }
                End::Damaged(damage) => panic!("{what}: {damage}"),
            }
        }
    }

    fn lines_doubled_and_taken_out(&self) {
        let last = self.facts.len();
        for number in 1..=last {
            let what = format!("line {number}");
            let doubled = [self.up_to(number), self.line(number), self.behind(number)].concat();
            self.damaged_at(&doubled, number + 1, &format!("{what} doubled"));
            self.opens_read_only(&doubled, &what);
            if number < last {
                let out = [&self.whole[..self.starts[number - 1]], self.behind(number)].concat();
                self.damaged_at(&out, number, &format!("{what} taken out"));
                let next = number + 1;
                let (before, behind) = (&self.whole[..self.starts[number - 1]], self.behind(next));
                let swapped = [before, self.line(next), self.line(number), behind].concat();
                self.damaged_at(&swapped, number, &format!("{what} behind its next"));
            }
        }
    }

    /// Somebody goes on from a line in the middle, and what stood behind it is put behind that again.
    fn gone_on_with_elsewhere(&self) {
        for number in 2..self.facts.len() {
            let mut hash = ChainHash::START;
            for line in 1..=number {
                hash = chain::line(&hash, body(self.line(line))).1;
            }
            let own = body(self.line(number + 1));
            let other = own.replacen("hand:\"", "hand:\"another ", 1);
            assert_ne!(own, other);
            let (line, _) = chain::line(&hash, &other);
            let forked = [self.up_to(number), &line, self.behind(number)].concat();
            let what = format!("forked at line {number}");
            let read = scan_facts::<B>(Path::new("attacked"), &forked[..]).unwrap();
            let End::Damaged(damage) = read.end else { panic!("{what}: {:?}", read.end) };
            assert_eq!(damage.line, number as u64 + 2, "{what}: {damage}");
            assert_eq!(read.facts[..number], self.facts[..number], "{what}");
            self.opens_read_only(&forked, &what);
        }
    }

    /// A line once more, chained as if it belonged there: its number tells.
    fn numbered_twice(&self) {
        let mut hash = ChainHash::START;
        let mut bytes = Vec::new();
        for number in 1..=self.facts.len() {
            let (line, next) = chain::line(&hash, body(self.line(number)));
            bytes.extend_from_slice(&line);
            hash = next;
            if number > 1 {
                let again = chain::line(&hash, body(self.line(number))).0;
                let kind = self.damaged_at(&[&bytes[..], &again].concat(), number + 1, "again");
                assert_eq!(kind, DamageKind::OutOfSequence { found: number as u64 });
            }
        }
        let header = chain::line(&hash, body(self.line(1))).0;
        let kind = self.damaged_at(&[&bytes[..], &header].concat(), self.facts.len() + 1, "header");
        assert!(matches!(kind, DamageKind::NotAFact { .. }), "{kind:?}");
    }

    fn of_the_future(&self) {
        let own = body(self.line(1));
        let format = self.facts[0].body.format();
        let began = |format: u32| {
            let told = own.replacen(
                &format!("(format:{}", self.facts[0].body.format()),
                &format!("(format:{format}"),
                1,
            );
            chain::line(&ChainHash::START, &told).0
        };
        assert_eq!(began(format), self.line(1), "the header says its format first");
        for future in [B::FORMAT + 1, 77, u32::MAX] {
            let newer = began(future);
            let refused = scan_facts::<B>(Path::new("attacked"), &newer[..]).unwrap_err();
            assert!(
                matches!(refused, Error::NewerFormat { format, known, .. }
                    if format == future && known == B::FORMAT),
                "{refused}"
            );
            self.opens_read_only(&newer, "a newer format");
        }
        self.damaged_at(&began(0), 1, "format 0");
        // A word that no format knows, in a line that is whole.
        let mut hash = ChainHash::START;
        for number in 1..=self.facts.len() {
            hash = chain::line(&hash, body(self.line(number))).1;
        }
        let seq = self.facts.len() + 1;
        let time = "2026-11-25T09:00:00.000+00:00";
        let strange = format!(r#"(seq:{seq},time:"{time}",hand:"",what:foreseen("all is well"))"#);
        let bytes = [&self.whole[..], &chain::line(&hash, &strange).0].concat();
        let kind = self.damaged_at(&bytes, seq, "a word of the future");
        assert!(matches!(kind, DamageKind::NotAFact { .. }), "{kind:?}");
        self.opens_read_only(&bytes, "a word of the future");
    }
}
