//! A calibration worked out again: whether what was signed follows from what was read.

use super::{Calibrating, CalibrationBody, CalibrationFact};
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::figures::{capital, counted_s};
use crate::file::{Disk, End, line_hashes, scan_facts};
use crate::journal::fold::fold;
use crate::journal::{JournalBody, Meaning as _};
use crate::ledger::LedgerSays;
use crate::review::State;
use std::path::Path;

/// What a calibration comes to on being looked over.
#[derive(Clone, Debug)]
pub struct CalibrationReview {
    /// What its facts come to.
    pub means: Calibrating,
    /// `unsigned`, `signed`, `outdated`, `does not follow` or `damaged`.
    pub state: State,
    /// Why it is not simply signed, each a sentence without its full stop.
    pub objections: Vec<String>,
    /// The line that signs it, 64 hex digits.
    pub signing_line: Option<String>,
    /// The last line of the file, 64 hex digits.
    pub last_line: String,
    /// What the ledger of its shop says of it; `None` where it was not asked.
    pub ledger: Option<LedgerSays>,
}

impl CalibrationReview {
    /// 0: intact, signed, follows; 1: intact and not that; 3: damaged, or what was signed does not follow.
    #[must_use]
    pub const fn exit_code(&self) -> u8 {
        match self.state {
            State::Signed => 0,
            State::Damaged | State::DoesNotFollow => 3,
            _ => 1,
        }
    }

    /// Whether its numbers may be taken into a station.
    #[must_use]
    pub fn is_good(&self) -> bool {
        self.state == State::Signed
    }

    /// It in words, a sentence a line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let means = &self.means;
        let mut words = vec![format!("Calibration of {}: {}.", means.station(), self.state.word())];
        words.extend(self.objections.iter().map(|why| format!("{}.", capital(why))));
        if let Some(signed) = &means.signed {
            words.push(format!("Signed by {} on {}.", signed.hand, signed.time.date()));
        }
        if let Some(ledger) = &self.ledger {
            // What it contradicts stands among the objections.
            let said = ledger.findings.iter().map(|finding| finding.words(ledger.facts));
            let said: Vec<String> = said.collect();
            let whole = self.state != State::Damaged;
            words.extend(ledger.words(whole).into_iter().filter(|words| !said.contains(words)));
        }
        words.extend(means.told());
        words
    }
}

impl Calibrating {
    /// What follows, a sentence each: both maps with their uncertainty, what speaks against them, the terms.
    #[must_use]
    pub fn told(&self) -> Vec<String> {
        let mut told = Vec::new();
        for channel in solver::Channel::BOTH {
            match self.outcome(channel) {
                Err(gap) => told.push(format!("{}.", capital(&gap.to_string()))),
                Ok(outcome) => {
                    let found = &outcome.found;
                    told.push(format!(
                        "{}: {}.",
                        capital(channel.word()),
                        super::told::map_words(found)
                    ));
                    let against = found.findings.iter();
                    told.extend(
                        against.map(|finding| format!("{}: {finding}.", capital(channel.word()))),
                    );
                }
            }
        }
        told.extend(self.left_out().iter().map(|words| format!("{}.", capital(words))));
        match &self.terms {
            None => told.push(format!("{}.", capital(&super::CalibrationGap::Terms.to_string()))),
            Some(terms) => told.push(format!(
                "Certificate {}, done {}, holds to {}.",
                terms.certificate, terms.done, terms.due
            )),
        }
        told
    }
}

/// Reads a calibration and works it out again.
///
/// # Errors
/// What keeps its file from being read at all.
pub fn review_calibration(path: &Path, disk: &dyn Disk) -> Result<CalibrationReview, Error> {
    let open = || disk.open_read(path).map_err(|why| Error::io("open", path, why));
    let scanned = scan_facts::<JournalBody<CalibrationBody>>(path, open()?)?;
    let hashes = line_hashes(path, open()?)?;
    Ok(reviewed(&scanned.facts, &scanned.end, |seq| {
        let at = usize::try_from(seq).ok()?.checked_sub(1)?;
        hashes.get(at).map(|hash| hash.as_str().to_owned())
    }))
}

/// The same of facts, the file's end, and the hash of each line.
pub fn reviewed(
    facts: &[CalibrationFact],
    end: &End,
    line: impl Fn(Seq) -> Option<String>,
) -> CalibrationReview {
    let means = fold(facts);
    let mut objections = Vec::new();
    let mut state = State::Signed;
    match &means.signed {
        None => {
            state = State::Unsigned;
            objections.push("nobody signed it".to_owned());
        }
        Some(signed) => {
            let before: Vec<CalibrationFact> =
                facts.iter().filter(|fact| fact.seq < signed.seq).cloned().collect();
            let then: Calibrating = fold(&before);
            match then.numbers(&signed.body.program) {
                Err(gap) => {
                    state = State::DoesNotFollow;
                    objections.push(format!("what was signed does not follow: {gap}"));
                }
                Ok(follows) => {
                    let differences = signed.body.differences(&follows, ["signed", "follows"]);
                    if !differences.is_empty() {
                        state = State::DoesNotFollow;
                        objections.extend(differences);
                    }
                }
            }
            if state == State::Signed && means.said_since > 0 {
                state = State::Outdated;
                objections.push(format!(
                    "{} after the signature; sign it anew",
                    counted_s(means.said_since, "fact")
                ));
            }
        }
    }
    if !means.journal.ignored.is_empty() {
        state = State::DoesNotFollow;
        let left = means.journal.ignored.iter();
        objections.extend(
            left.map(|(seq, why)| format!("fact {seq} cannot be taken at its word: {why}")),
        );
    }
    if means.about().is_none() {
        state = State::Damaged;
        objections.push("it does not say of which station it is".to_owned());
    }
    if *end != End::Clean {
        state = State::Damaged;
        objections.push(
            "its file is damaged or its end is missing; what stands before that is told".to_owned(),
        );
    }
    let signing_line = means.signed.as_ref().and_then(|signed: &Fact<_>| line(signed.seq));
    let last_line = facts.last().and_then(|fact| line(fact.seq)).unwrap_or_default();
    CalibrationReview { means, state, objections, signing_line, last_line, ledger: None }
}
