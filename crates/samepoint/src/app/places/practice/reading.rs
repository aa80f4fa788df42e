//! Reading earlier attempts from the shop: files, so on a thread of its own.

use std::sync::mpsc::{TryRecvError, channel};

use record::RealDisk;
use record::practice::Progress;

use super::course::CoursePicture;
use crate::app::App;
use crate::app::refusals::NO_SHOP;

impl App {
    /// Starts reading them anew.
    pub(in crate::app) fn read_progress(&mut self) {
        let Some(shop) = self.shop.shop().cloned() else {
            let none = NO_SHOP.to_owned();
            self.places.practice.course = Some(Err(none));
            return;
        };
        let (sender, receiver) = channel();
        let wake = self.wake.clone();
        let read = move || {
            let read = Progress::of_shop(&shop, &RealDisk).map_err(|why| why.to_string());
            // The window may be gone; then nobody waits.
            if sender.send(read).is_ok() {
                wake();
            }
        };
        match std::thread::Builder::new().name("practice".to_owned()).spawn(read) {
            Ok(_) => self.places.practice.waiting = Some(receiver),
            Err(why) => {
                let why = format!("Earlier attempts cannot be read: no thread for it: {why}.");
                self.places.practice.course = Some(Err(why));
            }
        }
    }

    /// Hears them.
    pub(in crate::app) fn hear_progress(&mut self) {
        let Some(waiting) = &self.places.practice.waiting else { return };
        let read = match waiting.try_recv() {
            Ok(read) => read,
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => Err("Reading stopped unexpectedly.".to_owned()),
        };
        let folder = self.shop.offers().folder.join("practice");
        let practice = &mut self.places.practice;
        practice.waiting = None;
        practice.course = Some(read.map(|progress| {
            let picture = CoursePicture::of(&progress, &folder);
            practice.progress = progress;
            picture
        }));
        self.suggest_number();
    }

    /// Unless a hand typed one: the least number of the grade that was not tried yet.
    pub(in crate::app) fn suggest_number(&mut self) {
        let practice = &mut self.places.practice;
        if !practice.number_typed {
            practice.number = practice.progress.next_number(practice.grade).to_string();
            practice.offered = true;
        }
    }
}
