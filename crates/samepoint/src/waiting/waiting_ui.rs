//! Facts that are not on disk: what becomes of them.

use egui::{Button, Key, KeyboardShortcut, Modifiers, RichText, Ui, vec2};
use paper::words::form_for;
use record::{Error, shown};

use super::keepers::Waits;
use super::sheet::{DISCARD_TIP, ON_DISK_NOW};
use super::{Leaving, WaitingAction, WaitingSheet};
use crate::app::action::Action;
use crate::sheets::parts::{back_ui, waiting_button as button};
use crate::shell::kept_file::{Mend, counted};
use crate::theme::{Palette, TARGET};
use crate::widgets::{Tell, TellOnHover, Tone, message_ui, refused_ui};

pub(crate) fn waiting_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &WaitingSheet,
    waits: Option<&Waits>,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    let Some(waits) = waits else {
        ui.label(ON_DISK_NOW);
        if button(ui, "Go on", "Do what waited for it.", fresh) {
            actions.push(Action::Waiting(WaitingAction::Retry));
        }
        return;
    };
    let facts = counted(waits.count);
    let (verb, title) = (form_for(waits.count, "is", "are"), shown::one_line(&waits.title));
    message_ui(ui, palette, Tone::Look, &format!("{facts} of “{title}” {verb} not on disk."), true);
    match &waits.why {
        Some(why) => ui.tell(format!("{}.", paper::words::capital(&why.to_string()))),
        None => ui.label("The disk takes long; they are on their way."),
    };
    ui.tell(&waits.kept);
    let doing = match &sheet.then {
        Some(Leaving::Close) => "The window stays open until you have chosen what becomes of them.",
        Some(Leaving::Do(_)) => {
            "What is open stays open until you have chosen what becomes of them."
        }
        None => "",
    };
    if !doing.is_empty() {
        ui.tell(RichText::new(doing).color(palette.quiet));
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    ui.add_space(4.0);
    if sheet.discarding {
        let keep = "Leave them where they are; nothing is lost.";
        discarding_ui(ui, palette, &facts, keep, actions);
        return;
    }
    ui.horizontal_wrapped(|ui| {
        let mut offer = |ui: &mut Ui, text: &str, tip: &str, fresh: bool, action: WaitingAction| {
            if button(ui, text, tip, fresh) {
                actions.push(Action::Waiting(action));
            }
        };
        offer(ui, Mend::Retry.text(), Mend::Retry.tip(), fresh, WaitingAction::Retry);
        if matches!(waits.why, Some(Error::Unsupported { .. })) {
            offer(ui, Mend::Agree.text(), Mend::Agree.tip(), false, WaitingAction::Agree);
        }
        let tip = "Go on in a new file on another disk, with every fact, those in memory too.";
        offer(ui, "Write them elsewhere…", tip, false, WaitingAction::Elsewhere);
        if waits.rescue.is_some() {
            let tip = "Let go of this file; the next start offers these facts again.";
            offer(ui, "Leave them in the rescue file", tip, false, WaitingAction::Leave);
        }
        let tip = DISCARD_TIP;
        let text = format!("Discard {facts}…");
        offer(ui, &text, tip, false, WaitingAction::Discarding(true));
        back_ui(ui, actions);
    });
}

/// Asks once more: by its own key or button, never by Enter alone.
pub(crate) fn discarding_ui(
    ui: &mut Ui,
    palette: &Palette,
    facts: &str,
    keep_tip: &str,
    actions: &mut Vec<Action>,
) {
    let by_key = KeyboardShortcut::new(Modifiers::COMMAND, Key::Delete);
    let told = format!(
        "{facts} would be lost for ever: nothing brings back what was typed. {} discards, Enter keeps.",
        ui.ctx().format_shortcut(&by_key)
    );
    message_ui(ui, palette, Tone::Look, &told, true);
    let key = ui.input_mut(|input| input.consume_shortcut(&by_key));
    ui.horizontal_wrapped(|ui| {
        let keep = ui.add(Button::new("Keep them").min_size(vec2(110.0, TARGET)));
        if ui.memory(|memory| memory.focused().is_none()) {
            keep.request_focus();
        }
        if keep.tell_on_hover(keep_tip).clicked() {
            actions.push(Action::Waiting(WaitingAction::Discarding(false)));
        }
        let discard = Button::new(format!("Discard {facts} for ever")).min_size(vec2(0.0, TARGET));
        if ui.add(discard).clicked() || key {
            actions.push(Action::Waiting(WaitingAction::Discard));
        }
    });
}
