//! The window of the sheet in front of the plot. None is modal: the entry row stays in reach.

use egui::{Align2, Id, RichText, Ui, Window, vec2};

use super::Sheet;
use super::head::{SheetShown, is_fresh, sheet_id};
use super::parts::{SheetContext, first_field};
use crate::app::action::Action;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::select_all;

/// Shows the sheet in front, if there is one, over the middle of `over`.
pub(crate) fn front_ui(
    ui: &Ui,
    over: egui::Rect,
    palette: &Palette,
    front: &mut Sheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let Some(title) = front.title() else {
        ui.data_mut(|data| data.remove::<SheetShown>(Id::unique("sheet shown")));
        return;
    };
    let fresh = is_fresh(ui, title);
    // Where there is little room a sheet takes all of it; one in which nothing is read meanwhile, that of the entry
    // row, too.
    let mut over = over;
    if over.height() < 420.0 && front.covers_entry() {
        over.min.y = over.min.y.min(ui.ctx().content_rect().top() + 40.0);
    }
    let small = over.height() < 420.0;
    let (aside, below, top) = if small { (28.0, 8.0, 2.0) } else { (48.0, 80.0, 16.0) };
    let widest = if front.is_wide() { 760.0 } else { 540.0 };
    let width = (over.width() - aside).clamp(220.0, widest);
    let held = ui.memory(egui::Memory::focused);
    Window::new(RichText::new(title).font(theme::bold(16.0)))
        .id(sheet_id(title))
        .collapsible(false)
        .resizable(false)
        .movable(false)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(over.center_top() + vec2(0.0, top))
        .fixed_size(vec2(width, (over.height() - below).max(100.0)))
        .show(ui.ctx(), |ui| front.show(ui, palette, fresh, context, actions));
    // Enter takes the keyboard from a line. Where the sheet refuses, it is back in it; where it goes, so does the line.
    let now = ui.memory(egui::Memory::focused);
    if let (Some(held), None) = (held, now)
        && front.takes_keyboard()
        && ui.input(|input| input.key_pressed(egui::Key::Enter))
    {
        ui.memory_mut(|memory| memory.request_focus(held));
    }
    // Sheets that are only read leave the keyboard where it is: on the entry row.
    if fresh && front.takes_keyboard() {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
        select_all(ui.ctx(), first_field());
    }
}
