//! What of the table a hand chooses and finds again: its columns, and filters by name.

use egui::containers::menu::{MenuButton, MenuConfig};
use egui::{Button, Id, PopupCloseBehavior, RichText, TextEdit, Ui, vec2};
use record::shop::survey::seek::SortBy;

use crate::places::shop::{ShopAction, Surveying};
use crate::preferences::KeptFilter;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, TellOnHover};

/// Both menus, side by side.
pub(crate) fn chosen_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    kept: &[KeptFilter],
    actions: &mut Vec<ShopAction>,
) {
    columns_ui(ui, shop, actions);
    filters_ui(ui, palette, shop, kept, actions);
}

fn stays_open() -> MenuConfig {
    MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside)
}

fn columns_ui(ui: &mut Ui, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    let button = Button::new("Columns ▾").min_size(vec2(0.0, TARGET));
    MenuButton::from_button(button).config(stays_open()).ui(ui, |ui| {
        // Whose a row is stands wherever several folders are seen as one.
        for column in SortBy::EVERY.into_iter().filter(|column| *column != SortBy::Folder) {
            let on = shop.columns.contains(&column);
            let name = paper::words::capital(column.word());
            if ui.add(Button::selectable(on, name).min_size(vec2(150.0, TARGET))).clicked() {
                actions.push(ShopAction::Column(column));
            }
        }
    });
}

fn filters_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    kept: &[KeptFilter],
    actions: &mut Vec<ShopAction>,
) {
    let button = Button::new("Filters ▾").min_size(vec2(0.0, TARGET));
    MenuButton::from_button(button).config(stays_open()).ui(ui, |ui| {
        if kept.is_empty() {
            ui.tell(RichText::new("No filter is kept yet.").color(palette.quiet));
        }
        for filter in kept {
            let name = record::shown::one_line(&filter.name).into_owned();
            ui.horizontal(|ui| {
                let on = shop.asks_as(filter);
                let apply = Button::selectable(on, &name).truncate().min_size(vec2(180.0, TARGET));
                if ui.add(apply).clicked() {
                    actions.push(ShopAction::ApplyFilter(filter.name.clone()));
                }
                let remove = ui.add(Button::new("✕").min_size(vec2(TARGET, TARGET)));
                let telling = format!("Remove the filter {name}");
                remove.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &telling)
                });
                if remove.tell_on_hover(telling.clone()).clicked() {
                    actions.push(ShopAction::RemoveFilter(filter.name.clone()));
                }
            });
        }
        let label = ui.tell("Name of the filter");
        let edit = TextEdit::singleline(&mut shop.filter_name)
            .id(Id::unique("shop filter name"))
            .hint_text("what it finds")
            .char_limit(40)
            .desired_width(212.0)
            .min_size(vec2(0.0, TARGET))
            .align(egui::Align2::LEFT_CENTER);
        let typed = ui.add(edit).labelled_by(label.id);
        let enter = typed.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        let keep = Button::new("Keep this filter").min_size(vec2(0.0, TARGET));
        if ui.add(keep).clicked() || enter {
            actions.push(ShopAction::KeepFilter);
        }
        if let Some(why) = &shop.filter_refused {
            ui.add(Label::new(RichText::new(why).color(palette.look)).wrap());
        }
    });
}
