//! The system's limit on a file's size: what does not fit waits in memory, as on a full disk. (That the
//! program outlives the signal is in `tests/program`; here the child does what its `main` does first.)

use std::io::Write as _;
use std::path::Path;
use std::process::Command;

use record::{Access, Error, SaveState, SessionFile};

use crate::support::*;

/// Set for the child: the session to write.
const CHILD: &str = "SAMEPOINT_LIMIT_CHILD";

fn child(path: &Path) {
    signal_hook::flag::register(signal_hook::consts::SIGXFSZ, std::sync::Arc::default()).unwrap();
    let mut file = SessionFile::create(path, header(), HAND, real()).unwrap();
    for second in 1..1000 {
        file.append(long_session(10)[8].clone(), stamp(second), HAND).unwrap();
        settle(&mut file);
        if let SaveState::Stopped { why, waiting } = file.save_state() {
            assert!(matches!(why, Error::Io { .. }) && waiting == 1, "{why}");
            assert!(why.to_string().contains("file-size limit"), "{why}");
            // Said, kept, and told again at closing.
            file.append(long_session(10)[9].clone(), stamp(second + 1), HAND).unwrap();
            assert_eq!(file.unsaved().len(), 2);
            assert!(file.finish().is_err());
            let mut out = std::io::stdout();
            writeln!(out, "\nsaved {}", file.facts().len() - 2).unwrap();
            return;
        }
    }
    panic!("the limit was never met");
}

/// Not a test of its own: what the child does when this program is started as one.
#[test]
fn child_role() {
    if let Some(path) = std::env::var_os(CHILD) {
        child(Path::new(&path));
    }
}

#[test]
fn beyond_the_file_size_limit_facts_wait_and_what_was_saved_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    // `ulimit -f` of POSIX sh counts blocks of 512 bytes, of bash 1024: small either way.
    let done = Command::new("sh")
        .args(["-c", "ulimit -f 8 && exec \"$0\" \"$@\""])
        .arg(std::env::current_exe().unwrap())
        .args(["--exact", "limit::child_role", "--nocapture", "--test-threads=1"])
        .env(CHILD, &path)
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success(), "{:?}: {words}", done.status);
    let saved = words.lines().find_map(|line| line.strip_prefix("saved ")).unwrap();
    let file = SessionFile::open(&path, real()).unwrap();
    assert!(matches!(file.access(), Access::Writing), "{}", file.access());
    assert_eq!(file.facts().len().to_string(), saved);
}
