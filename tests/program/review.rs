//! `samepoint review`: every exit code, on real files.

use std::fs;

use serde_json::Value;

use crate::run::{root, samepoint};

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

/// A copy of a file with its bytes changed by a rule, in a folder of its own.
fn changed(name: &str, change: impl FnOnce(&mut Vec<u8>)) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let mut bytes = fs::read(root().join(name)).unwrap();
    change(&mut bytes);
    let path = folder.path().join("changed.samepoint");
    fs::write(&path, bytes).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (folder, path)
}

fn json(arguments: &[&str], code: i32) -> Value {
    let mut all = vec!["review", "--json"];
    all.extend(arguments);
    serde_json::from_str(&samepoint(&all).answered(code)).unwrap()
}

/// A whole job, signed as a pass: intact, follows, in words and as JSON alike. Exit 1: it was countersigned by
/// the hand that signed.
#[test]
fn a_whole_job_follows() {
    let account = json(&[WHOLE], 1);
    assert_eq!(account["chain"], "intact");
    assert_eq!(account["verdict"], "pass");
    assert_eq!(account["follows"], true);
    assert_eq!(account["signed"]["verdict"], "pass");
    assert_eq!(account["differences"], Value::Array(Vec::new()));
    let words = samepoint(&["review", WHOLE]).answered(1);
    for part in ["intact", "pass", account["last_hash"].as_str().unwrap()] {
        assert!(words.contains(part), "{part} is missing:\n{words}");
    }
}

/// Every session of the invented shop is intact, and what was signed in it follows; but for the one
/// that was damaged and the one that was forged, which demo-data/README.md names.
#[test]
fn the_invented_sessions_are_intact() {
    let (mut seen, mut damaged, mut forged) = (0, 0, 0);
    for entry in fs::read_dir(root().join("demo-data/sessions")).unwrap().flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|extension| extension == "samepoint") {
            let run = samepoint(&["review", "--json", path.to_str().unwrap()]);
            let account: Value = serde_json::from_str(&run.out).unwrap();
            let intact = account["chain"] == "intact";
            match (run.code, intact) {
                (0 | 1, true) => {}
                (3, false) => damaged += 1,
                (3, true) => forged += 1,
                _ => panic!("{}: {} {}", path.display(), run.code, run.err),
            }
            seen += 1;
        }
    }
    assert_eq!((seen, damaged, forged), (65, 1, 1));
}

/// One flipped bit in the middle: damage, located by line, exit 3.
#[test]
fn a_flipped_bit_is_damage() {
    let (_folder, path) = changed(WHOLE, |bytes| {
        let middle = bytes.len() / 2;
        bytes[middle] ^= 4;
    });
    let account = json(&[&path], 3);
    assert_eq!(account["chain"], "damaged");
    assert!(account["damage"].as_str().unwrap().contains("line"), "{account}");
}

/// Damage in the very first line leaves nothing to account for, and is still damage.
#[test]
fn a_damaged_first_line_is_damage() {
    let (_folder, path) = changed(WHOLE, |bytes| bytes[80] ^= 1);
    let account = json(&[&path], 3);
    assert_eq!(account["chain"], "damaged");
    assert!(samepoint(&["review", &path]).answered(3).contains("line 1"));
}

/// A last line cut short may have been saved once: nothing is good until somebody looked.
#[test]
fn a_missing_end_is_no_clean_bill() {
    let (_folder, path) = changed(WHOLE, |bytes| {
        let first_line = bytes.iter().position(|byte| *byte == b'\n').unwrap();
        let second = bytes[first_line + 1..].iter().position(|byte| *byte == b'\n').unwrap();
        bytes.truncate(first_line + 1 + second / 2);
    });
    let account = json(&[&path], 3);
    assert_eq!(account["chain"], "end missing");
    assert_eq!(account["facts"], 1);
    assert!(account["damage"].as_str().unwrap().contains("it may have been saved"), "{account}");
    assert!(samepoint(&["review", &path]).answered(3).contains("THE END IS MISSING"));
}

/// What is no session is refused with exit 2 and one line that names the file.
#[test]
fn what_is_no_session_is_refused() {
    for name in ["demo-data/readings/good.csv", "no-such.samepoint", "demo-data"] {
        let message = samepoint(&["review", name]).refused();
        assert!(message.contains(name), "{message}");
    }
}

/// A review changes nothing.
#[test]
fn a_review_changes_nothing() {
    let (folder, path) = changed(WHOLE, |_| {});
    let before = fs::read(&path).unwrap();
    samepoint(&["review", &path]).answered(1);
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing appears beside it");
}

/// What a program needs to know of a session that is clear: who, when, what was measured, against what.
#[test]
fn the_account_tells_state_hands_and_numbers() {
    let account = json(&["demo-data/sessions/2026-10-08 0250.samepoint"], 0);
    assert_eq!((&account["state"], &account["exit_code"]), (&"countersigned".into(), &0.into()));
    assert_eq!(account["exit_code_because"], Value::Array(Vec::new()));
    let signed = &account["signed"];
    assert_eq!((&signed["verdict"], &signed["window"]), (&"pass".into(), &4.into()));
    let answer = &account["answer"];
    assert_eq!((&answer["kind"], &answer["line_found"]), (&"countersigned".into(), &true.into()));
    for who in [signed, answer] {
        assert!(!who["hand"].as_str().unwrap().is_empty());
        assert!(who["time"].as_str().unwrap().starts_with("2026-10-"), "{who}");
    }
    assert_ne!(signed["hand"], answer["hand"]);
    let number = |value: &Value| value.as_f64().unwrap();
    let measured = &account["measured"][0];
    // By hand from the means the file stores: left 6.65, 14.075; right 0.05, 17.425. The window is 8′ of
    // convergence: 6.6/8 = 0.825, 3.35/4 = 0.8375; boresight |(3.35, 15.75)| = 16.1023.
    assert!((number(&measured["misalignment_arcmin"][0]) + 6.6).abs() < 1e-9);
    assert!((number(&measured["misalignment_arcmin"][1]) - 3.35).abs() < 1e-9);
    assert!((number(&measured["boresight_arcmin"]) - 16.1023).abs() < 1e-4);
    assert!((number(&measured["window_use"]) - 0.8375).abs() < 1e-9);
    let round = account["rounds"].as_array().unwrap().last().unwrap();
    for key in ["left_centre_arcmin", "right_centre_arcmin"] {
        assert_eq!(round[key].as_array().unwrap().len(), 2, "{round}");
    }
    assert!(account["on_circles"].as_array().unwrap().iter().all(|held| held["off"] == false));
    assert!(account["shop"].as_str().unwrap().ends_with("demo-data"));
    assert_eq!(account["otherwise"], Value::Array(Vec::new()));
    assert_eq!((&account["said_after"], &account["blind_readings"]), (&Value::Null, &Value::Null));
    // A session that was checked blind, and the blind one.
    for name in ["2026-09-07 0345", "2026-09-08 0345 blind"] {
        let path = format!("demo-data/sessions/{name}.samepoint");
        let run = samepoint(&["review", "--json", &path]);
        let account: Value = serde_json::from_str(&run.out).unwrap();
        assert_eq!(account["blind"].as_array().unwrap().len(), 1, "{account}");
        assert!(account["blind_readings"].is_string());
        assert_eq!(account["exit_code"].as_i64(), Some(i64::from(run.code)));
    }
}

/// Every key of the account is told of by `--help`.
#[test]
fn every_key_of_the_account_is_documented() {
    let help = samepoint(&["review", "--help"]).answered(0);
    let account = json(&["demo-data/sessions/2026-10-26 0453.samepoint"], 0);
    for key in account.as_object().unwrap().keys().filter(|key| *key != "format") {
        assert!(help.contains(key.as_str()), "{key} is missing from\n{help}");
    }
}

/// What a shop's ledger and a session's other files say is in words and in JSON.
#[test]
fn a_session_is_held_against_its_shop() {
    let folder = tempfile::tempdir().unwrap();
    record::Shop::lay_out(folder.path()).unwrap();
    let path = folder.path().join("sessions/a.samepoint");
    fs::copy(root().join(WHOLE), &path).unwrap();
    let name = path.to_str().unwrap();
    let run = samepoint(&["review", "--json", name]);
    let account: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(account["ledger"]["stands"], false);
    assert_eq!(account["copies"], Value::Array(Vec::new()));
    let options = record::FileOptions::real(record::Opener::here("RV"));
    let noting = record::ledger::Noting {
        program: "samepoint".to_owned(),
        hand: "RV".to_owned(),
        agreed: false,
        options,
    };
    let noted = record::ledger::note_all(folder.path(), &noting).unwrap();
    let whole = fs::read_to_string(&path).unwrap();
    let lines = whole.lines().count();
    let cut: String = whole.split_inclusive('\n').take(lines - 1).collect();
    fs::write(&path, cut).unwrap();
    fs::write(folder.path().join("sessions/b.samepoint"), &whole).unwrap();
    let account = json(&[name], 3);
    let finding = &account["ledger"]["findings"][0];
    assert_eq!(
        (finding["what"].as_str(), finding["seq"].as_u64()),
        (Some("cut off"), Some(lines as u64))
    );
    assert_eq!(account["ledger"]["late"].as_u64().unwrap() + 1, noted as u64);
    assert_eq!(account["copies"][0]["what"], "goes on");
    let run = samepoint(&["shop", folder.path().to_str().unwrap()]);
    assert!(run.out.contains("a.samepoint is a copy of b.samepoint, which counts"), "{}", run.out);
    assert!(run.out.contains("is missing: the file ends with fact"), "{}", run.out);
    fs::remove_file(&path).unwrap();
    fs::remove_file(folder.path().join("sessions/b.samepoint")).unwrap();
    let run = samepoint(&["shop", folder.path().to_str().unwrap()]);
    assert!(run.code == 1 && run.err.contains("a.samepoint"), "{}", run.err);
}

/// What was handed over, and the pictures it names, are told in words and as JSON; neither changes the exit code.
#[test]
fn handovers_and_pictures_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let shop =
        record::Shop::lay_out(folder.path()).and_then(|()| record::Shop::load(folder.path()));
    let source = folder.path().join("lens.png");
    fs::write(&source, b"\x89PNG\r\n\x1a\nlens").unwrap();
    let kept = shop.unwrap().keep_picture(&source).unwrap();
    let path = folder.path().join("sessions/a.samepoint");
    fs::copy(root().join(WHOLE), &path).unwrap();
    let options = record::FileOptions::real(record::Opener::here("KT"));
    let now = options.opener.now;
    let mut file = record::SessionFile::open(&path, options).unwrap();
    let left = record::DayNote::handover("signed", "ring the customer").note();
    let left = file.append(record::Body::Note(left), now, "KT").unwrap();
    let read = record::DayNote::read(left).note();
    file.append(record::Body::Note(read), now, "RV").unwrap();
    let (hash, extension) = (kept.hash.clone(), kept.extension.clone());
    let picture = record::NotedPicture { hash, extension, caption: "lens".to_owned(), about: None };
    let picture = file.append(record::Body::Picture(picture), now, "KT").unwrap();
    file.finish().unwrap();
    drop(file);
    let path = path.to_str().unwrap();
    let account = json(&[path], 1);
    let [handover] = &account["handovers"].as_array().unwrap()[..] else { panic!("{account}") };
    assert_eq!(handover["fact"], left);
    assert_eq!(handover["hand"], "KT");
    assert_eq!(handover["text"], "done: signed · next: ring the customer");
    assert_eq!(handover["read"][0]["hand"], "RV");
    let words = samepoint(&["review", path]).answered(1);
    assert!(words.contains("Handover by KT on ") && words.contains("; read by RV on "), "{words}");
    let named = |account: &Value| {
        let named = &account["pictures"][0];
        assert_eq!(
            (&named["fact"], &named["sha256"]),
            (&picture.into(), &kept.hash.as_str().into())
        );
        named["found"].as_str().unwrap().to_owned()
    };
    assert_eq!(named(&account), "whole");
    fs::write(&kept.path, b"another").unwrap();
    let account = json(&[path], 1);
    assert_eq!(named(&account), "another");
    assert!(account["pictures"][0]["words"].as_str().unwrap().contains("replaced or damaged"));
}
