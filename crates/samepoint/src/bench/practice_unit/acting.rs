//! What is asked of an invented unit on the bench: its virtual rings and locks, what its glass shows, what was
//! hidden in it.

use record::fact::{Body, Lock, Purpose, RoundOpened, RoundReason};
use record::practice::told::told_note;
use record::practice::{Fault, PlacedFault};
use solver::Channel;

use super::hidden::HiddenView;
use super::{OnBench, Pending, UnitAction};
use crate::app::App;
use crate::bench::views::View;
use crate::sheets::Sheet;
use crate::shell::refusals::NOT_TOLD_IN_EXAM;

impl App {
    /// The invented unit on the bench.
    #[must_use]
    pub fn practice_unit(&self) -> Option<&OnBench> {
        self.practice_unit.as_ref()?.as_ref().ok()
    }

    fn practice_unit_mut(&mut self) -> Option<&mut OnBench> {
        self.practice_unit.as_mut()?.as_mut().ok()
    }

    pub(crate) fn unit_action(&mut self, action: UnitAction) {
        match action {
            UnitAction::Turn(channel, by_deg) => {
                self.with_unit(|unit| unit.turn(channel, by_deg));
            }
            UnitAction::TurnTo(channel) => self.with_unit(|unit| unit.turn_as_typed(channel)),
            UnitAction::Lock(channel) => self.with_unit(|unit| unit.turn_lock(channel)),
            UnitAction::LookAgain => {
                self.with_unit(OnBench::look_again);
            }
            UnitAction::TellReading => self.tell_reading(),
            UnitAction::Found(finding) => self.say_found(finding),
            UnitAction::ZeroDioptres => {
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
    fn say_found(&mut self, finding: PlacedFault) {
        let Some(session) = &self.session else { return };
        let state = session.state();
        if PlacedFault::said(state).iter().any(|(_, said)| *said == finding) {
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
        let Some(unit) = self.practice_unit() else { return };
        if unit.tells(channel) {
            return;
        }
        if unit.is_sat() {
            self.say(NOT_TOLD_IN_EXAM);
            return;
        }
        match self.append(Body::Note(told_note(channel))) {
            Ok(_) => self.say(format!("The {channel} reading is told, and noted as told.")),
            Err(why) => self.say(why),
        }
    }

    fn with_unit(&mut self, change: impl FnOnce(&mut OnBench)) {
        if let Some(unit) = self.practice_unit_mut() {
            change(unit);
        }
        self.stand_before_camera();
    }

    /// Shows what was hidden, once the session is signed.
    pub(crate) fn tell_hidden(&mut self) {
        let Some(session) = &self.session else { return };
        match HiddenView::of(session.state()) {
            Ok(picture) => {
                self.uncover_signature();
                let (unit, selected) = (self.entry.unit, self.selected);
                if let Some(session) = &mut self.session {
                    session.consider(Some(picture.ghost.clone()), unit, selected);
                }
                self.bring(Sheet::Hidden(Box::new(picture)));
            }
            Err(why) => self.say(paper::words::sentence(&why.to_string())),
        }
    }

    /// The sheet of a signature that was given has done its work.
    fn uncover_signature(&mut self) {
        if matches!(&self.front, Sheet::Sign(sheet) if sheet.signed) {
            self.uncover();
        }
    }

    /// Turns the ring of the channel that the entry row stands at; false where there is none to turn:
    /// no invented unit, or it is not in sight.
    pub(crate) fn turn_virtual(&mut self, by_deg: f64) -> bool {
        let channel = self.entry.channel;
        if self.middle != View::Glass || self.practice_unit().is_none() {
            return false;
        }
        self.with_unit(|unit| unit.turn(channel, by_deg));
        self.say_refusal(channel);
        true
    }

    /// Turns it on by the ring step.
    pub(crate) fn turn_by_step(&mut self) {
        let by_deg = self.entry.step_deg;
        if self.practice_unit().is_none() {
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
        let Some(unit) = self.practice_unit_mut() else { return false };
        let locked = !unit.cell(channel).locked;
        for channel in Channel::BOTH {
            unit.set_lock(channel, locked);
        }
        self.say(if locked { "Both locks are tight." } else { "Both locks are open." });
        true
    }

    fn say_refusal(&mut self, channel: Channel) {
        let unit = self.practice_unit();
        if let Some(why) = unit.and_then(|unit| unit.refused[channel].clone()) {
            self.say(why);
        }
    }

    /// Why what is typed cannot have been read from the invented unit, if so.
    pub(crate) fn misread_ring(&self) -> Option<String> {
        let unit = self.practice_unit()?;
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
        let Some(Ok(unit)) = &mut self.practice_unit else { return };
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
        self.stand_before_camera();
    }
}
