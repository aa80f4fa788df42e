//! Reading earlier attempts from the shop: files, so on a thread of its own.

use record::practice::{NotAsked, Progress, Roster};
use record::{RealDisk, figures};

use super::Practising;
use super::no_course::NoCourse;
use crate::shell::Shell;
use crate::views::course::CourseView;

impl Practising {
    /// Starts reading them anew.
    pub fn read_progress(&mut self, shell: &Shell) {
        let Some(shop) = shell.shop.shop().cloned() else {
            self.course = Some(Err(NoCourse::NoShop));
            return;
        };
        if let Some(Err(_)) = self.course {
            self.course = None;
        }
        let workers = shell.workers();
        let folder = shell.shop.offers().folder.join("practice");
        let read = move || {
            let progress = Progress::of_shop(&shop, &RealDisk)?;
            Ok((progress, Roster::load(&folder)))
        };
        self.reading.start(&workers, read);
    }

    /// Hears them.
    pub fn hear(&mut self, shell: &Shell) {
        let read = match self.reading.hear() {
            None => return,
            Some(Ok(read)) => read.map_err(NoCourse::Unread),
            Some(Err(broken)) => Err(NoCourse::Broken(broken)),
        };
        match read {
            Err(why) => self.course = Some(Err(why)),
            Ok((progress, roster)) => {
                self.progress = progress;
                self.roster_unread = roster.is_err();
                match roster {
                    Ok(roster) => self.roster = roster,
                    Err(why) => self.roster_refused = Some(why.to_string()),
                }
                self.show_progress(shell);
            }
        }
        self.suggest_number();
    }

    /// Draws what was read, for the hand that is asked for.
    pub(super) fn show_progress(&mut self, shell: &Shell) {
        let folder = shell.shop.offers().folder.join("practice");
        let hand = self.of_hand.as_deref();
        let picture = CourseView::of(&self.progress, &self.roster, &folder, hand);
        self.course = Some(Ok(picture));
    }

    /// Changes what the instructor asks, and keeps it; refused, nothing has changed.
    pub(super) fn change_roster(
        &mut self,
        shell: &Shell,
        change: impl FnOnce(&mut Roster) -> Result<(), NotAsked>,
    ) {
        let folder = shell.shop.offers().folder.join("practice");
        let now = shell.now();
        let mut roster = self.roster.clone();
        let kept = if self.roster_unread {
            Err("The instructor's file could not be read: put it right or away first".to_owned())
        } else {
            change(&mut roster)
                .map_err(|why| why.to_string())
                .and_then(|()| roster.save(&folder, now).map_err(|why| why.to_string()))
        };
        match kept {
            Ok(()) => {
                self.roster = roster;
                self.roster_refused = None;
                self.show_progress(shell);
            }
            Err(why) => self.roster_refused = Some(figures::sentence(&why)),
        }
    }

    /// Unless a hand typed one: the least number of the grade that was not tried yet.
    pub(super) fn suggest_number(&mut self) {
        if !self.number_typed {
            self.number = self.progress.next_number(self.grade).to_string();
            self.offered = true;
        }
    }
}
