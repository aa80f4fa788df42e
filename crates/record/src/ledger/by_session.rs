//! What is noted, session by session.

use core::ops::Range;
use std::collections::HashMap;

use smol_str::SmolStr;

use super::{LedgerEntry, SigningLine};
use crate::shop::CALIBRATION_EXTENSION;
use crate::stamp::Stamp;

/// What is noted of one session, or of one calibration.
#[derive(Clone, Copy, Debug)]
pub struct NotedSession<'a> {
    /// At least one line.
    pub noted: &'a [Noted],
    /// Whether it is a calibration, by the ending that its file had.
    pub is_of_calibration: bool,
}

impl<'a> NotedSession<'a> {
    /// Its own name.
    #[must_use]
    pub fn name(self) -> &'a str {
        self.noted.first().map_or("", |noted| noted.entry.session.as_str())
    }
}

/// A line that is noted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted {
    /// What is noted.
    pub entry: LedgerEntry,
    /// When it was noted.
    pub at: Stamp,
    /// The ledger file, by name.
    pub ledger: SmolStr,
}

impl Noted {
    /// Whether it is of a calibration, by the ending its file had.
    #[must_use]
    pub fn is_of_calibration(&self) -> bool {
        let named = self.entry.file.rsplit_once('.');
        named.is_some_and(|(name, ending)| !name.is_empty() && ending == CALIBRATION_EXTENSION)
    }
}

/// What is noted of each session, sessions in the order in which they were noted first. What is noted of one stands
/// together, and where it was noted together, beside what is noted of the next: a ledger of many years is made, gone
/// through and let go of in large pieces.
#[derive(Clone, Debug, Default)]
pub(super) struct NotedBySession {
    /// What was noted together.
    all: Vec<Noted>,
    sessions: Vec<OfSession>,
    places: HashMap<SmolStr, usize>,
}

/// One session.
#[derive(Clone, Debug)]
struct OfSession {
    noted: Held,
    is_of_calibration: bool,
}

/// Where what is noted of a session stands.
#[derive(Clone, Debug)]
enum Held {
    /// Among what was noted together.
    Together(Range<usize>),
    /// By itself: something was noted of another session in between.
    Apart(Vec<Noted>),
}

impl NotedBySession {
    /// Which of all sessions it is, if it is noted.
    pub(super) fn place_of(&self, session: &str) -> Option<usize> {
        self.places.get(session).copied()
    }

    /// What is noted of the session at a place.
    pub(super) fn at(&self, place: usize) -> &[Noted] {
        let Some(of) = self.sessions.get(place) else { return &[] };
        match &of.noted {
            Held::Together(run) => self.all.get(run.clone()).unwrap_or_default(),
            Held::Apart(noted) => noted,
        }
    }

    /// Whether that is a calibration.
    pub(super) fn is_of_calibration(&self, place: usize) -> bool {
        self.sessions.get(place).is_some_and(|of| of.is_of_calibration)
    }

    /// How many sessions.
    pub(super) const fn len(&self) -> usize {
        self.sessions.len()
    }

    /// Adds what is noted, unless it is there: a ledger file that was copied says the same twice.
    pub(super) fn add(&mut self, noted: Noted) {
        let is_of_calibration = noted.is_of_calibration();
        let Some(place) = self.place_of(&noted.entry.session) else {
            self.places.insert(noted.entry.session.clone(), self.sessions.len());
            let run = self.all.len()..self.all.len() + 1;
            self.sessions.push(OfSession { noted: Held::Together(run), is_of_calibration });
            return self.all.push(noted);
        };
        let SigningLine { seq, hash, .. } = &noted.entry.line;
        if self.at(place).iter().any(|held| held.entry.is_of(*seq, hash)) {
            return;
        }
        let Some(of) = self.sessions.get_mut(place) else { return };
        of.is_of_calibration |= is_of_calibration;
        match &mut of.noted {
            Held::Together(run) if run.end == self.all.len() => {
                run.end += 1;
                self.all.push(noted);
            }
            Held::Together(run) => {
                let mut apart = Vec::with_capacity(run.len() + 1);
                apart.extend_from_slice(self.all.get(run.clone()).unwrap_or_default());
                apart.push(noted);
                of.noted = Held::Apart(apart);
            }
            Held::Apart(apart) => apart.push(noted),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::collections::BTreeMap;

    use proptest::prelude::*;

    use super::super::SigningKind;
    use super::*;
    use crate::file::chain::ChainHash;

    fn noted(session: u8, seq: u64, calibration: bool) -> Noted {
        let time = Stamp::at(0, 0).unwrap();
        let hash = ChainHash::START.next(&[session, seq as u8]);
        let line = SigningLine { seq, hash, kind: SigningKind::Signed, time, hand: "KT".into() };
        let file = if calibration { "a.samepoint-calibration" } else { "a.samepoint" };
        let session = session.to_string().into();
        let entry = LedgerEntry { session, file: file.into(), line, late: false };
        Noted { entry, at: time, ledger: "2026".into() }
    }

    proptest! {
        /// In whatever order lines are noted, of each session stands what a map of lists says, in order and each once.
        #[test]
        fn it_holds_what_a_map_of_lists_holds(
            lines in proptest::collection::vec((0..6_u8, 0..5_u64, any::<bool>()), 0..60)
        ) {
            let (mut of, mut model) = (NotedBySession::default(), BTreeMap::<u8, Vec<Noted>>::new());
            let mut order = Vec::new();
            let most = lines.len();
            for (session, seq, calibration) in lines {
                let noted = noted(session, seq, calibration);
                of.add(noted.clone());
                if !order.contains(&session) {
                    order.push(session);
                }
                let list = model.entry(session).or_default();
                if list.iter().all(|held| held.entry.line.seq != seq) {
                    list.push(noted);
                }
            }
            prop_assert_eq!(of.len(), order.len());
            // Whatever the order, no more is held than twice what was noted.
            let apart = of.sessions.iter().map(|of| match &of.noted {
                Held::Together(_) => 0,
                Held::Apart(noted) => noted.len(),
            });
            prop_assert!(of.all.len() + apart.sum::<usize>() <= 2 * most);
            for (place, session) in order.iter().enumerate() {
                prop_assert_eq!(of.place_of(&session.to_string()), Some(place));
                prop_assert_eq!(of.at(place), &model[session][..]);
                let calibration = model[session].iter().any(Noted::is_of_calibration);
                prop_assert_eq!(of.is_of_calibration(place), calibration);
            }
            prop_assert_eq!(of.place_of("none"), None);
            prop_assert!(of.at(order.len()).is_empty());
        }
    }
}
