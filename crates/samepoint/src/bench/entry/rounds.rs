//! Rounds: anything but a ring was touched.

use record::fact::{Body, Purpose, RoundOpened, RoundReason};
use solver::Channel;

use crate::app::App;
use crate::bench::confirm::Confirming;
use crate::sheets::Sheet;
use crate::sheets::round::RoundSheet;

impl App {
    pub(crate) fn show_round_sheet(&mut self) {
        let sheet = RoundSheet { why: RoundReason::Reseated, note: String::new() };
        self.bring(Sheet::Round(sheet));
    }

    pub(crate) fn open_round_on_sheet(&mut self) {
        let Sheet::Round(sheet) = self.front.clone() else { return };
        self.open_round(sheet.why, sheet.note);
    }

    /// Opens the next round: earlier readings are kept apart from here on.
    pub(crate) fn open_round(&mut self, why: RoundReason, note: String) {
        let opened = RoundOpened { why, note: note.trim().to_owned() };
        if self.append(Body::RoundOpened(opened)).is_ok() {
            self.clear_front();
            self.begin_round();
            self.say(format!("Next round, {}: earlier readings are kept apart.", why.word()));
        }
    }

    /// Takes a remedy of the hand's own: it is recorded, and the next round opens.
    pub(crate) fn note_remedy(&mut self) {
        let (Sheet::OwnRemedy(sheet), Some(session)) = (&mut self.front, &self.session) else {
            return;
        };
        let (done, facts) = (sheet.typed.done.words(), sheet.typed.facts(session.state()));
        let bodies = match facts {
            Ok(bodies) => bodies,
            Err(refused) => {
                sheet.refused = Some(refused.to_string());
                return;
            }
        };
        for body in bodies {
            if self.append(body).is_err() {
                return;
            }
        }
        self.leave_remedies();
        self.clear_front();
        self.begin_round();
        self.entry.turn_to(Channel::Left);
        self.say(format!("Recorded: {done}. A new round is open: read both channels again."));
    }

    /// Makes the entry row ready for a round's first reading.
    pub(crate) fn begin_round(&mut self) {
        self.laid_by.retain(|held| !held.is_of_round());
        self.view.fit();
        self.entry.turn_to_purpose(Purpose::Log);
        // What was said of the readings before holds no longer.
        self.confirming = Confirming::default();
        for channel in Channel::BOTH {
            "0".clone_into(&mut self.entry.ring[channel]);
        }
    }
}
