//! All sessions of a shop held against its ledger.

use std::path::{Path, PathBuf};

use super::Survey;
use crate::error::Error;
use crate::figures::counted_s;
use crate::ledger::{Ledger, LinesAgainst, Noted, SigningLine};
use crate::shown;

/// What a shop's ledger says of its sessions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopLedger {
    /// Whether there is one.
    pub stands: bool,
    /// Sessions that it notes and that no file here is of, by the names their files had.
    pub missing: Vec<MissingSession>,
    /// Signing lines in counted sessions that nobody noted.
    pub not_noted: usize,
    /// Session files of the shop itself, copies among them, in which such a line has a number that the ledger does not
    /// know of it.
    pub to_note: Vec<PathBuf>,
    /// What is wrong with the ledger itself, a sentence each.
    pub troubles: Vec<String>,
    /// Ledger files whose end is missing and may be set aside on the hand's word.
    pub torn: Vec<PathBuf>,
    /// Whether it notes sessions, and not one of them is here.
    pub of_no_session_here: bool,
}

/// A session that is noted and gone.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingSession {
    /// The session's own name.
    pub session: String,
    /// The names its file had, as they can be shown.
    pub files: Vec<String>,
    /// What is noted of it; at least one line.
    pub noted: Vec<Noted>,
}

impl MissingSession {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let lines: Vec<String> = self.noted.iter().map(|noted| noted.entry.words()).collect();
        format!(
            "No file here is the session that was kept as {}: it was deleted, moved or damaged beyond \
             knowing. The ledger notes the {}.",
            self.files.join(", "),
            lines.join("; the ")
        )
    }
}

impl ShopLedger {
    /// What must be looked at, a sentence each.
    #[must_use]
    pub fn to_look_at(&self) -> Vec<String> {
        let mut said = self.troubles.clone();
        if self.of_no_session_here {
            said.push(
                "The ledger notes sessions, and not one of them is here: all were deleted, or it is \
                 another shop’s ledger."
                    .to_owned(),
            );
        }
        said.extend(self.missing.iter().map(MissingSession::words));
        said
    }

    /// How it stands, in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        if !self.stands {
            return "No ledger stands beside the sessions.".to_owned();
        }
        match self.not_noted {
            0 => "The ledger notes every signature, countersignature and return.".to_owned(),
            some => {
                let lines = counted_s(some, "signing line");
                format!("The ledger does not note {lines} of the sessions here.")
            }
        }
    }
}

impl Survey {
    /// The session files of the shop itself in which a line may stand that signs, countersigns or returns and that the
    /// ledger does not note: by what was read of them and of it, and those of which nothing could be. `None` where that
    /// cannot be told: one of them has a name that is no text.
    #[must_use]
    pub fn not_noted(&self) -> Option<Vec<PathBuf>> {
        if self.sessions.iter().any(|session| session.file.contains(char::REPLACEMENT_CHARACTER)) {
            return None;
        }
        let own = self.folders.first()?.join("sessions");
        let unread = self.skipped.iter().filter_map(Error::path).map(Path::to_owned);
        let unread = unread.filter(|path| path.starts_with(&own));
        Some(self.ledger.to_note.iter().cloned().chain(unread).collect())
    }

    /// Holds every session against the ledger. `damaged`: the own names of sessions that are here and
    /// were passed over.
    pub(super) fn hold_against(&mut self, ledger: &Ledger, damaged: &[String]) {
        let mut here = vec![false; ledger.sessions().len()];
        let mut is_here = |place: Option<usize>| {
            let place = place.and_then(|place| here.get_mut(place));
            place.into_iter().for_each(|here| *here = true);
        };
        damaged.iter().for_each(|session| is_here(ledger.place_of(session)));
        let own = self.folders.first().map(|own| own.join("sessions")).unwrap_or_default();
        let (mut not_noted, mut to_note) = (0, Vec::new());
        for session in &mut self.sessions {
            let place = ledger.place_of(&session.session);
            is_here(place);
            if session.practice {
                continue;
            }
            let noted = place.map_or(&[][..], |place| ledger.at(place));
            if LinesAgainst::are_alike(noted, &session.signing) {
                continue;
            }
            let is_noted =
                |line: &SigningLine| noted.iter().any(|one| one.entry.line.seq == line.seq);
            if !session.signing.iter().all(is_noted) {
                to_note.push(own.join(&session.file));
            }
            let against = LinesAgainst::of(noted, &session.signing, session.facts);
            let (findings, others) = (against.findings, against.not_noted.len());
            session.ledger = findings;
            if session.copy_of.is_none() {
                not_noted += others;
            }
        }
        let sessions =
            || ledger.sessions().zip(&here).filter(|(noted, _)| !noted.is_of_calibration);
        let gone = sessions().filter(|(_, here)| !**here);
        let mut missing: Vec<MissingSession> = gone
            .map(|(one, _)| {
                let noted = one.noted.iter();
                let mut files: Vec<String> =
                    noted.map(|noted| shown::one_line(&noted.entry.file).into_owned()).collect();
                files.dedup();
                MissingSession { session: one.name().to_owned(), files, noted: one.noted.to_vec() }
            })
            .collect();
        missing.sort_by(|a, b| (&a.files, &a.session).cmp(&(&b.files, &b.session)));
        let noted = sessions().count();
        self.ledger = ShopLedger {
            stands: ledger.stands(),
            of_no_session_here: noted > 0 && missing.len() == noted,
            missing,
            not_noted,
            to_note,
            troubles: ledger.troubles(),
            torn: ledger.torn().map(|file| file.path.clone()).collect(),
        };
    }
}
