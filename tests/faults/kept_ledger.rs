//! What a survey kept of a shop's ledger: it says what the ledger says now, whatever became of either.

use std::fs;

use record::file::LineFormat as _;
use record::file::chain::{ChainHash, line};
use record::journal::LATEST_FORMAT;
use record::ledger::{
    LedgerAbout, LedgerEntry, LedgerHeader, Noting, SigningKind, SigningLine, note_all,
};
use record::{Fact, FileOptions, JournalBody, Opener};

use super::support::{HAND, stamp};
use super::survey_cache::Opened;

/// So many lines that they are worth keeping: signatures of sessions that are not here.
fn long_ledger() -> Vec<u8> {
    let about = LedgerAbout { year: 2026 };
    let header = LedgerHeader::begun("samepoint 0.1.0".to_owned(), about).unwrap();
    let (mut bytes, mut hash) = (Vec::new(), ChainHash::START);
    for seq in 1..=700_u64 {
        let entered = || LedgerEntry {
            session: format!("{seq:032x}").into(),
            file: format!("{seq}.samepoint").into(),
            line: SigningLine {
                seq: 40,
                hash: ChainHash::START.next(&seq.to_be_bytes()),
                kind: SigningKind::Signed,
                time: stamp(seq as i64),
                hand: HAND.into(),
            },
            late: false,
        };
        let body = match seq {
            1 => JournalBody::Header(header.clone()),
            _ => JournalBody::Said(entered()),
        };
        let fact = Fact { seq, time: stamp(seq as i64), hand: HAND.to_owned(), body };
        let (line, next) = line(&hash, &JournalBody::write(&fact, LATEST_FORMAT).unwrap());
        bytes.extend(line);
        hash = next;
    }
    bytes
}

/// What a survey says of the ledger is the same as without anything kept, whatever becomes of the ledger and of what was
/// kept of it.
#[test]
fn the_ledger_is_held_against_as_it_is_now() {
    let mut shop = Opened::new();
    let ledger = shop.shop().join("ledger").join("2026.samepoint-ledger");
    fs::create_dir_all(ledger.parent().unwrap()).unwrap();
    let whole = long_ledger();
    fs::write(&ledger, &whole).unwrap();
    shop.reads(&["a", "b", "c"]);
    let kept = shop.database().with_extension("ledger");
    let first = fs::read(&kept).unwrap();
    shop.reads(&[]);
    assert_eq!(fs::read(&kept).unwrap(), first, "there was nothing to keep anew");
    // More is noted; a line is another; the end is cut, between two lines and within one; it is gone, and back.
    let options = FileOptions::real(Opener { now: stamp(1_000_000), ..Opener::here(HAND) });
    let noting = Noting {
        program: "samepoint 0.1.0".to_owned(),
        hand: HAND.to_owned(),
        agreed: true,
        options,
    };
    assert_eq!(note_all(&shop.shop(), &noting).unwrap(), 6);
    shop.reads(&[]);
    let longer = fs::read(&ledger).unwrap();
    assert!(longer.starts_with(&whole) && longer.len() > whole.len());
    assert_eq!(fs::read(&kept).unwrap(), first, "six lines are not worth keeping anew");
    for place in [20, whole.len() / 2, whole.len() - 1, longer.len() - 2] {
        let mut flipped = longer.clone();
        flipped[place] ^= 2;
        for other in [&flipped[..], &longer[..place]] {
            // What was kept of it when it was whole.
            fs::write(&kept, &first).unwrap();
            fs::write(&ledger, other).unwrap();
            shop.reads(&[]);
        }
    }
    fs::write(&kept, &first).unwrap();
    let before_last =
        whole.iter().enumerate().filter(|(_, byte)| **byte == b'\n').nth(698).unwrap().0;
    fs::write(&ledger, &whole[..=before_last]).unwrap();
    shop.reads(&[]);
    fs::remove_file(&ledger).unwrap();
    shop.reads(&[]);
    fs::write(&ledger, &longer).unwrap();
    shop.reads(&[]);
    // What was kept is damaged, cut, no file, of another build, or not to be trusted.
    let now = fs::read(&kept).unwrap();
    for place in (0..now.len()).step_by(now.len() / 9) {
        let mut flipped = now.clone();
        flipped[place] ^= 8;
        fs::write(&kept, flipped).unwrap();
        shop.reads(&[]);
        assert_eq!(fs::read(&kept).unwrap(), now, "made anew");
        fs::write(&kept, &now[..place]).unwrap();
        shop.reads(&[]);
    }
    fs::remove_file(&kept).unwrap();
    fs::create_dir(&kept).unwrap();
    shop.reads(&[]);
    fs::remove_dir(&kept).unwrap();
    fs::write(&kept, &now).unwrap();
    shop.open(&shop.cache().read_anew());
    shop.build = "2";
    shop.reads(&["a", "b", "c"]);
    assert_ne!(fs::read(&kept).unwrap(), now, "of another build");
}
