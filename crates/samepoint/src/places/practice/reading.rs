//! Reading earlier attempts from the shop: files, so on a thread of its own.

use record::practice::{Progress, Roster};
use record::{RealDisk, figures};

use super::course::CoursePicture;
use crate::app::App;
use crate::shell::refusals::NO_SHOP;

impl App {
    /// Starts reading them anew.
    pub(crate) fn read_progress(&mut self) {
        let Some(shop) = self.shop.shop().cloned() else {
            let none = NO_SHOP.to_owned();
            self.places.practice.course = Some(Err(none));
            return;
        };
        if let Some(Err(_)) = self.places.practice.course {
            self.places.practice.course = None;
        }
        let workers = self.workers();
        let folder = self.shop.offers().folder.join("practice");
        let read = move || {
            let progress = Progress::of_shop(&shop, &RealDisk).map_err(|why| why.to_string())?;
            Ok((progress, Roster::load(&folder).map_err(|why| why.to_string())))
        };
        self.places.practice.reading.start(&workers, read);
    }

    /// Hears them.
    pub(crate) fn hear_progress(&mut self) {
        let read = match self.places.practice.reading.hear() {
            None => return,
            Some(Ok(read)) => read,
            Some(Err(broken)) => Err(broken.to_string()),
        };
        match read {
            Err(why) => self.places.practice.course = Some(Err(why)),
            Ok((progress, roster)) => {
                let practice = &mut self.places.practice;
                practice.progress = progress;
                practice.roster_unread = roster.is_err();
                match roster {
                    Ok(roster) => practice.roster = roster,
                    Err(why) => practice.roster_refused = Some(why),
                }
                self.show_progress();
            }
        }
        self.suggest_number();
    }

    /// Draws what was read, for the hand that is asked for.
    pub(crate) fn show_progress(&mut self) {
        let folder = self.shop.offers().folder.join("practice");
        let practice = &mut self.places.practice;
        let hand = practice.of_hand.as_deref();
        let picture = CoursePicture::of(&practice.progress, &practice.roster, &folder, hand);
        practice.course = Some(Ok(picture));
    }

    /// Changes what the instructor asks, and keeps it; refused, nothing has changed.
    pub(crate) fn change_roster(&mut self, change: impl FnOnce(&mut Roster) -> Result<(), String>) {
        let folder = self.shop.offers().folder.join("practice");
        let now = self.services.clock.now();
        let practice = &mut self.places.practice;
        let mut roster = practice.roster.clone();
        let kept = if practice.roster_unread {
            Err("The instructor's file could not be read: put it right or away first".to_owned())
        } else {
            change(&mut roster)
                .and_then(|()| roster.save(&folder, now).map_err(|why| why.to_string()))
        };
        match kept {
            Ok(()) => {
                practice.roster = roster;
                practice.roster_refused = None;
                self.show_progress();
            }
            Err(why) => practice.roster_refused = Some(figures::sentence(&why)),
        }
    }

    /// Unless a hand typed one: the least number of the grade that was not tried yet.
    pub(crate) fn suggest_number(&mut self) {
        let practice = &mut self.places.practice;
        if !practice.number_typed {
            practice.number = practice.progress.next_number(practice.grade).to_string();
            practice.offered = true;
        }
    }
}
