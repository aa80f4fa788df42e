//! Going from one place to another.

use super::App;
use crate::bench::entry::EntryField;
use crate::places::Place;

impl App {
    /// Goes to a place. What was typed at the bench waits there.
    pub(crate) fn go(&mut self, place: Place) {
        if self.place == place {
            return;
        }
        self.lay_by();
        self.place = place;
        self.came_from = None;
        self.shell.notice = None;
        match place {
            Place::Bench => self.entry.focus = Some(EntryField::X),
            Place::Study => self.come_to_study(),
            Place::Practice => {
                self.places.practice.come(&self.shell);
            }
            Place::Review => self.come_to_review(),
            Place::Shop => {
                self.places.shop.come(&mut self.shell);
            }
            Place::Shelf => self.places.shelf.come(&self.shell),
            Place::Explore => self.places.explore.come(),
        }
    }
}
