//! `samepoint seal`: with the real `ssh-keygen`, and with programs that stand in for it.
//!
//! These tests need `ssh-keygen` (Debian: openssh-client) and fail without it.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::run::{command, root, samepoint};

pub(crate) const HAND: &str = "R. Voss";

/// A shop with one session, signed by the hand and not answered, and a key of it made by `ssh-keygen`.
pub(crate) struct Sealing {
    pub(crate) folder: tempfile::TempDir,
    pub(crate) session: String,
}

impl Sealing {
    pub(crate) fn new(passphrase: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for part in ["stations", "windows", "hands", "sessions", "keys"] {
            fs::create_dir(folder.path().join(part)).unwrap();
        }
        for key in ["own", "other"] {
            let made = Command::new("ssh-keygen")
                .args(["-q", "-t", "ed25519", "-C", "bench", "-N", passphrase, "-f", key])
                .current_dir(folder.path().join("keys"))
                .status();
            assert!(made.expect("this test needs ssh-keygen: install openssh-client").success());
        }
        let line = fs::read_to_string(folder.path().join("keys/own.pub")).unwrap();
        let hand = format!(
            "(format: 1, hand: (initials: \"{HAND}\", roles: [technician], from: \"2020-01-01\", \
             keys: [(line: \"{}\")]))",
            line.trim()
        );
        fs::write(folder.path().join("hands").join(format!("{HAND}.ron")), hand).unwrap();
        let text =
            fs::read_to_string(root().join("tests/data/format2/whole-job.samepoint")).unwrap();
        let signed = text.find("what:signed").unwrap();
        let end = signed + text[signed..].find('\n').unwrap() + 1;
        let session = folder.path().join("sessions/a.samepoint");
        fs::write(&session, &text[..end]).unwrap();
        Self { session: session.display().to_string(), folder }
    }

    pub(crate) fn key(&self, name: &str) -> String {
        self.folder.path().join("keys").join(name).display().to_string()
    }

    fn bytes(&self) -> Vec<u8> {
        fs::read(&self.session).unwrap()
    }

    /// A folder with a program of that name and that text.
    fn stand_in(&self, text: &str) -> PathBuf {
        let folder = self.folder.path().join("stand-in");
        fs::create_dir_all(&folder).unwrap();
        let program = folder.join("ssh-keygen");
        fs::write(&program, format!("#!/bin/sh\n{text}\n")).unwrap();
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).unwrap();
        folder
    }

    /// Seals with another search path; exit code and what is said.
    fn with_path(&self, path: &Path) -> (i32, String) {
        let key = self.key("own");
        let run = command()
            .args(["seal", &self.session, "--key", &key])
            .env("PATH", path)
            .output()
            .unwrap();
        assert!(run.stdout.is_empty());
        (run.status.code().unwrap(), String::from_utf8(run.stderr).unwrap())
    }
}

#[test]
fn a_signature_is_sealed_once_and_review_says_by_which_key() {
    let shop = Sealing::new("");
    let said = samepoint(&["seal", &shop.session, "--key", &shop.key("own")]).answered(0);
    assert!(said.contains("signed by R. Voss: the seal holds, by key SHA256:"), "{said}");
    let words = samepoint(&["review", &shop.session]).out;
    assert!(words.contains("Sealed as signed by R. Voss, with key SHA256:"), "{words}");
    assert!(words.contains(", which was its own on 20"), "{words}");
    let again = samepoint(&["seal", &shop.session, "--key", &shop.key("own")]).refused();
    assert!(again.contains("nothing is signed or answered there"), "{again}");
}

#[test]
fn what_goes_wrong_is_said_in_one_line_and_writes_nothing() {
    let shop = Sealing::new("");
    let before = shop.bytes();
    let other = samepoint(&["seal", &shop.session, "--key", &shop.key("other")]).refused();
    assert!(other.contains("nothing was sealed: key SHA256:"), "{other}");
    assert!(other.contains("is listed for nobody"), "{other}");
    let none = samepoint(&["seal", &shop.session, "--key", &shop.key("none")]).refused();
    assert!(none.contains("No such file"), "{none}");

    // A passphrase that nobody can be asked for ends it with words, within no time.
    let secret = Sealing::new("a passphrase");
    let asked = command()
        .args(["seal", &secret.session, "--key", &secret.key("own")])
        .env("SSH_ASKPASS", "false")
        .env("SSH_ASKPASS_REQUIRE", "force")
        .output()
        .unwrap();
    let said = String::from_utf8(asked.stderr).unwrap();
    assert_eq!(asked.status.code(), Some(2));
    assert!(said.contains("has a passphrase") && said.contains("ssh-add"), "{said}");

    // Not found; not the program; one that agrees and makes nothing; one that makes something else.
    let nowhere = shop.folder.path().join("nowhere");
    let (code, said) = shop.with_path(&nowhere);
    assert!(code == 2 && said.contains("ssh-keygen is not found"), "{said}");
    for (text, why) in [
        ("echo 'device went away' >&2\nexit 7", "ssh-keygen would not sign: device went away"),
        ("exit 7", "ssh-keygen would not sign with"),
        // Names of files that are gone by then are not told.
        ("for last; do :; done; echo \"bad $last\" >&2; exit 7", "would not sign: bad line"),
        ("exit 0", "ssh-keygen gave no seal"),
        ("for last; do :; done; echo a promise > $last.sig", "the seal cannot be read"),
    ] {
        let path = format!("{}:/usr/bin:/bin", shop.stand_in(text).display());
        let (code, said) = shop.with_path(Path::new(&path));
        assert!(code == 2 && said.contains(why) && said.lines().count() == 1, "{text}: {said}");
    }
    assert_eq!(shop.bytes(), before);
}
