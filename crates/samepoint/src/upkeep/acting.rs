//! Bench upkeep: reading a station's check standard, deciding on it, and what is due.

use record::checks::{CheckAbout, CheckBody, CheckFile, CheckHeader};
use record::fact::{Body, DayNote};
use record::{Error, Stamp, Station};

use super::{CheckAction, CheckJournal, CheckSheet, Decision, OpenChecks};
use crate::app::App;
use crate::bench::session::OpenSession;
use crate::bench::station_words::Judging;
use crate::sheets::Sheet;
use crate::shell::held::Held;
use crate::shell::kept_file::Mend;
use crate::shell::open_shop::program;
use crate::shell::reading_form::ReadingField;
use crate::shell::refusals::Refusal;

/// Why nothing is added to a station's check file.
#[derive(Debug, thiserror::Error)]
enum CheckRefused {
    /// What is read each day has a name.
    #[error("Name the check standard: what is read each day.")]
    NoStandard,
    /// There is no file to add to.
    #[error("No check file is open.")]
    NoneOpen,
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The record.
    #[error(transparent)]
    Record(#[from] Error),
}

impl App {
    pub(crate) fn check_action(&mut self, action: CheckAction) {
        match action {
            CheckAction::Open(station) => self.show_checks_of(&station),
            CheckAction::Log => self.log_check(),
            CheckAction::Limits => self.ask_for_limits(),
            CheckAction::Decide => self.decide_on_checks(),
            CheckAction::Mend(Mend::Continue) => {
                self.show_continue_sheet(Held::Checks, None);
            }
            CheckAction::Mend(mend) => self.mend_checks(mend),
        }
    }

    fn mend_checks(&mut self, mend: Mend) {
        let (now, hand) = (self.shell.services.clock.now(), self.shell.hand());
        let journal = self.checks.as_mut().and_then(OpenChecks::journal_mut);
        match journal.map_or(Ok(None), |journal| journal.mend(mend, now, &hand)) {
            Ok(None) => {}
            Ok(Some(told)) => {
                self.say(told);
                self.remember_checks();
            }
            Err(why) => self.refuse_check(None, why.to_string()),
        }
    }

    /// The session's station where the shop has it, else the shop's first.
    pub(crate) fn station_to_check(&self) -> Option<String> {
        let stations = &self.shell.shop.offers().stations;
        let here = self.session.as_ref().and_then(|session| session.state().station());
        let of_session =
            here.filter(|here| stations.iter().any(|station| station.name == here.name));
        of_session.or_else(|| stations.first()).map(|station| station.name.clone())
    }

    /// Brings the checks of that station to the front.
    pub(crate) fn check_station(&mut self) {
        match self.station_to_check() {
            Some(name) => self.show_checks_of(&name),
            None => self.say("This shop has no station to check."),
        }
    }

    fn show_checks_of(&mut self, name: &str) {
        if matches!(&self.front, Sheet::Check(sheet) if sheet.station == name) {
            return;
        }
        self.lay_checks_by(name);
        let waits = |front: &Sheet| matches!(front, Sheet::Check(_));
        if let Some(place) = self.behind.iter().position(waits) {
            let sheet = self.behind.remove(place);
            self.bring(sheet);
            return;
        }
        if self.checks.as_ref().is_none_or(|open| open.station().name != name)
            && let Err(why) = self.open_checks(name)
        {
            self.say(why);
            return;
        }
        if let Some(open) = &self.checks {
            let sheet = CheckSheet::of(open, self.shell.known_hand());
            self.bring(Sheet::Check(Box::new(sheet)));
        }
    }

    /// Lays by what is typed of another station's check: one check file is open at a time.
    fn lay_checks_by(&mut self, name: &str) {
        let others =
            |front: &mut Sheet| matches!(front, Sheet::Check(sheet) if sheet.station != name);
        self.laid_by.extend(self.behind.extract_if(.., others).filter(Sheet::holds_work));
        if others(&mut self.front) {
            let left = std::mem::take(&mut self.front);
            self.laid_by.extend(left.holds_work().then_some(left));
        }
    }

    /// Opens a station's check file, for writing where that is possible.
    pub(crate) fn open_checks(&mut self, name: &str) -> Result<(), Refusal> {
        self.close_checks();
        let now = self.shell.services.clock.now();
        let station = self.shell.shop.station(name).cloned();
        let station = station.ok_or_else(|| Refusal::NoStation(name.to_owned()))?;
        let path = self.shell.shop.check_path(name)?;
        let file =
            path.map(|path| CheckFile::open(&path, self.shell.file_options())).transpose()?;
        for notice in file.iter().flat_map(|file| file.notices().to_vec()) {
            self.shell.warnings.push(notice.to_string());
        }
        self.checks = Some(OpenChecks::new(station, file, now));
        self.remember_checks();
        Ok(())
    }

    /// Lets go of the check file that is open; everything acknowledged is on disk already.
    pub(crate) fn close_checks(&mut self) {
        if let Some(mut open) = self.checks.take()
            && let Some(Err(why)) = open.journal_mut().map(|open| open.file_mut().finish())
        {
            self.shell.warnings.push(why.to_string());
        }
        self.keepers.forget(Held::Checks);
    }

    /// Hears the check file, and lets go of it when no sheet shows it any more: another bench may
    /// want to write.
    pub(crate) fn hear_checks(&mut self) {
        let now = self.shell.services.clock.now();
        if self.shell.shop.is_of_another_day(now.date()) {
            self.refresh_checks();
        }
        let Some(open) = &mut self.checks else { return };
        let said = open.journal_mut().map(CheckJournal::hear).unwrap_or_default();
        open.refresh(now);
        let settled = self.unsaved(Held::Checks) == 0;
        self.shell.warnings.extend(said);
        let shown = |front: &Sheet| matches!(front, Sheet::Check(_));
        if settled && !shown(&self.front) && !self.behind.iter().any(shown) {
            self.close_checks();
        }
    }

    fn refuse_check(&mut self, field: Option<ReadingField>, why: String) {
        if let Sheet::Check(sheet) = &mut self.front {
            sheet.read.focus = field;
            sheet.read.refused = Some((field, why));
        }
    }

    fn log_check(&mut self) {
        let Sheet::Check(sheet) = &self.front else { return };
        let sheet = sheet.clone();
        let Some(open) = &self.checks else { return };
        let taken = match sheet.taken(open.station()) {
            Ok(taken) => taken,
            Err((field, why)) => return self.refuse_check(Some(field), why),
        };
        if let Err(why) = taken.direction() {
            return self.refuse_check(Some(ReadingField::X), why.to_string());
        }
        let done = self
            .begin_checks(&sheet)
            .and_then(|()| self.append_check(CheckBody::Taken(taken), &sheet.hand));
        if let Err(why) = done {
            return self.refuse_check(None, why.to_string());
        }
        let next = self.checks.as_ref().and_then(|open| open.picture().next);
        if let Sheet::Check(sheet) = &mut self.front {
            sheet.read.x.clear();
            sheet.read.y.clear();
            sheet.read.refused = None;
            sheet.turn_to(next);
            sheet.read.focus = Some(ReadingField::X);
        }
        self.say(format!("Check of {} logged.", sheet.station));
    }

    /// Begins the station's check file with its first reading.
    fn begin_checks(&mut self, sheet: &CheckSheet) -> Result<(), CheckRefused> {
        let hand = sheet.hand.trim();
        if hand.is_empty() {
            return Err(Refusal::NoHand.into());
        }
        self.named_on_sheet(hand);
        if self.checks.as_ref().is_none_or(|open| open.file().is_some()) {
            return Ok(());
        }
        let about = CheckAbout {
            station: sheet.station.clone(),
            standard: sheet.standard.trim().to_owned(),
            accepted: Vec::new(),
        };
        if about.standard.is_empty() {
            return Err(CheckRefused::NoStandard);
        }
        let header = CheckHeader::begun(program(), about)?;
        let (file, noted) =
            self.shell.shop.begin_checks(header, hand, self.shell.file_options())?;
        self.shell.warnings.extend(noted);
        let now = self.shell.services.clock.now();
        if let Some(open) = &mut self.checks {
            open.take_up(file, now);
        }
        Ok(())
    }

    fn ask_for_limits(&mut self) {
        let now = self.shell.services.clock.now();
        let Some(preview) = self.checks.as_ref().map(|open| open.preview(now)) else { return };
        let Sheet::Check(sheet) = &mut self.front else { return };
        match preview {
            Ok(told) => {
                sheet.decision = Decision::Limits(told);
                sheet.read.focus = Some(ReadingField::X);
                sheet.read.refused = None;
            }
            Err(why) => sheet.read.refused = Some((None, why.to_string())),
        }
    }

    fn decide_on_checks(&mut self) {
        let Sheet::Check(sheet) = &self.front else { return };
        let hand = sheet.hand.clone();
        let Some(body) = self.checks.as_ref().and_then(|open| sheet.decided(open)) else { return };
        if let CheckBody::Limits(limits) = &body
            && limits.reason.is_empty()
        {
            return self.refuse_check(None, "Say why the limits are drawn now.".to_owned());
        }
        if let Err(why) = self.append_check(body, &hand) {
            return self.refuse_check(None, why.to_string());
        }
        let next = self.checks.as_ref().and_then(|open| open.picture().next);
        if let Sheet::Check(sheet) = &mut self.front {
            sheet.decision = Decision::None;
            sheet.reason.clear();
            sheet.read.refused = None;
            sheet.turn_to(next);
            sheet.read.focus = Some(ReadingField::X);
        }
    }

    /// Adds a fact to the check file; the open session hears how its station stands now.
    fn append_check(&mut self, body: CheckBody, hand: &str) -> Result<(), CheckRefused> {
        let hand = hand.trim();
        if hand.is_empty() {
            return Err(Refusal::NoHand.into());
        }
        self.named_on_sheet(hand);
        let now = self.shell.services.clock.now();
        let Some(open) = &mut self.checks else { return Err(CheckRefused::NoneOpen) };
        let journal = open.journal_mut().ok_or(Error::HeaderOutOfPlace);
        let added = journal.and_then(|journal| journal.append(body, now, hand));
        added?;
        hand.clone_into(&mut self.shell.preferences.hand);
        self.remember_checks();
        self.tell_session();
        Ok(())
    }

    /// What sheets offer for new sessions follows the checks that are open.
    pub(crate) fn remember_checks(&mut self) {
        let today = self.shell.services.clock.now().date();
        if let Some(open) = &self.checks {
            self.shell.shop.know_checks(&open.station().name, open.checks(), today);
        }
    }

    /// Tells the open session how its station stands by its check of today: copies the station in anew where
    /// the check standard decides, with the same map, so readings stay together; or notes that it was
    /// read and nothing judges it yet. What a hand said of the check stands until the standard decides.
    /// A session on which nobody works today hears of it with its next reading.
    pub(crate) fn tell_session(&mut self) {
        let today = self.shell.services.clock.now().date();
        let Some(session) = self.session.as_ref().filter(|session| session.is_writable()) else {
            return;
        };
        let of_today = session.file().facts().last().is_some_and(|last| last.time.date() == today);
        if of_today && self.closed().is_none() && !self.shell.who.asks() {
            self.tell_of_check();
        }
    }

    /// The same, whenever the session was worked on last.
    pub(crate) fn tell_of_check(&mut self) {
        let day = self.shell.services.clock.now().date();
        let Some(state) = self.session.as_ref().map(OpenSession::state) else { return };
        let Some(here) = state.station() else { return };
        let Some(today) = self.shell.shop.offers().checked_on(&here.name, day) else { return };
        let anew = today.as_checked(self.unless_from_standard(here));
        let judged = anew.checked.as_ref().is_some_and(|check| check.time.date() == day);
        let was_told = state.was_checked_unjudged(&here.name, day);
        let note = match today.unjudged.as_ref().filter(|_| !judged) {
            Some(note) => (!was_told).then(|| note.clone()),
            None => was_told.then(|| DayNote::not_checked(&here.name, "not read today any more")),
        };
        let station = (anew != *here).then_some(Body::Station(anew));
        let note = note.filter(|_| !judged).map(|note| Body::Note(note.note()));
        for body in station.into_iter().chain(note) {
            if let Err(why) = self.append(body) {
                self.shell.warnings.push(why.to_string());
            }
        }
    }

    /// The station with what the shop says of its check, where what it says now came from the standard:
    /// that may decide otherwise by now.
    fn unless_from_standard(&self, here: &Station) -> Station {
        let checks = self.shell.shop.offers().checks_of(&here.name);
        let given = here.checked.as_ref().zip(checks);
        let from_standard = given.is_some_and(|(check, checks)| checks.gave(check));
        let kept = self.shell.shop.station(&here.name).filter(|_| from_standard);
        let checked = kept.map_or_else(|| here.checked.clone(), |kept| kept.checked.clone());
        Station { checked, ..here.clone() }
    }

    /// The station in force as it stands today by its check standard, whether the session was told or not.
    pub(crate) fn station_today(&self, now: Stamp) -> Option<(Station, Judging)> {
        let session = self.session.as_ref()?;
        let here = session.state().station()?;
        let told = || (here.clone(), Judging::in_session(session.state(), here, now));
        // What is signed is not told any more.
        let today = self.shell.shop.offers().checked_on(&here.name, now.date());
        let today = today.filter(|_| self.closed().is_none());
        Some(today.map_or_else(told, |today| {
            (today.as_checked(self.unless_from_standard(here)), Judging::by(Some(today)))
        }))
    }

    /// Brings what is due to the front.
    pub(crate) fn show_due(&mut self) {
        self.refresh_checks();
        self.bring(Sheet::Due);
    }

    /// Reads the shop's check files anew: another bench may have written.
    pub(crate) fn refresh_checks(&mut self) {
        let today = self.shell.services.clock.now().date();
        self.shell.shop.refresh_checks(today);
        // What waits to be written is newer than the file.
        self.remember_checks();
        self.tell_session();
    }

    /// Ends what is being decided on, if anything is; says whether it did.
    pub(crate) fn leave_decision(&mut self) -> bool {
        let Sheet::Check(sheet) = &mut self.front else { return false };
        if sheet.decision == Decision::None {
            return false;
        }
        sheet.decision = Decision::None;
        sheet.reason.clear();
        sheet.read.refused = None;
        sheet.read.focus = Some(ReadingField::X);
        true
    }
}
