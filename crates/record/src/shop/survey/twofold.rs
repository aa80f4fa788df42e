//! Several folders seen as one shop, in words: that they are, and what more than one of them has.

use super::{SessionSummary, Survey};
use crate::figures::counted_s;
use crate::ledger::Copied;
use crate::shown;
use solver::words::listed;

impl Survey {
    /// Whether several folders are seen as one shop.
    #[must_use]
    pub fn is_of_several(&self) -> bool {
        self.folders.len() > 1
    }

    /// That several folders are seen as one, and which, for above whatever is told of them; `None` of one.
    #[must_use]
    pub fn several_words(&self) -> Option<String> {
        let each = (0..self.folders.len()).map(|folder| {
            let [all, counted] = self.held(folder);
            format!("{} ({counted} of {all})", self.folder_name(folder))
        });
        self.is_of_several().then(|| {
            format!(
                "{} shops are looked at as one: {}; in brackets, how many of their sessions count.",
                self.folders.len(),
                listed(each, ", ")
            )
        })
    }

    /// How many sessions lie in a folder, and how many of them count: practice is among neither.
    #[must_use]
    pub fn held(&self, folder: usize) -> [usize; 2] {
        let own = self.sessions.iter().filter(|one| one.folder == folder && !one.practice);
        [own.clone().count(), own.filter(|one| one.counts()).count()]
    }

    /// How many sessions a folder holds, in a line.
    #[must_use]
    pub fn folder_words(&self, folder: usize) -> String {
        let place = self.folders.get(folder).map_or_else(String::new, |path| shown::path(path));
        let [all, counted] = self.held(folder);
        format!("{place}: {}, {counted} of them counted", counted_s(all, "session"))
    }

    /// Files that are of one session, each with the one that counts in its stead; where several folders are
    /// seen as one, by their whole paths.
    #[must_use]
    pub fn doubled_words(&self) -> Vec<String> {
        let doubled = self.sessions.iter().filter_map(|session| {
            let counts = session.copy_of.as_ref().or(session.continued_in.as_ref())?;
            let how = if session.copy_of.is_none() {
                "goes on in"
            } else if session.is_forked() {
                "is the same session with other lines as"
            } else {
                "is a copy of"
            };
            Some(format!("{} {how} {counts}, which counts", self.place_of(session)))
        });
        doubled.collect()
    }

    /// Sessions of which two folders have files whose lines differ, a sentence each: one session went on in
    /// two places, or one of the files was rewritten. Of one folder nothing.
    #[must_use]
    pub fn forked_words(&self) -> Vec<String> {
        if !self.is_of_several() {
            return Vec::new();
        }
        let of = |session: &SessionSummary| -> Vec<String> {
            let place = self.place_of(session);
            let forked = session.copies.iter().filter(|copy| matches!(copy.how, Copied::Forked(_)));
            forked.map(|copy| format!("{place}: {}", copy.words())).collect()
        };
        let copies = self.sessions.iter().filter(|session| session.copy_of.is_some());
        copies.filter(|session| session.is_forked()).flat_map(of).collect()
    }
}
