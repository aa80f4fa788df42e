//! What is written of a shop: what it will hold, and where it goes.

use egui::{RichText, Ui};

use super::parts::{buttons_ui, first_field};
use super::paths::ask_ui;
use crate::app::action::Action;
use crate::places::shop::ShopAction;
use crate::shell::of_shop::OfShopSheet;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, refused_ui, text_ui};

pub(crate) fn of_shop_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut OfShopSheet,
    actions: &mut Vec<Action>,
) {
    let enter = text_ui(ui, palette, first_field(), sheet.what.field(), &mut sheet.path.path, "");
    ui.add(Label::new(&sheet.holds).wrap());
    ui.tell(RichText::new(sheet.what.note()).color(palette.quiet));
    refused_ui(ui, palette, sheet.path.refused.as_ref());
    let pressed = buttons_ui(ui, "Write", actions);
    if (pressed || enter)
        && let Some(path) = sheet.path.chosen()
    {
        actions.push(Action::Shop(ShopAction::WriteOfShop(sheet.what, path)));
    }
    ask_ui(ui, palette, sheet.path.asking, actions);
}
