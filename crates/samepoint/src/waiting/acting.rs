//! Facts that are not on disk: trying again, writing them elsewhere, leaving or discarding them; and
//! those of earlier, from rescue files.

use paper::words::{capital, form_for};
use std::path::{Path, PathBuf};

use record::Error;
use record::rescue::{self, FileStands};

use super::sheet::ON_DISK_NOW;
use super::{
    ContinueOf, ContinueSheet, Leaving, RescueSheet, Rescued, Unreadable, WaitingAction,
    WaitingSheet,
};
use crate::app::App;
use crate::app::action::Action;
use crate::places::study::StudyAction;
use crate::sheets::Sheet;
use crate::shell::held::Held;
use crate::shell::kept_file::counted;
use crate::shell::open_shop::{program, shop_of, words_of};
use crate::shell::path_sheet::PathSheet;
use crate::upkeep::OpenChecks;

impl App {
    pub(crate) fn waiting_action(&mut self, action: WaitingAction) {
        match action {
            WaitingAction::Show(held) => {
                self.bring(Sheet::Waiting(WaitingSheet::of(held, None)));
            }
            WaitingAction::Retry => self.retry_waiting(false),
            WaitingAction::Agree => self.retry_waiting(true),
            WaitingAction::Elsewhere => {
                if let Sheet::Waiting(sheet) = &self.front {
                    let (held, then) = (sheet.held, sheet.then.clone());
                    self.show_continue_sheet(held, then);
                }
            }
            WaitingAction::Leave => self.leave_in_rescue(),
            WaitingAction::Discarding(asked) => match &mut self.front {
                Sheet::Waiting(sheet) => sheet.discarding = asked,
                Sheet::Rescue(sheet) => sheet.discarding = asked,
                _ => {}
            },
            WaitingAction::Discard => self.discard_facts(),
            WaitingAction::ContinueTo(path, agreed) => self.continue_to(&path, agreed),
            WaitingAction::TakeInto(agreed) => self.take_rescued(agreed),
            WaitingAction::TakeIntoNew => self.ask_new_for_rescued(),
            WaitingAction::Later => {
                if let Sheet::Rescue(sheet) = &self.front {
                    self.later.extend(sheet.found.first().map(|found| found.path.clone()));
                    self.next_rescued();
                }
            }
        }
    }

    /// Goes on with what waited for the hand's choice.
    fn do_what_waited(&mut self, then: Option<Leaving>) {
        match then {
            None => {}
            Some(Leaving::Close) => {
                self.closing = true;
                (self.shell.wake)();
            }
            Some(Leaving::Do(action)) => self.apply_one(*action),
        }
    }

    fn retry_waiting(&mut self, agreed: bool) {
        let Sheet::Waiting(sheet) = &self.front else { return };
        let (held, then) = (sheet.held, sheet.then.clone());
        let done = self.held_mut(held).map(|file| file.again(agreed));
        self.shell.warnings.clear();
        self.settle(&[held]);
        self.rescue_waiting(false);
        let still = self.waits(held).map(|waits| {
            waits.why.map_or_else(
                || "They are still on their way.".to_owned(),
                |why| format!("Still not: {why}."),
            )
        });
        match (done.transpose().err(), still) {
            (None, None) => {
                self.put_away();
                self.say(ON_DISK_NOW);
                self.do_what_waited(then);
            }
            (refused, still) => {
                if let Sheet::Waiting(sheet) = &mut self.front {
                    sheet.refused = refused.map(|why| why.to_string()).or(still);
                }
            }
        }
    }

    /// Leaves the facts in the rescue file for the next start, and lets go of their file.
    fn leave_in_rescue(&mut self) {
        let Sheet::Waiting(sheet) = &self.front else { return };
        let (held, then) = (sheet.held, sheet.then.clone());
        self.rescue_waiting(true);
        if let Some(waits) = self.waits(held) {
            let Some(rescue) = waits.rescue else {
                if let Sheet::Waiting(sheet) = &mut self.front {
                    sheet.refused = Some(waits.kept);
                }
                return;
            };
            self.later.push(rescue.clone());
            self.keepers.forget(held);
            self.drop_file(held);
            self.shell.warnings.clear();
            self.put_away();
            if held == Held::Checks && matches!(self.front, Sheet::Check(_)) {
                self.put_away();
            }
            let facts = counted(waits.count);
            self.say(format!("{facts} kept in {}.", record::shown::path(&rescue)));
        } else {
            self.put_away();
        }
        self.do_what_waited(then);
    }

    /// Discards what the hand named twice.
    fn discard_facts(&mut self) {
        match &self.front {
            Sheet::Waiting(sheet) if sheet.discarding => {
                let (held, then) = (sheet.held, sheet.then.clone());
                let Some(waits) = self.waits(held) else { return };
                log::warn!("{} of {} discarded by hand", waits.count, waits.path.display());
                self.keepers.discard(held, &*self.shell.services.disk);
                self.drop_file(held);
                self.shell.warnings.clear();
                self.put_away();
                self.say(format!("{} discarded.", counted(waits.count)));
                if then.is_none() {
                    self.show_what_is_on_disk(held, waits.path);
                }
                self.do_what_waited(then);
            }
            Sheet::Rescue(sheet) if sheet.discarding => {
                let Some(found) = sheet.found.first() else { return };
                let path = found.path.clone();
                match rescue::discard(&path, &*self.shell.services.disk) {
                    Ok(()) => {
                        log::warn!("{} discarded by hand", path.display());
                        self.next_rescued();
                    }
                    Err(why) => self.refuse_rescue(why.to_string()),
                }
            }
            _ => {}
        }
    }

    /// Opens a file again whose waiting facts were discarded.
    fn show_what_is_on_disk(&mut self, held: Held, path: PathBuf) {
        match held {
            Held::Session => self.apply_one(Action::OpenPath(path)),
            Held::Checks => {
                if let Sheet::Check(sheet) = &self.front {
                    let station = sheet.station.clone();
                    if let Err(why) = self.open_checks(&station) {
                        self.shell.warnings.push(why.to_string());
                    }
                }
            }
            Held::Study => self.apply_one(Action::Study(StudyAction::Open(path))),
        }
    }

    /// Lets go of a file whose waiting facts are safe elsewhere, or not wanted.
    fn drop_file(&mut self, held: Held) {
        match held {
            Held::Session => {
                if let Some(mut open) = self.session.take() {
                    let _ = open.finish();
                    let (path, signed) = (open.file().path().to_owned(), open.take_signed());
                    self.note_signed(&path, signed);
                }
                self.close_session();
            }
            Held::Checks => self.checks = None,
            Held::Study => self.places.study.open = None,
        }
    }

    /// Asks where an open file is to go on.
    pub(crate) fn show_continue_sheet(&mut self, held: Held, then: Option<Leaving>) {
        let Some((file, title)) = self.held(held) else { return };
        let (path, nothing) = (file.path(), file.takes_nothing());
        let proposed = match held {
            Held::Session => Ok(beside(&self.folder_for(path, nothing), path, "continued")),
            _ if nothing => Ok(beside(&self.shell.services.folders.home, path, "continued")),
            Held::Checks => self.shell.shop.new_check_path(&title),
            Held::Study => {
                self.shell.shop.new_study_path(self.shell.services.clock.now().date(), &title)
            }
        };
        let path = proposed.unwrap_or_else(|_| self.shell.services.folders.home.clone());
        let waiting = self.unsaved(held);
        let along = match waiting {
            0 => String::new(),
            n => form_for(
                n,
                " The fact that is only in memory comes along.".to_owned(),
                format!(" The {n} facts that are only in memory come along."),
            ),
        };
        self.bring(Sheet::Continue(ContinueSheet {
            of: ContinueOf::Held(held),
            path: PathSheet::at(&path),
            told: format!(
                "Every fact that can be read goes into a new file; the old one stays.{along}"
            ),
            then,
            must_agree: false,
        }));
    }

    /// A folder that a new file may be put in: that of the old one, unless it takes nothing.
    pub(crate) fn folder_for(&self, path: &Path, takes_nothing: bool) -> PathBuf {
        let folder = path.parent().unwrap_or_else(|| Path::new("."));
        if takes_nothing || !folder.is_dir() {
            self.shell.services.folders.home.clone()
        } else {
            folder.to_owned()
        }
    }

    fn continue_to(&mut self, to: &Path, agreed: bool) {
        let Sheet::Continue(sheet) = &self.front else { return };
        let (of, then) = (sheet.of.clone(), sheet.then.clone());
        let done = match &of {
            ContinueOf::Held(held) => self.continue_held(*held, to, agreed),
            ContinueOf::Rescue(rescue) => self.rescued_into_new(rescue, to, agreed),
        };
        match done {
            Ok(()) => self.do_what_waited(then),
            Err(why) => {
                if let Sheet::Continue(sheet) = &mut self.front {
                    sheet.must_agree = matches!(why, Error::Unsupported { .. });
                    sheet.path.refused = Some(why.to_string());
                }
            }
        }
    }

    /// Goes on in a new file, which holds every fact before the old one is let go of.
    fn continue_held(&mut self, held: Held, to: &Path, agreed: bool) -> Result<(), Error> {
        let (program, hand, options) = (program(), self.shell.hand(), self.shell.file_options());
        let now = self.shell.services.clock.now();
        match held {
            Held::Session => {
                let Some(open) = &self.session else { return Ok(()) };
                let new = open.file().continue_in(to, &program, &hand, options)?.begun(agreed)?;
                self.keepers.discard(held, &*self.shell.services.disk);
                self.drop_file(held);
                self.shell.warnings.clear();
                self.take_up(new);
                self.shell.shop.refresh_sessions();
                self.note_signatures_of(to);
            }
            Held::Checks => {
                let file = self.checks.as_ref().and_then(OpenChecks::file);
                let Some(file) = file else { return Ok(()) };
                let new = file.continue_in(to, &program, &hand, options)?.begun(agreed)?;
                self.keepers.discard(held, &*self.shell.services.disk);
                if let Some(open) = &mut self.checks {
                    open.take_up(new, now);
                }
                self.shell.warnings.clear();
                self.put_away();
                self.remember_checks();
            }
            Held::Study => {
                let Some(open) = &self.places.study.open else { return Ok(()) };
                let new = open.file().continue_in(to, &program, &hand, options)?.begun(agreed)?;
                self.keepers.discard(held, &*self.shell.services.disk);
                self.drop_file(held);
                self.shell.warnings.clear();
                self.put_away();
                let effect = self.places.study.take_up(new, &mut self.shell);
                self.follow_or_warn(vec![effect]);
                self.places.study.list = self.shell.shop.studies();
                "The study goes on in a new file; the old one stays as it is."
                    .clone_into(&mut self.places.study.notice);
            }
        }
        self.say(format!("Goes on in {}; the old file stays as it is.", record::shown::path(to)));
        Ok(())
    }

    /// Shows what waits, or what earlier work left in rescue files.
    pub(crate) fn show_unsaved(&mut self) {
        if let Some(&held) = Held::ALL.iter().find(|&&held| self.unsaved(held) > 0) {
            self.bring(Sheet::Waiting(WaitingSheet::of(held, None)));
            return;
        }
        self.later.clear();
        if !self.offer_rescued() {
            self.say("Nothing waits: every fact is on disk.");
        }
    }

    /// Offers what rescue files hold; says whether there is anything.
    pub(crate) fn offer_rescued(&mut self) -> bool {
        let disk = &*self.shell.services.disk;
        let mut found = Vec::new();
        for folder in self.shell.services.folders.rescue() {
            let paths = rescue::rescue_files(&folder, disk).unwrap_or_else(|why| {
                log::warn!("{why}");
                Vec::new()
            });
            for path in paths.into_iter().filter(|path| !self.later.contains(path)) {
                match rescue::look(&path, disk) {
                    // Saved in the last moment: there is nothing to ask.
                    Ok(offer) if offer.stands == FileStands::Saved && offer.damage.is_none() => {
                        if let Err(why) = rescue::discard(&path, disk) {
                            log::warn!("{why}");
                        }
                    }
                    told => {
                        found.push(Rescued { path, told: told.map_err(Unreadable::from) });
                    }
                }
            }
        }
        if found.is_empty() {
            return false;
        }
        let sheet = RescueSheet { found, discarding: false, must_agree: false, refused: None };
        self.bring(Sheet::Rescue(sheet));
        true
    }

    /// The rescue file shown is seen to: on to the next, if there is one.
    fn next_rescued(&mut self) {
        if matches!(self.front, Sheet::Rescue(_) | Sheet::Continue(_)) {
            self.put_away();
        }
        self.offer_rescued();
    }

    /// Signatures that reached a session by another way than being signed here are to be noted too.
    fn note_signatures_of(&mut self, session: &Path) {
        if let Some(shop) = shop_of(session) {
            self.note_missed(&shop);
        }
    }

    fn refuse_rescue(&mut self, why: String) {
        if let Sheet::Rescue(sheet) = &mut self.front {
            sheet.refused = Some(why);
        }
    }

    /// Takes the facts of the rescue file shown into the file they belong to.
    fn take_rescued(&mut self, agreed: bool) {
        let Sheet::Rescue(sheet) = &self.front else { return };
        let Some(Ok(offer)) = sheet.found.first().map(|found| found.told.clone()) else { return };
        let path = offer.about.path.clone();
        let disk = std::sync::Arc::clone(&self.shell.services.disk);
        let same = |other: &Path| disk.resolved(other) == disk.resolved(&path);
        let open = Held::ALL.map(|held| self.held(held).is_some_and(|(file, _)| same(file.path())));
        let [here, ..] = open;
        for (held, open) in Held::ALL.into_iter().zip(open) {
            if open && self.unsaved(held) > 0 {
                let why = "That file is open here and has facts of its own that wait: see to those first.";
                return self.refuse_rescue(why.to_owned());
            }
        }
        if here {
            self.close_session();
        }
        if open[1] {
            self.close_checks();
        }
        if open[2] {
            self.close_study();
        }
        let taken = rescue::take_into(&offer.path, &self.shell.file_options(), agreed);
        let is_session = offer.about.kind == "session";
        match taken {
            Ok(count) => {
                self.note_signatures_of(&path);
                if is_session && (here || self.unsaved(Held::Session) == 0) {
                    self.apply_one(Action::OpenPath(path.clone()));
                } else {
                    self.refresh_checks();
                }
                self.say(format!("{} taken into {}.", capital(&counted(count)), words_of(&path)));
                self.next_rescued();
            }
            Err(why) => {
                let sheet = self.front.clone();
                if here {
                    self.apply_one(Action::OpenPath(path));
                }
                self.front = sheet;
                if let Sheet::Rescue(sheet) = &mut self.front {
                    sheet.must_agree = matches!(why, Error::Unsupported { .. });
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    fn ask_new_for_rescued(&mut self) {
        let Sheet::Rescue(sheet) = &self.front else { return };
        let Some(Ok(offer)) = sheet.found.first().map(|found| found.told.clone()) else { return };
        let old = &offer.about.path;
        let path = beside(&self.folder_for(old, false), old, "continued");
        self.bring(Sheet::Continue(ContinueSheet {
            of: ContinueOf::Rescue(offer.path.clone()),
            path: PathSheet::at(&path),
            told: format!(
                "{} and every fact before go into a new file, as they were said.",
                counted(offer.facts)
            ),
            then: None,
            must_agree: false,
        }));
    }

    fn rescued_into_new(&mut self, rescue: &Path, to: &Path, agreed: bool) -> Result<(), Error> {
        let (program, hand, options) = (program(), self.shell.hand(), self.shell.file_options());
        let count = rescue::take_into_new(rescue, to, (&program, &hand), &options, agreed)?;
        self.note_signatures_of(to);
        let is_session = to.extension().is_some_and(|end| end == record::shop::SESSION_EXTENSION);
        if is_session && self.unsaved(Held::Session) == 0 {
            self.apply_one(Action::OpenPath(to.to_owned()));
        } else {
            self.refresh_checks();
        }
        self.say(format!("{} in {}.", capital(&counted(count)), record::shown::path(to)));
        self.next_rescued();
        Ok(())
    }
}

/// Tries to write what waits again, agreed or not that the place lacks something.
/// A path in a folder that nothing has yet, named after a file.
pub(crate) fn beside(folder: &Path, path: &Path, addition: &str) -> PathBuf {
    let extension = path.extension().map(std::ffi::OsStr::to_string_lossy).unwrap_or_default();
    record::shop::free_path(folder, &format!("{} {addition}", words_of(path)), &extension)
}
