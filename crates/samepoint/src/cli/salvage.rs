//! `samepoint salvage`: what still verifies in a damaged session, as a new one.

use record::{FileOptions, Opener, SessionFile};

use super::arguments::SalvageArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use super::{Outcome, figures};

/// Names the program in the new file's header.
const PROGRAM: &str = concat!("samepoint ", env!("CARGO_PKG_VERSION"));

/// Writes the new session and says what is in it.
pub(super) fn run(asked: &SalvageArguments) -> Result<Outcome, CommandRefusal> {
    if asked.to.extension().is_none_or(|extension| extension != "samepoint") {
        return Err(RefusalKind::NoSessionName.of(&asked.to));
    }
    let who = std::env::var("USER").or_else(|_| std::env::var("USERNAME"));
    let opener = Opener::here(&who.unwrap_or_else(|_| "unnamed".to_owned()));
    let who = opener.who.clone();
    let options = FileOptions::real(opener);
    let made =
        SessionFile::salvage_in(&asked.session, &asked.to, PROGRAM, (&who, asked.real), options);
    let (mut file, found) = made.map_err(|error| match error {
        record::Error::RealOrPractice { .. } => RefusalKind::RealOrPractice(error).into(),
        error => RefusalKind::Record(error).of(&asked.session),
    })?;
    file.finish()?;
    let text = format!("{}\n{}\n", found.words(), figures::path(&asked.to));
    Ok(Outcome::Answered { text, code: u8::from(found.lost_any()) })
}
