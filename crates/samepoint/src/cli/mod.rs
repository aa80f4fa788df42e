//! The command line: what needs no display, and whether the bench is to be opened.
//!
//! - `arguments`: what can be typed;
//! - `solve`: `samepoint solve`, from a file of readings to an answer and an exit code;
//! - `relative`: the same from differences alone;
//! - `review`: `samepoint review`, from a session to an account of it; `account`: that as JSON;
//! - `calibration`: both of a station's calibration;
//! - `beside`: what the shop beside a session says of it;
//! - `seal`: `samepoint seal`, by OpenSSH’s own program;
//! - `report`: `samepoint report`, from a session to paper;
//! - `shop`: `samepoint shop`, every session of a shop; `shop_json`: what they tell, as JSON; `round_robin`: one
//!   unit on several benches;
//! - `tables`: `samepoint tables`, by the program beside this one;
//! - `shelf`: `samepoint shelf`, which parts go together best;
//! - `check_self`: `samepoint check-self`, this program against published figures;
//! - `salvage`: `samepoint salvage`, from a damaged session to a new one of what verifies;
//! - `set_aside`: `samepoint set-aside`, going on in a file whose end is missing;
//! - `picture`: `samepoint picture`, the crosshairs in pictures of a station;
//! - `plain`, `json`: that answer for a person and for a program; `certainty`: how sure;
//!   `remedies`: what would mend it;
//! - `refusal`: why a command cannot answer;
//! - `figures`, `sentences`: how numbers are written and lines are broken.
//! - `answer`: what `solve` answers, for both its forms.

mod account;
mod answer;
mod arguments;
mod beside;
mod calibration;
mod certainty;
mod check_self;
mod figures;
mod json;
mod picture;
mod plain;
mod refusal;
mod relative;
mod remedies;
mod report;
mod review;
mod round_robin;
mod salvage;
mod seal;
mod sentences;
mod set_aside;
mod shelf;
mod shop;
mod shop_json;
mod solve;
mod tables;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::ErrorKind;
use clap::{CommandFactory as _, Parser as _};

use arguments::{CliArguments, CliCommand};
use record::shown;
use refusal::RefusalKind;

/// What the arguments come to.
#[derive(Debug)]
pub enum Invocation {
    /// Open the bench: on this session or shop, or on what it had open last.
    Bench {
        /// A session file or a shop folder; it exists.
        path: Option<PathBuf>,
    },
    /// All is done and said.
    Done(ExitCode),
}

/// What can be typed, for the man page.
#[must_use]
pub fn arguments() -> clap::Command {
    CliArguments::command()
}

/// Runs the command the arguments name (the first of them is the program's own name), or hands
/// back that the bench is to be opened.
///
/// Results go to `out`; a refusal is one message on `err` and leaves `out` untouched. Nobody
/// reading `out` any more is no error.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Invocation {
    let typed: Vec<OsString> = arguments.into_iter().collect();
    let asked = match CliArguments::try_parse_from(&typed) {
        Ok(asked) => asked,
        Err(error) => {
            let said = from_clap(&error, &command_of(&typed));
            return Invocation::Done(ExitCode::from(said.told(out, err)));
        }
    };
    let answer = match &asked.command {
        Some(CliCommand::Solve(asked)) => solve::run(asked),
        Some(CliCommand::Review(asked)) => review::run(asked),
        Some(CliCommand::Seal(asked)) => seal::run(asked),
        Some(CliCommand::Report(asked)) => report::run(asked),
        Some(CliCommand::Shop(asked)) => shop::run(asked),
        Some(CliCommand::Shelf(asked)) => shelf::run(asked),
        Some(CliCommand::Tables(asked)) => tables::run(asked),
        Some(CliCommand::CheckSelf(_)) => Ok(check_self::run()),
        Some(CliCommand::Salvage(asked)) => salvage::run(asked),
        Some(CliCommand::SetAside(asked)) => set_aside::run(asked),
        Some(CliCommand::Picture(asked)) => picture::run(asked),
        None => match asked.path {
            Some(path) if !path.exists() => Err(RefusalKind::NotThere.of(&path)),
            path => return Invocation::Bench { path },
        },
    };
    let outcome = answer.unwrap_or_else(|refusal| Outcome::refused(refusal.to_string()));
    Invocation::Done(ExitCode::from(outcome.told(out, err)))
}

/// What a command has to say and with which exit code: 0 yes, 1 no, 2 unusable.
#[derive(Debug, PartialEq, Eq)]
enum Outcome {
    /// An answer for standard output.
    Answered { text: String, code: u8 },
    /// An answer for standard output, and what was passed over for standard error.
    Partly { text: String, passed_over: Vec<String>, code: u8 },
    /// One message for standard error; exit code 2.
    Refused { message: String },
}

impl Outcome {
    const UNUSABLE: u8 = 2;

    const fn refused(message: String) -> Self {
        Self::Refused { message }
    }

    /// Says it and gives the exit code. What a file or a name may hold besides words is made visible
    /// here, for every command: no text of somebody else's moves the cursor or adds a line.
    fn told(&self, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
        match self {
            Self::Partly { text, passed_over, code } => {
                for message in passed_over {
                    let _ = writeln!(err, "samepoint: {}", shown::one_line(message));
                }
                Self::Answered { text: text.clone(), code: *code }.told(out, err)
            }
            Self::Answered { text, code } => {
                match out.write_all(shown::lines(text).as_bytes()).and_then(|()| out.flush()) {
                    Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                        // Standard error is the last resort: when it fails too, the code remains.
                        let _ =
                            writeln!(err, "samepoint: the answer could not be written: {error}");
                        Self::UNUSABLE
                    }
                    _ => *code,
                }
            }
            Self::Refused { message } => {
                let _ = writeln!(err, "samepoint: {}", shown::one_line(message));
                Self::UNUSABLE
            }
        }
    }
}

/// The command that was typed, as far as it is one.
fn command_of(typed: &[OsString]) -> String {
    let known = CliArguments::command();
    let mut named = typed.iter().skip(1).filter_map(|word| known.find_subcommand(word.to_str()?));
    named.next().map_or_else(
        || "samepoint".to_owned(),
        |command| format!("samepoint {}", command.get_name()),
    )
}

/// Help and version are answers; anything else clap has to say is cut down to its one sentence.
fn from_clap(error: &clap::Error, command: &str) -> Outcome {
    let text = error.render().to_string();
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return Outcome::Answered { text, code: 0 };
    }
    let first = text.split("\n\n").next().unwrap_or_default();
    let sentence = first.split_whitespace().collect::<Vec<_>>().join(" ");
    let sentence = sentence.strip_prefix("error: ").unwrap_or(&sentence);
    Outcome::refused(format!("{sentence}; `{command} --help` says more"))
}

#[cfg(test)]
mod tests;
