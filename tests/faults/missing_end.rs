//! Ends that are missing: cut, zeroed, padded, overwritten. What was acknowledged once and is gone now
//! looks the same as what was never finished, so nobody is told that nothing is missing.

use std::fs;
use std::path::{Path, PathBuf};

use record::review::{Chain, review};
use record::{
    Access, Body, Error, FileMarkKind, Follows, Note, ReadOnlyReason, RealDisk, SessionFile,
    SignatureState, Verdict,
};

use crate::support::*;

/// A countersigned pass.
fn whole() -> Vec<u8> {
    let name = "../../tests/data/format1/whole-job.samepoint";
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

fn kept(folder: &Path, bytes: &[u8]) -> PathBuf {
    let path = folder.join("a.samepoint");
    fs::write(&path, bytes).unwrap();
    path
}

/// What can become of an end. The last line of each is gone, or more.
fn ends() -> Vec<(&'static str, Vec<u8>)> {
    let whole = whole();
    let last = crate::flips::line_starts(&whole)[crate::flips::line_starts(&whole).len() - 2];
    let zeroed = |from: usize| {
        let mut bytes = whole.clone();
        bytes[from..].fill(0);
        bytes
    };
    vec![
        ("the last line cut in the middle", whole[..last + (whole.len() - last) / 2].to_vec()),
        ("the last line zeroed", zeroed(last)),
        ("the last 1,800 bytes zeroed, over several lines", zeroed(whole.len() - 1800)),
        ("all but the last LF zeroed", [&zeroed(last)[..whole.len() - 1], b"\n"].concat()),
        ("the middle of the last line zeroed", {
            let mut bytes = whole.clone();
            bytes[last + 80..last + 120].fill(0);
            bytes
        }),
        ("a whole file and room for more", [&whole[..], &[0; 512]].concat()),
        ("a whole file but its LF and room for more", {
            [&whole[..whole.len() - 1], &[0; 512]].concat()
        }),
        ("a whole file and the start of a line", [&whole[..], b"(\"0123"].concat()),
        ("a whole file and something else", [&whole[..], b"hello"].concat()),
    ]
}

#[test]
fn whatever_became_of_the_end_it_may_have_been_saved() {
    for (told, bytes) in ends() {
        let folder = tempfile::tempdir().unwrap();
        let path = kept(folder.path(), &bytes);
        let account = review(&path, &RealDisk).unwrap();
        let Chain::EndMissing(end) = account.chain else { panic!("{told}: {:?}", account.chain) };
        assert_eq!(account.exit_code(), 3, "{told}");
        let words = account.words();
        assert!(words.contains("THE END IS MISSING") && words.contains("may have been saved"));
        assert!(!words.contains("nothing saved is missing"), "{told}: {words}");
        // Where the good part ends, for whoever knows what there was.
        assert_eq!(end.last_good(), account.facts as u64, "{told}");
        assert_eq!(end.offset + end.bytes, bytes.len() as u64, "{told}");
        // Looking at it, from either side, leaves every byte.
        let file = SessionFile::open(&path, real()).unwrap();
        assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::EndMissing(_))), "{told}");
        drop(file);
        assert_eq!(fs::read(&path).unwrap(), bytes, "{told}: opening it cut something");
    }
}

/// A last line with its LF was whole once: it is damaged, not missing, and no more trusted.
#[test]
fn garbage_with_a_line_end_is_damage() {
    let folder = tempfile::tempdir().unwrap();
    for tail in [&b"hello\n"[..], b"(\"0123\n", b"\n"] {
        let path = kept(folder.path(), &[&whole()[..], tail].concat());
        let account = review(&path, &RealDisk).unwrap();
        assert!(matches!(account.chain, Chain::Damaged(_)), "{tail:?}: {:?}", account.chain);
        assert_eq!(account.exit_code(), 3);
        let mut file = SessionFile::open(&path, real()).unwrap();
        let refused = file.set_end_aside(stamp(0), HAND);
        assert!(matches!(refused, Err(Error::NoEndToSetAside { .. })), "{refused:?}");
    }
}

/// Going on is the hand's decision, and it stays known: what was signed before does not stand for what
/// is left, and the program's own note cannot be undone or made up.
#[test]
fn going_on_is_noted_for_ever_and_no_signature_survives_it() {
    for (told, bytes) in ends() {
        let folder = tempfile::tempdir().unwrap();
        let path = kept(folder.path(), &bytes);
        let mut file = SessionFile::open(&path, real()).unwrap();
        let facts = file.facts().len();
        let aside = file.set_end_aside(stamp(0), HAND).unwrap();
        file.finish().unwrap();
        drop(file);
        let good = aside.end.offset as usize;
        assert_eq!(fs::read(&aside.kept_in).unwrap(), &bytes[good..], "{told}");
        let account = review(&path, &RealDisk).unwrap();
        assert_eq!((&account.chain, account.facts), (&Chain::Intact, facts + 1), "{told}");
        assert_eq!(account.session.marks(), [FileMarkKind::EndSetAside], "{told}");
        if let SignatureState::Signed(signature) = account.session.signature() {
            assert!(signature.outdated, "{told}: a signature outlived its end");
        }
        let Body::Note(note) =
            &SessionFile::open(&path, real()).unwrap().facts()[facts].body.clone()
        else {
            panic!("{told}: no note")
        };
        for said in [&aside.sha256, &format!("{} bytes", aside.end.bytes), "a.samepoint.torn-"] {
            assert!(note.text.contains(said), "{told}: {said} is not in {}", note.text);
        }
        assert!(account.words().contains(&aside.sha256), "{told}");
        let session = record::fold(SessionFile::open(&path, real()).unwrap().facts());
        assert_ne!(session.undo(), Some(facts as u64 + 1), "{told}: the mark can be undone");
        let forged = Body::Note(Note { text: note.text.clone(), about: None });
        assert!(matches!(session.admits(&forged), Err(Error::ProgramsOwnNote)));
    }
}

/// `printf abc | sha256sum` by GNU coreutils 9.1.
#[test]
fn the_sum_in_the_note_is_that_of_the_bytes_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = kept(folder.path(), &[&whole()[..], b"abc"].concat());
    let mut file = SessionFile::open(&path, real()).unwrap();
    let aside = file.set_end_aside(stamp(0), HAND).unwrap();
    assert_eq!(aside.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

/// Cutting the last word off and continuing in a new file must not make a clean pass of a file that is
/// none.
#[test]
fn a_new_file_that_goes_on_from_half_a_file_says_so() {
    let whole = whole();
    let starts = crate::flips::line_starts(&whole);
    let mut damaged = whole.clone();
    damaged[starts[starts.len() - 2] + 100] ^= 1;
    for bytes in [whole[..whole.len() - 10].to_vec(), damaged] {
        let folder = tempfile::tempdir().unwrap();
        let path = kept(folder.path(), &bytes);
        let file = SessionFile::open(&path, real()).unwrap();
        let next = folder.path().join("b.samepoint");
        file.continue_in(&next, "samepoint 0.1.0", HAND, real()).unwrap().finish().unwrap();
        let account = review(&next, &RealDisk).unwrap();
        assert_eq!(account.chain, Chain::Intact);
        assert_eq!(account.session.marks(), [FileMarkKind::ContinuedInPart]);
        assert_eq!(account.verdict(), Some(Verdict::Pass));
        assert!(matches!(account.follows, Follows::Yes { .. }), "{:?}", account.follows);
        assert!(account.signature().is_some_and(|signature| signature.outdated));
        assert!(
            account.words().contains("a.samepoint had more than is here"),
            "{}",
            account.words()
        );
    }
}

/// Whoever changes the file between looking and deciding keeps what is theirs.
#[test]
fn an_end_that_changed_since_it_was_looked_at_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = kept(folder.path(), &[&whole()[..], b"(\"torn"].concat());
    let mut file = SessionFile::open(&path, real()).unwrap();
    let other = [&whole()[..], b"(\"torn and more"].concat();
    fs::write(&path, &other).unwrap();
    let refused = file.set_end_aside(stamp(0), HAND);
    assert!(matches!(refused, Err(Error::LengthChanged { .. })), "{refused:?}");
    assert_eq!(fs::read(&path).unwrap(), other);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "the session and its lock");
}
