//! What stands in for a session's first line in a file that is salvaged from it: the line itself where it
//! can be read, else what the rest of the file and the shop's ledger still tell of what it alone said.

use std::path::Path;

use crate::error::Error;
use crate::fact::{Body, Exercise, Fact, SessionKind};
use crate::file::Disk;
use crate::file::salvage::Salvage;
use crate::ledger::Ledger;
use crate::practice::unit::{exercise_named, is_of_practice};
use crate::review::Beside;
use crate::shown;

/// What of an old header the new one rests on.
pub(super) struct Stead {
    /// Whether its unit was a real one.
    pub(super) kind: SessionKind,
    /// Its own name; empty where nothing tells.
    pub(super) session: String,
    /// Where that is known from, in sentences; `None` where the header itself says it.
    pub(super) words: Option<String>,
}

/// As a header says it.
pub(super) fn of_header(header: &Fact) -> Result<Stead, Error> {
    let Body::Header(header) = &header.body else { return Err(Error::HeaderOutOfPlace) };
    Ok(Stead { kind: header.kind.clone(), session: header.session.clone(), words: None })
}

/// As the rest tells, where the first line is lost.
pub(super) fn of_the_rest(
    found: &Salvage,
    from: &Path,
    disk: &dyn Disk,
    hand: &str,
    said_real: bool,
) -> Result<Stead, Error> {
    let (kind, how) = match practice_or_real(&found.facts) {
        Some(FirstLineTold::Practice(exercise)) => (
            SessionKind::Practice(exercise),
            "That it is practice is told by what it was worked with.".to_owned(),
        ),
        Some(FirstLineTold::Real) => (
            SessionKind::Real,
            "Nothing it was worked with is of practice, so it counts as of a real unit.".to_owned(),
        ),
        None if said_real => (
            SessionKind::Real,
            format!(
                "Nothing tells whether its unit was a real one; {} says so.",
                shown::one_line(hand)
            ),
        ),
        None => return Err(Error::RealOrPractice { path: from.to_owned() }),
    };
    let named = named_by_ledger(found, from, disk);
    let (session, which) =
        named.unwrap_or_else(|| (String::new(), "Nothing tells which session it is.".to_owned()));
    Ok(Stead { kind, session, words: Some(format!("{which}\n{how}")) })
}

impl Salvage {
    /// Whether a hand must say that the unit was a real one: the first line is lost, and nothing that
    /// verifies tells.
    #[must_use]
    pub fn wants_word(&self) -> bool {
        self.header.is_none() && practice_or_real(&self.facts).is_none()
    }
}

enum FirstLineTold {
    Practice(Exercise),
    Real,
}

/// Whether facts are of practice; `None` where none of them says what was worked with.
fn practice_or_real(facts: &[Fact]) -> Option<FirstLineTold> {
    let mut exercises = facts.iter().filter_map(|fact| match &fact.body {
        Body::Unit(unit) => exercise_named(&unit.name),
        _ => None,
    });
    if let Some(exercise) = exercises.next_back() {
        return Some(FirstLineTold::Practice(exercise));
    }
    if facts.iter().any(|fact| is_of_practice(&fact.body)) {
        let name = "a practice unit that is lost with the first line".to_owned();
        return Some(FirstLineTold::Practice(Exercise { name, seed: 0 }));
    }
    let tells = |fact: &Fact| matches!(fact.body, Body::Unit(_) | Body::Station(_));
    facts.iter().any(tells).then_some(FirstLineTold::Real)
}

/// The session that the shop's ledger says a signature is of.
fn named_by_ledger(found: &Salvage, from: &Path, disk: &dyn Disk) -> Option<(String, String)> {
    if found.signings.is_empty() {
        return None;
    }
    let ledger = Ledger::load(&Beside::folder_of(from)?, disk);
    found.signings.iter().rev().find_map(|line| {
        let (session, noted) = ledger.noted_as(line.seq, &line.hash)?;
        let words = format!(
            "The ledger {} notes the {} as one of session {}, so it is that one.",
            noted.ledger,
            noted.entry.words(),
            shown::one_line(session)
        );
        Some((session.to_owned(), words))
    })
}
