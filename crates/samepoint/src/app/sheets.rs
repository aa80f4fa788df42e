//! Sheets: what comes to the front, what goes back, and taking the set-up.

use crate::shell::refusals::Refusal;
use record::SessionFile;
use record::fact::{
    Body, DayKind, DayNote, Header, Purpose, RoundOpened, RoundReason, Seq, SessionKind,
};
use record::units_waiting::{Moved, WaitingBody, WaitingStep};

use super::App;
use super::action::Action;
use crate::bench::entry::EntryField;
use crate::bench::session::OpenSession;
use crate::bench::set_up::SetUpSheet;
use crate::places::Place;
use crate::sheets::Sheet;
use crate::shell::layout_size::Tab;
use crate::shell::open_shop::program;
use crate::shell::path_sheet::PathSheet;

impl App {
    /// Brings a sheet to the front, as it was left if it was laid by half filled in. One with
    /// something typed in it waits behind it.
    pub(crate) fn bring(&mut self, front: Sheet) {
        if front.holds_work() && front.is_same_sheet(&self.front) {
            return;
        }
        let left = self.laid_by.iter().position(|held| held.is_same_sheet(&front));
        let front = left.map_or(front, |place| self.laid_by.remove(place));
        self.behind.retain(|held| !held.is_same_sheet(&front));
        let before = std::mem::replace(&mut self.front, front);
        // The cautions stay until a hand puts them away, or its first reading does.
        if before.holds_work() || before == Sheet::Cautions {
            self.behind.push(before);
        }
    }

    /// Puts the sheet in front away; what waits behind it comes back.
    pub(crate) fn uncover(&mut self) {
        self.front = self.behind.pop().unwrap_or_default();
    }

    pub(crate) fn back(&mut self) {
        if self.leave_who() {
            return;
        }
        if self.stop_sealing() {
            return;
        }
        if self.ask_before_drop() {
            return;
        }
        if self.front == Sheet::Clear && self.place != Place::Bench {
            // A field that was typed in is in front of its place, and a session looked over of its list.
            if std::mem::take(&mut self.typed_in) {
                return;
            }
            let behind = self.came_from.take().filter(|_| self.place == Place::Review);
            self.go(behind.unwrap_or_default());
            return;
        }
        if self.front == Sheet::Clear {
            // What fills the window ends before what lies below it.
            if std::mem::take(&mut self.bench_mode) {
                self.entry.focus = Some(EntryField::X);
                return;
            }
            // One thing at a time: what was begun last ends first.
            if self.view.end_measuring() || self.end_trial() || self.leave_remedies() {
                self.entry.focus = Some(EntryField::X);
                return;
            }
            self.selected = None;
            self.shell.notice = None;
            self.redraw();
        }
        if self.leave_decision() || self.leave_unit_decision() {
            return;
        }
        self.put_away();
    }

    /// Puts the sheet in front away: it has done its work, or is not wanted.
    pub(crate) fn put_away(&mut self) {
        self.uncover();
        if self.front == Sheet::Clear {
            self.entry.focus = Some(EntryField::X);
        }
    }

    /// Puts the sheet in front away, its work done, and turns from those behind it to the bench.
    pub(crate) fn clear_front(&mut self) {
        self.front = Sheet::Clear;
        self.lay_by();
    }

    /// Turns from the sheets to another step or place. What is half filled in waits until its
    /// sheet is asked for again.
    pub(crate) fn lay_by(&mut self) {
        let sheets: Vec<Sheet> = std::iter::once(std::mem::take(&mut self.front))
            .chain(self.behind.drain(..).rev())
            .filter(Sheet::holds_work)
            .collect();
        self.laid_by.retain(|held| !sheets.iter().any(|left| left.is_same_sheet(held)));
        self.laid_by.extend(sheets);
        self.entry.focus = Some(EntryField::X);
    }

    pub(crate) fn meet(&mut self) {
        if self.entry.purpose == Purpose::Confirm {
            self.turn_to(Purpose::Log);
        }
        self.lay_by();
        self.leave_remedies();
        self.tab = Tab::Rings;
        self.view.fit();
    }

    pub(crate) fn show_new_sheet(&mut self) {
        self.refresh_checks();
        let last = &self.shell.preferences.last_used;
        let sheet = SetUpSheet::beginning(self.shell.shop.offers(), self.shell.known_hand(), last);
        self.bring(Sheet::SetUp(Box::new(sheet)));
    }

    pub(crate) fn show_set_up_sheet(&mut self) {
        self.refresh_checks();
        match &self.session {
            None => self.show_new_sheet(),
            Some(session) => {
                let sheet = SetUpSheet::of_session(session.state(), self.shell.known_hand());
                self.bring(Sheet::SetUp(Box::new(sheet)));
            }
        }
    }

    pub(crate) fn show_open_sheet(&mut self) {
        self.shell.shop.refresh_sessions();
        self.bring(Sheet::Open(PathSheet::default()));
    }

    /// Takes what the set-up sheet says: begins a session, or says it anew in the open one.
    pub(crate) fn take_set_up(&mut self) {
        let Sheet::SetUp(sheet) = self.front.clone() else { return };
        let done = if sheet.begins { self.start(&sheet) } else { self.say_anew(&sheet) };
        if let Err(why) = done
            && let Sheet::SetUp(sheet) = &mut self.front
        {
            sheet.refused = Some(why.to_string());
        }
    }

    /// Starts the session described on a sheet: its file is there before its first reading.
    fn start(&mut self, sheet: &SetUpSheet) -> Result<(), Refusal> {
        let now = self.shell.services.clock.now();
        let mut bodies = sheet.facts(self.shell.shop.offers(), None, now)?;
        bodies
            .push(Body::RoundOpened(RoundOpened { why: RoundReason::First, note: String::new() }));
        let hand = sheet.hand.trim();
        self.named_on_sheet(hand);
        let path = self.shell.shop.new_session_path(now, sheet.unit.trim())?;
        let header = Header {
            format: record::LATEST_FORMAT,
            program: program(),
            session: record::new_session_name()?,
            kind: SessionKind::Real,
            continues: None,
        };
        hand.clone_into(&mut self.shell.preferences.hand);
        sheet.remember_in(&mut self.shell.preferences.last_used, self.shell.shop.offers(), None);
        let mut file = self.begin_session(&path, header, hand, Action::TakeSetUp)?;
        // Not the time before: the file's first line has its own by now.
        let now = self.shell.services.clock.now();
        for body in bodies {
            file.append(body, now, hand)?;
        }
        let session = file.facts().first().and_then(|fact| match &fact.body {
            Body::Header(header) => Some(header.session.clone()),
            _ => None,
        });
        self.take_up(file);
        self.shell.shop.refresh_sessions();
        self.say(format!("Started {}.", crate::shell::open_shop::words_of(&path)));
        if let (Some((entry, condition)), Some(session)) = (&sheet.waiting, session) {
            self.begun_from_list(*entry, condition, session);
        }
        if !self.shell.preferences.cautions_read {
            // Once, beside the entry row and never before it: the first reading puts them away.
            self.shell.preferences.cautions_read = true;
            self.front = Sheet::Cautions;
        }
        self.entry.focus = Some(EntryField::X);
        Ok(())
    }

    /// The list of units hears that one was begun, and the session in which condition it came in.
    fn begun_from_list(&mut self, entry: Seq, condition: &str, session: String) {
        if !condition.is_empty() {
            let note = DayNote::said(DayKind::Condition, condition).note();
            if let Err(why) = self.append(Body::Note(note)) {
                self.shell.warnings.push(why.to_string());
            }
        }
        let begun = Moved { entry, to: WaitingStep::Begun(session) };
        if let Err(why) = self.say_of_units(WaitingBody::Moved(begun)) {
            self.shell
                .warnings
                .push(format!("The session is begun, the list of units not told: {why}"));
        }
    }

    /// Begins a session in a new file. Where files cannot be locked or synced the hand must agree
    /// before; `again` is what is done once it has.
    pub(crate) fn begin_session(
        &mut self,
        path: &std::path::Path,
        header: Header,
        hand: &str,
        again: Action,
    ) -> Result<SessionFile, record::Error> {
        let agreed = std::mem::take(&mut self.agreed);
        self.to_agree = None;
        let begun = SessionFile::create(path, header, hand, self.shell.file_options())
            .and_then(|file| file.begun(agreed));
        if let Err(why @ record::Error::Unsupported { .. }) = &begun {
            self.to_agree = Some((again, why.to_string()));
        }
        begun
    }

    /// Adds what the open session does not say yet.
    fn say_anew(&mut self, sheet: &SetUpSheet) -> Result<(), Refusal> {
        let now = self.shell.services.clock.now();
        let state = self.session.as_ref().map(OpenSession::state);
        let bodies = sheet.facts(self.shell.shop.offers(), state, now)?;
        sheet.remember_in(&mut self.shell.preferences.last_used, self.shell.shop.offers(), state);
        self.named_on_sheet(&sheet.hand);
        sheet.hand.trim().clone_into(&mut self.shell.preferences.hand);
        let (count, next_round) =
            (bodies.len(), bodies.iter().any(|body| matches!(body, Body::RoundOpened(_))));
        for body in bodies {
            self.append(body)?;
        }
        self.clear_front();
        if next_round {
            self.begin_round();
        }
        self.say(if count == 0 { "Nothing was changed." } else { "The set-up is changed." });
        Ok(())
    }
}
