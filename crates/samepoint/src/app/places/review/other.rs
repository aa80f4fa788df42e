//! Another session beside the one looked over: overlay, differences with their uncertainty, whether they
//! agree.

use std::path::{Path, PathBuf};

use paper::Ghost;
use record::{RealDisk, Session, TwoSessions, review, two_sessions};
use solver::{Channel, PerChannel};

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
        let ghost = ghost(&other, name);
        Ok(Self { told: told(&both, earlier), path, ghost })
    }
}

/// The circles of its last round that has any.
fn ghost(session: &Session, name: &str) -> Option<Ghost> {
    session.rounds.iter().rev().find_map(|round| {
        let problem = session.problem(round.id)?;
        let solution = solver::solve(&solver::Problem { window: None, ..problem }).ok()?;
        let circles = PerChannel::from_fn(|channel: Channel| {
            solution.fits[channel].as_ref().ok().map(|fit| fit.circle)
        });
        circles.iter().any(|(_, circle)| circle.is_some()).then(|| Ghost {
            label: name.to_owned(),
            circles,
            crossing: solution.meeting.and_then(|met| met.nearest().map(|near| near.point)),
        })
    })
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

/// A file's name without folder and ending.
#[must_use]
pub fn name_of(path: &Path) -> String {
    path.file_stem().map_or_else(String::new, |stem| record::shown::path(Path::new(stem)))
}
