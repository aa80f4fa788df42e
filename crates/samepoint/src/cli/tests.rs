#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

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
    Arguments::command().debug_assert();
}
