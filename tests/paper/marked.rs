//! What every page warns of.

use std::fs;

use record::fact::{Countersigned, Exercise, Returned};
use record::review::Beside;
use record::shop::letterhead::Letterhead;
use record::shop::wording::Wording;
use record::{Body, Fact, SessionKind};

use crate::session::{DEMO, WHOLE, account, changed, kept, report, root};

#[track_caller]
fn on_every_page(account: &record::Account, mark: &str) {
    let report = report(account);
    for number in 1..=report.pages() {
        let page = report.page(number as u32);
        assert!(page.contains(&crate::reading::squeezed(mark)), "page {number}:\n{page}");
    }
}

#[test]
fn a_signed_session_has_no_mark() {
    let account = account(WHOLE);
    let text = report(&account).text();
    for mark in ["NOTSIGNED", "DAMAGED", "PRACTICE", "RETURNED", "DOESNOTFOLLOW"] {
        assert!(!text.contains(mark), "{mark}");
    }
}

#[test]
fn an_unsigned_session_is_marked() {
    on_every_page(&account(DEMO), "UNSIGNED");
}

#[test]
fn practice_is_marked() {
    let account = changed(DEMO, |facts| {
        for fact in facts {
            if let Body::Header(header) = &mut fact.body {
                let name = "first crossing".to_owned();
                header.kind = SessionKind::Practice(Exercise { name, seed: 1 });
            }
        }
    });
    on_every_page(&account, "PRACTICE ON AN INVENTED UNIT");
}

#[test]
fn a_returned_session_is_marked() {
    let account = changed(WHOLE, |facts| {
        let signed = facts.iter().find(|fact| matches!(fact.body, Body::Signed(_))).unwrap();
        let returned =
            Returned { signature: signed.seq, comment: "read the right channel again".into() };
        let (time, seq) = (signed.time, signed.seq);
        facts.truncate(seq as usize);
        facts.push(Fact { seq: seq + 1, time, hand: "RB".into(), body: Body::Returned(returned) });
    });
    on_every_page(&account, "RETURNED");
    report(&account).says("read the right channel again");
}

/// A countersignature holds for the last line it saw; a file without that line was written anew.
#[test]
fn a_file_written_anew_since_countersigning_is_marked() {
    let countersigned = |last_hash: &str| {
        changed(WHOLE, |facts| {
            let signed = facts.iter().find(|fact| matches!(fact.body, Body::Signed(_))).unwrap();
            let (time, seq) = (signed.time, signed.seq);
            let answer = Countersigned {
                signature: seq,
                last_hash: last_hash.to_owned(),
                comment: String::new(),
                hands_sha256: None,
            };
            facts.truncate(seq as usize);
            let body = Body::Countersigned(answer);
            facts.push(Fact { seq: seq + 1, time, hand: "RB".into(), body });
        })
    };
    let mark = "WRITTEN ANEW SINCE COUNTERSIGNING";
    on_every_page(&countersigned(&"0".repeat(64)), mark);
    // Where no line is named, none can be missing.
    let text = report(&countersigned("")).text();
    assert!(!text.contains(&crate::reading::squeezed(mark)));
}

/// One bit flipped in the middle of the file.
#[test]
fn a_damaged_session_is_marked() {
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    let middle = bytes.len() * 2 / 3;
    bytes[middle] ^= 4;
    on_every_page(&kept(&bytes), "DAMAGED FILE");
}

/// The last line cut in the middle; and the same after somebody went on all the same.
#[test]
fn a_missing_end_is_marked_before_and_after_it_is_set_aside() {
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    bytes.truncate(bytes.len() - 100);
    on_every_page(&kept(&bytes), "THE END IS MISSING");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    fs::write(&path, &bytes).unwrap();
    let now: record::Stamp = "2026-11-25T09:00:00.000+00:00".parse().unwrap();
    let opener = record::Opener { who: "RV".into(), place: "bench-2".into(), now };
    let mut file = record::SessionFile::open(&path, record::FileOptions::real(opener)).unwrap();
    file.set_end_aside(now, "RV").unwrap();
    file.finish().unwrap();
    let account = record::review(&path, &record::RealDisk).unwrap();
    on_every_page(&account, "A MISSING END WAS SET ASIDE");
    let text = report(&account).text();
    assert!(text.contains(&crate::reading::squeezed("may have been saved")), "{text}");
}

/// A signature whose number does not follow from the readings.
#[test]
fn what_does_not_follow_is_marked() {
    let account = changed(WHOLE, |facts| {
        for fact in facts {
            if let Body::Signed(signed) = &mut fact.body {
                signed.numbers[0].value += 1.0;
            }
        }
    });
    on_every_page(&account, "WHAT WAS STORED DOES NOT FOLLOW");
}

/// The first page bears the shop's name and address, where it has a letterhead, and no verdict is green that is
/// not signed.
#[test]
fn a_report_bears_its_shops_name() {
    let mut account = account(WHOLE);
    assert!(!report(&account).text().contains("FenLane"));
    let letterhead =
        Letterhead { name: "Fen Lane Optical".to_owned(), address: "4 Fen Lane".to_owned() };
    account.beside = Some(Beside { letterhead: Some(letterhead), ..Beside::default() });
    let first = report(&account).page(1);
    assert!(first.contains("FenLaneOptical") && first.contains("4FenLane"), "{first}");
}

/// What a shop wants printed is added: every usual caution still stands there, its own comes after them, its foot is on
/// every page, its paragraph above the signatures.
#[test]
fn a_shops_own_words_are_added_and_replace_nothing() {
    let mut account = account(WHOLE);
    let before = report(&account).text();
    let wording = Wording {
        above_signatures: "Complaints within thirty days.".to_owned(),
        caution: "Mind the tide at the quay.".to_owned(),
        footer: "Registered under number 4711".to_owned(),
    };
    account.beside = Some(Beside { wording: Some(wording), ..Beside::default() });
    let report = report(&account);
    let text = report.text();
    for caution in paper::cautions::CAUTIONS {
        report.says(caution);
    }
    let place =
        |words: &str| text.find(&words.replace(' ', "")).unwrap_or_else(|| panic!("{words}"));
    assert!(place("that governs.") < place("Mind the tide at the quay."));
    assert!(place("Complaints within thirty days.") < place("Signatures"));
    for page in 1..=report.pages() {
        assert!(report.page(page as u32).contains("Registeredundernumber4711"), "page {page}");
    }
    assert!(!before.contains("Mindthetide"));
}
