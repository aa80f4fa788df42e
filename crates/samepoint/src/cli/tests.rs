#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

use std::fmt::Write as _;

use proptest::prelude::*;

use super::*;

/// Standard output that fails in a given way.
struct Failing(io::ErrorKind);

impl Write for Failing {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(self.0.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Err(self.0.into())
    }
}

fn answered() -> Outcome {
    Outcome::Answered { text: "answer\n".into(), code: 1 }
}

#[test]
fn an_answer_goes_out_and_a_refusal_aside() {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    assert_eq!(answered().told(&mut out, &mut err), 1);
    assert_eq!((out.as_slice(), err.as_slice()), (b"answer\n".as_slice(), b"".as_slice()));
    let (mut out, mut err) = (Vec::new(), Vec::new());
    assert_eq!(Outcome::refused("no".into()).told(&mut out, &mut err), 2);
    assert_eq!((out.as_slice(), err.as_slice()), (b"".as_slice(), b"samepoint: no\n".as_slice()));
}

#[test]
fn a_reader_that_has_left_changes_nothing() {
    let mut err = Vec::new();
    assert_eq!(answered().told(&mut Failing(io::ErrorKind::BrokenPipe), &mut err), 1);
    assert!(err.is_empty());
}

#[test]
fn an_answer_that_cannot_be_written_is_said_so() {
    let mut err = Vec::new();
    assert_eq!(answered().told(&mut Failing(io::ErrorKind::StorageFull), &mut err), 2);
    assert!(String::from_utf8(err).unwrap().contains("could not be written"));
}

#[test]
fn the_bench_opens_without_a_command() {
    let opened = |arguments: &[&str]| {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let arguments = arguments.iter().map(OsString::from);
        match run(arguments, &mut out, &mut err) {
            Invocation::Bench { path } => {
                assert!(out.is_empty() && err.is_empty());
                path
            }
            Invocation::Done(_) => panic!("{}", String::from_utf8_lossy(&err)),
        }
    };
    assert_eq!(opened(&["samepoint"]), None);
    let folder = std::env::temp_dir();
    assert_eq!(opened(&["samepoint", folder.to_str().unwrap()]), Some(folder));
}

#[test]
fn clap_is_content_with_the_arguments() {
    use clap::CommandFactory as _;
    CliArguments::command().debug_assert();
}

/// Few places and angles, so that lines, repeats, tangents and equal circles all come up.
fn row() -> impl Strategy<Value = (char, Option<i32>, i32, i32)> {
    let ring = proptest::option::weighted(0.7, (-2..8_i32).prop_map(|step| step * 90));
    (prop::sample::select(vec!['L', 'R']), ring, -3..4_i32, -3..4_i32)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever the readings, there is an answer that fits a terminal or a refusal in one line, and
    /// both forms of the answer say the same with the same exit code.
    #[test]
    fn every_file_of_readings_is_answered_or_refused(
        rows in prop::collection::vec(row(), 0..14),
        more in prop::sample::subsequence(vec!["--window=4,2,1,3", "--sigma=0.5", "--sense=against"], 0..=3),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("readings.csv");
        let mut text = String::from("channel,ring_deg,x_arcmin,y_arcmin\n");
        for (channel, ring, x, y) in rows {
            let ring = ring.map(|ring| ring.to_string()).unwrap_or_default();
            writeln!(text, "{channel},{ring},{x},{y}").unwrap();
        }
        std::fs::write(&file, text).unwrap();
        let outcome = |json: &[&str]| {
            let arguments = ["samepoint", "solve", file.to_str().unwrap()];
            let arguments = arguments.iter().chain(&more).chain(json);
            match CliArguments::try_parse_from(arguments).unwrap().command {
                Some(CliCommand::Solve(solve)) => solve::run(&solve)
                    .unwrap_or_else(|refusal| Outcome::refused(refusal.to_string())),
                other => panic!("not solve but {other:?}"),
            }
        };
        match (outcome(&[]), outcome(&["--json"])) {
            (Outcome::Answered { text, code }, Outcome::Answered { text: json, code: json_code }) => {
                prop_assert_eq!(code, json_code);
                for line in text.lines().skip(1) {
                    prop_assert!(line.chars().count() <= 80, "{}", line);
                }
                // The first line names the file, whose folder may be called anything.
                let told = text.split_once('\n').map_or("", |(_, told)| told);
                prop_assert!(!told.contains("NaN") && !told.contains("inf′"), "{}", text);
                let answer: serde_json::Value = serde_json::from_str(&json).unwrap();
                let verdict = answer["verdict"].as_str();
                let meets = answer["setting"]["kind"] == "crossing";
                let good = match verdict {
                    Some("inside") => true,
                    Some("no window") => meets,
                    _ => false,
                };
                prop_assert_eq!(code == 0, good, "{}", json);
                let said = text.lines().find_map(|line| line.strip_prefix("Verdict: "));
                if let (Some(said), Some(verdict)) = (said, verdict) {
                    prop_assert!(said.starts_with(verdict), "{}", text);
                }
            }
            (Outcome::Refused { message }, Outcome::Refused { message: same }) => {
                prop_assert_eq!(message.lines().count(), 1);
                prop_assert_eq!(message, same);
            }
            (words, json) => prop_assert!(false, "{:?} but {:?}", words, json),
        }
    }
}
