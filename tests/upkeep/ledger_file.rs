//! The ledger's file, which is kept as check files are: its words, and what it must stand. What a shop's
//! ledger tells of sessions: `tests/faults/ledger.rs`.

use record::file::chain::{ChainHash, line};
use record::file::{End, scan_facts};
use record::journal::FIRST_FORMAT;
use record::ledger::{
    LedgerAbout, LedgerEntry, LedgerFact, LedgerHeader, SigningKind, SigningLine,
};
use record::{Continued, Fact, JournalBody};

use crate::attacks::{reads_for_ever, stands_every_attack};
use crate::support::{HAND, kept, morning, own_note, real};

/// Every word of a format.
fn every_fact(format: u32) -> Vec<LedgerFact> {
    let after = Continued {
        file: "2025.samepoint-ledger".into(),
        session: "ffeeddccbbaa99887766554433221100".into(),
        facts: 7,
        last_hash: "0".repeat(64),
    };
    let header = LedgerHeader {
        format,
        program: "samepoint 0.1.0".into(),
        name: "00112233445566778899aabbccddeeff".into(),
        continues: Some(after),
        about: LedgerAbout { year: 2026 },
    };
    let kinds = [SigningKind::Signed, SigningKind::Countersigned, SigningKind::Returned];
    let entered = kinds.into_iter().zip(0..).map(|(kind, number)| {
        let line = SigningLine {
            seq: 12 + number,
            hash: ChainHash::read(&"0a".repeat(32)).unwrap(),
            kind,
            time: morning(number as i64),
            hand: "M. Okafor “north”".into(),
        };
        JournalBody::Said(LedgerEntry {
            session: "000000000000000000000000000000a1".into(),
            file: "a.samepoint".into(),
            line,
            late: kind == SigningKind::Returned,
        })
    });
    let own = (format > FIRST_FORMAT).then(|| JournalBody::Noted(own_note()));
    let bodies = std::iter::once(JournalBody::Header(header)).chain(entered).chain(own);
    let fact = |(body, seq)| Fact { seq, time: morning(0), hand: HAND.into(), body };
    bodies.zip(1..).map(fact).collect()
}

/// Kept for ever, as the program first wrote them.
#[test]
fn ledgers_of_formats_1_and_2_read_for_ever_and_would_be_written_the_same() {
    for format in [1, 2] {
        let path = kept(&format!("ledger{format}/every-fact.samepoint-ledger"));
        reads_for_ever(&path, format, &every_fact(format), PartialEq::eq);
    }
}

#[test]
fn a_ledger_stands_every_attack() {
    for format in [1, 2] {
        stands_every_attack(&every_fact(format), &real());
    }
}

/// The program writes a hash in lower-case digits, and reads no other: its line says what the format does not know.
#[test]
fn a_hash_that_is_none_is_told_of() {
    let path = kept("ledger2/every-fact.samepoint-ledger");
    let whole = std::fs::read_to_string(&path).unwrap();
    let mut hash = ChainHash::START;
    let mut other = Vec::new();
    for text in whole.lines() {
        let body = &text[68..text.len() - 1];
        let (line, next) = line(&hash, &body.replacen("0a0a", "0A0A", 1));
        other.extend(line);
        hash = next;
    }
    let read = scan_facts::<JournalBody<LedgerEntry>>(&path, &other[..]).unwrap();
    let End::Damaged(damage) = read.end else { panic!("{:?}", read.end) };
    assert_eq!((damage.line, read.facts.len()), (2, 1));
    assert!(damage.to_string().contains("entered.hash"), "{damage}");
}
