//! The fuzzers' corpus, replayed: every input that once taught the fuzzer, or us, something.

#[path = "../fuzz/inputs.rs"]
mod inputs;

use std::path::Path;

/// Runs every input of a target; how many there were.
fn replay(target: &str, run: fn(&[u8])) -> usize {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz/corpus").join(target);
    let mut count = 0;
    for entry in std::fs::read_dir(&folder).unwrap() {
        run(&std::fs::read(entry.unwrap().path()).unwrap());
        count += 1;
    }
    count
}

#[test]
fn the_session_readers_corpus() {
    assert!(replay("session", inputs::session) >= 3);
}

#[test]
fn the_csv_readers_corpus() {
    assert!(replay("csv", inputs::csv) >= 3);
}

#[test]
fn the_folds_corpus() {
    assert!(replay("fold", inputs::fold_facts) >= 3);
}

#[test]
fn the_solvers_corpus() {
    assert!(replay("solve", inputs::solve) >= 3);
}
