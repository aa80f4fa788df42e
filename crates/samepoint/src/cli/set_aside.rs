//! `samepoint set-aside`: going on in a file whose end is missing, on a hand's word.

use std::path::Path;

use record::checks::CheckBody;
use record::file::{FactFile, Words};
use record::ledger::{Entry, LEDGER_EXTENSION};
use record::shop::{CHECK_EXTENSION, SESSION_EXTENSION, STUDY_EXTENSION};
use record::studies::StudyBody;
use record::units_waiting::{EXTENSION as WAITING_EXTENSION, WaitingBody};
use record::{Access, Body, Error, FileOptions, JournalBody, Opener, ReadOnlyReason};

use super::arguments::SetAside;
use super::{Outcome, figures};

/// The end is missing, and nothing was touched.
const NOT_TOUCHED: u8 = 1;

/// Sets the end aside, or says what would be.
pub(super) fn run(asked: &SetAside) -> Outcome {
    let extension = asked.file.extension().and_then(|extension| extension.to_str());
    let done = match extension.unwrap_or_default() {
        SESSION_EXTENSION => done::<Body>(asked),
        LEDGER_EXTENSION => done::<JournalBody<Entry>>(asked),
        CHECK_EXTENSION => done::<JournalBody<CheckBody>>(asked),
        STUDY_EXTENSION => done::<JournalBody<StudyBody>>(asked),
        WAITING_EXTENSION => done::<WaitingBody>(asked),
        _ => Err("it is none of samepoint's files that go on line by line: a session, a ledger, checks, a \
                  study or a list of units that wait"
            .to_owned()),
    };
    done.unwrap_or_else(|why| Outcome::refused(figures::naming(&asked.file, &why)))
}

fn done<B: Words>(asked: &SetAside) -> Result<Outcome, String> {
    match &asked.hand {
        None => told::<B>(&asked.file),
        Some(hand) if hand.trim().is_empty() => {
            Err("whose word it is must be said: `--hand INITIALS`".to_owned())
        }
        Some(hand) => cut::<B>(asked, hand.trim()),
    }
}

/// What would be set aside.
fn told<B: Words>(path: &Path) -> Result<Outcome, String> {
    let file = FactFile::<B>::open_read_only(path, FileOptions::real(Opener::here("")))
        .map_err(|why| why.to_string())?;
    let end = match file.access() {
        Access::ReadOnly(ReadOnlyReason::Damaged(damage)) => {
            return Err(format!("{damage}; that is no missing end, and nothing is set aside"));
        }
        _ => file.end_missing().ok_or_else(|| nothing(path))?,
    };
    if !file.has_marks() {
        return Err(no_words(path, file.format()));
    }
    let text = format!(
        "{}: {end}.\nNothing was touched: with `--hand INITIALS` these bytes are kept beside it and cut off, and \
         the file says so for ever.\n",
        figures::path(path)
    );
    Ok(Outcome::Answered { text, code: NOT_TOUCHED })
}

fn cut<B: Words>(asked: &SetAside, hand: &str) -> Result<Outcome, String> {
    let path = &asked.file;
    let options = FileOptions::real(Opener::here(hand));
    let now = options.opener.now;
    let mut file = FactFile::<B>::open(path, options).map_err(|why| why.to_string())?;
    if let Access::AskFirst { missing } = file.access() {
        if !asked.agree {
            return Err(format!(
                "files cannot be {missing} in this place: `--agree` writes all the same"
            ));
        }
        file.agree().map_err(|why| why.to_string())?;
    }
    match file.access() {
        Access::ReadOnly(ReadOnlyReason::EndMissing(_)) => {}
        Access::ReadOnly(ReadOnlyReason::Damaged(damage)) => {
            return Err(format!("{damage}; that is no missing end, and nothing is set aside"));
        }
        Access::ReadOnly(why) => return Err(why.to_string()),
        Access::Writing | Access::AskFirst { .. } => return Err(nothing(path)),
    }
    let aside = file.set_end_aside(now, hand).map_err(|why| why.to_string())?;
    file.finish().map_err(|why| why.to_string())?;
    let text = format!("{}: {aside}.\n", figures::path(path));
    Ok(Outcome::Answered { text, code: 0 })
}

fn nothing(path: &Path) -> String {
    Error::NoEndToSetAside { path: path.to_owned() }.to_string()
}

fn no_words(path: &Path, format: u32) -> String {
    Error::NoWordsForIt { path: path.to_owned(), format }.to_string()
}
