//! Seals, both ways with OpenSSH's own program, and seals that were copied, exchanged or made by others.
//!
//! These tests need `ssh-keygen` (Debian: openssh-client) and fail without it.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use record::review::review;
use record::seal::{NAMESPACE, check_seal, write_seals};
use record::{Body, RealDisk, SealState, Sealed, SessionFile, SessionKind, Shop};

use crate::hands::{SUPERVISOR, TECHNICIAN, countersign, list, shop, signed_by};
use crate::support::*;

const NEEDED: &str = "this test needs ssh-keygen: install Debian's openssh-client";

/// Runs `ssh-keygen` in a folder with something to read; whether it agreed, and all it said.
pub(crate) fn ssh_keygen(
    folder: &Path,
    arguments: &[&str],
    input: &[u8],
) -> (bool, Vec<u8>, String) {
    let mut child = Command::new("ssh-keygen")
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect(NEEDED);
    // It may have made up its mind before it read anything.
    let _ = child.stdin.take().unwrap().write_all(input);
    let done = child.wait_with_output().expect(NEEDED);
    (done.status.success(), done.stdout, String::from_utf8_lossy(&done.stderr).into_owned())
}

/// A folder of keys made by `ssh-keygen`.
pub(crate) struct Keys(pub(crate) tempfile::TempDir);

impl Keys {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// Makes a key; its public line.
    pub(crate) fn make(&self, name: &str, kind: &[&str]) -> String {
        let arguments = [&["-q", "-N", "", "-C", "a comment", "-f", name, "-t"], kind].concat();
        let (made, _, said) = ssh_keygen(self.0.path(), &arguments, b"");
        assert!(made, "{said}");
        fs::read_to_string(self.0.path().join(format!("{name}.pub"))).unwrap().trim().to_owned()
    }

    fn sign_for(&self, namespace: &str, name: &str, message: &str) -> String {
        let arguments = ["-q", "-Y", "sign", "-n", namespace, "-f", name];
        let (signed, sshsig, said) = ssh_keygen(self.0.path(), &arguments, message.as_bytes());
        assert!(signed, "{said}");
        String::from_utf8(sshsig).unwrap()
    }

    pub(crate) fn sign(&self, name: &str, message: &str) -> String {
        self.sign_for(NAMESPACE, name, message)
    }
}

pub(crate) fn with_key(rest: &str, key: &str) -> String {
    format!("{rest}, keys: [(line: \"{key}\")]")
}

/// Adds a seal over a line of an open file.
fn seal(file: &mut SessionFile, seq: u64, sshsig: String, hand: &str) {
    file.append(Body::Sealed(Sealed { seq, sshsig }), stamp(101), hand).unwrap();
    settle(file);
}

/// Seals a line with the key of a name.
fn seal_with(keys: &Keys, key: &str, file: &mut SessionFile, seq: u64, hand: &str) {
    let sshsig = keys.sign(key, file.signing_hash(seq).unwrap());
    seal(file, seq, sshsig, hand);
}

fn seqs(file: &SessionFile) -> (u64, Option<u64>) {
    let session = record::fold(file.facts());
    let signature = session.signatures.last().unwrap();
    (signature.seq, signature.answer.as_ref().map(|answer| answer.seq))
}

/// RV signs, SH countersigns, both sealed; the shop requires it.
fn sealed_shop(keys: &Keys) -> (tempfile::TempDir, PathBuf) {
    let shop = shop(&[
        ("RV", &with_key(TECHNICIAN, &keys.make("rv", &["ed25519"]))),
        ("SH", &with_key(SUPERVISOR, &keys.make("sh", &["ed25519"]))),
    ]);
    fs::write(shop.path().join("shop.ron"), "(format: 1, shop: (seals: required))").unwrap();
    let path = sealed_session(keys, shop.path(), "a");
    (shop, path)
}

fn sealed_session(keys: &Keys, shop: &Path, name: &str) -> PathBuf {
    let (path, mut file) = signed_by(shop, name, "RV", SessionKind::Real);
    let signed = seqs(&file).0;
    seal_with(keys, "rv", &mut file, signed, "RV");
    countersign(shop, &mut file, "SH");
    let answered = seqs(&file).1.unwrap();
    seal_with(keys, "sh", &mut file, answered, "SH");
    file.finish().unwrap();
    path
}

fn because(path: &Path) -> (u8, String) {
    let account = review(path, &RealDisk).unwrap();
    let all: Vec<String> = account.objections().iter().map(ToString::to_string).collect();
    (account.exit_code(), all.join("; "))
}

#[test]
fn its_signatures_verify_here_by_every_kind_of_key() {
    let keys = Keys::new();
    let kinds: [&[&str]; 4] =
        [&["ed25519"], &["ecdsa", "-b", "256"], &["ecdsa", "-b", "384"], &["rsa", "-b", "3072"]];
    let message = "0123456789abcdef".repeat(4);
    let day = "2026-11-25".parse().unwrap();
    for (index, kind) in kinds.into_iter().enumerate() {
        let name = format!("key{index}");
        let line = keys.make(&name, kind);
        let sshsig = keys.sign(&name, &message);
        let shop = shop(&[("RV", &with_key(TECHNICIAN, &line)), ("SH", SUPERVISOR)]);
        let hands = || Shop::load(shop.path()).unwrap().hands;
        let state = |sshsig: &str, message: &str, hand: &str| {
            check_seal(sshsig, message, hand, day, &hands())
        };
        let (_, listed, _) = ssh_keygen(keys.0.path(), &["-l", "-f", &format!("{name}.pub")], b"");
        let listed = String::from_utf8(listed).unwrap();
        let SealState::Good { key } = state(&sshsig, &message, "RV") else {
            panic!("{kind:?}: {:?}", state(&sshsig, &message, "RV"))
        };
        assert!(listed.contains(&key), "{listed} {key}");
        // A mail program's line ends, and spaces lost at the end.
        let mailed = sshsig.replace('\n', "\r\n");
        assert!(state(&mailed, &message, "RV").is_good(), "{kind:?}");
        assert!(state(sshsig.trim_end(), &message, "RV").is_good(), "{kind:?}");

        let altered = format!("{}0", &message[..63]);
        assert_eq!(state(&sshsig, &altered, "RV"), SealState::OtherLine, "{kind:?}");
        assert_eq!(state(&sshsig, &format!("{message}\n"), "RV"), SealState::OtherLine);
        let whose = "RV".to_owned();
        assert_eq!(
            state(&sshsig, &message, "SH"),
            SealState::KeyOfAnother { key: key.clone(), whose }
        );
        let elsewhere = keys.sign_for("file", &name, &message);
        let namespace = "file".to_owned();
        assert_eq!(state(&elsewhere, &message, "RV"), SealState::OtherNamespace { namespace });
        for (at, byte) in sshsig.bytes().enumerate().step_by(17) {
            let mut bytes = sshsig.clone().into_bytes();
            bytes[at] = if byte == b'A' { b'B' } else { b'A' };
            let flipped = String::from_utf8(bytes).unwrap();
            let seen = state(&flipped, &message, "RV");
            assert!(!seen.is_good(), "{kind:?}, character {at}: {seen:?}");
        }
        for cut in [0, 1, 40, sshsig.len() / 2, sshsig.len() - 30] {
            let seen = state(&sshsig[..cut], &message, "RV");
            assert!(matches!(seen, SealState::Unreadable { .. }), "{kind:?}, cut {cut}: {seen:?}");
        }

        // Days of the key and of the hand; a revoked key is no key, whatever day is claimed.
        let key_days = format!("{TECHNICIAN}, keys: [(line: \"{line}\", from: \"2026-11-26\")]");
        let hand_days = format!(
            "roles: [technician], from: \"2026-01-05\", until: \"2026-11-24\", keys: [(line: \"{line}\")]"
        );
        for rest in [key_days, hand_days] {
            list(shop.path(), "RV", &rest);
            assert_eq!(
                state(&sshsig, &message, "RV"),
                SealState::NotInForce { key: key.clone(), day }
            );
        }
        list(shop.path(), "RV", &format!("{}, revoked: [\"{line}\"]", with_key(TECHNICIAN, &line)));
        assert_eq!(state(&sshsig, &message, "RV"), SealState::Revoked { key: key.clone() });
        list(shop.path(), "RV", TECHNICIAN);
        assert_eq!(state(&sshsig, &message, "RV"), SealState::KeyOfNobody { key });
    }
}

#[test]
fn what_review_writes_is_verified_by_openssh_itself() {
    let keys = Keys::new();
    let (shop, path) = sealed_shop(&keys);
    assert_eq!(because(&path), (0, String::new()));
    let out = shop.path().join("for-openssh");
    let account = review(&path, &RealDisk).unwrap();
    let written = write_seals(&account, &out).unwrap();
    assert_eq!(written.iter().map(|one| one.hand.as_str()).collect::<Vec<_>>(), ["RV", "SH"]);
    let verify = |signers: &str, hand: &str, namespace: &str, sig: &str, message: &[u8]| {
        let arguments = ["-Y", "verify", "-f", signers, "-I", hand, "-n", namespace, "-s", sig];
        ssh_keygen(&out, &arguments, message).0
    };
    for one in &written {
        let message = fs::read(out.join(&one.msg)).unwrap();
        assert_eq!(message.len(), 64);
        assert!(verify("allowed_signers", &one.hand, NAMESPACE, &one.sig, &message), "{one:?}");
        let other = if one.hand == "RV" { "SH" } else { "RV" };
        assert!(!verify("allowed_signers", other, NAMESPACE, &one.sig, &message));
        assert!(!verify("allowed_signers", &one.hand, "file", &one.sig, &message));
        assert!(!verify("allowed_signers", &one.hand, NAMESPACE, &one.sig, &message[..63]));
        // As the command that is printed says it.
        let shell =
            Command::new("sh").args(["-c", &one.command()]).current_dir(&out).output().unwrap();
        assert!(shell.status.success(), "{}: {shell:?}", one.command());
    }
    // Nothing that is there is replaced.
    assert!(write_seals(&account, &out).unwrap_err().to_string().contains("is there already"));

    // Revoked, the key is in no list of signers, and OpenSSH refuses it by name.
    let line = fs::read_to_string(keys.0.path().join("sh.pub")).unwrap();
    let revoked = format!("{}, revoked: [\"{}\"]", with_key(SUPERVISOR, line.trim()), line.trim());
    list(shop.path(), "SH", &revoked);
    let (code, why) = because(&path);
    assert!(code == 1 && why.contains("which was revoked"), "{why}");
    let after = shop.path().join("after");
    let written = write_seals(&review(&path, &RealDisk).unwrap(), &after).unwrap();
    let message = fs::read(after.join(&written[1].msg)).unwrap();
    for signers in ["allowed_signers", "../for-openssh/allowed_signers"] {
        let sig = written[1].sig.as_str();
        let arguments = [
            "-Y",
            "verify",
            "-f",
            signers,
            "-r",
            "revoked_keys",
            "-I",
            "SH",
            "-n",
            NAMESPACE,
            "-s",
            sig,
        ];
        assert!(!ssh_keygen(&after, &arguments, &message).0, "{signers}");
    }
}

#[test]
fn an_unsealed_signature_is_never_silently_equal() {
    let keys = Keys::new();
    let (shop, _) = sealed_shop(&keys);
    let (path, mut file) = signed_by(shop.path(), "b", "RV", SessionKind::Real);
    let signed = seqs(&file).0;
    let state = |path: &Path| review(path, &RealDisk).unwrap().state_words();
    let (code, why) = because(&path);
    assert!(code == 1 && why.contains("signed, not sealed"), "{why}");
    assert_eq!(state(&path), "signed, not sealed");
    seal_with(&keys, "rv", &mut file, signed, "RV");
    assert_eq!((because(&path), state(&path)), ((0, String::new()), "signed".to_owned()));
    countersign(shop.path(), &mut file, "SH");
    assert_eq!(state(&path), "countersigned, not sealed");
    assert_eq!(because(&path).0, 1);
    // Where the shop does not require it, an unsealed one is as it ever was.
    fs::remove_file(shop.path().join("shop.ron")).unwrap();
    assert_eq!(state(&path), "countersigned");
    file.finish().unwrap();
}

#[test]
fn seals_that_were_copied_exchanged_or_made_by_others_do_not_count() {
    let keys = Keys::new();
    let (shop, good) = sealed_shop(&keys);
    keys.make("own", &["ed25519"]);
    let elsewhere = record::fold(SessionFile::open_read_only(&good, real()).unwrap().facts());
    let [of_signature, of_answer] = [0, 1].map(|at: usize| elsewhere.seals[at].body.sshsig.clone());
    let attack = |name: &str, seals: &dyn Fn(&mut SessionFile, u64)| {
        let (path, mut file) = signed_by(shop.path(), name, "RV", SessionKind::Real);
        file.append(
            Body::Note(record::Note { text: name.to_owned(), about: None }),
            stamp(90),
            "RV",
        )
        .unwrap();
        let again = file.facts().iter().rev().find(|fact| matches!(fact.body, Body::Signed(_)));
        let again = again.unwrap().body.clone();
        file.append(again, stamp(91), "RV").unwrap();
        settle(&mut file);
        let signed = seqs(&file).0;
        seals(&mut file, signed);
        file.finish().unwrap();
        drop(file);
        let account = review(&path, &RealDisk).unwrap();
        assert_eq!(account.exit_code(), 1, "{name}");
        assert!(account.state_words().ends_with("not sealed"), "{name}: {}", account.state_words());
        let state = account.answerable.acts[0].seals.first().map(|seal| seal.state.word());
        (state, because(&path).1)
    };
    // From another session, from a countersignature there, by a key of one's own, by the supervisor's, over
    // the first of two signatures, for something else, in no words at all.
    assert_eq!(
        attack("copied", &|file, at| seal(file, at, of_signature.clone(), "RV")).0,
        Some("other line")
    );
    assert_eq!(
        attack("answer", &|file, at| seal(file, at, of_answer.clone(), "RV")).0,
        Some("other line")
    );
    assert_eq!(
        attack("own", &|file, at| seal_with(&keys, "own", file, at, "RV")).0,
        Some("key not listed")
    );
    assert_eq!(
        attack("sh", &|file, at| seal_with(&keys, "sh", file, at, "RV")).0,
        Some("another hand's key")
    );
    let first = |file: &mut SessionFile, at: u64| {
        let first =
            file.facts().iter().find(|fact| matches!(fact.body, Body::Signed(_))).unwrap().seq;
        assert!(first < at);
        let sshsig = keys.sign("rv", file.signing_hash(first).unwrap());
        seal(file, at, sshsig, "RV");
    };
    assert_eq!(attack("first", &first).0, Some("other line"));
    let namespace = |file: &mut SessionFile, at: u64| {
        let sshsig = keys.sign_for("git", "rv", file.signing_hash(at).unwrap());
        seal(file, at, sshsig, "RV");
    };
    assert_eq!(attack("git", &namespace).0, Some("other namespace"));
    assert_eq!(
        attack("words", &|file, at| seal(file, at, "sealed, I promise".to_owned(), "RV")).0,
        Some("unreadable")
    );
    // A seal that fails is said by its fact, and why.
    let (_, why) = attack("own 2", &|file, at| seal_with(&keys, "own", file, at, "RV"));
    assert!(why.contains("which the shop lists for nobody"), "{why}");

    // Two seals, one of them good: it is sealed; neither makes a signature of its own.
    let (path, mut file) = signed_by(shop.path(), "two", "RV", SessionKind::Real);
    let signed = seqs(&file).0;
    seal_with(&keys, "own", &mut file, signed, "RV");
    seal_with(&keys, "rv", &mut file, signed, "RV");
    file.finish().unwrap();
    drop(file);
    let account = review(&path, &RealDisk).unwrap();
    assert_eq!(account.answerable.acts[0].seals.len(), 2);
    assert_eq!((account.exit_code(), account.state_words()), (0, "signed".to_owned()));
}

#[test]
fn a_rewritten_or_continued_file_loses_its_seals_and_a_renamed_hand_its_keys() {
    let keys = Keys::new();
    let (shop, good) = sealed_shop(&keys);
    // Written anew, chain and all, with one reading changed: every seal is over another line.
    let mut facts = SessionFile::open_read_only(&good, real()).unwrap().facts().to_vec();
    let reading = facts.iter_mut().find_map(|fact| match &mut fact.body {
        Body::Note(note) => Some(&mut note.text),
        Body::Setup(setup) => Some(&mut setup.job),
        _ => None,
    });
    reading.unwrap().push('!');
    let forged = shop.path().join("sessions/forged.samepoint");
    fs::write(&forged, crate::flips::lines_of(&facts)).unwrap();
    let (code, why) = because(&forged);
    assert!(code != 0 && why.matches("made over another line").count() == 2, "{code} {why}");

    // Continued in a new file it must be sealed anew, for its lines are others.
    let next = shop.path().join("sessions/next.samepoint");
    let old = SessionFile::open_read_only(&good, real()).unwrap();
    let mut file = old.continue_in(&next, "samepoint 0.2.0", "RV", real()).unwrap();
    file.finish().unwrap();
    drop(file);
    assert_ne!(because(&next).0, 0);

    // Both are other files of that session, which the ledger's part of a review names.
    fs::remove_file(&forged).unwrap();
    fs::remove_file(&next).unwrap();

    // The hand renamed: its old signatures are nobody's any more, and that is said.
    let line = fs::read_to_string(keys.0.path().join("rv.pub")).unwrap();
    fs::remove_file(shop.path().join("hands/RV.ron")).unwrap();
    list(shop.path(), "RW", &with_key(TECHNICIAN, line.trim()));
    let (code, why) = because(&good);
    assert_eq!(code, 1);
    assert!(why.contains("lists no hand “RV”") && why.contains("which is RW’s"), "{why}");

    // The hands' files exchanged for a rewriter's own: all agrees but the list that was countersigned
    // under, and every other session's.
    keys.make("evil", &["ed25519"]);
    let evil = fs::read_to_string(keys.0.path().join("evil.pub")).unwrap();
    fs::remove_file(shop.path().join("hands/RW.ron")).unwrap();
    list(shop.path(), "RV", &with_key(TECHNICIAN, evil.trim()));
    let account = review(&good, &RealDisk).unwrap();
    assert_eq!(account.exit_code(), 1);
    assert!(account.words().contains("under another list of hands"), "{}", account.words());
}
