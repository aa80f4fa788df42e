//! A place other than the bench, in the middle of the window.

use egui::{CentralPanel, Rect, Ui};

use super::App;
use super::action::Action;
use super::frame::framed;
use crate::places::Place;
use crate::places::explore::ui::explore_ui;
use crate::places::practice::ui::practice_ui;
use crate::places::review::ui::{ReviewContext, review_ui};
use crate::places::shelf::ui::shelf_ui;
use crate::places::shop::other_shops::remembered;
use crate::places::shop::ui::{ShopContext, shop_ui};
use crate::places::study::ui::{StudyContext, study_ui};
use crate::shell::layout_size::LayoutSize;
use crate::theme::Palette;

impl App {
    /// Shows the place the hand is in; returns where sheets go.
    pub(crate) fn place_ui(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        room: LayoutSize,
        actions: &mut Vec<Action>,
    ) -> Rect {
        let Self { places, shell, session, .. } = self;
        let hand = &shell.preferences.hand;
        let offers = shell.shop.offers();
        let frame = CentralPanel::default().frame(framed(palette, 14, 8));
        let shown = frame.show(ui, |ui| match self.place {
            Place::Bench => {}
            Place::Practice => asks(actions, Action::Practice, |asked| {
                practice_ui(ui, palette, &mut places.practice, hand, asked);
            }),
            Place::Explore => asks(actions, Action::Explore, |asked| {
                explore_ui(ui, palette, &mut places.explore, asked);
            }),
            Place::Study => asks(actions, Action::Study, |asked| {
                let window = session.as_ref().and_then(|session| session.state().window());
                let context = StudyContext { offers, window, hand };
                study_ui(ui, palette, &mut places.study, &context, asked);
            }),
            Place::Shop => asks(actions, Action::Shop, |asked| {
                let filters = &shell.preferences.shop_filters;
                let (today, beside) = (shell.now().date(), remembered(shell));
                let context = ShopContext { offers, today, filters, beside };
                shop_ui(ui, palette, &mut places.shop, &context, asked);
            }),
            Place::Shelf => asks(actions, Action::Shelf, |asked| {
                shelf_ui(ui, palette, &places.shelf, asked);
            }),
            Place::Review => asks(actions, Action::Review, |asked| {
                let sealing = shell.sealing.as_ref();
                let context = ReviewContext { offers, sealing, room, today: shell.now().date() };
                review_ui(ui, palette, &mut places.review, &context, asked);
            }),
        });
        shown.response.rect
    }
}

/// Shows a place, and takes what it asks for.
fn asks<A>(actions: &mut Vec<Action>, whose: fn(A) -> Action, show: impl FnOnce(&mut Vec<A>)) {
    let mut asked = Vec::new();
    show(&mut asked);
    actions.extend(asked.into_iter().map(whose));
}
