//! Sealing from the window, by keyboard: with the real `ssh-keygen`, and with ones that wait, fail or are not
//! there. What was signed stays signed whatever becomes of its seal.
//!
//! These tests need `ssh-keygen` (Debian: openssh-client) and fail without it.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use record::file::{FileOptions, Opener};
use record::{Access, RealDisk, SessionFile, SignatureState, Stamp, review};
use samepoint::testing::{Ask, DialogAnswer, OpenSsh, RunningSeal, SealProgress, Sheet, Work};

use crate::bench::Bench;
use crate::confirm::{confirm_all, turn_to_confirm};
use crate::layout::everything_fits;
use crate::session::begin;

const WIDE: Vec2 = vec2(1280.0, 800.0);

/// A shop whose KT signs and SH answers, with keys of their own in a folder beside it.
struct Shop {
    home: tempfile::TempDir,
    folder: PathBuf,
}

impl Shop {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let bench = Bench::open(home.path(), None);
        let session = bench.app().session().unwrap().file().path().to_owned();
        let folder = session.parent().unwrap().parent().unwrap().to_owned();
        let shop = Self { home, folder };
        fs::create_dir_all(shop.home.path().join("keys")).unwrap();
        let [kt, sh] = ["kt", "sh"].map(|name| shop.make_key(name, ""));
        shop.list("KT", "technician", &[&kt]);
        shop.list("SH", "supervisor", &[&sh]);
        shop
    }

    fn require(&self) {
        fs::write(self.folder.join("shop.ron"), "(format: 1, shop: (seals: required))").unwrap();
    }

    fn list(&self, initials: &str, role: &str, keys: &[&str]) {
        let keys: Vec<String> = keys.iter().map(|key| format!("(line: \"{key}\")")).collect();
        let text = format!(
            "(format: 1, hand: (initials: \"{initials}\", roles: [{role}], from: \"2025-01-01\", keys: [{}]))",
            keys.join(", ")
        );
        fs::create_dir_all(self.folder.join("hands")).unwrap();
        fs::write(self.folder.join("hands").join(format!("{initials}.ron")), text).unwrap();
    }

    fn key(&self, name: &str) -> String {
        self.home.path().join("keys").join(name).display().to_string()
    }

    /// Makes a key; its public line.
    fn make_key(&self, name: &str, passphrase: &str) -> String {
        let comment = format!("{name} at the bench");
        let key = self.key(name);
        let made = Command::new("ssh-keygen")
            .args(["-q", "-t", "ed25519", "-C", &comment, "-N", passphrase, "-f", &key])
            .status();
        assert!(made.expect("this test needs ssh-keygen: install openssh-client").success());
        fs::read_to_string(format!("{key}.pub")).unwrap().trim().to_owned()
    }

    /// A program that stands in for `ssh-keygen`.
    fn stand_in(&self, text: &str) -> OpenSsh {
        let program = self.home.path().join("stand-in");
        fs::write(&program, format!("#!/bin/sh\n{text}\n")).unwrap();
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).unwrap();
        OpenSsh { program: Some(program), ..OpenSsh::of_user() }
    }

    /// A unit confirmed as a pass, at the sheet that signs it.
    fn about_to_sign(&self, openssh: OpenSsh) -> Bench {
        let mut bench =
            turn_to_confirm(begin(Bench::open_sealing(self.home.path(), WIDE, openssh)));
        confirm_all(&mut bench);
        bench.key(Key::F12);
        bench
    }
}

/// Tab until a control of that name has the keyboard.
fn tab_to(bench: &mut Bench, name: &str) {
    for _ in 0..80 {
        let there = bench.window.query_all_by_label_contains(name).any(|node| node.is_focused());
        if there {
            return;
        }
        bench.key(Key::Tab);
    }
    panic!("no Tab leads to {name}");
}

/// Chooses the key and types its file.
fn choose_key(bench: &mut Bench, name: &str, file: &str) {
    tab_to(bench, &format!("Seal with ed25519 “{name} at the bench” SHA256:"));
    bench.key(Key::Space);
    tab_to(bench, "Key file");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(file);
}

/// Runs the window until something is so.
fn until(bench: &mut Bench, what: &str, is_so: impl Fn(&Bench) -> bool) {
    let begun = Instant::now();
    while !is_so(bench) {
        assert!(begun.elapsed() < Duration::from_secs(30), "never: {what}");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

fn going_on(bench: &Bench) -> bool {
    bench.app().sealing().is_some_and(RunningSeal::is_going_on)
}

fn waits(bench: &Bench) -> bool {
    bench.app().sealing().is_some_and(RunningSeal::is_waiting)
}

/// Waits until the seal is made or is not; what is said of it.
fn done(bench: &mut Bench) -> String {
    until(bench, "the seal is made or is not", |bench| !going_on(bench));
    let told = bench.app().sealing().expect("something was to be sealed").told().1;
    bench.wait_saved().unwrap();
    told
}

fn session(bench: &Bench) -> PathBuf {
    bench.app().session().unwrap().file().path().to_owned()
}

/// How a session stands on disk: its exit code, its state, its seals.
fn stands(path: &Path) -> (u8, String, usize) {
    let account = review(path, &RealDisk).unwrap();
    (account.exit_code(), account.state_words(), account.session.seals.len())
}

#[test]
fn a_signature_and_its_answer_are_sealed_by_keyboard() {
    let shop = Shop::new();
    shop.require();
    let mut bench = shop.about_to_sign(OpenSsh::of_user());
    assert!(bench.says("Seal with ed25519 “kt at the bench” SHA256:"));
    assert!(bench.says("The shop requires seals."));
    assert!(!bench.says("sh at the bench"), "another’s key is not offered");
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, signed: the seal holds, by key SHA256:"), "{told}");
    assert!(bench.says(&told), "on the sheet");
    let path = session(&bench);
    assert_eq!(stands(&path), (0, "signed".to_owned(), 1));
    // What was used is what the next sheet begins with; a key itself is nowhere.
    let kept = fs::read_to_string(shop.home.path().join("config/preferences.ron")).unwrap();
    assert!(kept.contains("key_files") && kept.contains(&shop.key("kt")), "{kept}");
    let private = fs::read_to_string(shop.key("kt")).unwrap();
    let first_line = private.lines().nth(1).unwrap();
    assert!(!kept.contains(first_line));

    // Review says by which key, and takes the answer, sealed too.
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::V);
    bench.press("Answer");
    assert!(bench.says("KT signed it as technician, in force on 2026-11-25."));
    assert!(bench.says("Sealed as signed by KT, with key SHA256:"));
    bench.focus("Supervisor");
    bench.type_text("SH");
    choose_key(&mut bench, "sh", &shop.key("sh"));
    bench.press_anywhere("Countersign");
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, countersigned: the seal holds"), "{told}");
    assert_eq!(stands(&path), (0, "countersigned".to_owned(), 2));
    assert!(bench.says("Sealed as countersigned by SH, with key SHA256:"));
    assert!(bench.says("Countersigned under the shop’s list of hands of now,"));
    // The bench's copy of the session heard of it all.
    let state = bench.app().session().unwrap().state();
    assert_eq!(state.seals.len(), 2);
    // Nothing is left to seal, and that is said.
    bench.keys(Modifiers::SHIFT, Key::F12);
    assert!(bench.says("All that is signed there is sealed."));
    // The list exchanged since: the pin and the seals tell.
    let line = fs::read_to_string(format!("{}.pub", shop.key("sh"))).unwrap();
    shop.list("KT", "technician", &[line.trim()]);
    bench.keys(Modifiers::ALT, Key::B);
    bench.keys(Modifiers::ALT, Key::V);
    assert!(bench.says("Countersigned under another list of hands than the shop’s of now:"));
    assert!(bench.says("which the shop lists for nobody."), "by key of nobody, said per seal");
}

/// Esc ends the program that was started and no other; what is signed stays, and is sealed later.
#[test]
fn waiting_for_a_key_is_stopped_and_the_seal_made_later() {
    let shop = Shop::new();
    let told_pid = shop.home.path().join("pid");
    let slow = shop.stand_in(&format!(
        "[ -e {0} ] && exec ssh-keygen \"$@\"\necho $$ > {0}.new\nmv {0}.new {0}\nexec sleep 600",
        told_pid.display()
    ));
    let mut decoy = Command::new("sleep").arg("600").spawn().unwrap();
    let mut bench = shop.about_to_sign(slow);
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    until(&mut bench, "the program runs", |_| told_pid.exists());
    assert!(waits(&bench));
    assert!(bench.says("Waiting for ed25519 “kt at the bench”"));
    assert!(bench.says("Esc stops waiting; it stays signed without a seal."));
    let pid: u32 = fs::read_to_string(&told_pid).unwrap().trim().parse().unwrap();
    let runs = |pid: u32| Command::new("kill").args(["-0", &pid.to_string()]).output().unwrap();
    assert!(runs(pid).status.success());
    let path = session(&bench);
    let signed = record::fold(bench.app().session().unwrap().file().facts());
    assert!(matches!(signed.signature(), SignatureState::Signed(_)), "it is signed first");

    // The window goes on: another sheet comes and goes by Esc, and the key is waited for.
    bench.keys(Modifiers::COMMAND, Key::K);
    bench.key(Key::Escape);
    assert!(waits(&bench) && *bench.app().front() == Sheet::Clear);
    assert!(runs(pid).status.success());
    // The command that seals leads back to it.
    bench.keys(Modifiers::SHIFT, Key::F12);
    assert!(bench.says("Waiting for ed25519") && bench.says("Stop waiting"));
    bench.key(Key::Escape);
    let told = done(&mut bench);
    assert!(told.starts_with("It is signed, and not sealed: waiting for the key was stopped."));
    assert!(told.contains("Seal… (Shift+F12), or with `samepoint seal`"), "{told}");
    assert!(!runs(pid).status.success(), "the program that was started is gone");
    assert!(decoy.try_wait().unwrap().is_none(), "and no other");
    decoy.kill().unwrap();
    decoy.wait().unwrap();
    assert_eq!(stands(&path), (0, "signed".to_owned(), 0), "seals are optional here");

    // Later, from the sheet that is there: the key and its file are as they were chosen, or typed anew.
    bench.key(Key::Escape);
    bench.keys(Modifiers::SHIFT, Key::F12);
    assert!(bench.says("signed by KT on 2026-11-25, fact"));
    tab_to(&mut bench, "Key file");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(&shop.key("kt"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, signed: the seal holds"), "{told}");
    assert_eq!(stands(&path).2, 1);
}

/// What fails leaves it signed, says what happened, and what remains to be done.
#[test]
fn a_seal_that_fails_is_said_with_what_remains_to_be_done() {
    let shop = Shop::new();
    shop.require();
    let other = shop.make_key("other", "");
    let secret = shop.make_key("secret", "a passphrase");
    let kt = fs::read_to_string(format!("{}.pub", shop.key("kt"))).unwrap();
    shop.list("KT", "technician", &[kt.trim(), &secret]);
    assert_ne!(other, kt);
    let mut bench = shop.about_to_sign(OpenSsh::of_user());
    // A file that is not there is refused before anything is signed.
    choose_key(&mut bench, "kt", "/nowhere/key");
    bench.key(Key::Enter);
    assert!(bench.says("Key file: there is no file /nowhere/key."));
    assert!(matches!(bench.app().front(), Sheet::Sign(sheet) if !sheet.signed));
    assert!(bench.window.query_all_by_label("Key file").any(|node| node.is_focused()));
    // A key that the shop lists for nobody.
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(&shop.key("other"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.contains("It is signed, and not sealed: key SHA256:"), "{told}");
    assert!(told.contains("is listed for nobody") && told.contains("Shift+F12"), "{told}");
    let path = session(&bench);
    assert_eq!(stands(&path), (1, "signed, not sealed".to_owned(), 0));
    let remembered = &bench.app().preferences().key_files;
    assert!(remembered.is_empty(), "what sealed nothing is not remembered: {remembered:?}");
    // A passphrase is never asked for here, and nothing hangs on one.
    bench.press("Seal…");
    choose_key(&mut bench, "secret", &shop.key("secret"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.contains("has a passphrase") && told.contains("ssh-add"), "{told}");
    // It is still the sheet for the next try.
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, signed"), "{told}");
    assert_eq!(stands(&path), (0, "signed".to_owned(), 1));
}

#[test]
fn a_program_that_fails_or_never_ends_is_said() {
    let shop = Shop::new();
    let failing = shop.stand_in("echo 'sign: the device went away' >&2\nexit 255");
    let mut bench = shop.about_to_sign(failing);
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.contains("ssh-keygen would not sign: sign: the device went away."), "{told}");
    drop(bench);

    let shop = Shop::new();
    let slow = OpenSsh { patience: Duration::from_millis(200), ..shop.stand_in("exec sleep 600") };
    let mut bench = shop.about_to_sign(slow);
    // The agent is asked where no file is named.
    choose_key(&mut bench, "kt", "");
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.contains("waited less than a second for a passphrase, an agent or a touch"));
    let sealed = bench.app().sealing().map(|seal| &seal.progress);
    assert!(matches!(sealed, Some(SealProgress::Not(_))), "{told}");
}

/// The agent that a test started; it ends with the test.
struct Agent(std::process::Child);

impl Drop for Agent {
    fn drop(&mut self) {
        self.0.kill().unwrap();
        self.0.wait().unwrap();
    }
}

/// Where no file is named the user's agent seals, with the key that the shop lists; the next signature
/// begins with it.
#[test]
fn the_agent_seals_where_no_file_is_named() {
    let shop = Shop::new();
    let socket = shop.home.path().join("agent");
    let nothing = std::process::Stdio::null;
    let agent = Command::new("ssh-agent")
        .arg("-D")
        .arg("-a")
        .arg(&socket)
        .stdout(nothing())
        .stderr(nothing())
        .spawn()
        .expect("this test needs ssh-agent: install openssh-client");
    let _agent = Agent(agent);
    let with_agent =
        shop.stand_in(&format!("SSH_AUTH_SOCK={} exec ssh-keygen \"$@\"", socket.display()));
    let mut bench = shop.about_to_sign(with_agent);
    // The agent holds nothing yet.
    choose_key(&mut bench, "kt", "");
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.contains("your agent does not hold this key; load it with ssh-add"), "{told}");
    let added = Command::new("ssh-add")
        .args(["-q", &shop.key("kt")])
        .env("SSH_AUTH_SOCK", &socket)
        .status()
        .unwrap();
    assert!(added.success());
    // With the file gone nothing but the agent can seal.
    fs::remove_file(shop.key("kt")).unwrap();
    bench.press("Seal…");
    tab_to(&mut bench, "Key file");
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, signed: the seal holds"), "{told}");
    assert_eq!(stands(&session(&bench)), (0, "signed".to_owned(), 1));
    let kept: Vec<_> = bench.app().preferences().key_files.values().cloned().collect();
    assert_eq!(kept, [PathBuf::new()], "the agent");
    // A new round opens the record again; its signature is to be sealed with the same key.
    bench.key(Key::Escape);
    bench.key(Key::F9);
    bench.key(Key::Enter);
    bench.key(Key::F12);
    assert!(bench.says("Key file"), "a key is chosen");
}

/// A security key is to be touched, and that is said while it waits. (The key is no one's: its public line
/// was made by hand after OpenSSH's PROTOCOL.u2f.)
#[test]
fn a_security_key_is_to_be_touched() {
    const LINE: &str = "sk-ssh-ed25519@openssh.com AAAAGnNrLXNzaC1lZDI1NTE5QG9wZW5zc2guY29tAAAAIAECAwQFBgcI\
                        CQoLDA0ODxAREhMUFRYXGBkaGxwdHh8gAAAABHNzaDo= KT’s stick";
    let shop = Shop::new();
    shop.list("KT", "technician", &[LINE]);
    let mut bench = shop.about_to_sign(shop.stand_in("exec sleep 600"));
    tab_to(&mut bench, "Seal with ed25519 security key “KT’s stick” SHA256:");
    bench.key(Key::Space);
    tab_to(&mut bench, "Key file");
    bench.key(Key::Enter);
    until(&mut bench, "the key is waited for", waits);
    assert!(bench.says("Touch your key now: ed25519 security key “KT’s stick”"));
    bench.key(Key::Escape);
    assert!(done(&mut bench).contains("waiting for the key was stopped"));
}

/// A thread that dies, or never began, leaves it signed; the next one seals it.
#[test]
fn a_dead_worker_is_told_and_the_seal_made_later() {
    let shop = Shop::new();
    let mut bench = shop.about_to_sign(OpenSsh::of_user());
    bench.threads.only_kill(&[Work::Seal]);
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    let told = done(&mut bench);
    let again = Work::Seal.again();
    let said = format!("not sealed: Asking for a seal stopped unexpectedly. {again}");
    assert!(told.ends_with(&said), "{told}");
    bench.threads.only_kill(&[]);
    bench.press("Seal…");
    tab_to(&mut bench, "Key file");
    bench.type_text(&shop.key("kt"));
    bench.key(Key::Enter);
    assert!(done(&mut bench).starts_with("Sealed, signed"));
}

/// A session that is written anew, or held by another, while the key is waited for takes no seal.
#[test]
fn a_session_that_changed_meanwhile_is_not_sealed() {
    let shop = Shop::new();
    let go_on = shop.home.path().join("go-on");
    let slow = shop.stand_in(&format!(
        "while [ ! -e {} ]; do sleep 0.05; done\nexec ssh-keygen \"$@\"",
        go_on.display()
    ));
    let mut bench = shop.about_to_sign(slow);
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    until(&mut bench, "the key is waited for", waits);
    bench.wait_saved().unwrap();
    let path = session(&bench);
    // The bench turns to another session, and this one’s statement is changed, chain and all.
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("0173");
    bench.key(Key::Tab);
    bench.enter("KT");
    assert_ne!(session(&bench), path);
    let text = fs::read_to_string(&path).unwrap();
    let kept: String = text.split_inclusive('\n').take(text.lines().count() - 1).collect();
    fs::write(&path, kept).unwrap();
    fs::write(&go_on, "").unwrap();
    let told = done(&mut bench);
    assert!(told.contains("the file was written anew while the key was waited for"), "{told}");
    assert_eq!(review(&path, &RealDisk).unwrap().session.seals.len(), 0);
}

/// An answer to a session that is not on the bench is sealed in its own file; one that another program
/// writes to takes none.
#[test]
fn an_answer_to_another_session_is_sealed_there() {
    let shop = Shop::new();
    let mut bench = shop.about_to_sign(OpenSsh::of_user());
    choose_key(&mut bench, "kt", &shop.key("kt"));
    bench.key(Key::Enter);
    done(&mut bench);
    let path = session(&bench);
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::V);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("0173");
    bench.key(Key::Tab);
    bench.enter("KT");
    let on_bench = session(&bench);
    assert_ne!(on_bench, path);
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(bench.app().places().review.open.as_ref().unwrap().path, path);
    let countersign = |bench: &mut Bench| {
        bench.press("Answer");
        bench.fill("Supervisor", "SH");
        choose_key(bench, "sh", &shop.key("sh"));
        bench.press_anywhere("Countersign");
    };
    // Another program has it open: nothing is answered, so nothing is sealed.
    let opener = Opener { now: Stamp::now(), ..Opener::here("RB") };
    let held = SessionFile::open(&path, FileOptions::real(opener)).unwrap();
    assert!(matches!(held.access(), Access::Writing));
    countersign(&mut bench);
    assert!(!going_on(&bench));
    assert_eq!(stands(&path), (0, "signed".to_owned(), 1));
    drop(held);
    countersign(&mut bench);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, countersigned: the seal holds"), "{told}");
    assert_eq!(stands(&path), (0, "countersigned".to_owned(), 2));
    assert!(bench.says("Sealed as countersigned by SH, with key SHA256:"));
    assert_eq!(session(&bench), on_bench);
}

/// Where nothing can be sealed, that is said and why, and nothing is offered.
#[test]
fn what_cannot_be_sealed_is_not_offered_and_why_is_said() {
    let missing = || OpenSsh { program: None, ..OpenSsh::of_user() };
    let shop = Shop::new();
    shop.require();
    let mut bench = shop.about_to_sign(missing());
    assert!(!bench.says("Seal with"));
    assert!(bench.says("ssh-keygen is not found. Install OpenSSH’s client."));
    assert!(bench.says("The shop requires seals: without one it stands as “not sealed”."));
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    assert!(bench.says("Signed: the record is closed."));
    assert_eq!(stands(&session(&bench)), (1, "signed, not sealed".to_owned(), 0));
    // The sheet that seals says the same.
    bench.key(Key::Escape);
    bench.keys(Modifiers::SHIFT, Key::F12);
    assert!(bench.says("ssh-keygen is not found.") && !bench.says("Seal it"));
    drop(bench);

    // A hand without a key, and with one that was revoked.
    let shop = Shop::new();
    shop.list("KT", "technician", &[]);
    let bench = shop.about_to_sign(OpenSsh::of_user());
    assert!(bench.says("The shop lists no key of KT that is good today, to seal with."));
    assert!(!bench.says("The shop requires seals"));
    drop(bench);

    // Nothing signed: nothing to seal.
    let mut bench = Bench::open_sealing(shop.home.path(), WIDE, OpenSsh::of_user());
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0172");
    bench.key(Key::Tab);
    bench.enter("KT");
    bench.keys(Modifiers::SHIFT, Key::F12);
    assert!(bench.says("Nothing in force is signed there, so there is nothing to seal."));
}

#[test]
fn the_sheets_fit_every_size() {
    for size in [WIDE, vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let shop = Shop::new();
        shop.require();
        let bench = Bench::open_sealing(shop.home.path(), WIDE, OpenSsh::of_user());
        let mut bench = turn_to_confirm(begin(bench));
        confirm_all(&mut bench);
        bench.wait_saved().unwrap();
        drop(bench);
        let failing = shop.stand_in("echo 'no such device' >&2; exit 1");
        let mut bench = Bench::open_sealing(shop.home.path(), size, failing);
        bench.key(Key::F12);
        everything_fits(&bench, size, "sign");
        tab_to(&mut bench, "Seal with");
        everything_fits(&bench, size, "sign, key chosen");
        tab_to(&mut bench, "Sign “");
        everything_fits(&bench, size, "sign, at its button");
        bench.key(Key::Enter);
        done(&mut bench);
        everything_fits(&bench, size, "not sealed");
        bench.keys(Modifiers::SHIFT, Key::F12);
        everything_fits(&bench, size, "seal");
    }
}

/// The file of a key can be chosen with the desktop's dialog; where none answers that is said beside it.
#[test]
fn the_file_of_a_key_can_be_chosen_with_a_dialog() {
    let shop = Shop::new();
    let mut bench = shop.about_to_sign(OpenSsh::of_user());
    tab_to(&mut bench, "Seal with ed25519 “kt at the bench”");
    bench.key(Key::Space);
    tab_to(&mut bench, "Choose the key file…");
    bench.key(Key::Space);
    assert!(bench.says("No file dialog answers on this desktop."));
    let chosen = PathBuf::from(shop.key("kt"));
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(chosen.clone()));
    tab_to(&mut bench, "Choose the key file…");
    bench.key(Key::Space);
    let asked = bench.dialogs.asked.lock().unwrap().last().cloned();
    assert!(matches!(asked, Some(Ask::OpenKey { .. })), "{asked:?}");
    assert!(!bench.says("No file dialog answers") && bench.says(&chosen.display().to_string()));
    tab_to(&mut bench, "Key file");
    bench.key(Key::Enter);
    let told = done(&mut bench);
    assert!(told.starts_with("Sealed, signed"), "{told}");
}
