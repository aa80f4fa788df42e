//! Sealing: with which key, and where the seal stands; on a sheet of its own for what was signed earlier.

use egui::{RichText, Ui};

use super::SealSheet;
use crate::app::action::Action;
use crate::sheets::parts::{back_ui, buttons_ui, first_field};
use crate::shell::sealing::running::{RunningSeal, SealProgress};
use crate::shell::sealing::ui::{SealAsk, seal_choice_ui, seal_progress_ui};
use crate::theme::Palette;
use crate::widgets::{Label, refused_ui};

/// Seals what was signed or answered earlier.
pub(crate) fn seal_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SealSheet,
    running: Option<&RunningSeal>,
    actions: &mut Vec<Action>,
) {
    let name = crate::shell::open_shop::words_of(&sheet.path);
    let what = &sheet.what;
    let told = format!(
        "{name}: {} by {} on {}, fact {}, and not sealed.",
        what.word,
        record::shown::one_line(what.hand.trim()),
        what.day,
        what.seq
    );
    ui.add(Label::new(told).wrap());
    let about = "A seal is an OpenSSH signature over that line and all before it, by a key that the shop \
                 lists for this hand. ssh-keygen makes it; nothing here sees a private key.";
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
    ui.add_space(4.0);
    if let Some(running) = running.filter(|seal| seal.path == sheet.path) {
        actions.extend(seal_progress_ui(ui, palette, Some(running)).map(Action::Do));
        if running.is_going_on() || matches!(running.progress, SealProgress::Sealed(_)) {
            ui.add_space(4.0);
            back_ui(ui, actions);
            return;
        }
    }
    let asked = seal_choice_ui(ui, palette, &mut sheet.seal, &sheet.what.hand, first_field());
    let enter = asked == Some(SealAsk::Enter);
    if let Some(SealAsk::KeyFile(key)) = asked {
        actions.push(Action::AskKey(key));
    }
    if std::mem::take(&mut sheet.come_back) {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    if sheet.seal.key(&sheet.what.hand).is_none() {
        ui.add_space(4.0);
        back_ui(ui, actions);
    } else if buttons_ui(ui, "Seal it", actions) || enter {
        actions.push(Action::SealNow);
    }
}
