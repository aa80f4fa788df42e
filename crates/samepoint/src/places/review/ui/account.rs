//! The account in words, and the rounds side by side.

use egui::{RichText, Ui};

use crate::places::review::Reviewed;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, Tone, message_ui};

pub(crate) fn account_ui(ui: &mut Ui, palette: &Palette, open: &Reviewed) {
    let (tone, headline) = open.headline();
    message_ui(ui, palette, tone, &headline, true);
    ui.spacing_mut().item_spacing.y = 2.0;
    // The path is the title, and whether it follows the headline.
    let words = open.account.words();
    let ends = words.find(&open.account.follows_words()).unwrap_or(words.len());
    for line in words.get(..ends).unwrap_or(&words).lines().skip(1) {
        if line.is_empty() {
            ui.add_space(6.0);
        } else if let Some(detail) = line.strip_prefix("  ") {
            ui.add(Label::new(RichText::new(detail).color(palette.quiet)).wrap());
        } else {
            ui.add(Label::new(line).wrap());
        }
    }
    for (name, said) in &open.blind {
        ui.add_space(6.0);
        ui.tell(RichText::new(format!("Read blind: {name}")).font(theme::bold(14.5)));
        for sentence in said {
            ui.add(Label::new(sentence).wrap());
        }
    }
}

pub(crate) fn rounds_ui(ui: &mut Ui, palette: &Palette, open: &Reviewed) {
    if open.sides.is_empty() {
        message_ui(ui, palette, Tone::Plain, "No round was opened.", false);
    }
    for round in &open.sides {
        ui.tell(RichText::new(&round.title).font(theme::bold(14.5)));
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for line in &round.told {
                ui.add(Label::new(RichText::new(line).color(palette.quiet)).wrap());
            }
            for line in &round.predicted {
                ui.add(Label::new(line).wrap());
            }
        });
        ui.add_space(8.0);
    }
}
