//! Bench upkeep: reading a station's check standard, deciding on it, and what is due.

use record::checks::{CheckAbout, CheckBody, CheckFile, CheckHeader};
use record::fact::Body;
use record::{Error, Station};

use crate::app::App;
use crate::app::checking::{
    CheckAction, CheckField, CheckJournal, CheckSheet, Decision, OpenChecks,
};
use crate::app::front::Front;
use crate::app::kept_file::Mend;
use crate::app::opening::program;
use crate::app::refusals::NO_HAND;
use crate::app::waiting::Held;

impl App {
    pub(super) fn check_action(&mut self, action: CheckAction) {
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
        let (now, hand) = (self.services.clock.now(), self.hand());
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
    pub(in crate::app) fn station_to_check(&self) -> Option<String> {
        let stations = &self.shop.offers().stations;
        let here = self.session.as_ref().and_then(|session| session.state().station());
        let of_session =
            here.filter(|here| stations.iter().any(|station| station.name == here.name));
        of_session.or_else(|| stations.first()).map(|station| station.name.clone())
    }

    /// Brings the checks of that station to the front.
    pub(super) fn check_station(&mut self) {
        match self.station_to_check() {
            Some(name) => self.show_checks_of(&name),
            None => self.say("This shop has no station to check."),
        }
    }

    fn show_checks_of(&mut self, name: &str) {
        if matches!(&self.front, Front::Check(sheet) if sheet.station == name) {
            return;
        }
        self.lay_checks_by(name);
        let waits = |front: &Front| matches!(front, Front::Check(_));
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
            let sheet = CheckSheet::of(open, &self.preferences.hand);
            self.bring(Front::Check(Box::new(sheet)));
        }
    }

    /// Lays by what is typed of another station's check: one check file is open at a time.
    fn lay_checks_by(&mut self, name: &str) {
        let others =
            |front: &mut Front| matches!(front, Front::Check(sheet) if sheet.station != name);
        self.laid_by.extend(self.behind.extract_if(.., others).filter(Front::holds_work));
        if others(&mut self.front) {
            let left = std::mem::take(&mut self.front);
            self.laid_by.extend(left.holds_work().then_some(left));
        }
    }

    /// Opens a station's check file, for writing where that is possible.
    pub(super) fn open_checks(&mut self, name: &str) -> Result<(), String> {
        self.close_checks();
        let now = self.services.clock.now();
        let station = self.shop.station(name).cloned();
        let station = station.ok_or_else(|| format!("There is no station {name} in this shop."))?;
        let path = self.shop.check_path(name)?;
        let file = path.map(|path| CheckFile::open(&path, self.file_options())).transpose();
        let file = file.map_err(|why| why.to_string())?;
        for notice in file.iter().flat_map(|file| file.notices().to_vec()) {
            self.warnings.push(notice.to_string());
        }
        self.checks = Some(OpenChecks::new(station, file, now));
        self.remember_checks();
        Ok(())
    }

    /// Lets go of the check file that is open; everything acknowledged is on disk already.
    pub(in crate::app) fn close_checks(&mut self) {
        if let Some(mut open) = self.checks.take()
            && let Some(Err(why)) = open.journal_mut().map(|open| open.file_mut().finish())
        {
            self.warnings.push(why.to_string());
        }
        self.keepers.forget(Held::Checks);
    }

    /// Hears the check file, and lets go of it when no sheet shows it any more: another bench may
    /// want to write.
    pub(in crate::app) fn hear_checks(&mut self) {
        let now = self.services.clock.now();
        let Some(open) = &mut self.checks else { return };
        let said = open.journal_mut().map(CheckJournal::hear).unwrap_or_default();
        open.refresh(now);
        let settled = self.unsaved(Held::Checks) == 0;
        self.warnings.extend(said);
        let shown = |front: &Front| matches!(front, Front::Check(_));
        if settled && !shown(&self.front) && !self.behind.iter().any(shown) {
            self.close_checks();
        }
    }

    fn refuse_check(&mut self, field: Option<CheckField>, why: String) {
        if let Front::Check(sheet) = &mut self.front {
            sheet.focus = field;
            sheet.refused = Some((field, why));
        }
    }

    fn log_check(&mut self) {
        let Front::Check(sheet) = &self.front else { return };
        let sheet = sheet.clone();
        let Some(open) = &self.checks else { return };
        let taken = match sheet.taken(open.station()) {
            Ok(taken) => taken,
            Err((field, why)) => return self.refuse_check(Some(field), why),
        };
        if let Err(why) = taken.direction() {
            return self.refuse_check(Some(CheckField::X), why.to_string());
        }
        let done = self
            .begin_checks(&sheet)
            .and_then(|()| self.append_check(CheckBody::Taken(taken), &sheet.hand));
        if let Err(why) = done {
            return self.refuse_check(None, why);
        }
        let next = self.checks.as_ref().and_then(|open| open.picture().next);
        if let Front::Check(sheet) = &mut self.front {
            sheet.x.clear();
            sheet.y.clear();
            sheet.refused = None;
            sheet.turn_to(next);
            sheet.focus = Some(CheckField::X);
        }
        self.say(format!("Check of {} logged.", sheet.station));
    }

    /// Begins the station's check file with its first reading.
    fn begin_checks(&mut self, sheet: &CheckSheet) -> Result<(), String> {
        let hand = sheet.hand.trim();
        if hand.is_empty() {
            return Err(NO_HAND.to_owned());
        }
        if self.checks.as_ref().is_none_or(|open| open.file().is_some()) {
            return Ok(());
        }
        let about = CheckAbout {
            station: sheet.station.clone(),
            standard: sheet.standard.trim().to_owned(),
            accepted: Vec::new(),
        };
        if about.standard.is_empty() {
            return Err("Name the check standard: what is read each day.".to_owned());
        }
        let header = CheckHeader::begun(program(), about).map_err(|why| why.to_string())?;
        let path = self.shop.new_check_path(&sheet.station)?;
        let file = CheckFile::create(&path, header, hand, self.file_options())
            .map_err(|why| why.to_string())?;
        let now = self.services.clock.now();
        if let Some(open) = &mut self.checks {
            open.take_up(file, now);
        }
        Ok(())
    }

    fn ask_for_limits(&mut self) {
        let now = self.services.clock.now();
        let Some(preview) = self.checks.as_ref().map(|open| open.preview(now)) else { return };
        let Front::Check(sheet) = &mut self.front else { return };
        match preview {
            Ok(told) => {
                sheet.decision = Decision::Limits(told);
                sheet.focus = Some(CheckField::X);
                sheet.refused = None;
            }
            Err(why) => sheet.refused = Some((None, why)),
        }
    }

    fn decide_on_checks(&mut self) {
        let Front::Check(sheet) = &self.front else { return };
        let hand = sheet.hand.clone();
        let Some(body) = self.checks.as_ref().and_then(|open| sheet.decided(open)) else { return };
        if let CheckBody::Limits(limits) = &body
            && limits.reason.is_empty()
        {
            return self.refuse_check(None, "Say why the limits are drawn now.".to_owned());
        }
        if let Err(why) = self.append_check(body, &hand) {
            return self.refuse_check(None, why);
        }
        let next = self.checks.as_ref().and_then(|open| open.picture().next);
        if let Front::Check(sheet) = &mut self.front {
            sheet.decision = Decision::None;
            sheet.reason.clear();
            sheet.refused = None;
            sheet.turn_to(next);
            sheet.focus = Some(CheckField::X);
        }
    }

    /// Adds a fact to the check file; the open session hears how its station stands now.
    fn append_check(&mut self, body: CheckBody, hand: &str) -> Result<(), String> {
        let hand = hand.trim();
        if hand.is_empty() {
            return Err(NO_HAND.to_owned());
        }
        let now = self.services.clock.now();
        let Some(open) = &mut self.checks else { return Err("No check file is open.".to_owned()) };
        let before = open.checks().daily_check(now.date());
        let journal = open.journal_mut().ok_or(Error::HeaderOutOfPlace);
        let added = journal.and_then(|journal| journal.append(body, now, hand));
        added.map_err(|why| why.to_string())?;
        hand.clone_into(&mut self.preferences.hand);
        self.remember_checks();
        self.tell_session(before.as_ref());
        Ok(())
    }

    /// What sheets offer for new sessions follows the checks that are open.
    pub(super) fn remember_checks(&mut self) {
        let today = self.services.clock.now().date();
        if let Some(open) = &self.checks {
            self.shop.know_checks(&open.station().name, open.checks(), today);
        }
    }

    /// Copies the station into the open session anew where its check has changed: with the same map, so
    /// readings stay together. What a hand said of the check stands until the standard decides.
    fn tell_session(&mut self, before: Option<&record::DailyCheck>) {
        let day = self.services.clock.now().date();
        let Some(open) = &self.checks else { return };
        let Some(session) = self.session.as_ref().filter(|session| session.is_writable()) else {
            return;
        };
        let Some(here) = session.state().station() else { return };
        if here.name != open.station().name || self.closed().is_some() {
            return;
        }
        let mut held = here.clone();
        if before.is_some() && here.checked.as_ref() == before {
            // It came from the standard, which may decide otherwise by now.
            held.checked.clone_from(&open.station().checked);
        }
        let anew: Station = open.checks().as_checked(&held, day);
        if anew != *here
            && let Err(why) = self.append(Body::Station(anew))
        {
            self.warnings.push(why);
        }
    }

    /// Brings what is due to the front.
    pub(super) fn show_due(&mut self) {
        self.refresh_checks();
        self.bring(Front::Due);
    }

    /// Reads the shop's check files anew: another bench may have written.
    pub(in crate::app) fn refresh_checks(&mut self) {
        let today = self.services.clock.now().date();
        self.shop.refresh_checks(today);
        // What waits to be written is newer than the file.
        self.remember_checks();
    }

    /// Ends what is being decided on, if anything is; says whether it did.
    pub(super) fn leave_decision(&mut self) -> bool {
        let Front::Check(sheet) = &mut self.front else { return false };
        if sheet.decision == Decision::None {
            return false;
        }
        sheet.decision = Decision::None;
        sheet.reason.clear();
        sheet.refused = None;
        sheet.focus = Some(CheckField::X);
        true
    }
}
