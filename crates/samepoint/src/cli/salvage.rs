//! `samepoint salvage`: what still verifies in a damaged session, as a new one.

use record::{FileOptions, Opener, SessionFile};

use super::arguments::Salvage;
use super::{Outcome, figures};

/// Names the program in the new file's header.
const PROGRAM: &str = concat!("samepoint ", env!("CARGO_PKG_VERSION"));

/// Writes the new session and says what is in it.
pub(super) fn run(asked: &Salvage) -> Outcome {
    if asked.to.extension().is_none_or(|extension| extension != "samepoint") {
        return Outcome::refused(format!(
            "{}: a session's name ends in .samepoint",
            figures::path(&asked.to)
        ));
    }
    let who = std::env::var("USER").or_else(|_| std::env::var("USERNAME"));
    let opener = Opener::here(&who.unwrap_or_else(|_| "unnamed".to_owned()));
    let who = opener.who.clone();
    let options = FileOptions::real(opener);
    match SessionFile::salvage_in(&asked.session, &asked.to, PROGRAM, (&who, asked.real), options) {
        Ok((mut file, found)) => {
            if let Err(why) = file.finish() {
                return Outcome::refused(why.to_string());
            }
            let text = format!("{}\n{}\n", found.words(), figures::path(&asked.to));
            Outcome::Answered { text, code: u8::from(found.lost_any()) }
        }
        Err(error @ record::Error::RealOrPractice { .. }) => {
            Outcome::refused(format!("{error}: `--real`"))
        }
        Err(error) => Outcome::refused(figures::naming(&asked.session, &error.to_string())),
    }
}
