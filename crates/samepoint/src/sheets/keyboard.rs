//! The keyboard in a sheet: it scrolls to the field that has it, opens at its head, and keeps Tab and
//! arrows.

use egui::{
    Context, FocusDirection, Id, Key, KeyboardShortcut, LayerId, Modifiers, Order, Response,
    ScrollArea, Ui,
};

use super::head::{SheetShown, sheet_id};
use crate::widgets::page_keys;

/// Logs a block of rows.
pub(crate) const LOG_BLOCK: KeyboardShortcut =
    KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter);

/// A scrolled part of a sheet, at its head when the sheet has just come to the front.
pub(crate) fn from_its_head(ui: &Ui) -> ScrollArea {
    let area = ScrollArea::vertical();
    let shown = ui.data(|data| data.get_temp::<SheetShown>(Id::unique("sheet shown")));
    if shown.is_some_and(|(_, frames)| frames <= 2) {
        area.vertical_scroll_offset(0.0)
    } else {
        area
    }
}

/// What is only read, above the way back: it opens at its head, and page keys turn it.
pub(crate) fn pages(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let height = (ui.available_height() - 48.0).max(48.0);
    from_its_head(ui).max_height(height).show(ui, |ui| {
        page_keys(ui, height);
        add(ui);
    });
}

/// Arrows walk through an open list, and never out of it to what it covers.
pub(crate) fn walk_list(ui: &Ui, offers: &[Response]) {
    let by = ui.input(|input| {
        i32::from(input.key_pressed(Key::ArrowDown)) - i32::from(input.key_pressed(Key::ArrowUp))
    });
    if by == 0 {
        return;
    }
    let here = offers.iter().position(Response::has_focus);
    let to = match (here, by > 0) {
        (None, _) => offers.first(),
        (Some(here), true) => offers.get(here + 1),
        (Some(here), false) => here.checked_sub(1).and_then(|before| offers.get(before)),
    };
    ui.memory_mut(|memory| memory.move_focus(FocusDirection::None));
    if let Some(to) = to {
        to.request_focus();
        to.scroll_to_me(None);
    }
}

/// Tab in the last control of the sheet in front, by its title, goes to its first one, and the other way round. Called
/// before anything is drawn. The entry row stays in reach of its own keys and of the pointer.
pub(crate) fn keep_tab_inside(ctx: &Context, title: &'static str) {
    let pressed =
        |modifiers| ctx.input(|input| input.modifiers == modifiers && input.key_pressed(Key::Tab));
    let (on, back) = (pressed(Modifiers::NONE), pressed(Modifiers::SHIFT));
    if !on && !back {
        return;
    }
    let Some(focused) = ctx.memory(egui::Memory::focused) else { return };
    let layer = LayerId::new(Order::Middle, sheet_id(title));
    let (first, last) = ctx.viewport(|viewport| {
        let widgets = viewport.prev_pass.widgets.get_layer(layer);
        let mut stops =
            widgets.filter(|widget| widget.enabled && widget.sense.is_focusable()).map(|w| w.id);
        let first = stops.next();
        (first, stops.last().or(first))
    });
    let to = if on && last == Some(focused) {
        first
    } else if back && first == Some(focused) {
        last
    } else {
        None
    };
    if let Some(to) = to {
        ctx.memory_mut(|memory| {
            memory.move_focus(FocusDirection::None);
            memory.request_focus(to);
        });
    }
}
