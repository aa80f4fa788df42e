//! What a supervisor should look at: sessions with their reasons, and files that could not be read.

use std::path::Path;

use egui::{Align, Button, Key, RichText, Stroke, StrokeKind, Ui, vec2};
use record::Error;

use super::ShopContext;
use crate::places::shop::charts::session_words;
use crate::places::shop::{ShopAction, Surveying, only_waits, waits_here};
use crate::shell::kept_file::SET_END_ASIDE_TIP;
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{
    Changed, Label, Tell, TellOnHover, Tone, changed, lone_key, message_ui, page_ui,
    shortened_button_ui,
};

/// What came back to those who signed it and waits for them, one's own first; each opens in review.
fn returned_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    if shop.returned.is_empty() {
        return;
    }
    ui.tell(RichText::new("Sent back, to be signed anew").font(theme::bold(14.5)));
    for one in &shop.returned {
        message_ui(ui, palette, Tone::Look, &format!("{}.", one.words(context.today)), false);
        let button = shortened_button_ui(
            ui,
            &format!("Look over what {} returned: {}", one.by, one.unit),
            0.0,
        );
        if button.clicked() {
            actions.push(ShopAction::ReviewFile(one.path.clone()));
        }
    }
    ui.separator();
}

/// The way through what waits for a countersignature, one session after the other.
fn waiting_ui(ui: &mut Ui, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    let waits = |survey: &record::Survey| survey.sessions.iter().any(waits_here);
    if !shop.survey.as_deref().is_some_and(waits) {
        return;
    }
    let button = Button::new("Look at what waits, one after the other").min_size(vec2(0.0, TARGET));
    let about = "Under “Answer” each is marked, and those marked are countersigned together.";
    if ui.add(button).tell_on_hover(about).clicked() {
        actions.push(ShopAction::ReviewWaiting);
    }
}

/// Arrows move through the sessions to look at; Enter looks one over.
fn keys(ui: &Ui, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    if ui.memory(egui::Memory::focused).is_some() {
        return;
    }
    let last = shop.troubled.len().saturating_sub(1);
    let pressed = |key| lone_key(ui, key);
    for (key, by) in [(Key::ArrowDown, 1), (Key::ArrowUp, -1)] {
        if pressed(key) {
            shop.troubled_at = shop.troubled_at.saturating_add_signed(by).min(last);
        }
    }
    if pressed(Key::Enter) {
        actions.extend(shop.troubled.get(shop.troubled_at).copied().map(ShopAction::Review));
    }
}

pub(crate) fn troubles_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    keys(ui, shop, actions);
    let shop = &*shop;
    let Some(survey) = shop.survey.as_deref() else { return };
    let troubles = survey.troubles();
    page_ui(ui, "troubles", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        let contradicted = survey.ledger.to_look_at();
        returned_ui(ui, palette, shop, context, actions);
        waiting_ui(ui, shop, actions);
        if troubles.is_empty() && survey.skipped.is_empty() && contradicted.is_empty() {
            message_ui(ui, palette, Tone::Good, "Nothing waits for a supervisor.", false);
        }
        for words in &contradicted {
            message_ui(ui, palette, Tone::Look, words, false);
        }
        for torn in &survey.ledger.torn {
            let name = record::shown::path(torn.file_name().map_or(torn, Path::new));
            let words = format!("Set the torn bytes of {name} aside and go on");
            let button = shortened_button_ui(ui, &words, 0.0);
            if button.on_hover_text(SET_END_ASIDE_TIP).clicked() {
                actions.push(ShopAction::SetLedgerEndAside(torn.clone()));
            }
        }
        message_ui(ui, palette, Tone::Plain, &survey.ledger.words(), false);
        for skipped in &survey.skipped {
            message_ui(ui, palette, Tone::Look, &skipped.to_string(), false);
            if let Error::Damaged { path, .. } = skipped {
                let path = if path.is_absolute() {
                    path.clone()
                } else {
                    context.offers.folder.join("sessions").join(path)
                };
                let name = path.file_name().map_or_else(String::new, |name| {
                    record::shown::one_line(&name.to_string_lossy()).into_owned()
                });
                let button = shortened_button_ui(ui, &format!("Look over {name}"), 0.0);
                if button.on_hover_text("What it still holds before the damage.").clicked() {
                    actions.push(ShopAction::ReviewFile(path));
                }
            }
        }
        let moved = changed(ui, "trouble row", shop.troubled_at) == Changed::Yes;
        for (row, index) in shop.troubled.iter().enumerate() {
            let Some(session) = shop.session(*index) else { continue };
            let shown = shortened_button_ui(ui, &session_words(session), 260.0);
            if row == shop.troubled_at {
                let edge = Stroke::new(1.5, palette.here);
                ui.painter().rect_stroke(shown.rect, 3.0, edge, StrokeKind::Outside);
                if moved {
                    shown.scroll_to_me(Some(Align::Center));
                }
            }
            if shown.clicked() {
                actions.push(ShopAction::Review(*index));
            }
            let why = session.troubles();
            let colour = if only_waits(&why) { palette.quiet } else { palette.look };
            for one in why {
                ui.add(Label::new(RichText::new(one.words()).color(colour)).wrap());
            }
        }
    });
}
