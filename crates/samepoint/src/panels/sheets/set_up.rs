//! Start a session.

use egui::{ComboBox, Id, RichText, Ui};

use super::{Offers, buttons_ui, first_field, refused_ui, text_ui};
use crate::app::Action;
use crate::app::front::NewSheet;
use crate::theme::Palette;

pub(super) fn new_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut NewSheet,
    offers: &Offers,
    actions: &mut Vec<Action>,
) {
    let mut enter =
        text_ui(ui, palette, first_field(), "Unit", &mut sheet.unit, "what is written on it");
    enter |=
        text_ui(ui, palette, Id::unique("sheet hand"), "Hand", &mut sheet.hand, "your initials");
    let name = ui.label(RichText::new("Station").color(palette.quiet));
    let chosen = offers.stations.get(sheet.station).map_or("none in this shop", String::as_str);
    ComboBox::from_id_salt("station")
        .width(ui.available_width() - 8.0)
        .selected_text(chosen)
        .show_ui(ui, |ui| {
            for (k, name) in offers.stations.iter().enumerate() {
                ui.selectable_value(&mut sheet.station, k, name);
            }
        })
        .response
        .labelled_by(name.id);
    choice_ui(ui, palette, "Housing", "not said", &mut sheet.housing, &offers.housings);
    let windows: Vec<String> =
        offers.windows.iter().map(|(name, source)| format!("{name} · {source}")).collect();
    choice_ui(
        ui,
        palette,
        "Tolerance window",
        "none: nothing is judged",
        &mut sheet.window,
        &windows,
    );
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Start", actions) || enter {
        actions.push(Action::Start);
    }
}

fn choice_ui(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    none: &str,
    chosen: &mut Option<usize>,
    names: &[String],
) {
    let label = ui.label(RichText::new(name).color(palette.quiet));
    let text = chosen.and_then(|k| names.get(k)).map_or(none, String::as_str);
    ComboBox::from_id_salt(name)
        .width(ui.available_width() - 8.0)
        .truncate()
        .selected_text(text)
        .show_ui(ui, |ui| {
            ui.selectable_value(chosen, None, none);
            for (k, name) in names.iter().enumerate() {
                ui.selectable_value(chosen, Some(k), name);
            }
        })
        .response
        .labelled_by(label.id);
}
