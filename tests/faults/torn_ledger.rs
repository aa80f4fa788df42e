//! A ledger whose end is torn or whose first line is spoilt: told for ever, whatever becomes of it.

use std::fs;
use std::path::{Path, PathBuf};

use record::ledger::{LedgerEntry, set_end_aside};
use record::{Error, JournalBody};
use sha2::{Digest as _, Sha256};

use crate::ledger::{Kept, NOVEMBER, ONE, TWO, job, noting, reviewed};
use crate::support::HAND;

/// A file that is kept for ever in `tests/data`.
fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data").join(name)
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A torn end: another file is begun beside it without a word from anybody, and says so; what stands there is
/// cut off on the hand's word alone, kept, and told for ever.
#[test]
fn a_torn_ledger_is_told_for_ever() {
    let shop = Kept::new();
    let path = shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    let file = shop.ledger_path("2026.samepoint-ledger");
    let whole = fs::read(&file).unwrap();
    let torn = [&whole[..], b"(\"0123"].concat();
    fs::write(&file, &torn).unwrap();
    assert_eq!(shop.survey().ledger.torn, std::slice::from_ref(&file));
    shop.keep("b.samepoint", &job(TWO));
    assert_eq!(shop.note(NOVEMBER), 2);
    assert_eq!(shop.ledger_files(), ["2026 (2).samepoint-ledger", "2026.samepoint-ledger"]);
    assert!(fs::read(&file).unwrap() == torn, "nobody said that it may be cut");
    assert_eq!(shop.ledger().troubles().len(), 1, "what is still so is said once");

    // Somebody mends it unseen: the file begun beside it tells.
    fs::write(&file, &whole).unwrap();
    let troubles = shop.ledger().troubles();
    assert!(troubles.len() == 1 && troubles[0].contains("begun beside"), "{troubles:?}");
    assert!(troubles[0].contains("2026.samepoint-ledger was left as it is"), "{troubles:?}");
    fs::write(&file, &torn).unwrap();

    let aside = set_end_aside(&file, &noting(NOVEMBER)).unwrap();
    assert_eq!(fs::read(&aside.kept_in).unwrap(), b"(\"0123");
    assert!(fs::read(&file).unwrap().starts_with(&whole));
    assert!(shop.survey().ledger.torn.is_empty());
    for told in [shop.survey().ledger.to_look_at().join("\n"), reviewed(&path).words()] {
        assert!(told.contains("end set aside: the end was missing from line 4 on"), "{told}");
        assert!(told.contains(HAND) && told.contains(&aside.sha256), "{told}");
        assert!(told.contains("begun beside"), "{told}");
    }
    let again = set_end_aside(&file, &noting(NOVEMBER)).unwrap_err();
    assert!(matches!(again, Error::NoEndToSetAside { .. }), "{again}");
    // Nothing noted is lost, and both go on.
    let ledger = shop.ledger();
    assert_eq!((ledger.of(ONE).len(), ledger.of(TWO).len()), (2, 2));
    shop.keep("c.samepoint", &job("000000000000000000000000000000a3"));
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 3));
}

/// Format 1 has no words for what a hand decides about its end: it goes on while it is whole, and is never
/// cut.
#[test]
fn a_ledger_of_format_1_goes_on_and_is_never_cut() {
    let shop = Kept::new();
    fs::create_dir(shop.folder.path().join("ledger")).unwrap();
    let file = shop.ledger_path("2026.samepoint-ledger");
    fs::copy(data("ledger1/every-fact.samepoint-ledger"), &file).unwrap();
    shop.keep("a.samepoint", &job(TWO));
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 1));
    let whole = fs::read(&file).unwrap();
    let read = record::file::scan_facts::<JournalBody<LedgerEntry>>(&file, &whole[..]).unwrap();
    assert_eq!((read.format, read.facts.len(), read.end), (1, 6, record::file::End::Clean));
    let torn = &whole[..whole.len() - 9];
    fs::write(&file, torn).unwrap();
    let refused = set_end_aside(&file, &noting(NOVEMBER)).unwrap_err();
    assert!(matches!(refused, Error::NoWordsForIt { format: 1, .. }), "{refused}");
    assert!(shop.survey().ledger.torn.is_empty());
    assert_eq!(shop.note(NOVEMBER), 1, "the torn line");
    assert!(fs::read(&file).unwrap() == torn);
    let beside = fs::read_to_string(shop.ledger_path("2026 (2).samepoint-ledger")).unwrap();
    assert!(
        beside.contains("(format:2,") && beside.contains("samepoint notes, begun beside: 2026")
    );
}

/// A first line spoilt: nothing in the file can be read. The file begun beside it says so for ever, by the
/// older's name, length and hash, whatever becomes of that one.
#[test]
fn a_ledger_whose_first_line_is_spoilt_is_told_for_ever() {
    for spoil in [|bytes: &mut Vec<u8>| bytes[90] ^= 1, |bytes: &mut Vec<u8>| bytes[..200].fill(0)]
    {
        let shop = Kept::new();
        let path = shop.keep("a.samepoint", &job(ONE));
        shop.note(NOVEMBER);
        let file = shop.ledger_path("2026.samepoint-ledger");
        let mut spoilt = fs::read(&file).unwrap();
        spoil(&mut spoilt);
        fs::write(&file, &spoilt).unwrap();
        assert!(reviewed(&path).words().contains("A ledger of the shop cannot be read"));
        // What it noted is noted again, late, in another.
        assert_eq!(shop.note(NOVEMBER), 2);
        assert_eq!(shop.ledger_files(), ["2026 (2).samepoint-ledger", "2026.samepoint-ledger"]);
        assert!(fs::read(&file).unwrap() == spoilt);
        assert_eq!(shop.ledger().troubles().len(), 1, "what is still so is said once");
        let next = shop.keep("b.samepoint", &job(TWO));
        assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 2), "the new one goes on");
        fs::remove_file(&file).unwrap();
        let bytes = format!("it has {} bytes, SHA-256 {}", spoilt.len(), sha256(&spoilt));
        for told in [
            shop.survey().ledger.to_look_at().join("\n"),
            reviewed(&path).words(),
            reviewed(&next).words(),
        ] {
            for said in ["begun beside", "2026.samepoint-ledger was left as it is", &bytes] {
                assert!(told.contains(said), "{said}: {told}");
            }
        }
    }
}

/// The newer of two is spoilt: going on in the older, whose name comes after, would tell nobody.
#[test]
fn a_spoilt_ledger_beside_a_good_one_is_told_for_ever() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    let spoilt = shop.ledger_path("2026 (2).samepoint-ledger");
    fs::write(&spoilt, b"(\"0123").unwrap();
    shop.keep("b.samepoint", &job(TWO));
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 3));
    fs::remove_file(&spoilt).unwrap();
    let troubles = shop.ledger().troubles();
    assert!(troubles.len() == 1 && troubles[0].contains("2026 (2).samepoint-ledger was left"));
    shop.keep("c.samepoint", &job("000000000000000000000000000000a3"));
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 2));
}
