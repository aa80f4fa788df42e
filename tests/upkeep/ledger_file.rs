//! The ledger's file, which is kept as check files are: its words, and what it must stand. What a shop's
//! ledger tells of sessions: `tests/faults/ledger.rs`.

use record::ledger::{Entry, LedgerBody, LedgerFact, LedgerHeader, SigningKind, SigningLine};
use record::{Continued, Fact};

use crate::attacks::{reads_for_ever, stands_every_attack};
use crate::support::{HAND, kept, morning, real};

/// Every word of a format.
fn every_fact() -> Vec<LedgerFact> {
    let after = Continued {
        file: "2025.samepoint-ledger".into(),
        session: "ffeeddccbbaa99887766554433221100".into(),
        facts: 7,
        last_hash: "0".repeat(64),
    };
    let header = LedgerHeader {
        program: "samepoint 0.1.0".into(),
        name: "00112233445566778899aabbccddeeff".into(),
        year: 2026,
        after: Some(after),
    };
    let kinds = [SigningKind::Signed, SigningKind::Countersigned, SigningKind::Returned];
    let entered = kinds.into_iter().zip(0..).map(|(kind, number)| {
        let line = SigningLine {
            seq: 12 + number,
            hash: "0a".repeat(32),
            kind,
            time: morning(number as i64),
            hand: "M. Okafor “north”".into(),
        };
        LedgerBody::Entered(Entry {
            session: "000000000000000000000000000000a1".into(),
            file: "a.samepoint".into(),
            line,
            late: kind == SigningKind::Returned,
        })
    });
    let bodies = std::iter::once(LedgerBody::Header(header)).chain(entered);
    let fact = |(body, seq)| Fact { seq, time: morning(0), hand: HAND.into(), body };
    bodies.zip(1..).map(fact).collect()
}

/// Kept for ever, as the program first wrote it.
#[test]
fn a_ledger_of_format_1_reads_for_ever_and_would_be_written_the_same() {
    reads_for_ever(&kept("ledger1/every-fact.samepoint-ledger"), 1, &every_fact(), PartialEq::eq);
}

#[test]
fn a_ledger_stands_every_attack() {
    stands_every_attack(&every_fact(), &real());
}
