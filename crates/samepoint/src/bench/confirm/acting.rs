//! What confirming asks for is done: turning to it, saying under what a reading is taken.

use super::Check;
use crate::app::App;
use crate::bench::entry::EntryField;
use crate::ui_command::UiCommand;
use crate::views::round::RingGuidance;
use crate::views::targets::reads_at;
use paper::words::capital;
use record::fact::{Lock, Purpose, SwingStop};
use record::{Position, expected_at};
use solver::{Channel, PerChannel};

impl App {
    /// Turns the entry row to confirm readings, at the first thing not seen to.
    pub(crate) fn turn_to_confirm(&mut self) {
        if self.session.is_none() {
            return;
        }
        if self.entry.purpose != Purpose::Confirm {
            self.entry.purpose = Purpose::Confirm;
            // Rings are set and stay: an angle is typed where it can be read.
            self.entry.ring = PerChannel::default();
            self.confirming.lock = self.lock_as_read();
        }
        self.lay_by();
        self.leave_remedies();
        self.tab = crate::shell::layout_size::Tab::Log;
        self.refresh_checklist();
        let first = self.confirming.lines.iter().find(|line| !line.done).map(|line| line.check);
        self.ask_for(first.unwrap_or(Check::Tight));
        self.find_aim_off();
    }

    /// Whether the locks are tight, by the last reading of the round: as a hand said with a confirm
    /// reading; open where a ring was turned to log one. Nobody said: not noted.
    fn lock_as_read(&self) -> Option<Lock> {
        let round = self.session.as_ref()?.state().round()?;
        let last = round.in_use().rev().find(|entry| entry.reading.purpose != Purpose::AsFound)?;
        match last.reading.purpose {
            Purpose::Log => Some(Lock::Before),
            _ => last.reading.lock,
        }
    }

    /// Asks for one thing of the list.
    pub(crate) fn ask_for(&mut self, check: Check) {
        self.confirming.check = check;
        let channel = self.channel_to_read(Channel::Left);
        self.entry.turn_to(channel);
        self.say(self.confirming.asks());
    }

    /// The next line of the list, seen to or not.
    pub(crate) fn next_check(&mut self) {
        if self.entry.purpose != Purpose::Confirm {
            self.turn_to_confirm();
            return;
        }
        let lines = &self.confirming.lines;
        let here = lines.iter().position(|line| line.check == self.confirming.check);
        let next = here.map_or(0, |here| (here + 1) % lines.len().max(1));
        if let Some(check) = lines.get(next).map(|line| line.check) {
            self.ask_for(check);
        }
    }

    /// Changes one thing that confirm readings are taken under.
    pub(crate) fn confirm_condition(&mut self, command: UiCommand) {
        if self.entry.purpose != Purpose::Confirm {
            self.turn_to_confirm();
            return;
        }
        let confirming = &mut self.confirming;
        match command {
            UiCommand::ConfirmLock => {
                confirming.lock = match confirming.lock {
                    None | Some(Lock::Before) => Some(Lock::After),
                    Some(Lock::After) => Some(Lock::Before),
                };
            }
            UiCommand::ConfirmReseated => confirming.reseated = !confirming.reseated,
            UiCommand::SwingStop => {
                confirming.stop = match confirming.stop {
                    SwingStop::Working => SwingStop::Narrow,
                    SwingStop::Narrow => SwingStop::Wide,
                    SwingStop::Wide => SwingStop::Working,
                };
            }
            UiCommand::DioptresZero => {
                self.toggle_dioptres();
                return;
            }
            _ => {}
        }
        let said = [confirming.lock_words(), confirming.seating_words(), confirming.stop_words()];
        self.say(format!("Readings that follow: {}.", said.join(", ")));
        self.entry.focus = Some(EntryField::X);
    }

    /// Notes both dioptres at zero, or not noted.
    pub(crate) fn toggle_dioptres(&mut self) {
        let text = if self.confirming.at_zero() { "" } else { "0" };
        self.confirming.dioptre = PerChannel { left: text.to_owned(), right: text.to_owned() };
        self.refresh_checklist();
        self.entry.focus = Some(EntryField::X);
        if text.is_empty() {
            self.say("The dioptres are not noted.");
        } else if self.confirming.check == Check::Dioptres {
            self.go_on();
        } else {
            self.say("Both dioptres noted at zero.");
        }
    }

    /// What to aim off for, while the locks are open.
    pub(crate) fn advice(&self) -> Vec<String> {
        let withheld = self.session.as_ref().is_some_and(|session| session.told().is_err());
        if withheld || self.confirming.lock != Some(Lock::Before) || self.closed().is_some() {
            return Vec::new();
        }
        let setting = self.session.as_ref().and_then(|session| session.picture().setting);
        let targets_deg = setting.map_or_else(PerChannel::default, |setting| setting.ring_deg);
        let found = self.aim_off.found();
        let housing = self.session.as_ref().and_then(|session| session.state().housing());
        let step_deg = housing.map_or(1.0, |housing| housing.ring_step_deg);
        found.map_or_else(Vec::new, |advice| advice.words(&targets_deg, step_deg))
    }

    /// Where to turn each ring, with what is read there: at a stop of the swing that is not what is read where
    /// the unit was set up.
    pub(crate) fn rings_while_confirming(&self) -> Option<PerChannel<RingGuidance>> {
        let session = self.session.as_ref()?;
        let (state, picture) = (session.state(), session.picture());
        let mut rings = picture.rings.clone();
        let position = match self.confirming.stop {
            SwingStop::Working => return Some(rings),
            SwingStop::Narrow => Position::Narrow,
            SwingStop::Wide => Position::Wide,
        };
        let stop = self.confirming.stop_words();
        let setting = picture.setting.as_ref();
        let there = setting.and_then(|setting| expected_at(state, setting.points, position));
        for channel in Channel::BOTH {
            let Some(at_rest) = rings[channel].will_read.take() else { continue };
            rings[channel].will_read = Some(match there {
                Some(there) => {
                    let reads = reads_at(channel, there[channel], state.station(), self.entry.unit);
                    format!("{reads} at the {stop}, {at_rest} where it was set up")
                }
                None => format!(
                    "{at_rest} where it was set up; at the {stop} that is not known, since the housing or \
                     the set-up do not say how far the pods swing"
                ),
            });
        }
        Some(rings)
    }

    pub(crate) fn refresh_checklist(&mut self) {
        if let Some(session) = &self.session {
            self.confirming.refresh(session.state());
        }
    }

    /// The channel with fewer readings of what is asked for, else this one.
    fn channel_to_read(&self, when_even: Channel) -> Channel {
        match self.confirming.line(self.confirming.check) {
            Some(line) if line.read.left > line.read.right => Channel::Right,
            Some(line) if line.read.left < line.read.right => Channel::Left,
            _ => when_even,
        }
    }

    /// After a confirm reading of a channel: the other channel, then what comes next.
    pub(crate) fn after_confirming(&mut self, channel: Channel, noted: &[String]) {
        self.seated_as_before();
        self.refresh_checklist();
        if self.confirming.check == Check::Dioptres
            && let Some(next) = self.confirming.lines.get(1)
        {
            self.confirming.check = next.check;
        }
        let done = self.confirming.line(self.confirming.check).is_some_and(|line| line.done);
        let off =
            self.last_off_by(channel).map_or_else(String::new, |off| format!(" {}.", capital(off)));
        if done {
            self.go_on();
            if let Some(asks) = self.shell.notice.take() {
                self.say(format!("{asks}{off}"));
            }
        } else {
            let next = self.channel_to_read(channel.other());
            self.entry.turn_to(next);
            let noted =
                if noted.is_empty() { "nothing noted".to_owned() } else { noted.join(", ") };
            let read = capital(channel.word());
            self.say(format!("{read} read: {noted}. Now the {next} channel.{off}"));
        }
    }

    /// How far the last confirm reading of a channel lies from what was predicted.
    fn last_off_by(&self, channel: Channel) -> Option<&str> {
        let lines = &self.session.as_ref()?.confirm().off_by;
        let last = lines.iter().rev().find(|line| line.channel == channel)?;
        Some(&last.brief)
    }

    /// Seated again once: the next reading is of the same seating.
    pub(crate) const fn seated_as_before(&mut self) {
        self.confirming.reseated = false;
    }

    fn go_on(&mut self) {
        match self.confirming.next_open() {
            Some(next) => self.ask_for(next),
            None if self.confirming.withheld => {
                self.entry.turn_to(Channel::Left);
                self.say(self.confirming.asks());
            }
            None => {
                self.entry.turn_to(Channel::Left);
                self.say("All is seen to. Sign (F12), or read on.");
            }
        }
    }
}
