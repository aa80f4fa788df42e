//! What the shop keeps, kind by kind, and what it does not say yet.

use egui::{RichText, Ui};
use paper::words::capital;

use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, back_ui};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, Tone, message_ui};

/// Shows it.
pub(crate) fn keeps_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let offers = context.offers;
    ui.add(Label::new(RichText::new(&offers.shop).font(theme::bold(15.0))).wrap());
    let place = match &offers.letterhead {
        Some(letterhead) if !letterhead.address.is_empty() => {
            format!("{}. {}", letterhead.address, record::shown::path(&offers.folder))
        }
        _ => record::shown::path(&offers.folder),
    };
    quiet(ui, palette, &place);
    let hands = offers.hands.iter().map(|hand| hand.initials.clone());
    kind_ui(ui, palette, "Hands", hands);
    kind_ui(ui, palette, "Stations", offers.stations.iter().map(|kept| kept.name.clone()));
    kind_ui(ui, palette, "Tolerance windows", offers.windows.iter().map(|kept| kept.name.clone()));
    kind_ui(ui, palette, "Housings", offers.housings.iter().map(|kept| kept.name.clone()));
    heading(ui, "Left open");
    if offers.left_open.is_empty() {
        quiet(ui, palette, "Nothing: the shop says all that it can say.");
    } else {
        quiet(ui, palette, "None of this keeps anybody from working; it is said where it matters.");
    }
    for open in &offers.left_open {
        message_ui(ui, palette, Tone::Plain, &format!("{}.", capital(&open.to_string())), false);
    }
    ui.add_space(4.0);
    back_ui(ui, actions);
}

fn kind_ui(ui: &mut Ui, palette: &Palette, name: &str, kept: impl Iterator<Item = String>) {
    heading(ui, name);
    let names: Vec<String> = kept.collect();
    if names.is_empty() {
        quiet(ui, palette, "None yet.");
    } else {
        ui.add(Label::new(names.join(" · ")).wrap());
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(6.0);
    ui.tell(RichText::new(text).font(theme::bold(14.5)));
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}
