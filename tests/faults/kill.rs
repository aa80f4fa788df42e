//! A scripted session killed at random moments, over and over, and always found whole.
//!
//! The child is this program again, told by the environment what to do. A dozen kills here;
//! `cargo run --release -p record --example kill_runs -- 500` makes as many as wanted.
//! (A kill leaves the system's page cache in place; for the pulled plug see `power`.)

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use record::{Access, Fact, Header, SessionFile};

use crate::support::*;

/// Set for the child: the session to write.
pub(crate) const CHILD: &str = "SAMEPOINT_KILL_CHILD";

/// The fact that has a place in the script of a format, whichever run writes it.
fn scripted(seq: u64, format: u32) -> Fact {
    let mut bodies = in_format(format, beginning());
    let index = seq as usize - 1;
    let body = if index < bodies.len() {
        bodies.swap_remove(index)
    } else if format == 2 && index.is_multiple_of(5) {
        record::Body::Frame(frame(8))
    } else {
        log(solver::Channel::BOTH[index % 2], &seq.to_string(), &format!("{}.5", seq % 30), "-3")
    };
    Fact { seq, time: stamp(seq as i64), hand: HAND.to_owned(), body }
}

/// Adds facts to a session for ever, and says each time what is saved. Killed, it does not return;
/// forgotten, it stops by itself.
pub(crate) fn child(path: &Path) {
    let began = Instant::now();
    let mut file = if path.exists() {
        SessionFile::open(path, real()).unwrap()
    } else {
        // The file's name is the format it is to be written in.
        let format = if path.file_name().is_some_and(|name| name == "2.samepoint") { 2 } else { 1 };
        SessionFile::create(path, Header { format, ..header() }, HAND, real()).unwrap()
    };
    go_on(&mut file);
    let mut out = std::io::stdout();
    writeln!(out, "\nsaved {}", spoken(&file)).unwrap();
    while began.elapsed() < Duration::from_secs(20) {
        let fact = scripted(spoken(&file) + 1, file.format());
        file.append(fact.body, fact.time, HAND).unwrap();
        for event in settle(&mut file) {
            let record::Event::Saved { seq } = event else { panic!("{event:?}") };
            let marks =
                file.facts()[..seq as usize].iter().filter(|fact| fact.body.mark().is_some());
            writeln!(out, "saved {}", seq - marks.count() as u64).unwrap();
            out.flush().unwrap();
        }
    }
}

/// Where a kill left a line that is not whole, says to go on without it.
fn go_on(file: &mut SessionFile) -> bool {
    let missing = file.end_missing().is_some();
    if missing {
        file.set_end_aside(stamp(0), HAND).unwrap();
        settle(file);
    }
    assert!(matches!(file.access(), Access::Writing), "{}", file.access());
    missing
}

/// How many facts are the script's own.
fn spoken(file: &SessionFile) -> u64 {
    file.facts().iter().filter(|fact| fact.body.mark().is_none()).count() as u64
}

/// Lets a child write until it is killed at a random moment after its `least`-th word.
fn killed(mut child: Child, moment: Duration) -> u64 {
    let mut words = BufReader::new(child.stdout.take().unwrap());
    let mut saved = 0;
    let mut line = String::new();
    // The moment counts from the first word: before it there is nothing to lose.
    while saved == 0 {
        line.clear();
        assert!(words.read_line(&mut line).unwrap() > 0, "the child ended by itself");
        saved = saved_by(&line).unwrap_or(0);
    }
    std::thread::sleep(moment);
    child.kill().unwrap();
    child.wait().unwrap();
    loop {
        line.clear();
        if words.read_line(&mut line).unwrap() == 0 {
            return saved;
        }
        // A word cut off by the kill was not said.
        if line.ends_with('\n') {
            saved = saved_by(&line).unwrap_or(saved);
        }
    }
}

fn saved_by(line: &str) -> Option<u64> {
    line.trim().strip_prefix("saved ")?.parse().ok()
}

/// Kills as often as told. A session is written on by the next child until it is long enough;
/// `(facts found, tails set aside)`.
pub(crate) fn kills(count: usize, again: impl Fn() -> Command) -> (u64, usize) {
    let folder = tempfile::tempdir().unwrap();
    let (mut facts, mut tails, mut sessions) = (0, 0, [0; 2]);
    // xorshift64, fixed seed: moments differ from run to run of the machine anyway.
    let mut random = 0x9e37_79b9_7f4a_7c15_u64;
    for kill in 0..count {
        // Each format in turn.
        let (format, session) = (kill % 2 + 1, &mut sessions[kill % 2]);
        let of_session = folder.path().join(session.to_string());
        std::fs::create_dir_all(&of_session).unwrap();
        let path = of_session.join(format!("{format}.samepoint"));
        let child = again().env(CHILD, &path).stdout(Stdio::piped()).spawn().unwrap();
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let saved = killed(child, Duration::from_micros(random % 20_000));
        let mut file = SessionFile::open(&path, real()).unwrap();
        assert_eq!(file.format() as usize, format);
        let found = spoken(&file);
        assert!(found >= saved, "saved {saved}, found {found}");
        let said = file.facts()[1..].iter().filter(|fact| fact.body.mark().is_none());
        for (seq, fact) in (2..).zip(said) {
            assert_eq!(
                (&fact.body, &fact.hand),
                (&scripted(seq, file.format()).body, &HAND.to_owned())
            );
        }
        tails += usize::from(go_on(&mut file));
        if found > 400 {
            facts += found;
            *session += 1;
        }
    }
    (facts, tails)
}

/// Not a test of its own: what the child does when this program is started as one.
#[test]
fn child_role() {
    if let Some(path) = std::env::var_os(CHILD) {
        child(Path::new(&path));
    }
}

#[cfg(test)]
fn this_program() -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "kill::child_role", "--nocapture", "--test-threads=1"]);
    command
}

#[test]
fn twelve_kills_lose_nothing_saved() {
    kills(12, this_program);
}

#[test]
fn two_programs_never_write_at_once_and_a_killed_one_lets_go() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    let mut first = this_program().env(CHILD, &path).stdout(Stdio::piped()).spawn().unwrap();
    let mut words = BufReader::new(first.stdout.take().unwrap());
    let mut line = String::new();
    while saved_by(&line).is_none() {
        line.clear();
        assert!(words.read_line(&mut line).unwrap() > 0, "the child ended by itself");
    }
    let second = SessionFile::open(&path, real()).unwrap();
    let words_said = second.access().to_string();
    assert!(words_said.contains("R. Voss at bench-2"), "{words_said}");
    first.kill().unwrap();
    first.wait().unwrap();
    let third = SessionFile::open(&path, real()).unwrap();
    assert!(matches!(third.access(), Access::Writing), "{}", third.access());
}
