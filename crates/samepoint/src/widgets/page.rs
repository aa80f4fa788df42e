//! A page longer than the window: page keys turn it, and it follows the keyboard.

use std::hash::Hash;

use egui::{Key, Modifiers, ScrollArea, Ui, vec2};

/// The name of a field stands above it, points: it comes into sight with it.
const NAME_ABOVE: f32 = 26.0;

/// A page of a place, as high as there is room: it is the one thing there that page keys turn.
pub(crate) fn page_ui<R>(
    ui: &mut Ui,
    id: impl Hash + std::fmt::Debug,
    add: impl FnOnce(&mut Ui) -> R,
) -> R {
    let height = ui.available_height();
    let area = ScrollArea::vertical().id_salt(id).auto_shrink(false);
    let shown = area.show(ui, |ui| {
        page_keys(ui, height);
        let made = add(ui);
        follow_keyboard(ui);
        made
    });
    shown.inner
}

/// Scrolls to what the keyboard has come to. Called at the end of a scrolled part.
pub(crate) fn follow_keyboard(ui: &Ui) {
    let known = ui.scope_id().with("keyboard in a page");
    let focused = ui.memory(egui::Memory::focused);
    if ui.data(|data| data.get_temp::<Option<egui::Id>>(known)).flatten() == focused {
        return;
    }
    ui.data_mut(|data| data.insert_temp(known, focused));
    let response = focused.and_then(|id| ui.ctx().read_response(id));
    if let Some(response) = response.filter(|response| {
        response.layer_id == ui.layer_id() && ui.min_rect().contains(response.rect.center())
    }) {
        let mut rect = response.rect.expand2(vec2(0.0, 6.0));
        rect.min.y -= NAME_ABOVE;
        ui.scroll_to_rect(rect, None);
        ui.request_repaint();
    }
}

/// Page keys turn it: a page, with Ctrl ten. Called inside the scrolled part.
pub(crate) fn page_keys(ui: &Ui, height: f32) {
    let pages = ui.input_mut(|input| {
        let mut pages = 0.0;
        for (key, on) in [(Key::PageDown, 1.0), (Key::PageUp, -1.0)] {
            let one = input.count_and_consume_key(Modifiers::NONE, key);
            let ten = 10 * input.count_and_consume_key(Modifiers::COMMAND, key);
            pages += on * (one + ten) as f32;
        }
        pages
    });
    if pages != 0.0 {
        ui.scroll_with_delta(vec2(0.0, -0.9 * pages * height));
    }
}
