//! What is written of a shop: of which days, what it will hold, and where it goes.

use egui::{Id, RichText, Ui};

use super::parts::{buttons_ui, first_field};
use super::paths::ask_ui;
use crate::app::action::Action;
use crate::places::shop::ShopAction;
use crate::shell::of_shop::{OfShopSheet, WriteOfShop};
use crate::theme::Palette;
use crate::widgets::{Label, Tell, refused_ui, text_ui};

pub(crate) fn of_shop_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut OfShopSheet,
    actions: &mut Vec<Action>,
) {
    let mut enter = false;
    for (place, (name, typed)) in sheet.what.days().iter().zip(&mut sheet.days).enumerate() {
        let id = if place == 0 { first_field() } else { Id::unique(("of shop", place)) };
        let hint = if sheet.what.days().len() == 1 { "2026-11" } else { "2026-11-01" };
        enter |= text_ui(ui, palette, id, name, typed, hint);
    }
    let id = if sheet.what.days().is_empty() { first_field() } else { Id::unique("of shop path") };
    enter |= text_ui(ui, palette, id, sheet.what.field(), &mut sheet.path.path, "");
    if !sheet.holds.is_empty() {
        ui.add(Label::new(&sheet.holds).wrap());
    }
    ui.tell(RichText::new(sheet.what.note()).color(palette.quiet));
    refused_ui(ui, palette, sheet.path.refused.as_ref());
    if sheet.going_on {
        ui.tell(
            RichText::new("The sessions are being read and their reports drawn…")
                .color(palette.quiet),
        );
    }
    let pressed = buttons_ui(ui, "Write", actions);
    if (pressed || enter)
        && !sheet.going_on
        && let Some(to) = sheet.path.chosen()
    {
        let asked = WriteOfShop { what: sheet.what, to, days: sheet.days.clone() };
        actions.push(Action::Shop(ShopAction::WriteOfShop(Box::new(asked))));
    }
    ask_ui(ui, palette, sheet.path.asking, actions);
}
