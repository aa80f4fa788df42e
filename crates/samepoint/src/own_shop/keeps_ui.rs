//! What the shop keeps, kind by kind, and what it does not say yet.

use egui::{RichText, Ui};
use paper::words::capital;

use super::OwnAction;
use super::form::KeptKind;
use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, back_ui, waiting_button};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, Tone, message_ui, shortened_button_ui};

/// Shows it. `fresh`: it has just come to the front.
pub(crate) fn keeps_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &SheetContext<'_>,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    let offers = context.offers;
    ui.add(Label::new(RichText::new(&offers.shop).font(theme::bold(15.0))).wrap());
    let place = match &offers.letterhead {
        Some(letterhead) if !letterhead.address.is_empty() => {
            let address = record::shown::in_lines(&letterhead.address);
            format!("{address}\n{}", record::shown::path(&offers.folder))
        }
        _ => record::shown::path(&offers.folder),
    };
    quiet(ui, palette, &place);
    let tip = "As they stand on the shop’s papers.";
    if waiting_button(ui, "Change name or address…", tip, fresh) {
        actions.push(Action::Own(OwnAction::Edit(KeptKind::Letterhead, None)));
    }
    edit_ui(ui, "Picture on papers…", OwnAction::Edit(KeptKind::HeadPicture, None), actions);
    edit_ui(ui, "Words in reports…", OwnAction::Edit(KeptKind::Wording, None), actions);
    edit_ui(ui, "Import a list…", OwnAction::AskList, actions);
    let hands: Vec<&str> = offers.hands.iter().map(|hand| hand.initials.as_str()).collect();
    kind_ui(ui, ("Hands", "hand", KeptKind::Hand), &hands, actions);
    let stations: Vec<&str> = offers.stations.iter().map(|kept| kept.name.as_str()).collect();
    kind_ui(ui, ("Stations", "station", KeptKind::Station), &stations, actions);
    let map_of = |ui: &mut Ui| {
        for (place, name) in stations.iter().enumerate() {
            edit_ui(ui, &format!("Find the map of {name}…"), OwnAction::FindMap(place), actions);
        }
    };
    if !stations.is_empty() {
        ui.horizontal_wrapped(map_of);
    }
    let windows: Vec<&str> = offers.windows.iter().map(|kept| kept.name.as_str()).collect();
    kind_ui(ui, ("Tolerance windows", "window", KeptKind::Window), &windows, actions);
    let housings: Vec<&str> = offers.housings.iter().map(|kept| kept.name.as_str()).collect();
    kind_ui(ui, ("Housings", "housing", KeptKind::Housing), &housings, actions);
    let cameras: Vec<&str> = offers.cameras.iter().map(String::as_str).collect();
    kind_ui(ui, ("Camera maps", "camera map", KeptKind::Camera), &cameras, actions);
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

fn kind_ui(
    ui: &mut Ui,
    (name, one, of): (&str, &str, KeptKind),
    kept: &[&str],
    actions: &mut Vec<Action>,
) {
    heading(ui, name);
    ui.horizontal_wrapped(|ui| {
        for (place, name) in kept.iter().enumerate() {
            let text = format!("Change {one} {name}…");
            edit_ui(ui, &text, OwnAction::Edit(of, Some(place)), actions);
        }
        edit_ui(ui, &format!("Add a {one}…"), OwnAction::Edit(of, None), actions);
    });
}

fn edit_ui(ui: &mut Ui, text: &str, action: OwnAction, actions: &mut Vec<Action>) {
    if shortened_button_ui(ui, text, 0.0).clicked() {
        actions.push(Action::Own(action));
    }
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(6.0);
    ui.tell(RichText::new(text).font(theme::bold(14.5)));
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}
