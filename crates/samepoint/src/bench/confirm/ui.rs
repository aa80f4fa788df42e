//! What confirming comes to as readings come: the verdict in large words, means, probabilities
//! against the window, what would settle it, what tightening did, as found beside as left.

use egui::{Button, RichText, ScrollArea, Ui, vec2};
use solver::PerChannel;

use super::chart::chart_ui;
use super::picture::ConfirmView;
use crate::app::action::Action;
use crate::bench::guidance::ui::targets_ui;
use crate::bench::signing::sign_ui::beside_ui;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::round::RingGuidance;
use crate::widgets::{
    Label, Tell, TellOnHover, Tone, message_ui, term_sentence_ui, term_ui, verdict_line_ui,
    verdict_ui,
};

/// Words of the glossary that stand in what was measured.
const TERMS_HERE: [&str; 2] = ["window use", "boresight"];

/// Shows it. `rings`: where they are to stand, and what is read there; `advice`: what to aim off for, while
/// the locks are open; `closed`: why nothing more is logged.
pub(crate) fn confirm_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &ConfirmView,
    rings: &PerChannel<RingGuidance>,
    advice: &[String],
    closed: Option<&str>,
    actions: &mut Vec<Action>,
) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        if let Some(closed) = closed {
            message_ui(ui, palette, Tone::Good, closed, false);
        }
        let open = closed.is_none();
        if open {
            targets_ui(ui, palette, rings);
        }
        if open && picture.measured_nothing() {
            // The targets are the room's: a word that says nothing yet takes a line.
            verdict_line_ui(ui, palette, picture.verdict);
        } else {
            verdict_ui(ui, palette, picture.tone, picture.verdict);
        }
        for line in picture.off_by_told() {
            message_ui(ui, palette, line.tone, &line.text, false);
        }
        for mark in &picture.marks {
            message_ui(ui, palette, Tone::Look, mark, false);
        }
        if let Some(outlook) = &picture.outlook {
            ui.add(Label::new(RichText::new(outlook).font(theme::bold(15.0))).wrap());
        }
        for sentence in advice {
            message_ui(ui, palette, Tone::Plain, sentence, false);
        }
        for sentence in &picture.measured {
            match TERMS_HERE.into_iter().find(|word| sentence.contains(word)) {
                Some(word) => term_sentence_ui(ui, sentence, word, actions),
                None => {
                    ui.add(Label::new(sentence).wrap());
                }
            }
        }
        if let Some(chart) = &picture.chart {
            ui.add_space(4.0);
            chart_ui(ui, palette, chart);
        }
        if !picture.chances.is_empty() {
            ui.add_space(4.0);
            ui.label(RichText::new("Probability").font(theme::bold(14.5)));
            for (name, chance) in &picture.chances {
                chance_ui(ui, palette, name, chance);
            }
            let rule = RichText::new(&picture.rule).small().color(palette.quiet);
            term_ui(ui, rule, "guard band", actions);
        }
        for (tone, sentence) in &picture.elsewhere {
            message_ui(ui, palette, *tone, sentence, false);
        }
        for sentence in &picture.shifts {
            ui.add(Label::new(RichText::new(sentence).color(palette.text)).wrap());
        }
        beside_ui(ui, palette, &picture.beside);
        if !picture.caveats.is_empty() {
            ui.add_space(6.0);
            ui.label(RichText::new("What limits it").font(theme::bold(14.5)));
            for caveat in &picture.caveats {
                ui.add(Label::new(RichText::new(caveat).color(palette.quiet)).wrap());
            }
        }
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            for command in [UiCommand::Look, UiCommand::Sign] {
                let key = command.key_words(ui.ctx());
                let text = RichText::new(format!("{} {key}", command.text()));
                let button = Button::new(text).min_size(vec2(0.0, TARGET));
                if ui.add(button).tell_on_hover(command.tip()).clicked() {
                    actions.push(Action::Do(command));
                }
            }
        });
        ui.add(Label::new(RichText::new(&picture.window).small().color(palette.quiet)).wrap());
    });
}

fn chance_ui(ui: &mut Ui, palette: &Palette, name: &str, chance: &str) {
    ui.horizontal(|ui| {
        ui.tell(RichText::new(name).color(palette.quiet));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.tell(RichText::new(chance).font(theme::mono(14.5)).color(palette.text));
        });
    });
}
