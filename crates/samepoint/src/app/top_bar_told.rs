//! What the top bar tells: where the hand is, which unit and station, whether all is saved, and how the record stands.

use super::App;
use super::top_bar::TopBar;
use crate::bench::session::OpenSession;
use crate::bench::station_words;
use crate::places::Place;

impl App {
    pub(super) fn top_bar(&self) -> TopBar {
        let now = self.shell.services.clock.now();
        let recent = self
            .shell
            .preferences
            .recent
            .iter()
            .map(|path| (path.clone(), crate::shell::open_shop::words_of(path)))
            .collect();
        if self.place != Place::Bench {
            return TopBar {
                title: self.place.text().to_owned(),
                under: self.shell.shop.offers().shop.clone(),
                saved: self.session.as_ref().map(OpenSession::saved).unwrap_or_default(),
                recent,
                open: self.session.is_some(),
                hand: self.shell.known_hand().to_owned(),
                place: self.place,
                returned: self.places.shop.returned.len(),
                meant: self.meant().map(|path| crate::shell::open_shop::words_of(&path)),
                can: match self.place {
                    Place::Explore => self.places.explore.can(),
                    _ => [false; 2],
                },
                ..TopBar::default()
            };
        }
        let Some(session) = &self.session else {
            return TopBar {
                title: "No session".to_owned(),
                under: self.shell.shop.offers().shop.clone(),
                recent,
                hand: self.shell.known_hand().to_owned(),
                ..TopBar::default()
            };
        };
        let (station, station_look) = match self.station_today(now) {
            Some((station, judging)) => station_words::in_one_line(&station, judging, now),
            None => session.station_words(now),
        };
        let practice = self.practice_unit.is_some();
        let named = session.title();
        // The mark before it says that it is practice.
        let kinds = ["practice ", "invented ", "exam "];
        let short = kinds.iter().find_map(|kind| named.strip_prefix(kind)).filter(|_| practice);
        TopBar {
            returned: self.places.shop.returned.len(),
            title: short.map_or_else(|| named.clone(), paper::words::capital),
            under: session.under_title(),
            station,
            station_reason: session.station_reason(now).to_owned(),
            station_look,
            saved: session.saved(),
            stands: session.stands().clone(),
            recent,
            can: [session.state().undo().is_some(), session.state().redo().is_some()]
                .map(|can| can && session.is_writable()),
            open: true,
            hand: self.shell.known_hand().to_owned(),
            place: self.place,
            meant: None,
            practice,
        }
    }
}
