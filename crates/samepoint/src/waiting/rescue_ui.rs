//! Facts of earlier that were not saved: whose, when, of which file, and what becomes of them.

use egui::{RichText, ScrollArea, Ui};
use paper::words::form_for;
use record::rescue::{FileStands, Offer};
use record::shown;

use super::sheet::DISCARD_TIP;
use super::waiting_ui::discarding_ui;
use super::{RescueSheet, Rescued, WaitingAction};
use crate::app::action::Action;
use crate::sheets::parts::waiting_button as button;
use crate::shell::kept_file::{Mend, counted};
use crate::shell::open_shop::words_of;
use crate::theme::Palette;
use crate::widgets::{Tell, Tone, message_ui, refused_ui};

pub(crate) fn rescue_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &RescueSheet,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    let Some(Rescued { path, told }) = sheet.found.first() else { return };
    let facts = match told {
        Ok(offer) => {
            offer_ui(ui, palette, offer);
            counted(offer.facts)
        }
        Err(why) => {
            let told = format!("A rescue file cannot be read: {why}.");
            message_ui(ui, palette, Tone::Look, &told, false);
            "what is in it".to_owned()
        }
    };
    let in_file = format!("Rescue file {}", shown::path(path));
    ui.tell(RichText::new(in_file).small().color(palette.quiet));
    match sheet.found.len() {
        0 | 1 => {}
        2 => {
            ui.tell("1 more rescue file waits behind this one.");
        }
        count => {
            ui.tell(format!("{} more rescue files wait behind this one.", count - 1));
        }
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    ui.add_space(4.0);
    if sheet.discarding {
        let keep = "Leave the rescue file where it is; nothing is lost.";
        discarding_ui(ui, palette, &facts, keep, actions);
        return;
    }
    ui.horizontal_wrapped(|ui| {
        let mut fresh = fresh;
        let mut offer_to = |ui: &mut Ui, text: &str, tip: &str, action: WaitingAction| {
            if button(ui, text, tip, std::mem::take(&mut fresh)) {
                actions.push(Action::Waiting(action));
            }
        };
        if let Ok(offer) = told {
            let readable = offer.facts > 0;
            if readable && matches!(offer.stands, FileStands::Fits(_)) {
                let (text, tip) = if sheet.must_agree {
                    (Mend::Agree.text(), Mend::Agree.tip())
                } else {
                    ("Take them in", "Put them where they belong, as they were said.")
                };
                offer_to(ui, text, tip, WaitingAction::TakeInto(sheet.must_agree));
            }
            if readable && offer.whole {
                let tip =
                    "A new file that continues the old one, with every fact before and these.";
                offer_to(ui, "Take them into a new file…", tip, WaitingAction::TakeIntoNew);
            }
        }
        let tip = "Leave the rescue file where it is; the next start offers it again.";
        offer_to(ui, "Keep for later", tip, WaitingAction::Later);
        offer_to(ui, &format!("Discard {facts}…"), DISCARD_TIP, WaitingAction::Discarding(true));
    });
}

/// Whose facts, when, of which file, and how that stands.
fn offer_ui(ui: &mut Ui, palette: &Palette, offer: &Offer) {
    let kind = shown::one_line(&offer.about.kind).into_owned();
    let title = shown::one_line(&offer.about.title).into_owned();
    let hands: Vec<_> = offer.hands.iter().map(|hand| shown::one_line(hand)).collect();
    let by = if hands.is_empty() { String::new() } else { format!(" by {}", hands.join(", ")) };
    let verb = form_for(offer.facts, "was", "were");
    let told =
        format!("{} of the {kind} of “{title}”{by} {verb} never saved.", counted(offer.facts));
    message_ui(ui, palette, Tone::Look, &told, true);
    if let Some((first, last)) = offer.said {
        let (day, from, to) = (first.date(), first.time_of_day(), last.time_of_day());
        let when = if from == to { format!("at {from}") } else { format!("from {from} to {to}") };
        ui.tell(format!("Said on {day} {when}."));
    }
    let name = words_of(&offer.about.path);
    let stands = match offer.stands {
        FileStands::Fits(left) if left == offer.facts => {
            format!("They go on exactly where {name} ends: they can be taken in as they were said.")
        }
        FileStands::Fits(left) => format!(
            "{name} holds the first of them by now; the other {left} go on exactly where it ends."
        ),
        FileStands::Saved => format!("All of them are in {name} by now."),
        FileStands::MovedOn => format!(
            "{name} went on otherwise since, so they cannot be taken into it; a new file can continue \
             with them."
        ),
        FileStands::Otherwise => format!(
            "{name} does not hold the line they go on from any more; a new file can continue with them."
        ),
        FileStands::Gone => format!(
            "{name} cannot be found or read; a new file can continue with them, or put it back first."
        ),
    };
    ui.tell(stands);
    ui.tell(RichText::new(shown::path(&offer.about.path)).small().color(palette.quiet));
    if !offer.whole {
        let told = format!(
            "The {} before them are not to be had: put the file back, then start again.",
            counted(usize::try_from(offer.about.saved).unwrap_or(usize::MAX))
        );
        message_ui(ui, palette, Tone::Look, &told, false);
    }
    if let Some(damage) = &offer.damage {
        let told = format!(
            "The rescue file is not whole: {damage}. What verifies can be taken; the file is kept."
        );
        message_ui(ui, palette, Tone::Look, &told, false);
    }
    if !offer.words.is_empty() {
        let height = (ui.available_height() - 120.0).clamp(60.0, 180.0);
        ScrollArea::vertical().max_height(height).show(ui, |ui| {
            for words in &offer.words {
                ui.tell(RichText::new(shown::one_line(words)).small());
            }
        });
    }
}
