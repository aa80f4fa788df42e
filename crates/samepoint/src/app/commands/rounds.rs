//! Rounds: anything but a ring was touched.

use record::fact::{Body, Purpose, RoundOpened};
use solver::Channel;

use crate::app::App;
use crate::app::entry::Field;
use crate::app::front::Front;

impl App {
    pub(super) fn open_round(&mut self) {
        let Front::Round(sheet) = self.front.clone() else { return };
        let opened = RoundOpened { why: sheet.why, note: sheet.note.trim().to_owned() };
        if self.append(Body::RoundOpened(opened)).is_ok() {
            self.front = Front::Clear;
            self.view.fit();
            self.entry.turn_to_purpose(Purpose::Log);
            for channel in Channel::BOTH {
                "0".clone_into(&mut self.entry.ring[channel]);
            }
            self.entry.focus = Some(Field::X);
            self.say("A new round is open: earlier readings are kept apart.");
        }
    }
}
