//! `samepoint review`: work a session out again, check its chain, and say whether what was signed
//! follows from what was read.

use record::RealDisk;
use record::file::Disk as _;
use record::review::{Account, review};
use record::seal::{Exported, write_seals};

use super::Outcome;
use super::account::{FORMAT, document};
use super::arguments::Review;
use super::calibration;
use super::refusal::{CommandRefusal, RefusalKind};
use crate::pictures::PictureReader;

/// The exit code of a damaged session.
const DAMAGED: u8 = 3;

/// Reviews a session without touching it.
pub(super) fn run(asked: &Review) -> Result<Outcome, CommandRefusal> {
    if calibration::is_one(&asked.session) {
        return calibration::review(asked);
    }
    let mut account = match review(&asked.session, &RealDisk) {
        Ok(account) => account,
        // The very first line is damaged: nothing to account for, but damage all the same.
        Err(error @ record::Error::Damaged { .. }) => {
            return Ok(damaged(asked, &error.to_string()));
        }
        // So it is where the first line is lost and lines of a session verify behind it.
        Err(error @ record::Error::WrongFile { .. }) => match verifying_behind(&asked.session) {
            Some(facts) => {
                let facts = record::figures::counted_s(facts, "fact");
                return Ok(damaged(
                    asked,
                    &format!(
                        "{error}; its first line is lost, and {facts} behind it verify: \
                         `samepoint salvage` makes a new session of them"
                    ),
                ));
            }
            None => return Err(RefusalKind::Record(error).of(&asked.session)),
        },
        Err(error) => return Err(RefusalKind::Record(error).of(&asked.session)),
    };
    account.read_pictures_again(&PictureReader);
    let exported =
        asked.seals.as_deref().map(|folder| write_seals(&account, folder)).transpose()?;
    let exported = exported.unwrap_or_default();
    let code = account.exit_code();
    let text = if asked.json {
        serde_json::to_string_pretty(&document(&account))? + "\n"
    } else {
        account.words() + &seal_words(asked, &exported) + &exit_words(&account) + "\n"
    };
    Ok(Outcome::Partly { text, passed_over: passed_over(&account), code })
}

/// Which files of the shop could not be read, so that the session was held against less than there is.
pub(super) fn passed_over(account: &Account) -> Vec<String> {
    let skipped = account.beside.iter().flat_map(|beside| &beside.skipped);
    skipped.map(|why| format!("passed over: {why}")).collect()
}

/// What is said of a session whose first line cannot be read.
fn damaged(asked: &Review, why: &str) -> Outcome {
    let text = if asked.json {
        let damage = serde_json::Value::from(why);
        format!(
            "{{\"format\": {FORMAT}, \"chain\": \"damaged\", \"damage\": {damage}, \
             \"state\": \"damaged\", \"exit_code\": {DAMAGED}}}\n"
        )
    } else {
        format!("{why}\n")
    };
    Outcome::Answered { text, code: DAMAGED }
}

/// How many facts of a session verify in a file that does not begin as one.
fn verifying_behind(path: &std::path::Path) -> Option<usize> {
    let bytes = RealDisk.open_read(path).ok()?;
    Some(record::file::salvage(path, bytes).ok()?.facts.len())
}

/// How to have what was written checked by OpenSSH's own program.
fn seal_words(asked: &Review, exported: &[Exported]) -> String {
    match (&asked.seals, exported) {
        (None, _) => String::new(),
        (Some(_), []) => "Nothing in force is sealed.\n".to_owned(),
        (Some(folder), _) => {
            let commands = exported.iter().map(|one| format!("  {}\n", one.command()));
            format!(
                "To check the seals without samepoint, in {}\n{}",
                record::shown::path(folder),
                commands.collect::<String>()
            )
        }
    }
}

/// RefusalKind the exit code is what it is, in a sentence.
fn exit_words(account: &Account) -> String {
    let objections: Vec<String> = account.objections().iter().map(ToString::to_string).collect();
    match account.exit_code() {
        0 => "Exit code 0: intact, a pass that follows, signed, and nothing said after it."
            .to_owned(),
        code => format!("Exit code {code}: {}.", objections.join("; ")),
    }
}
