//! Files that are not as we wrote them: line ends rewritten, newer formats, endless lines, words
//! that no format knows, and very large ones. Each is named as what it is.

use std::fs;
use std::io::{self, Read, Write};
use std::path::Path;

use record::file::chain::{self, ChainHash};
use record::file::{End, LONGEST_LINE, scan};
use record::{Access, Body, DamageKind, Error, Note, ReadOnlyReason, SessionFile};

use crate::flips::lines_of;
use crate::power::script;
use crate::support::*;

/// A file of the script with one more line, whose hash is right whatever it says.
fn with_line(body: &str) -> Vec<u8> {
    let whole = lines_of(&script());
    let last = scan(Path::new("a"), &whole[..]).unwrap().last_hash;
    [whole, chain::line(&last, body).0].concat()
}

fn damage(bytes: &[u8]) -> record::Damage {
    match scan(Path::new("a"), bytes).unwrap().end {
        End::Damaged(damage) => damage,
        other => panic!("{other:?}"),
    }
}

#[test]
fn line_ends_rewritten_by_a_mail_program_are_named_and_all_facts_read() {
    let text = String::from_utf8(lines_of(&script())).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mailed.samepoint");
    let mailed = text.replace('\n', "\r\n");
    fs::write(&path, &mailed).unwrap();
    let file = SessionFile::open(&path, real()).unwrap();
    let Access::ReadOnly(ReadOnlyReason::Damaged(damage)) = file.access() else {
        panic!("{}", file.access());
    };
    assert_eq!((damage.line, &damage.kind), (1, &DamageKind::LineEndsRewritten));
    assert!(file.access().to_string().contains("mail program"));
    assert_eq!(file.facts(), script(), "what it says is all there");
    assert_eq!(fs::read(&path).unwrap(), mailed.as_bytes(), "and left alone");
    let next = folder.path().join("next.samepoint");
    let mut next = file.continue_in(&next, "samepoint 0.1.0", HAND, real()).unwrap();
    assert_eq!(next.facts()[1..], script()[1..]);
    next.finish().unwrap();
}

#[test]
fn lone_carriage_returns_are_named_too() {
    let text = String::from_utf8(lines_of(&script())).unwrap().replace('\n', "\r");
    match scan(Path::new("a"), text.as_bytes()) {
        Err(Error::Damaged { damage, .. }) => {
            assert_eq!(damage.kind, DamageKind::LineEndsRewritten);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_newer_format_is_refused_by_its_number() {
    let body = "(format:3,wholly:[\"new\"],words:Some(Thing(1,2)),seq:1)";
    let (line, _) = chain::line(&ChainHash::START, body);
    let refused = scan(Path::new("a.samepoint"), &line[..]);
    assert!(matches!(refused, Err(Error::NewerFormat { format: 3, known: 2, .. })), "{refused:?}");
    let words = refused.unwrap_err().to_string();
    assert!(words.contains("format 3") && words.contains("newer samepoint"), "{words}");
}

#[test]
fn what_is_no_session_is_refused_and_left_alone() {
    for bytes in [&b""[..], b"hello\n", b"\x89PNG\r\n\x1a\n\0\0", &[0; 4096], b"(\"", b"\n\n\n"] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.samepoint");
        fs::write(&path, bytes).unwrap();
        let refused = SessionFile::open(&path, real());
        let said = matches!(refused, Err(Error::WrongFile { .. } | Error::Damaged { .. }));
        assert!(said, "{bytes:?}: {refused:?}");
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
    let folder = tempfile::tempdir().unwrap();
    for (missing, doing) in [("none.samepoint", "open"), ("", "open")] {
        let refused = SessionFile::open(&folder.path().join(missing), real());
        assert!(matches!(refused, Ok(_) | Err(Error::Io { .. })), "{doing}: {refused:?}");
        assert!(refused.is_err());
    }
}

#[test]
fn whole_lines_that_say_what_no_fact_says_are_located_with_the_field() {
    let said = |what: &str| {
        format!("(seq:11,time:\"2026-11-25T09:00:00.000+00:00\",hand:\"h\",what:{what})")
    };
    let signed = |number: &str| {
        said(&format!(
            "signed((round:7,verdict:pass,rule:simple,program:\"p\",window:None,station:None,\
             rests_on:[],numbers:[(name:\"n\",value:{number})],statement:\"\"))"
        ))
    };
    let good = signed("1.5");
    assert_eq!(scan(Path::new("a"), &with_line(&good)[..]).unwrap().facts.len(), 11);
    for (body, evidence) in [
        (signed("NaN"), "numbers.value: NaN"),
        (signed("inf"), "numbers.value: inf"),
        (signed("1e999"), "numbers.value: inf"),
        (said("undone(3)"), "undone"),
        (good.replace("verdict:pass", "verdict:perhaps"), "perhaps"),
        (good.replace("statement:", "sentiment:"), "sentiment"),
        (good.replace("09:00:00.000+00:00", "09:00:00"), "time"),
        (good.replace("hand:\"h\",", ""), "hand"),
        ("(".repeat(100_000), ""),
        ("\u{feff}".to_owned(), ""),
    ] {
        let damage = damage(&with_line(&body));
        assert_eq!(damage.line, 11, "{body:.80}");
        let DamageKind::NotAFact { what } = &damage.kind else { panic!("{damage}") };
        assert!(what.to_string().contains(evidence), "{what}");
    }
    let misnumbered = damage(&with_line(&good.replace("seq:11", "seq:12")));
    assert_eq!(misnumbered.kind, DamageKind::OutOfSequence { found: 12 });
    let header_again = damage(&with_line("(format:1,seq:11)"));
    assert!(matches!(header_again.kind, DamageKind::NotAFact { .. }));
}

#[test]
fn a_line_may_have_a_mebibyte_and_no_more() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    let note = |length| Body::Note(Note { text: "a".repeat(length), about: None });
    let Err(Error::FactTooLong { bytes, limit }) = file.append(note(LONGEST_LINE), stamp(1), HAND)
    else {
        panic!("too long");
    };
    let around = bytes - LONGEST_LINE;
    assert_eq!(limit, 1024 * 1024);
    assert_eq!(file.append(note(LONGEST_LINE - around), stamp(1), HAND).unwrap(), 2);
    assert!(file.append(note(LONGEST_LINE - around + 1), stamp(1), HAND).is_err());
    file.append(note(3), stamp(1), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    let mut bytes = fs::read(&path).unwrap();
    assert_eq!(scan(&path, &bytes[..]).unwrap().facts.len(), 3, "the longest line reads");
    // A longer one is refused before it is looked into.
    let last = scan(&path, &bytes[..]).unwrap().last_hash;
    bytes.extend(chain::line(&last, &"b".repeat(LONGEST_LINE)).0);
    let damage = damage(&bytes);
    assert_eq!((damage.line, damage.kind), (4, DamageKind::TooLong));
}

/// Counts what is read from it.
struct Counted<R>(R, usize);

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.0.read(buffer)?;
        self.1 += count;
        Ok(count)
    }
}

#[test]
fn a_line_without_end_is_given_up_after_a_mebibyte() {
    let whole = lines_of(&script());
    let mut endless = Counted(whole.chain(io::repeat(b'x')), 0);
    let scanned = scan(Path::new("a"), &mut endless).unwrap();
    assert_eq!(scanned.facts.len(), 10);
    let End::Damaged(damage) = scanned.end else { panic!("{:?}", scanned.end) };
    assert_eq!((damage.line, damage.kind), (11, DamageKind::TooLong));
    assert!(endless.1 < 2 * LONGEST_LINE, "{} bytes read", endless.1);
}

#[test]
fn a_file_of_100_megabytes_opens_and_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.samepoint");
    let mut to = io::BufWriter::new(fs::File::create(&path).unwrap());
    to.write_all(&lines_of(&script())).unwrap();
    let mut hash = scan(Path::new("a"), &lines_of(&script())[..]).unwrap().last_hash;
    let text = "a long remark, ".repeat(60_000);
    let mut count = 10_usize;
    let mut length = 0;
    while length < 100_000_000 {
        count += 1;
        let body = format!(
            "(seq:{count},time:\"2026-11-25T10:00:00.000+00:00\",hand:\"h\",what:note((text:\"{text}\",about:None)))"
        );
        let (line, next) = chain::line(&hash, &body);
        to.write_all(&line).unwrap();
        (length, hash) = (length + line.len(), next);
    }
    to.into_inner().unwrap();
    let mut file = SessionFile::open(&path, real()).unwrap();
    assert_eq!(file.facts().len(), count);
    file.append(withdraw(8), stamp(1), HAND).unwrap();
    file.finish().unwrap();
    let (lines, end) = record::file::check_chain(&path, fs::File::open(&path).unwrap()).unwrap();
    assert_eq!((lines, end), (count as u64 + 1, End::Clean));
}
