//! Practice: beginning a unit, its virtual rings, results as a table, what was hidden.

use std::path::Path;

use record::fact::{Body, Header, Lock, Purpose, RoundOpened, RoundReason, SessionKind};
use record::practice::opening::COLLEAGUE;
use record::practice::roster::{Assigned, Threshold};
use record::practice::told::told_note;
use record::practice::{Fault, Finding, PracticeUnit};
use solver::Channel;

use super::PracticeAction;
use crate::app::App;
use crate::app::action::Action;
use crate::bench::practice_unit::hidden::HiddenPicture;
use crate::bench::practice_unit::{OnBench, Pending};
use crate::bench::views::View;
use crate::report_file::write_progress;
use crate::sheets::Front;
use crate::shell::open_shop::program;
use crate::shell::path_sheet::PathSheet;
use crate::shell::refusals::{NO_HAND, NO_SHOP};

impl App {
    pub(crate) fn practice_action(&mut self, action: PracticeAction) {
        match action {
            PracticeAction::Grade(grade) => {
                let practice = &mut self.places.practice;
                practice.grade = grade;
                practice.number_typed = false;
                practice.refused = None;
                self.suggest_number();
            }
            PracticeAction::OfHand(hand) => {
                self.places.practice.of_hand = hand;
                self.show_progress();
            }
            PracticeAction::SetThreshold => {
                let practice = &self.places.practice;
                let (hand, grade) = (practice.trainee.trim().to_owned(), practice.grade);
                let typed = record::Typed::by_hand(practice.threshold.trim());
                match typed.map(|typed| typed.value()) {
                    Ok(percent) => {
                        let threshold = Threshold { hand, grade, percent };
                        self.change_roster(|roster| roster.set_threshold(threshold));
                    }
                    Err(why) => {
                        self.places.practice.roster_refused = Some(format!("Threshold: {why}."));
                    }
                }
            }
            PracticeAction::Assign => {
                let practice = &self.places.practice;
                let (hand, grade) = (practice.trainee.trim().to_owned(), practice.grade);
                match practice.numbered().and_then(|number| Ok((number, practice.exam()?))) {
                    Ok((number, exam)) => {
                        let assigned = Assigned { hand, grade, number, exam };
                        self.change_roster(|roster| roster.assign(assigned));
                    }
                    Err(why) => self.places.practice.roster_refused = Some(why),
                }
            }
            PracticeAction::TakeAssigned(assigned) => {
                let practice = &mut self.places.practice;
                practice.grade = assigned.grade;
                practice.number = assigned.number.to_string();
                practice.number_typed = true;
                practice.exam = assigned.exam.is_some();
                let minutes = assigned.exam.and_then(|exam| exam.minutes);
                practice.minutes = minutes.map_or_else(String::new, |it| it.to_string());
                practice.take_keyboard = true;
            }
            PracticeAction::Start => {
                self.places.practice.refused = self.start_practice().err();
            }
            PracticeAction::Again => self.read_progress(),
            PracticeAction::Open(path) => self.open_attempt(&path, false),
            PracticeAction::OpenHidden(path) => self.open_attempt(&path, true),
            PracticeAction::AskCsv => {
                let path = self.shop.offers().folder.join("practice").join("progress.csv");
                self.bring(Front::ProgressCsv(PathSheet::at(&path)));
            }
            PracticeAction::CsvTo(path) => self.write_progress_to(&path),
            PracticeAction::Turn(channel, by_deg) => {
                self.with_unit(|unit| unit.turn(channel, by_deg));
            }
            PracticeAction::TurnTo(channel) => self.with_unit(|unit| unit.turn_as_typed(channel)),
            PracticeAction::Lock(channel) => self.with_unit(|unit| unit.turn_lock(channel)),
            PracticeAction::LookAgain => {
                self.with_unit(OnBench::look_again);
            }
            PracticeAction::TellReading => self.tell_reading(),
            PracticeAction::Found(finding) => self.say_found(finding),
            PracticeAction::ZeroDioptres => {
                let why = RoundReason::Dioptre;
                let opened = RoundOpened { why, note: "both dioptres to zero".to_owned() };
                match self.append(Body::RoundOpened(opened)) {
                    Ok(_) => self.say("Both dioptres stand at zero; a new round is open."),
                    Err(why) => self.say(why),
                }
            }
        }
    }

    /// Notes what the trainee says is wrong; a flip that is said to be wrong is put right, wrong or not, and
    /// that ends the round.
    fn say_found(&mut self, finding: Finding) {
        let Some(session) = &self.session else { return };
        let state = session.state();
        if Finding::said(state).iter().any(|(_, said)| *said == finding) {
            self.say(format!("Said already: {finding}."));
            return;
        }
        let mut bodies = vec![Body::Note(finding.note())];
        if let (Fault::WrongFlip, Some(channel), Some(station)) =
            (finding.fault, finding.channel, state.station())
        {
            let mut station = station.clone();
            station.map[channel].flip_x = !station.map[channel].flip_x;
            let note = format!("{channel} flip turned round");
            let why = RoundReason::StationZeroed;
            bodies.push(Body::Station(station));
            bodies.push(Body::RoundOpened(RoundOpened { why, note }));
        }
        let turned = bodies.len() > 1;
        for body in bodies {
            if let Err(why) = self.append(body) {
                self.say(why);
                return;
            }
        }
        let and = if turned { " Its map is turned round, and a new round is open." } else { "" };
        self.say(format!("Said: {finding}.{and}"));
    }

    /// Tells where the crosshair that is read stands, and notes that it did: until the next reading.
    fn tell_reading(&mut self) {
        let channel = self.entry.channel;
        let Some(unit) = self.places.practice.unit() else { return };
        if unit.tells(channel) {
            return;
        }
        if unit.is_sat() {
            self.say("In an examination no reading is told.");
            return;
        }
        match self.append(Body::Note(told_note(channel))) {
            Ok(_) => self.say(format!("The {channel} reading is told, and noted as told.")),
            Err(why) => self.say(why),
        }
    }

    fn with_unit(&mut self, change: impl FnOnce(&mut OnBench)) {
        if let Some(unit) = self.places.practice.unit_mut() {
            change(unit);
        }
    }

    /// Begins the unit asked for: its file is there before its first reading.
    fn start_practice(&mut self) -> Result<(), String> {
        let practice = &self.places.practice;
        let number = practice.numbered()?;
        let unit = PracticeUnit::invented(practice.grade, number)
            .map_err(|why| format!("{}.", paper::words::capital(&why.to_string())))?;
        let unit = match practice.exam()? {
            Some(exam) => unit.examined(exam),
            None => unit,
        };
        self.who_first()?;
        let hand = self.preferences.hand.trim().to_owned();
        if hand.is_empty() {
            return Err(NO_HAND.to_owned());
        }
        let Some(shop) = self.shop.shop() else {
            return Err(NO_SHOP.to_owned());
        };
        self.places.practice.may_begin(&unit, &hand)?;
        let now = self.services.clock.now();
        let path = shop.new_practice_path(now.date(), &unit).map_err(|why| why.to_string())?;
        let header = Header {
            format: record::LATEST_FORMAT,
            program: program(),
            session: record::new_session_name().map_err(|why| why.to_string())?,
            kind: SessionKind::Practice(unit.exercise()),
            continues: None,
        };
        let again = Action::Practice(PracticeAction::Start);
        let mut file = self.begin_session(&path, header, &hand, again)?;
        let now = self.services.clock.now();
        for body in unit.opening(now).map_err(|why| why.to_string())? {
            file.append(body, now, &hand).map_err(|why| why.to_string())?;
        }
        // What the unit is handed over with.
        for body in unit.handed_over().map_err(|why| why.to_string())? {
            file.append(body, now, COLLEAGUE).map_err(|why| why.to_string())?;
        }
        self.take_up(file);
        self.places.practice.number_typed = false;
        self.say("An invented unit is on the bench. Read both channels as found.");
        Ok(())
    }

    fn open_attempt(&mut self, path: &Path, tell: bool) {
        match self.open_session(path) {
            Err(why) => self.warnings.push(why),
            Ok(()) if tell => self.tell_hidden(),
            Ok(()) => {}
        }
    }

    /// Shows what was hidden, once the session is signed.
    pub(crate) fn tell_hidden(&mut self) {
        let Some(session) = &self.session else { return };
        match HiddenPicture::of(session.state()) {
            Ok(picture) => {
                self.uncover_signature();
                let (unit, selected) = (self.entry.unit, self.selected);
                if let Some(session) = &mut self.session {
                    session.consider(Some(picture.ghost.clone()), unit, selected);
                }
                self.bring(Front::Hidden(Box::new(picture)));
            }
            Err(why) => self.say(why),
        }
    }

    /// The sheet of a signature that was given has done its work.
    fn uncover_signature(&mut self) {
        if matches!(&self.front, Front::Sign(sheet) if sheet.signed) {
            self.uncover();
        }
    }

    fn write_progress_to(&mut self, path: &Path) {
        let written = self.places.practice.progress.csv().map_err(|why| why.to_string());
        match written.and_then(|table| write_progress(path, &table)) {
            Ok(()) => {
                self.put_away();
                self.say(format!("Results written to {}", record::shown::path(path)));
                self.places.practice.notice =
                    format!("Results written to {}", record::shown::path(path));
            }
            Err(why) => {
                if let Front::ProgressCsv(sheet) = &mut self.front {
                    sheet.refused = Some(why);
                }
            }
        }
    }

    /// Turns the ring of the channel that the entry row stands at; false where there is none to turn:
    /// no invented unit, or it is not in sight.
    pub(crate) fn turn_virtual(&mut self, by_deg: f64) -> bool {
        let channel = self.entry.channel;
        if self.middle != View::Glass || self.places.practice.unit().is_none() {
            return false;
        }
        self.with_unit(|unit| unit.turn(channel, by_deg));
        self.say_refusal(channel);
        true
    }

    /// Turns it on by the ring step.
    pub(crate) fn turn_by_step(&mut self) {
        let by_deg = self.entry.step_deg;
        if self.places.practice.unit().is_none() {
            self.say("Only an invented unit's rings can be turned from here: see Practice.");
            return;
        }
        self.show_view(View::Glass);
        if by_deg == 0.0 {
            self.say("The ring step is none: type one first.");
        } else {
            self.turn_virtual(by_deg);
        }
    }

    /// Tightens both virtual locks, or opens both; false where there are none.
    pub(crate) fn turn_virtual_locks(&mut self) -> bool {
        let channel = self.entry.channel;
        let Some(unit) = self.places.practice.unit_mut() else { return false };
        let locked = !unit.cell(channel).locked;
        for channel in Channel::BOTH {
            unit.set_lock(channel, locked);
        }
        self.say(if locked { "Both locks are tight." } else { "Both locks are open." });
        true
    }

    fn say_refusal(&mut self, channel: Channel) {
        let unit = self.places.practice.unit();
        if let Some(why) = unit.and_then(|unit| unit.refused[channel].clone()) {
            self.say(why);
        }
    }

    /// Why what is typed cannot have been read from the invented unit, if so.
    pub(crate) fn misread_ring(&self) -> Option<String> {
        let unit = self.places.practice.unit()?;
        let channel = self.entry.channel;
        let typed = record::Typed::by_hand(self.entry.ring[channel].trim()).ok()?.value();
        let stands = unit.cell(channel).ring_deg;
        let off = (typed - stands).rem_euclid(360.0);
        (off.min(360.0 - off) > 0.01).then(|| {
            let at = unit.ring_text(channel);
            format!("The {channel} ring stands at {at}°: turn it in the glass first, then read.")
        })
    }

    /// Keeps the entry row and the invented unit of one mind: ring angle, approach and lock are what
    /// the virtual rings say.
    pub(crate) fn follow_unit(&mut self) {
        let Some(session) = &self.session else { return };
        let facts = session.file().facts().len();
        let Some(unit) = self.places.practice.unit_mut() else { return };
        let confirms = self.entry.purpose == Purpose::Confirm;
        let pending = Pending {
            reseated: confirms && self.confirming.reseated,
            dioptres_zero: confirms && self.confirming.at_zero(),
        };
        unit.hear(session.state(), facts, pending);
        for channel in Channel::BOTH {
            self.entry.ring[channel] = unit.ring_text(channel);
        }
        let cell = unit.cell(self.entry.channel);
        self.entry.approach = cell.approach;
        if self.entry.purpose == Purpose::Confirm {
            self.confirming.lock = Some(if cell.locked { Lock::After } else { Lock::Before });
        }
    }
}
