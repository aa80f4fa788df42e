//! Readings that come in a block: rows pasted from a spreadsheet, a CSV file.

use egui::{Button, RichText, ScrollArea, TextEdit, Ui, vec2};

use super::{ImportSheet, PasteSheet, RowBlock};
use crate::app::action::Action;
use crate::sheets::keyboard::LOG_BLOCK;
use crate::sheets::parts::{SheetContext, back_ui, first_field};
use crate::sheets::paths::ask_ui;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, TellOnHover, refused_ui, text_ui};
use paper::words::counted_s;

/// Rows from a spreadsheet, with what each will be before it is logged.
pub(crate) fn paste_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PasteSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let unit = context.unit.word();
    let text = format!(
        "One reading a row: channel, ring angle, x, y. Columns apart by tabs, semicolons or \
         commas; an empty ring angle where it could not be read. x and y are {unit}.",
    );
    ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    let name = ui.label(RichText::new("Rows").color(palette.quiet));
    let height = (ui.available_height() * 0.3).clamp(48.0, 130.0);
    ScrollArea::vertical().id_salt("pasted").max_height(height).show(ui, |ui| {
        let edit = TextEdit::multiline(&mut sheet.text)
            .id(first_field())
            .font(theme::mono(14.0))
            .hint_text("paste here")
            .desired_rows(3)
            .desired_width(f32::INFINITY);
        if ui.add(edit).labelled_by(name.id).changed() {
            actions.push(Action::PreviewPaste);
        }
    });
    refused_ui(ui, palette, sheet.refused.as_ref());
    block_ui(ui, palette, &sheet.block, actions);
}

/// The readings of a CSV file.
pub(crate) fn import_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ImportSheet,
    actions: &mut Vec<Action>,
) {
    let enter = text_ui(ui, palette, first_field(), "Path of a CSV file", &mut sheet.path.path, "");
    let about = "Its header is channel,ring_deg,x_arcmin,y_arcmin; ring_deg may be empty.";
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
    ui.horizontal(|ui| {
        let read = ui.add(Button::new("Read it").min_size(vec2(80.0, TARGET))).clicked();
        if read || enter {
            actions.push(Action::ReadCsv);
        }
        ask_ui(ui, palette, sheet.path.asking, actions);
    });
    refused_ui(ui, palette, sheet.path.refused.as_ref());
    block_ui(ui, palette, &sheet.block, actions);
}

/// What each row will be, and the way on.
fn block_ui(ui: &mut Ui, palette: &Palette, block: &RowBlock, actions: &mut Vec<Action>) {
    let ready = block.ready().count();
    let (refused, rows) = (block.refused(), block.lines.len());
    if rows > 0 {
        let refused = match refused {
            0 => String::new(),
            n => format!(", {} refused", counted_s(n, "row")),
        };
        let text = format!("{}{refused}", counted_s(ready, "reading"));
        ui.tell(RichText::new(text).font(theme::bold(14.5)));
    }
    let room = (ui.available_height() - 48.0).max(40.0);
    ScrollArea::vertical().id_salt("block").max_height(room).show_rows(
        ui,
        20.0,
        rows,
        |ui, shown| {
            for line in block.lines.get(shown).unwrap_or_default() {
                let colour = if line.reading.is_ok() { palette.text } else { palette.look };
                let text = RichText::new(line.words()).font(theme::mono(13.0)).color(colour);
                ui.add(Label::new(text).wrap());
            }
        },
    );
    ui.horizontal(|ui| {
        let text =
            RichText::new(format!("Log {}", counted_s(ready, "reading"))).font(theme::bold(14.5));
        let log = ui.add_enabled(ready > 0, Button::new(text).min_size(vec2(140.0, TARGET)));
        let key = ui.input_mut(|input| input.consume_shortcut(&LOG_BLOCK));
        let tip = "One entry each, one undo each (Ctrl+Enter); rows refused stay to be put right.";
        if log.tell_on_hover(tip).clicked() || (key && ready > 0) {
            actions.push(Action::LogBlock);
        }
        back_ui(ui, actions);
    });
}
