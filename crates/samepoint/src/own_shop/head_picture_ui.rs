//! The picture on the shop's papers: chosen, and shown as paper will have it.

use egui::{Button, Sense, Ui, vec2};

use super::OwnAction;
use super::form::Form;
use super::form::fields::OPENING;
use crate::app::action::Action;
use crate::sheets::paths::ask_ui;
use crate::theme::{Palette, TARGET};
use crate::widgets::chart::{Chart, Map, key_ui, room_ui};

/// How high the picture is shown, points: twice what paper gives it.
const HEIGHT: f32 = 116.0;

/// Shows it below the form's fields.
pub(crate) fn head_picture_ui(
    ui: &mut Ui,
    palette: &Palette,
    form: &mut Form,
    actions: &mut Vec<Action>,
) {
    let Form { fields, head: Some(desk), .. } = form else { return };
    ui.horizontal_wrapped(|ui| {
        if ui.add(Button::new("Look at it").min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(Action::Own(OwnAction::OpenHeadPicture));
        }
        ask_ui(ui, palette, desk.asking, actions);
    });
    if desk.opening {
        key_ui(ui, palette, OPENING);
    }
    let ctx = ui.ctx().clone();
    let Some(screen) = desk.screen(&ctx, fields).cloned() else { return };
    let [wide, high] = screen.size();
    let told = format!("The picture in grey, {wide} × {high} pixels");
    let (room, _) = room_ui(ui, vec2(ui.available_width(), HEIGHT), Sense::hover(), &told);
    Chart::new(ui, palette, room, Map::picture(room, screen.size())).picture(&screen);
    key_ui(ui, palette, &format!("{told}, as paper will have it. Keep puts it there."));
}
