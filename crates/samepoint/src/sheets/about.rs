//! Which program this is, what it is not, and what it is built from.

use egui::{Button, RichText, ScrollArea, Ui, vec2};

use crate::app::action::Action;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, Tell, page_keys};
use crate::{notices, theme};

pub(crate) fn about_ui(ui: &mut Ui, palette: &Palette, fresh: bool, actions: &mut Vec<Action>) {
    ui.tell(
        RichText::new(concat!("samepoint ", env!("CARGO_PKG_VERSION"))).font(theme::bold(15.0)),
    );
    let what =
        concat!(env!("CARGO_PKG_DESCRIPTION"), ". Licence: ", env!("CARGO_PKG_LICENSE"), ".");
    ui.add(Label::new(what).wrap());
    ui.add_space(4.0);
    ui.tell(RichText::new("Built from the work of others").font(theme::bold(14.5)));
    let lines = notices::lines();
    let height = (ui.available_height() - 48.0).max(48.0);
    let face = theme::mono(11.0);
    let row = ui.fonts_mut(|fonts| fonts.row_height(&face));
    ui.spacing_mut().item_spacing.y = 2.0;
    let area = ScrollArea::both().auto_shrink(false).max_height(height);
    let area = if fresh { area.vertical_scroll_offset(0.0) } else { area };
    area.show_rows(ui, row, lines.len(), |ui, shown| {
        page_keys(ui, height);
        for line in lines.get(shown).unwrap_or_default() {
            // An empty line is as high as any other.
            let line = if line.is_empty() { " " } else { line };
            let text = RichText::new(line).font(face.clone()).color(palette.quiet);
            ui.add(Label::new(text).extend());
        }
    });
    if ui.add(Button::new("Back to the log").min_size(vec2(120.0, TARGET))).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
