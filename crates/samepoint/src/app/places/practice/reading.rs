//! Reading earlier attempts from the shop: files, so on a thread of its own.

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
        if let Some(Err(_)) = self.places.practice.course {
            self.places.practice.course = None;
        }
        let workers = self.workers();
        let read = move || Progress::of_shop(&shop, &RealDisk).map_err(|why| why.to_string());
        self.places.practice.reading.start(&workers, read);
    }

    /// Hears them.
    pub(in crate::app) fn hear_progress(&mut self) {
        let read = match self.places.practice.reading.hear() {
            None => return,
            Some(Ok(read)) => read,
            Some(Err(broken)) => Err(broken.to_string()),
        };
        let folder = self.shop.offers().folder.join("practice");
        let practice = &mut self.places.practice;
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
