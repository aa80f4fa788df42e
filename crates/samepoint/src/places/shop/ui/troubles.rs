//! What a supervisor should look at: sessions with their reasons, and files that could not be read.

use std::path::{Path, PathBuf};

use egui::{RichText, Ui};
use record::Error;
use record::shop::survey::troubles::Trouble;

use super::ShopContext;
use crate::places::shop::charts::session_words;
use crate::places::shop::{ShopAction, Surveying};
use crate::shell::kept_file::SET_END_ASIDE_TIP;
use crate::theme::{self, Palette};
use crate::widgets::{Label, Tell, Tone, message_ui, page_ui, shortened_button_ui};

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

pub(crate) fn troubles_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    let Some(survey) = &shop.survey else { return };
    let troubles = survey.troubles();
    page_ui(ui, "troubles", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        let contradicted = survey.ledger.to_look_at();
        returned_ui(ui, palette, shop, context, actions);
        if troubles.is_empty() && survey.skipped.is_empty() && contradicted.is_empty() {
            message_ui(ui, palette, Tone::Good, "Nothing waits for a supervisor.", false);
        }
        for words in &contradicted {
            message_ui(ui, palette, Tone::Look, words, false);
        }
        let own = |file: &&PathBuf| file.starts_with(context.offers.folder.join("ledger"));
        for torn in survey.ledger.torn.iter().filter(own) {
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
        // What only waits for a countersignature comes last.
        let waits = |why: &[Trouble]| why.iter().all(|one| matches!(one, Trouble::Waiting));
        for waiting in [false, true] {
            for (index, why) in troubles.iter().filter(|(_, why)| waits(why) == waiting) {
                let Some(session) = shop.session(*index) else { continue };
                let words = session_words(session);
                if shortened_button_ui(ui, &words, 260.0).clicked() {
                    actions.push(ShopAction::Review(*index));
                }
                for one in why {
                    let colour = if waiting { palette.quiet } else { palette.look };
                    ui.add(Label::new(RichText::new(one.words()).color(colour)).wrap());
                }
            }
        }
    });
}
