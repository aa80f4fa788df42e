//! A place other than the bench, in the middle of the window.

use egui::{CentralPanel, Rect, Ui};

use super::App;
use super::action::Action;
use super::frame::framed;
use super::room::Room;
use crate::places::Place;
use crate::places::explore::ui::explore_ui;
use crate::places::practice::ui::practice_ui;
use crate::places::review::ui::{ReviewContext, review_ui};
use crate::places::shop::ui::{ShopContext, shop_ui};
use crate::places::study::ui::{StudyContext, study_ui};
use crate::theme::Palette;

impl App {
    /// Shows the place the hand is in; returns where sheets go.
    pub(crate) fn place_ui(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        room: Room,
        actions: &mut Vec<Action>,
    ) -> Rect {
        let places = &mut self.places;
        let shown =
            CentralPanel::default().frame(framed(palette, 14, 8)).show(ui, |ui| match self.place {
                Place::Bench => {}
                Place::Practice => {
                    let hand = &self.preferences.hand;
                    practice_ui(ui, palette, &mut places.practice, hand, actions);
                }
                Place::Explore => explore_ui(ui, palette, &mut places.explore, actions),
                Place::Study => {
                    let context = StudyContext {
                        offers: self.shop.offers(),
                        window: self.session.as_ref().and_then(|session| session.state().window()),
                        hand: &self.preferences.hand,
                    };
                    study_ui(ui, palette, &mut places.study, &context, actions);
                }
                Place::Shop => {
                    let context = ShopContext {
                        offers: self.shop.offers(),
                        today: self.services.clock.now().date(),
                    };
                    shop_ui(ui, palette, &mut places.shop, &context, actions);
                }
                Place::Review => {
                    let context = ReviewContext {
                        offers: self.shop.offers(),
                        hand: &self.preferences.hand,
                        sealing: self.sealing.as_ref(),
                        room,
                    };
                    review_ui(ui, palette, &mut places.review, &context, actions);
                }
            });
        shown.response.rect
    }
}
