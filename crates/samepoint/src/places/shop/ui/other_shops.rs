//! Other shops, seen beside this one: which, what of them is seen, and what they have in common.

use std::path::Path;

use egui::accesskit::Role;
use egui::{Button, Id, RichText, Ui, WidgetInfo, vec2};
use record::shown;

use super::ShopContext;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme::{Palette, TARGET};
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, cut_place, message_ui, page_ui, refused_ui, text_ui,
};

pub(crate) fn other_shops_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    page_ui(ui, "other shops", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        add_ui(ui, palette, shop, actions);
        ui.add_space(6.0);
        if context.beside.is_empty() {
            message_ui(ui, palette, Tone::Plain, shop.part.nothing_yet(), false);
            return;
        }
        for folder in context.beside {
            folder_ui(ui, palette, shop, folder, actions);
        }
        let seen = &shop.together;
        if let Some(words) = &seen.words {
            ui.add_space(6.0);
            ui.add(Label::new(words).wrap());
        }
        for sentence in &seen.forked {
            message_ui(ui, palette, Tone::Look, sentence, false);
        }
        for sentence in &seen.told {
            ui.add(Label::new(RichText::new(sentence).color(palette.quiet)).wrap());
        }
    });
}

/// A field for the folder of one more.
fn add_ui(ui: &mut Ui, palette: &Palette, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    let id = Id::unique("other shop");
    let typed = &mut shop.others.typed;
    let hint = "the folder that holds its “sessions”";
    let entered = text_ui(ui, palette, id, "Folder of another shop", typed, hint);
    refused_ui(ui, palette, shop.others.refused.as_ref());
    ui.horizontal_wrapped(|ui| {
        let idle = !shop.others.looking.is_going_on() && !shop.others.asking.is_going_on();
        let add = Button::new("Add this shop").min_size(vec2(0.0, TARGET));
        if ui.add_enabled(idle, add).clicked() || (entered && idle) {
            actions.push(ShopAction::AddShop);
        }
        let choose = Button::new("Choose its folder…").min_size(vec2(0.0, TARGET));
        if ui.add_enabled(idle, choose).clicked() {
            actions.push(ShopAction::ChooseShop);
        }
        if shop.others.asking.is_going_on() {
            ui.tell(RichText::new("The file dialog is open.").color(palette.quiet));
        }
    });
}

/// One of them: what of it is seen, and a way to do without it.
fn folder_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    folder: &Path,
    actions: &mut Vec<ShopAction>,
) {
    let place = shown::path(folder);
    match shop.together.of_folder(folder) {
        Some((words, true)) => message_ui(ui, palette, Tone::Look, words, false),
        Some((words, false)) => message_ui(ui, palette, Tone::Plain, words, false),
        None if shop.reading.is_going_on() => {
            message_ui(ui, palette, Tone::Plain, &format!("{place} is being read."), false)
        }
        None => message_ui(ui, palette, Tone::Plain, &format!("{place}."), false),
    };
    let remove = Button::new(format!("Remove {}", cut_place(&place))).min_size(vec2(0.0, TARGET));
    let (telling, remove) = (format!("Remove {place}"), ui.add(remove));
    remove.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    if remove.tell_on_hover(telling.clone()).clicked() {
        actions.push(ShopAction::RemoveShop(folder.to_owned()));
    }
}
