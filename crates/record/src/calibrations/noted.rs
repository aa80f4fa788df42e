//! A calibration's signature and the shop's ledger: noted there as a session's is, and held against it.

use std::path::{Path, PathBuf};

use smol_str::SmolStr;

use super::reviewed::{CalibrationReview, review_calibration};
use super::{CalibrationBody, CalibrationFact};
use crate::error::Error;
use crate::fact::Seq;
use crate::file::chain::ChainHash;
use crate::file::{Disk, scan_some};
use crate::journal::JournalBody;
use crate::ledger::signing::looks_signing;
use crate::ledger::{
    Ledger, LedgerSays, Noted, Noting, SigningKind, SigningLine, Signings, hold_against,
    note_signings,
};
use crate::review::State;
use crate::shop::{CALIBRATION_EXTENSION, files_in};
use crate::shown;

/// The folder of a shop that holds them.
const FOLDER: &str = "calibrations";

/// What of a calibration's file the ledger notes.
///
/// # Errors
/// As [`scan_facts`](crate::file::scan_facts).
pub fn calibration_signings(path: &Path, disk: &dyn Disk) -> Result<Signings, Error> {
    let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
    let some = scan_some::<JournalBody<CalibrationBody>>(path, bytes, looks_signing)?;
    let name = some.facts.first().and_then(|(fact, _)| match &fact.body {
        JournalBody::Header(header) => Some(header.name.clone()),
        _ => None,
    });
    Ok(Signings {
        session: name.unwrap_or_default(),
        practice: false,
        lines: some.facts.iter().filter_map(|(fact, hash)| signing_line(fact, hash)).collect(),
        facts: some.lines,
        end: some.end,
    })
}

fn signing_line(fact: &CalibrationFact, hash: &ChainHash) -> Option<SigningLine> {
    let JournalBody::Said(CalibrationBody::Signed(_)) = &fact.body else { return None };
    let (seq, time, hand) = (fact.seq, fact.time, SmolStr::from(&fact.hand));
    Some(SigningLine { seq, hash: *hash, kind: SigningKind::Signed, time, hand })
}

/// Notes the signatures of a calibration that nobody noted yet; says how many. `just_saved`: those that were saved just
/// now; others are noted as late.
///
/// # Errors
/// As [`note_session`](crate::ledger::note_session).
pub fn note_calibration(
    shop: &Path,
    calibration: &Path,
    just_saved: &[Seq],
    noting: &Noting,
) -> Result<usize, Error> {
    let signings = calibration_signings(calibration, &*noting.options.disk)?;
    note_signings(shop, &[(calibration.to_owned(), signings)], just_saved, noting)
}

/// Notes, as late, what nobody noted in any calibration of a shop; says how many. Those that cannot be read are passed
/// over.
///
/// # Errors
/// As [`note_calibration`].
pub fn note_calibrations(shop: &Path, noting: &Noting) -> Result<usize, Error> {
    let paths = files_in(&shop.join(FOLDER), CALIBRATION_EXTENSION)?;
    let read = |path: PathBuf| {
        let signings = calibration_signings(&path, &*noting.options.disk).ok()?;
        Some((path, signings))
    };
    let all: Vec<(PathBuf, Signings)> = paths.into_iter().filter_map(read).collect();
    note_signings(shop, &all, &[], noting)
}

/// Reads a calibration, works it out again, and holds it against the ledger of the shop that it lies in. One that the
/// ledger contradicts is not good: its end is missing, or it was written anew.
///
/// # Errors
/// As [`review_calibration`].
pub fn review_in_shop(path: &Path, disk: &dyn Disk) -> Result<CalibrationReview, Error> {
    let mut review = review_calibration(path, disk)?;
    let Some(shop) = shop_of(path) else { return Ok(review) };
    let ledger = Ledger::load(&shop, disk);
    let says = held(&calibration_signings(path, disk)?, &ledger);
    if says.breaks() {
        review.state = State::Damaged;
        review.objections.extend(
            says.findings
                .iter()
                .map(|finding| finding.words(says.facts).trim_end_matches('.').to_owned()),
        );
    }
    review.ledger = Some(says);
    Ok(review)
}

/// The shop that a calibration lies in: the folder that its `calibrations/` is in.
fn shop_of(path: &Path) -> Option<PathBuf> {
    let whole = std::path::absolute(path).ok()?;
    let holding = whole.parent()?;
    (holding.file_name()? == FOLDER).then(|| holding.parent().map(Path::to_owned))?
}

fn held(signings: &Signings, ledger: &Ledger) -> LedgerSays {
    hold_against(ledger, &signings.session, &signings.lines, signings.facts)
}

/// What is wrong with a shop's calibrations by its ledger, a sentence each: those that are gone, cut off or written
/// anew since they were signed.
#[must_use]
pub fn calibrations_against(ledger: &Ledger, shop: &Path, disk: &dyn Disk) -> Vec<String> {
    let noted = ledger.sessions().filter(|noted| noted.is_of_calibration);
    let noted: Vec<(&str, &[Noted])> = noted.map(|one| (one.name(), one.noted)).collect();
    if noted.is_empty() {
        return Vec::new();
    }
    let paths = files_in(&shop.join(FOLDER), CALIBRATION_EXTENSION).unwrap_or_default();
    let read = |path: &PathBuf| calibration_signings(path, disk).ok();
    let here: Vec<Signings> = paths.iter().filter_map(read).collect();
    let mut said: Vec<String> = noted
        .iter()
        .flat_map(|(name, noted)| {
            let own = here.iter().find(|signings| signings.session == *name);
            match own.map(|signings| held(signings, ledger)) {
                None => vec![gone(noted)],
                Some(says) => {
                    let file = noted.first().map(|one| shown::one_line(&one.entry.file));
                    let file = file.unwrap_or_default();
                    let each = says.findings.iter();
                    each.map(|finding| format!("{file}: {}", finding.words(says.facts))).collect()
                }
            }
        })
        .collect();
    said.sort_unstable();
    said
}

fn gone(noted: &[Noted]) -> String {
    let files = noted.first().map(|one| shown::one_line(&one.entry.file)).unwrap_or_default();
    let lines: Vec<String> = noted.iter().map(|one| one.entry.words()).collect();
    format!(
        "The calibration that was kept as {files} is gone, or cannot be read; the ledger notes the {}.",
        lines.join("; the ")
    )
}
