//! Going from one place to another.

use super::App;
use crate::bench::entry::Field;
use crate::places::Place;

impl App {
    /// Goes to a place. What was typed at the bench waits there.
    pub(crate) fn go(&mut self, place: Place) {
        if self.place == place {
            return;
        }
        self.lay_by();
        self.place = place;
        self.notice = None;
        match place {
            Place::Bench => self.entry.focus = Some(Field::X),
            Place::Study => self.refresh_studies(),
            Place::Practice => {
                self.places.practice.take_keyboard = true;
                self.places.practice.notice.clear();
                self.read_progress();
            }
            Place::Review => self.come_to_review(),
            Place::Shop => {
                self.look_for_returns();
                self.read_sessions();
            }
            Place::Explore => self.come_to_explore(),
        }
    }
}
