//! What a stranger, a broken disk or a prank may leave where the program reads: it says what is wrong
//! or gives an answer, soon, on one line, and writes nowhere but where it was told to.

use std::ffi::{OsStr, OsString};
use std::fs::{self, File};
use std::os::unix::ffi::OsStringExt as _;
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use record::file::write_all_lines;

use crate::hostile_texts::{corpus, nothing_hides_in, with_texts};
use crate::run::{Run, command, readings, root};

/// What takes longer hangs: everything here takes well below a second.
const PATIENCE: Duration = Duration::from_secs(20);

/// Runs the program; one that hangs is ended and fails the test.
#[track_caller]
fn samepoint<S: AsRef<OsStr>>(arguments: &[S]) -> Run {
    let said = tempfile::tempdir().unwrap();
    let [out, err] = ["out", "err"].map(|name| said.path().join(name));
    let mut child = command()
        .args(arguments)
        .stdout(File::create(&out).unwrap())
        .stderr(File::create(&err).unwrap())
        .spawn()
        .unwrap();
    let began = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if began.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            let arguments: Vec<&OsStr> = arguments.iter().map(AsRef::as_ref).collect();
            panic!("it hangs: samepoint {arguments:?}");
        }
        std::thread::sleep(Duration::from_millis(3));
    };
    let text = |path: &Path| fs::read_to_string(path).expect("it says everything in UTF-8");
    Run { code: status.code().expect("it ends by itself"), out: text(&out), err: text(&err) }
}

/// Every command that reads the file, given it in every place where a file is read.
fn every_reader(file: &Path, folder: &Path) -> Vec<Vec<OsString>> {
    let words = |words: &[&OsStr]| words.iter().map(|&word| word.to_owned()).collect::<Vec<_>>();
    let word = |text: &'static str| OsStr::new(text);
    let good = root().join(readings("good.csv"));
    let to = folder.join("out.pdf");
    vec![
        words(&[word("solve"), file.as_os_str()]),
        words(&[word("solve"), good.as_os_str(), word("--housing"), file.as_os_str()]),
        words(&[word("review"), file.as_os_str()]),
        words(&[word("review"), file.as_os_str(), word("--json")]),
        words(&[word("report"), file.as_os_str(), word("--to"), to.as_os_str()]),
        words(&[word("shop"), file.as_os_str()]),
        words(&[file.as_os_str()]),
    ]
}

/// Names and lengths of all that lies below a folder, links not followed.
fn listing(folder: &Path) -> Vec<(PathBuf, u64)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let metadata = path.symlink_metadata().unwrap();
        if metadata.is_dir() {
            found.extend(listing(&path));
        }
        found.push((path, metadata.len()));
    }
    found.sort();
    found
}

fn fifo(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

fn a_session() -> PathBuf {
    let mut sessions: Vec<PathBuf> = fs::read_dir(root().join("demo-data/sessions"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "samepoint"))
        .collect();
    sessions.sort();
    sessions.remove(0)
}

/// Nothing but a plain file is read, whatever its name ends in.
#[test]
fn what_is_no_plain_file_is_refused_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for name in ["pipe", "pipe.csv", "pipe.samepoint", "pipe.ron"] {
        fifo(&at(name));
    }
    let _socket = UnixListener::bind(at("socket.samepoint")).unwrap();
    symlink(at("loop.b"), at("loop.a")).unwrap();
    symlink(at("loop.a"), at("loop.b")).unwrap();
    symlink("nowhere", at("nowhere.samepoint")).unwrap();
    symlink("/dev/zero", at("zeros.samepoint")).unwrap();
    let mut named: Vec<PathBuf> =
        listing(folder.path()).into_iter().map(|(path, _)| path).collect();
    named.extend(
        ["/dev/zero", "/dev/null", "/dev/tty", "/dev/urandom", "/proc/self/mem"].map(PathBuf::from),
    );
    named.push(PathBuf::from("/dev/full"));
    named.push(folder.path().to_owned());
    let before = listing(folder.path());
    for file in &named {
        for arguments in every_reader(file, folder.path()) {
            samepoint(&arguments).refused();
        }
    }
    assert_eq!(listing(folder.path()), before, "no lock, no report, nothing");
}

/// System files that say they hold nothing and would keep a reader waiting are taken at their word.
#[test]
fn files_of_the_system_are_no_trap() {
    let folder = tempfile::tempdir().unwrap();
    for file in ["/proc/kmsg", "/proc/self/pagemap", "/proc/kcore", "/proc/self/environ"] {
        for arguments in every_reader(Path::new(file), folder.path()) {
            samepoint(&arguments).refused();
        }
    }
}

/// A terabyte with next to nothing in it is refused by its size or at its first line.
#[test]
fn a_terabyte_is_refused_unread() {
    let folder = tempfile::tempdir().unwrap();
    let session = fs::read(a_session()).unwrap();
    let lines = session.iter().filter(|byte| **byte == b'\n').count();
    for (name, begins) in [
        ("huge.csv", b"channel,ring_deg,x_arcmin,y_arcmin\nL,0,1,2\n".as_slice()),
        ("huge.ron", b"housing: (name: \"A\")\n"),
        ("empty.samepoint", b""),
        ("line-feeds.samepoint", b"\n\n\n\n"),
    ] {
        let file = folder.path().join(name);
        fs::write(&file, begins).unwrap();
        File::options().append(true).open(&file).unwrap().set_len(1 << 40).unwrap();
        for arguments in every_reader(&file, folder.path()) {
            samepoint(&arguments).refused();
        }
    }
    // Behind a good session: the session is there, and it is damaged.
    let file = folder.path().join("session.samepoint");
    fs::write(&file, session).unwrap();
    File::options().append(true).open(&file).unwrap().set_len(1 << 40).unwrap();
    let account = samepoint(&["review", file.to_str().unwrap()]).answered(3);
    assert!(account.contains(&format!("DAMAGED: line {}", lines + 1)), "{account}");
}

/// Bytes of every kind, in every place.
#[test]
fn bytes_of_any_kind_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let nested = |open: &str, close: &str| open.repeat(200_000) + &close.repeat(200_000);
    for (number, bytes) in [
        b"\n".to_vec(),
        b"\0".repeat(10_000),
        b"\xff\xfe\0\0".to_vec(),
        (0..=255).cycle().take(100_000).collect(),
        nested("(", ")").into_bytes(),
        nested("[", "]").into_bytes(),
        nested("Some(", ")").into_bytes(),
        nested("/*", "*/").into_bytes(),
        format!("(format: 1, housing: (name: \"{}", "x".repeat(900_000)).into_bytes(),
        format!("(format: {})", "9".repeat(100_000)).into_bytes(),
        format!("(\"{}\", (format: 1))\n", "0".repeat(64)).into_bytes(),
        format!("channel,ring_deg,x_arcmin,y_arcmin\n{}", ",".repeat(3_000_000)).into_bytes(),
        "\r".repeat(1_000_000).into_bytes(),
    ]
    .into_iter()
    .enumerate()
    {
        let file = folder.path().join(format!("bytes-{number}.ron"));
        fs::write(&file, bytes).unwrap();
        for arguments in every_reader(&file, folder.path()) {
            let run = samepoint(&arguments);
            // A line that looks like one of ours but does not hold is damage, which review tells.
            if arguments.first().is_some_and(|command| command == "review") && run.code == 3 {
                continue;
            }
            run.refused();
        }
    }
}

/// Line feeds, commands to the terminal, marks that turn the reading direction, and bytes that are no
/// letters: names are told on one line, their marks to be seen.
#[test]
fn names_cannot_mislead() {
    let folder = tempfile::tempdir().unwrap();
    let names: Vec<OsString> = vec![
        "two\nlines".into(),
        "left\u{202e}tniopemas.fdp".into(),
        "clear\u{1b}[2J\u{9b}2J\u{7}".into(),
        "isolate\u{2067}x\u{2069}\u{200f}".into(),
        "separate\u{2028}x\u{2029}".into(),
        OsString::from_vec(b"bytes\xff\xfe".to_vec()),
        " ".into(),
        "-".into(),
        "a'b\"c$(true)`true`;&|".into(),
        "é".repeat(120).into(),
    ];
    let readings = fs::read(root().join(readings("good.csv"))).unwrap();
    let session = fs::read(a_session()).unwrap();
    for (number, name) in names.iter().enumerate() {
        let inside = folder.path().join(number.to_string()).join(name);
        fs::create_dir_all(inside.join("sessions")).unwrap();
        let named = |extension: &str| {
            let mut full = name.clone();
            full.push(extension);
            inside.join("sessions").join(full)
        };
        fs::write(named(".csv"), &readings).unwrap();
        fs::write(named(".samepoint"), &session).unwrap();
        fs::write(named(".bad.samepoint"), "no session").unwrap();
        let word = |text: &str| OsString::from(text);
        for (arguments, code) in [
            (vec![word("solve"), named(".csv").into()], 0),
            (vec![word("review"), named(".samepoint").into()], 0),
            (
                vec![
                    word("report"),
                    named(".samepoint").into(),
                    word("--to"),
                    named(".pdf").into(),
                ],
                0,
            ),
            (
                vec![
                    word("shop"),
                    inside.clone().into(),
                    word("--csv"),
                    named(".table.csv").into(),
                ],
                1,
            ),
            (vec![word("review"), named(".bad.samepoint").into()], 2),
            (vec![word("review"), named(".not-there").into()], 2),
            (
                vec![
                    word("report"),
                    named(".samepoint").into(),
                    word("--to"),
                    named(".txt").into(),
                ],
                2,
            ),
            (vec![named(".not-there").into()], 2),
            (vec![word("solve"), word("a.csv"), named(".csv").into()], 2),
            (vec![word("solve"), word("--window"), name.clone(), named(".csv").into()], 2),
        ] {
            let run = samepoint(&arguments);
            // Whatever verdict the demo session has, it is no refusal.
            let as_wanted = run.code == code || (code == 0 && run.code == 1);
            assert!(as_wanted, "{arguments:?}: {} {}", run.code, run.err);
            assert!(run.err.lines().count() <= 1, "{}", run.err);
            assert!(code != 2 || run.out.is_empty(), "{}", run.out);
            for said in [&run.out, &run.err] {
                let hidden = |c: char| c != '\n' && record::shown::is_hidden(c);
                assert!(!said.contains(hidden), "{arguments:?}: {said:?}");
            }
            if name == "two\nlines" {
                assert!(!run.out.contains("two\nlines") && !run.err.contains("two\nlines"));
            }
        }
        assert!(fs::read(named(".pdf")).unwrap().starts_with(b"%PDF-"));
        let table = fs::read_to_string(named(".table.csv")).unwrap();
        assert_eq!(table.matches("samepoint").count(), 1, "{table}");
    }
}

/// Arguments of no sense, and of no letters.
#[test]
fn arguments_cannot_mislead() {
    for arguments in [
        vec![OsString::from("")],
        vec![OsString::from("\u{202e}")],
        vec![OsString::from_vec(b"\xff".to_vec())],
        vec!["solve".into(), OsString::from_vec(b"\xff".to_vec())],
        vec!["solve".into(), "--sigma".into(), OsString::from_vec(b"\xff".to_vec())],
        vec!["solve".into(), "x".into(), "--window".into(), "1\n2".into()],
        vec!["solve".into(), "x".into(), "--swing".into(), "\u{1b}[2J".into()],
        vec!["solve".into(), "--no\nsuch".into()],
        vec!["x".repeat(100_000).into()],
        vec!["review".into(), "x/".repeat(50_000).into()],
        vec!["shop".into(), "../".repeat(40_000).into()],
        vec!["report".into(), "x".into(), "--to".into(), "".into()],
        vec!["report".into(), "x".into(), "--paper".into(), "\n".into()],
    ] {
        let message = samepoint(&arguments).refused();
        assert!(!message.contains(record::shown::is_hidden), "{message:?}");
    }
}

/// What a broken or spiteful shop holds beside its sessions is named and passed over.
#[test]
fn a_shop_full_of_traps_is_surveyed() {
    let folder = tempfile::tempdir().unwrap();
    let sessions = folder.path().join("sessions");
    fs::create_dir_all(sessions.join("folder.samepoint")).unwrap();
    let at = |name: &str| sessions.join(name);
    fs::copy(a_session(), at("good.samepoint")).unwrap();
    fifo(&at("pipe.samepoint"));
    symlink("loop.samepoint", at("loop.samepoint")).unwrap();
    symlink("/dev/zero", at("zeros.samepoint")).unwrap();
    symlink(&sessions, at("again.samepoint")).unwrap();
    fs::write(at("huge.samepoint"), "").unwrap();
    File::options().append(true).open(at("huge.samepoint")).unwrap().set_len(1 << 40).unwrap();
    let run = samepoint(&["shop", folder.path().to_str().unwrap()]);
    assert_eq!(run.code, 1, "{}", run.err);
    for name in ["pipe", "loop", "zeros", "huge"] {
        assert!(run.err.contains(&format!("{name}.samepoint")), "{name}: {}", run.err);
    }
    assert_eq!(run.err.lines().count(), 4, "{}", run.err);
    assert!(run.out.starts_with("1 session, 0 of practice left out; 4 passed over"), "{}", run.out);
}

/// A report and a table go where they were told to, and nowhere a name leads on to.
#[test]
fn nothing_is_written_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let session = at("one.samepoint");
    fs::copy(a_session(), &session).unwrap();
    let report = |to: &Path| {
        samepoint(&[OsStr::new("report"), session.as_os_str(), OsStr::new("--to"), to.as_os_str()])
    };

    // A link to a report: the link becomes the new report, the old one stays as it is.
    let old = elsewhere.path().join("old.pdf");
    report(&old).answered(0);
    let before = fs::read(&old).unwrap();
    symlink(&old, at("link.pdf")).unwrap();
    report(&at("link.pdf")).answered(0);
    assert!(fs::read(&old).unwrap() == before && old.symlink_metadata().unwrap().is_file());
    assert!(at("link.pdf").symlink_metadata().unwrap().is_file());

    // A link to nothing: nothing comes to be there.
    symlink(elsewhere.path().join("new.pdf"), at("dangling.pdf")).unwrap();
    report(&at("dangling.pdf")).answered(0);
    assert_eq!(listing(elsewhere.path()).len(), 1);

    // Links to other things, pipes, folders, and under the session itself.
    let letter = elsewhere.path().join("letter");
    fs::write(&letter, "dear customer").unwrap();
    symlink(&letter, at("letter.pdf")).unwrap();
    symlink(&session, at("session.pdf")).unwrap();
    symlink("round.pdf", at("round.pdf")).unwrap();
    symlink("/dev/null", at("null.pdf")).unwrap();
    fifo(&at("pipe.pdf"));
    fs::create_dir(at("folder.pdf")).unwrap();
    fs::write(at("file"), "").unwrap();
    let before = (listing(folder.path()), listing(elsewhere.path()));
    for name in ["letter", "session", "round", "null", "pipe", "folder", "file/under", "no/folder"]
    {
        report(&at(&format!("{name}.pdf"))).refused();
    }
    for name in ["pipe.pdf", "letter.pdf", "session.pdf"] {
        let table = at(name);
        let shop =
            [OsStr::new("shop"), OsStr::new("demo-data"), OsStr::new("--csv"), table.as_os_str()];
        samepoint(&shop).refused();
    }
    assert_eq!((listing(folder.path()), listing(elsewhere.path())), before);
    // Reading has left no lock and no temporary file, either.
    assert!(
        before.0.iter().all(|(path, _)| !path
            .file_name()
            .unwrap()
            .as_encoded_bytes()
            .starts_with(b"."))
    );
}

/// A session whose every text holds what is no word: told, drawn and listed without harm.
#[test]
fn texts_of_a_session_cannot_mislead() {
    let folder = tempfile::tempdir().unwrap();
    let sessions = folder.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let path = sessions.join("a.samepoint");
    let facts = record::file::scan(Path::new("a"), File::open(a_session()).unwrap()).unwrap().facts;
    let [name, shop] = [&path, folder.path()].map(|path: &Path| path.to_str().unwrap());
    let [pdf, svg, csv] = ["a.pdf", "a.svg", "a.csv"].map(|name| folder.path().join(name));
    // A hand of nothing but marks names nobody, which is said in a line of our own.
    let mut lines = std::collections::BTreeMap::new();
    for text in [vec!["KT".to_owned(), "not named".to_owned()], corpus()].concat() {
        write_all_lines(&with_texts(&facts, &text), File::create(&path).unwrap()).unwrap();
        let mut told = Vec::new();
        for arguments in [
            vec!["review", name],
            vec!["review", name, "--json"],
            vec!["report", name, "--to", pdf.to_str().unwrap()],
            vec!["report", name, "--to", svg.to_str().unwrap()],
            vec!["shop", shop, "--csv", csv.to_str().unwrap()],
        ] {
            let began = Instant::now();
            let run = samepoint(&arguments);
            assert!(run.code != 2 && run.err.is_empty(), "{arguments:?}: {}", run.err);
            assert!(began.elapsed() < PATIENCE / 2, "{arguments:?}: {:?}", began.elapsed());
            told.push(run.out);
        }
        assert!(serde_json::from_str::<serde_json::Value>(&told[1]).is_ok());
        told.push(fs::read_to_string(&svg).unwrap());
        told.push(fs::read_to_string(&csv).unwrap());
        told.iter().for_each(|said| nothing_hides_in(said));
        // No text makes a line of its own: there are as many as with a plain one.
        let count: Vec<usize> = told.iter().map(|said| said.lines().count()).collect();
        let plain = lines.entry(record::is_nobody(&text)).or_insert_with(|| count.clone());
        assert_eq!(*plain, count, "{text:?}\n{}", told[0]);
        let signed = |line: &&str| line.starts_with("Signed") || line.starts_with("Countersigned");
        assert!(told[0].lines().filter(signed).count() <= 2, "{}", told[0]);
        // No cell of the table is a formula (OWASP, CSV Injection; from memory).
        for cell in told[6].lines().skip(1).flat_map(|row| row.split(',')) {
            let begins = cell.trim_start_matches('"').chars().next();
            let formula = begins.is_some_and(|c| "=+@".contains(c) || c == '-');
            assert!(!formula || cell.parse::<f64>().is_ok(), "{cell}");
        }
        assert!(fs::read(&pdf).unwrap().starts_with(b"%PDF-"));
        for written in [&pdf, &svg, &csv] {
            fs::remove_file(written).unwrap();
        }
    }
}
