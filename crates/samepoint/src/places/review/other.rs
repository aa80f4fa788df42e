//! Another session beside the one looked over: overlay, differences with their uncertainty, whether they
//! agree.

use std::path::PathBuf;

use paper::Ghost;
use record::{Derived, RealDisk, Session, TwoSessions, review, two_sessions};

use crate::views::overlay::ghost;

/// The other session.
pub struct Other {
    /// Its file.
    pub path: PathBuf,
    /// What both come to, in sentences.
    pub told: Vec<String>,
    /// Its circles, laid over the plot.
    pub ghost: Option<Ghost>,
}

impl Other {
    /// Reads it and lays it beside the session looked over, the earlier one first.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub fn read(path: PathBuf, here: &Session, name: &str) -> Result<Self, String> {
        let other = review(&path, &RealDisk).map_err(|why| why.to_string())?.session;
        let began = |session: &Session| session.rounds.first().map(|round| round.time);
        let earlier = match (began(&other), began(here)) {
            (Some(there), Some(here)) => there.is_before(here),
            _ => false,
        };
        let both = if earlier { two_sessions(&other, here) } else { two_sessions(here, &other) };
        let account = Derived::of(&other);
        // Of its last round that has any circles.
        let mut rounds = other.rounds.iter().rev();
        let ghost = rounds.find_map(|round| ghost(&account, round, name.to_owned()));
        Ok(Self { told: told(&both, earlier), path, ghost })
    }
}

fn told(both: &TwoSessions, earlier: bool) -> Vec<String> {
    let mut told = vec![format!(
        "The other session is the {}; differences are later less earlier, ± is 95 %. E_n is the \
         difference over its expanded uncertainty (ISO 13528): within ±1 both agree.",
        if earlier { "earlier one" } else { "later one" }
    )];
    for (which, conclusion) in ["Earlier", "Later"].into_iter().zip(&both.conclusions) {
        told.push(match conclusion {
            Ok(conclusion) => format!("{which}: readings give “{}”.", conclusion.verdict.word()),
            Err(why) => format!("{which}: no verdict, {why}."),
        });
    }
    told.extend(both.words());
    told
}
