//! `samepoint tables`: handed over to the program beside this one, which alone is built with what writes tables.

use std::env::consts::EXE_SUFFIX;
use std::path::PathBuf;
use std::process::Command;

use super::Outcome;
use super::arguments::Tables;
use super::refusal::{CommandRefusal, RefusalKind};

/// The other program's name, without what such names end with here.
const PROGRAM: &str = "samepoint-tables";

/// Runs it with the same arguments; what it says goes where this program's goes, and its exit code is the answer's.
pub(super) fn run(asked: &Tables) -> Result<Outcome, CommandRefusal> {
    let program = program()?;
    let mut command = Command::new(&program);
    if let Some(to) = &asked.to {
        command.arg("--to").arg(to);
    }
    if asked.schema {
        command.arg("--schema");
    }
    command.arg("--").args(&asked.folders);
    let not_run = |why| RefusalKind::TablesNotRun(why).of(&program);
    let status = command.status().map_err(not_run)?;
    match status.code().and_then(|code| u8::try_from(code).ok()) {
        Some(code) => Ok(Outcome::Answered { text: String::new(), code }),
        None => Err(RefusalKind::TablesEnded.of(&program)),
    }
}

/// Beside this program, wherever that lies; never one of that name elsewhere.
fn program() -> Result<PathBuf, CommandRefusal> {
    let own = std::env::current_exe().map_err(RefusalKind::WhereThisIs)?;
    let program = own.with_file_name(format!("{PROGRAM}{EXE_SUFFIX}"));
    if program.is_file() { Ok(program) } else { Err(RefusalKind::NoTables.of(&program)) }
}
