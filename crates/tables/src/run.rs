//! From arguments to an exit code: 0 done, 1 done with something passed over, 2 unusable.

use std::ffi::OsString;
use std::io::{self, Write};
use std::num::NonZeroUsize;
use std::thread;

use clap::Parser as _;
use clap::error::ErrorKind;
use record::figures::counted_s;
use record::shown;

use crate::arguments::Arguments;
use crate::columns::told::told;
use crate::make::{Made, make};
use crate::output::RealStore;
use crate::refusal::TablesRefusal;

/// Done, with something passed over.
const PASSED_OVER: u8 = 1;

/// Nothing usable.
const UNUSABLE: u8 = 2;

/// Does what the arguments ask for (the first of them is the program's own name): answers go to `out`, what
/// was passed over and refusals to `err`.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let asked = match Arguments::try_parse_from(arguments) {
        Ok(asked) => asked,
        Err(error) => return from_clap(&error, out, err),
    };
    if asked.schema {
        return answered(&told(), 0, out, err);
    }
    let to = asked.to.ok_or(TablesRefusal::Nothing);
    let workers = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    match to.and_then(|to| make(&asked.folders, &to, workers, &RealStore)) {
        Ok(made) => {
            for message in &made.said.passed_over {
                let _ = writeln!(err, "samepoint: {}", shown::one_line(message));
            }
            let code = if made.said.passed_over.is_empty() { 0 } else { PASSED_OVER };
            answered(&words(&made), code, out, err)
        }
        Err(refusal) => refused(&refusal.to_string(), err),
    }
}

fn refused(message: &str, err: &mut dyn Write) -> u8 {
    // Where standard error fails too, the code remains.
    let _ = writeln!(err, "samepoint: {}", shown::one_line(message));
    UNUSABLE
}

fn answered(text: &str, code: u8, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    match out.write_all(shown::lines(text).as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != io::ErrorKind::BrokenPipe => {
            refused(&format!("what was done cannot be said: {why}"), err)
        }
        _ => code,
    }
}

/// Help and version are answers; anything else is cut down to one sentence.
fn from_clap(error: &clap::Error, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    let text = error.render().to_string();
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return answered(&text, 0, out, err);
    }
    let first = text.split("\n\n").next().unwrap_or_default();
    let sentence = first.split_whitespace().collect::<Vec<_>>().join(" ");
    let sentence = sentence.strip_prefix("error: ").unwrap_or(&sentence);
    refused(&format!("{sentence}; `samepoint tables --help` says more"), err)
}

fn words(made: &Made) -> String {
    let Made { shops, said, changes, months, as_before, notes } = made;
    let mut lines = vec![format!(
        "{}, {}, {} of them counted; {} passed over",
        counted_s(*shops, "shop"),
        counted_s(said.sessions, "session file"),
        said.counting,
        said.passed_over.len()
    )];
    let there = format!("{} ({} bytes)", counted_s(changes.files, "file"), changes.bytes);
    lines.push(if *as_before {
        format!("Nothing changed since the last run: {there} as they were")
    } else {
        format!(
            "{there}: {} written, {} taken away; {} of {} worked out",
            changes.written,
            changes.removed,
            months.worked_out,
            counted_s(months.all, "month")
        )
    });
    lines.extend(notes.iter().chain(&said.notes).map(|note| shown::one_line(note).into_owned()));
    lines.join("\n") + "\n"
}
