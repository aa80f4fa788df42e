//! `samepoint set-aside`: going on in a file whose end is missing, on a hand's word.

use std::path::Path;

use record::calibrations::CalibrationBody;
use record::checks::CheckBody;
use record::file::{FactFile, LineFormat};
use record::ledger::{LEDGER_EXTENSION, LedgerEntry};
use record::shop::{CALIBRATION_EXTENSION, CHECK_EXTENSION, SESSION_EXTENSION, STUDY_EXTENSION};
use record::studies::StudyBody;
use record::units_waiting::{EXTENSION as WAITING_EXTENSION, WaitingBody};
use record::{Access, Body, Error, FileOptions, JournalBody, Opener, ReadOnlyReason};

use super::arguments::SetAsideArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use super::{Outcome, figures};

/// The end is missing, and nothing was touched.
const NOT_TOUCHED: u8 = 1;

/// Sets the end aside, or says what would be.
pub(super) fn run(asked: &SetAsideArguments) -> Result<Outcome, CommandRefusal> {
    let extension = asked.file.extension().and_then(|extension| extension.to_str());
    let done = match extension.unwrap_or_default() {
        SESSION_EXTENSION => done::<Body>(asked),
        LEDGER_EXTENSION => done::<JournalBody<LedgerEntry>>(asked),
        CHECK_EXTENSION => done::<JournalBody<CheckBody>>(asked),
        STUDY_EXTENSION => done::<JournalBody<StudyBody>>(asked),
        CALIBRATION_EXTENSION => done::<JournalBody<CalibrationBody>>(asked),
        WAITING_EXTENSION => done::<JournalBody<WaitingBody>>(asked),
        _ => Err(RefusalKind::NotOurs),
    };
    done.map_err(|why| why.of(&asked.file))
}

fn done<B: LineFormat>(asked: &SetAsideArguments) -> Result<Outcome, RefusalKind> {
    match &asked.hand {
        None => told::<B>(&asked.file),
        Some(hand) if hand.trim().is_empty() => Err(RefusalKind::WhoseWord),
        Some(hand) => cut::<B>(asked, hand.trim()),
    }
}

/// What would be set aside.
fn told<B: LineFormat>(path: &Path) -> Result<Outcome, RefusalKind> {
    let file = FactFile::<B>::open_read_only(path, FileOptions::real(Opener::here("")))?;
    let end = match file.access() {
        Access::ReadOnly(ReadOnlyReason::Damaged(damage)) => {
            return Err(RefusalKind::NoMissingEnd(damage.clone()));
        }
        _ => file.end_missing().ok_or_else(|| nothing(path))?,
    };
    if !file.has_marks() {
        let (path, format) = (path.to_owned(), file.format());
        return Err(Error::NoWordsForIt { path, format }.into());
    }
    let text = format!(
        "{}: {end}.\nNothing was touched: with `--hand INITIALS` these bytes are kept beside it and cut off, and \
         the file says so for ever.\n",
        figures::path(path)
    );
    Ok(Outcome::Answered { text, code: NOT_TOUCHED })
}

fn cut<B: LineFormat>(asked: &SetAsideArguments, hand: &str) -> Result<Outcome, RefusalKind> {
    let path = &asked.file;
    let options = FileOptions::real(Opener::here(hand));
    let now = options.opener.now;
    let mut file = FactFile::<B>::open(path, options)?;
    if let Access::AskFirst { missing } = file.access() {
        if !asked.agree {
            return Err(RefusalKind::Agree { missing });
        }
        file.agree()?;
    }
    match file.access() {
        Access::ReadOnly(ReadOnlyReason::EndMissing(_)) => {}
        Access::ReadOnly(ReadOnlyReason::Damaged(damage)) => {
            return Err(RefusalKind::NoMissingEnd(damage.clone()));
        }
        Access::ReadOnly(why) => return Err(RefusalKind::ReadOnly(why.clone())),
        Access::Writing | Access::AskFirst { .. } => return Err(nothing(path)),
    }
    let aside = file.set_end_aside(now, hand)?;
    file.finish()?;
    let text = format!("{}: {aside}.\n", figures::path(path));
    Ok(Outcome::Answered { text, code: 0 })
}

fn nothing(path: &Path) -> RefusalKind {
    Error::NoEndToSetAside { path: path.to_owned() }.into()
}
