//! Several shops' folders seen as one shop.
//!
//! A session of which two folders have a file counts once, as in one folder: the longer chain where one holds
//! the other; where their lines differ it is one session that went on in two files, or one was rewritten, and
//! that is said. Of files that are equally good the one in the folder named first counts: one's own. Each session is held against the ledger of its own folder. One that a ledger notes and that
//! lies in another folder with all its noted lines is not missing.
//!
//! A station is one where the folders describe it alike; else each is called by its folder too, since two
//! shops both have a bench 1. Units and housing types are one by their names, and so are hands, which is
//! said.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::{MissingSession, SessionSummary, ShopLedger, Survey, SurveyOptions, Unseen, survey_by};
use crate::error::Error;
use crate::shop::Shop;
use crate::shown;
use solver::words::listed;

/// Looks at every session of several shops as of one; each folder once, however it is named. `None` where it
/// was not to go on.
///
/// # Errors
/// As [`survey_by`], of the first folder that cannot be looked at.
pub fn survey_together(
    folders: &[PathBuf],
    looking: &SurveyOptions<'_>,
) -> Result<Option<Survey>, Error> {
    if let [folder] = folders {
        return survey_by(folder, looking);
    }
    seen_as_one(folders, looking, |_, why| Err(why))
}

/// Looks at a shop, and at others beside it as of one with it. A folder of those that cannot be looked at is
/// [told of](Survey::unseen) and hides nothing of the rest.
///
/// # Errors
/// As [`survey_by`], of the shop itself.
pub fn survey_beside(
    own: &Path,
    others: &[PathBuf],
    looking: &SurveyOptions<'_>,
) -> Result<Option<Survey>, Error> {
    if others.is_empty() {
        return survey_by(own, looking);
    }
    let mut folders = vec![own.to_owned()];
    folders.extend_from_slice(others);
    let mut unseen = Vec::new();
    let seen = seen_as_one(&folders, looking, |folder, why| {
        if folder == own {
            return Err(why);
        }
        unseen.push(Unseen::of(folder, why));
        Ok(())
    })?;
    Ok(seen.map(|seen| Survey { unseen, ..seen }))
}

/// `refused`: what becomes of a folder that cannot be looked at.
fn seen_as_one(
    folders: &[PathBuf],
    looking: &SurveyOptions<'_>,
    mut refused: impl FnMut(&Path, Error) -> Result<(), Error>,
) -> Result<Option<Survey>, Error> {
    let (mut known, mut each, mut said) = (BTreeSet::new(), Vec::new(), Vec::new());
    for folder in folders {
        if !known.insert(folder.canonicalize().unwrap_or_else(|_| folder.clone())) {
            let named = shown::path(folder);
            said.push(format!("{named} is named twice and looked at once."));
            continue;
        }
        match survey_by(folder, looking) {
            Ok(Some(one)) => each.push(one),
            Ok(None) => return Ok(None),
            Err(why) => refused(folder, why)?,
        }
    }
    if each.len() == 1 {
        return Ok(each.pop().map(|one| Survey { together: said, ..one }));
    }
    let mut together = Survey { together: said, ..Survey::default() };
    let mut paths: Vec<PathBuf> = Vec::new();
    let mut ledgers = Vec::new();
    let mut stated = Stated::default();
    for (index, mut one) in each.into_iter().enumerate() {
        let folder = one.folders.first().cloned().unwrap_or_default();
        for session in &mut one.sessions {
            paths.push(folder.join("sessions").join(&session.file));
            session.folder = index;
            // Among all of them it is found again, and maybe more of it.
            session.copies = Vec::new();
            (session.copy_of, session.continued_in) = (None, None);
        }
        together.sessions.append(one.sessions);
        together.folders.push(folder);
        together.skipped.extend(one.skipped);
        stated.spells.extend(one.spells.iter().map(|_| index));
        stated.judged.extend(one.zeros_judged.iter().map(|_| index));
        together.spells.extend(one.spells);
        together.zeros_judged.extend(one.zeros_judged);
        together.checks_unread.extend(one.checks_unread);
        together.read_whole += one.read_whole;
        ledgers.push(one.ledger);
    }
    together.tell_stations_apart(&stated);
    together.say_shared_hands();
    together.find_doubles(|index| paths.get(index).cloned(), looking.disk);
    together.join_ledgers(ledgers);
    Ok(Some(together.with_risks()))
}

/// Of which folder what is.
#[derive(Default)]
struct Stated {
    spells: Vec<usize>,
    judged: Vec<usize>,
}

impl Survey {
    /// A folder as people call it: its own name, or all of its path where two have one name.
    #[must_use]
    pub fn folder_name(&self, folder: usize) -> String {
        let Some(path) = self.folders.get(folder) else { return String::new() };
        let name = |path: &Path| {
            let whole = path.canonicalize().unwrap_or_else(|_| path.to_owned());
            whole.file_name().map(|name| shown::path(Path::new(name)))
        };
        let own = name(path);
        let alone = self.folders.iter().filter(|other| name(other) == own).count() == 1;
        own.filter(|_| alone).unwrap_or_else(|| shown::path(path))
    }

    /// In which folders something stands, by name; of what stands in so many at least. A copy of a session
    /// that came along from a folder before says nothing of the folder it lies in.
    fn folders_by(
        &self,
        of: impl Fn(&SessionSummary) -> &str,
        least: usize,
    ) -> BTreeMap<String, BTreeSet<usize>> {
        let mut found: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
        let mut first: BTreeMap<&str, usize> = BTreeMap::new();
        for session in self.sessions.iter().filter(|session| !session.practice) {
            let came_from = *first.entry(&session.session).or_insert(session.folder);
            if came_from != session.folder && !session.session.is_empty() {
                continue;
            }
            let name = of(session);
            if !name.is_empty() {
                found.entry(name.to_owned()).or_default().insert(session.folder);
            }
        }
        found.retain(|_, folders| folders.len() >= least);
        found
    }

    /// Stations of one name that the folders do not describe alike are several. `stated`: of which folder
    /// each spell is, and each station whose zero could be judged.
    fn tell_stations_apart(&mut self, stated: &Stated) {
        let mut named = self.folders_by(|session| &session.station, 1);
        let spells = self.spells.iter().map(|spell| &spell.station).zip(&stated.spells);
        for (name, folder) in spells.chain(self.zeros_judged.iter().zip(&stated.judged)) {
            named.entry(name.clone()).or_default().insert(*folder);
        }
        named.retain(|_, folders| folders.len() > 1);
        let shops: Vec<Option<Shop>> =
            self.folders.iter().map(|folder| Shop::load(folder).ok()).collect();
        let described = |folder: usize, name: &str| {
            let shop = shops.get(folder)?.as_ref()?;
            let kept = shop.stations.iter().filter(|kept| kept.value.name == name);
            let stations: Vec<_> = kept.map(|kept| &kept.value).collect();
            (!stations.is_empty()).then(|| format!("{stations:?}"))
        };
        let mut apart: BTreeMap<(String, usize), String> = BTreeMap::new();
        for (name, folders) in named {
            let mut all = folders.iter().map(|folder| described(*folder, &name));
            let first = all.next().flatten();
            let alike = first.is_some() && all.all(|other| other == first);
            let places: Vec<String> = folders.iter().map(|one| self.folder_name(*one)).collect();
            let (shown, places) = (shown::one_line(&name), listed(&places, " and in "));
            self.together.push(if alike {
                format!("{shown} stands in {places}, described alike: it is taken for one station.")
            } else {
                format!(
                    "{shown} stands in {places}, which do not describe it alike: each is taken for a station \
                     of its own."
                )
            });
            for folder in folders.into_iter().filter(|_| !alike) {
                let of_folder = format!("{name} ({})", self.folder_name(folder));
                apart.insert((name.clone(), folder), of_folder);
            }
        }
        let called = |station: &str, folder: usize| apart.get(&(station.to_owned(), folder));
        let call = |station: &mut String, folder: usize| {
            if let Some(name) = called(station, folder) {
                station.clone_from(name);
            }
        };
        for session in &mut self.sessions {
            if let Some(name) = called(&session.station, session.folder) {
                session.station = name.into();
            }
            if let Some(recall) = &mut session.recall {
                call(&mut recall.station, session.folder);
            }
        }
        let spells = self.spells.iter_mut().map(|spell| &mut spell.station);
        for (station, folder) in spells.zip(&stated.spells) {
            call(station, *folder);
        }
        for (station, folder) in self.zeros_judged.iter_mut().zip(&stated.judged) {
            call(station, *folder);
        }
    }

    fn say_shared_hands(&mut self) {
        for (hand, folders) in self.folders_by(|session| &session.hand, 2) {
            let named: Vec<String> = folders.iter().map(|one| self.folder_name(*one)).collect();
            let (hand, named) = (shown::one_line(&hand), listed(&named, " and in "));
            self.together.push(format!("{hand} logged in {named}: taken for one hand."));
        }
    }

    /// What the ledgers of all folders say.
    fn join_ledgers(&mut self, ledgers: Vec<ShopLedger>) {
        let mut joined =
            ShopLedger { stands: ledgers.iter().any(|one| one.stands), ..Default::default() };
        for (folder, ledger) in ledgers.into_iter().enumerate() {
            let named = self.folder_name(folder);
            if !ledger.stands && joined.stands {
                let said = format!("No ledger stands beside the sessions of {named}.");
                self.together.push(said);
            }
            joined.not_noted += ledger.not_noted;
            if folder == 0 {
                joined.to_note = ledger.to_note;
            }
            joined.torn.extend(ledger.torn);
            joined.troubles.extend(ledger.troubles);
            let mut missing = 0;
            for gone in ledger.missing {
                match self.moved(&gone, folder) {
                    Some(place) => self.together.push(format!(
                        "The ledger of {named} notes the session that was kept as {}; it lies in {place}, \
                         with all that is noted of it.",
                        gone.files.join(", ")
                    )),
                    None => {
                        missing += 1;
                        joined.missing.push(gone);
                    }
                }
            }
            joined.of_no_session_here |= ledger.of_no_session_here && missing > 0;
        }
        self.ledger = joined;
    }

    /// Where a session lies that is missing in its folder, if every line that is noted of it stands there.
    fn moved(&self, gone: &MissingSession, from: usize) -> Option<String> {
        let has_all = |session: &&SessionSummary| {
            session.folder != from
                && session.session == gone.session
                && gone.noted.iter().all(|noted| {
                    session.signing.iter().any(|line| noted.entry.is_of(line.seq, &line.hash))
                })
        };
        self.sessions.iter().find(has_all).map(|session| self.place_of(session))
    }
}
