//! What a hand asks of the shop it works in, done.

use paper::words::capital;
use record::{Edited, Editing, Shop};

use super::OwnAction;
use super::begin::BeginSheet;
use super::form::fields::FormWrong;
use super::form::{Form, KeptKind};
use crate::app::App;
use crate::bench::set_up::Choice;
use crate::sheets::Sheet;

impl App {
    pub(crate) fn own_action(&mut self, action: OwnAction) {
        match action {
            OwnAction::LookRound => {
                self.answer_first_start();
                self.put_away();
            }
            OwnAction::AskBegin => self.show_begin_sheet(),
            OwnAction::Begin => self.begin_shop(),
            OwnAction::Edit(of, place) => self.show_form(of, place),
            OwnAction::FindMap(place) => {
                let stations = &self.shell.shop.offers().stations;
                if let Some(name) = stations.get(place).map(|station| station.name.clone()) {
                    self.find_map_of(&name);
                }
            }
            OwnAction::Find(action) => self.find_action(action),
            OwnAction::AskList => self.show_list_sheet(),
            OwnAction::List(action) => self.list_action(action),
            OwnAction::KeepForm => self.keep_form(),
            OwnAction::ShowEarlier => self.show_earlier(),
            OwnAction::OpenGraticule => self.open_graticule(),
            OwnAction::OpenHeadPicture => self.open_head_picture(),
        }
    }

    /// At the very first start: asks the one question there is, over the demo shop.
    pub(crate) fn ask_at_first_start(&mut self) {
        if self.shell.preferences.welcomed || !self.shell.preferences.hand.is_empty() {
            return;
        }
        self.bring(Sheet::FirstStart);
    }

    fn answer_first_start(&mut self) {
        self.shell.preferences.welcomed = true;
        self.save_preferences();
    }

    pub(crate) fn show_begin_sheet(&mut self) {
        let home = self.shell.services.folders.home.clone();
        let sheet = BeginSheet::below(&home, self.shell.known_hand());
        if self.front == Sheet::FirstStart {
            self.uncover();
        }
        self.bring(Sheet::Begin(sheet));
    }

    pub(crate) fn show_keeps(&mut self) {
        let today = self.shell.now().date();
        self.shell.shop.refresh_kept(today);
        self.bring(Sheet::Keeps);
    }

    fn begin_shop(&mut self) {
        let Sheet::Begin(sheet) = &self.front else { return };
        let (letterhead, hand) = (sheet.letterhead(), sheet.hand(self.shell.now().date()));
        let initials = hand.as_ref().map(|hand| hand.initials.clone());
        let begun = match sheet.folder.chosen() {
            None => Err("Say in which folder the shop is to lie.".to_owned()),
            // Where that would be depends on where the program was started: nobody would find it again.
            Some(folder) if !folder.is_absolute() => {
                Err("Write the whole path of the folder, from the root of the disk or from ~/."
                    .to_owned())
            }
            Some(folder) => {
                let disk = std::sync::Arc::clone(&self.shell.services.disk);
                Shop::begin(&folder, letterhead, hand, &*disk)
                    .map_err(|why| capital(&format!("{why}.")))
                    .and_then(|shop| self.open_path(&shop.folder).map_err(|why| why.to_string()))
            }
        };
        if let Err(why) = begun {
            if let Sheet::Begin(sheet) = &mut self.front {
                sheet.folder.refused = Some(why);
            }
            return;
        }
        self.answer_first_start();
        if let Some(initials) = initials {
            self.named_on_sheet(&initials);
            self.shell.preferences.hand = initials;
        }
        self.save_preferences();
        // An empty shop opens with a new session’s sheet: what it keeps comes first.
        self.front = Sheet::Clear;
        self.behind.clear();
        self.show_keeps();
        let folder = self.shell.shop.offers().folder.clone();
        self.shell.say_where("The shop is begun in", &folder, "");
    }

    /// A form of what the shop keeps at a place, or of something new.
    pub(crate) fn show_form(&mut self, of: KeptKind, place: Option<usize>) {
        let today = self.shell.now().date();
        let Some(shop) = self.shell.shop.shop() else {
            self.say(crate::shell::refusals::NO_SHOP);
            return;
        };
        let before = match (of, place) {
            (KeptKind::Letterhead, _) => shop.letterhead.clone().map(Edited::Letterhead),
            (KeptKind::HeadPicture, _) => shop.head_picture.clone().map(Edited::HeadPicture),
            (KeptKind::Wording, _) => shop.wording.clone().map(Edited::Wording),
            (_, None) => None,
            (KeptKind::Hand, Some(place)) => {
                shop.hands.known.get(place).map(|kept| Edited::Hand(kept.value.clone()))
            }
            (KeptKind::Station, Some(place)) => {
                let kept = shop.stations.get(place);
                kept.map(|kept| Edited::Station(Box::new(kept.value.clone())))
            }
            (KeptKind::Window, Some(place)) => {
                shop.windows.get(place).map(|kept| Edited::Window(kept.value.clone()))
            }
            (KeptKind::Housing, Some(place)) => {
                shop.housings.get(place).map(|kept| Edited::Housing(kept.value.clone()))
            }
            (KeptKind::Camera, Some(place)) => {
                shop.cameras.get(place).map(|kept| Edited::Camera(kept.value.clone()))
            }
        };
        let standing = match &before {
            Some(Edited::Station(station)) => {
                Some(shop.map_standing(station, &*self.shell.services.disk).words())
            }
            _ => None,
        };
        let mut form = Form::new(of, before, today);
        form.standing = standing;
        if of == KeptKind::Camera {
            self.offer_station(&mut form);
        }
        form.for_set_up = matches!(self.front, Sheet::SetUp(_));
        self.bring(Sheet::Edit(Box::new(form)));
    }

    pub(super) fn keep_form(&mut self) {
        if self.opens_before_keeping() {
            return;
        }
        let Sheet::Edit(form) = &self.front else { return };
        let opened = form.head.as_ref().and_then(|desk| desk.typed(&form.fields).cloned());
        let (value, before, name) = (form.value(), form.before.clone(), form.title());
        let value = value.and_then(|value| self.known_station(value, before.as_ref()));
        let new = before.is_none().then_some(form.of).filter(|_| form.for_set_up);
        let kept = value.and_then(|value| {
            let none = || FormWrong { key: None, why: crate::shell::refusals::NO_SHOP.to_owned() };
            let wrong =
                |why: record::Error| FormWrong { key: None, why: capital(&format!("{why}.")) };
            let options = self.shell.file_options();
            let shop = self.shell.shop.shop.as_mut().ok_or_else(none)?;
            let by = Editing { opener: &options.opener, disk: &*options.disk };
            if let (Edited::HeadPicture(_), Some(opened)) = (&value, &opened) {
                shop.keep_head_picture(&opened.read.bytes, &opened.path).map_err(wrong)?;
            }
            shop.edit(before.as_ref(), value, by).map_err(wrong)
        });
        match kept {
            Ok(()) => {
                self.put_away();
                match new {
                    Some(new) => self.take_into_set_up(new),
                    None => self.show_keeps(),
                }
                self.say(format!("{name}: kept in the shop."));
            }
            Err(wrong) => {
                if let Sheet::Edit(form) = &mut self.front {
                    form.wrong = Some(wrong);
                    form.show_wrong = true;
                }
            }
        }
    }

    /// The session being set up takes what was kept for it.
    fn take_into_set_up(&mut self, new: KeptKind) {
        let today = self.shell.now().date();
        self.shell.shop.refresh_kept(today);
        let Sheet::SetUp(sheet) = &mut self.front else { return };
        let offers = self.shell.shop.offers();
        let last = |count: usize| count.checked_sub(1).map(Choice::OfShop);
        match new {
            KeptKind::Window => {
                sheet.window = last(offers.windows.len()).unwrap_or(sheet.window);
            }
            KeptKind::Station => {
                sheet.station = last(offers.stations.len()).unwrap_or(sheet.station);
            }
            _ => {}
        }
    }

    fn show_earlier(&mut self) {
        let today = self.shell.now().date();
        let Sheet::Edit(form) = &mut self.front else { return };
        let (Some(now), Some(shop)) = (&form.before, self.shell.shop.shop()) else { return };
        match shop.earlier(now) {
            Ok(earlier) => {
                let told = earlier
                    .into_iter()
                    .map(|(until, then)| (until, Form::differences(now, &then, form.of, today)));
                form.earlier = Some(told.collect());
            }
            Err(why) => {
                form.wrong = Some(FormWrong { key: None, why: capital(&format!("{why}.")) });
            }
        }
    }

    /// Whether Esc was heeded: it drops what was typed only when pressed twice.
    pub(crate) fn ask_before_drop(&mut self) -> bool {
        match &mut self.front {
            Sheet::FirstStart => {
                self.answer_first_start();
                false
            }
            Sheet::Begin(sheet) if sheet.holds_work() && !sheet.asks_drop() => {
                sheet.ask_drop();
                true
            }
            Sheet::Begin(_) if !self.shell.preferences.welcomed => {
                self.front = Sheet::FirstStart;
                true
            }
            Sheet::FindMap(sheet) if sheet.asks_why.is_some() => {
                sheet.asked_why(None);
                true
            }
            Sheet::FindMap(sheet) if sheet.holds_work() && !sheet.asks_drop => {
                sheet.asks_drop = true;
                true
            }
            Sheet::FindMap(_) => {
                self.uncover();
                self.show_keeps();
                true
            }
            Sheet::List(_) => {
                self.uncover();
                self.show_keeps();
                true
            }
            Sheet::Edit(form) if form.is_changed() && !form.asks_drop() => {
                form.ask_drop();
                true
            }
            Sheet::Edit(form) => {
                let from_list = !form.for_set_up;
                self.uncover();
                if from_list {
                    self.show_keeps();
                }
                true
            }
            _ => false,
        }
    }
}
