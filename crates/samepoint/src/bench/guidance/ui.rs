//! Where to turn each ring, how far out the crosshairs meet, how much of the window that uses.

use egui::{Button, RichText, ScrollArea, Ui};
use solver::{Channel, PerChannel};

use super::compared::compared_ui;
use crate::app::action::Action;
use crate::bench::remedy::lines::ComparedLine;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::round::{RingGuidance, RoundView, Target};
use crate::widgets::{
    Label, Tell, TellOnHover, channel_label, message_ui, term_ui, turn_dial, use_bar_ui,
};

/// The tolerance window in words.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WindowWords<'a> {
    /// Its name and source.
    pub name: Option<&'a str>,
    /// What readings are judged by, told from the first moment on.
    pub judged_by: Option<&'a str>,
}

/// Shows the guidance.
pub(crate) fn guidance_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &RoundView,
    window: WindowWords<'_>,
    compared: &[ComparedLine],
    actions: &mut Vec<Action>,
) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        if ui.available_width() > ABREAST {
            ui.columns_const(|columns: &mut [Ui; 2]| {
                for (column, channel) in columns.iter_mut().zip(Channel::BOTH) {
                    ring_ui(column, palette, channel, &picture.rings[channel]);
                }
            });
            ui.separator();
        } else {
            for channel in Channel::BOTH {
                ring_ui(ui, palette, channel, &picture.rings[channel]);
                ui.separator();
            }
        }
        message_ui(ui, palette, picture.verdict.tone, &picture.verdict.text, true);
        trial_ui(ui, picture, actions);
        ui.add_space(4.0);
        let mut sentences = picture.meeting_words.iter();
        if let Some(first) = sentences.next() {
            ui.tell(RichText::new(first).font(theme::bold(16.0)));
        }
        for sentence in sentences {
            ui.tell(RichText::new(sentence).color(palette.quiet));
        }
        if let Some(setting) = &picture.setting {
            let eyes = paper::words::misalignment(setting.misalignment);
            let known = Channel::BOTH.iter().all(|&channel| setting.ring_deg[channel].is_some());
            let how = if known { "Set to whole steps" } else { "Set there" };
            ui.tell(RichText::new(format!("{how}, {eyes}.")).color(palette.quiet));
            ui.add_space(6.0);
            window_use_ui(ui, palette, picture, window.name, actions);
        }
        let in_use = picture.setting.is_some_and(|setting| setting.window_use.is_some());
        if let Some(judged_by) = window.judged_by.filter(|_| !in_use) {
            ui.add_space(4.0);
            ui.add(Label::new(RichText::new(judged_by).color(palette.quiet)).wrap());
        }
        if let Some(slack) = &picture.slack {
            term_ui(ui, RichText::new("Slack").font(theme::bold(14.5)), "slack", actions);
            ui.add(Label::new(RichText::new(slack).color(palette.quiet)).wrap());
        }
        compared_ui(ui, palette, compared);
        if picture.swing.is_some() {
            term_ui(ui, RichText::new("Swing").font(theme::bold(14.5)), "swing", actions);
        }
        if let Some(safe) = &picture.swing_safe {
            let name = RichText::new("Swing-safe").font(theme::bold(14.5));
            term_ui(ui, name, "swing-safe radius", actions);
            ui.add(Label::new(RichText::new(safe).color(palette.quiet)).wrap());
        }
        for remark in picture.swing.iter().chain(&picture.remarks) {
            ui.add_space(2.0);
            message_ui(ui, palette, remark.tone, &remark.text, false);
        }
    });
}

/// A setting that is tried can be chosen or left; one on screen otherwise can be chosen.
fn trial_ui(ui: &mut Ui, picture: &RoundView, actions: &mut Vec<Action>) {
    if picture.setting.is_none() {
        return;
    }
    ui.horizontal(|ui| {
        let mut offer = |text: &str, command: UiCommand| {
            let button = Button::new(text).min_size(egui::vec2(0.0, TARGET));
            let tip = crate::widgets::tip(ui, command);
            if ui.add(button).tell_on_hover(tip).clicked() {
                actions.push(Action::Do(command));
            }
        };
        offer("Choose this setting", UiCommand::Choose);
        if picture.trying {
            offer("End the trial", UiCommand::EndTrial);
        }
    });
}

fn window_use_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &RoundView,
    window_name: Option<&str>,
    actions: &mut Vec<Action>,
) {
    let Some(used) = picture.setting.and_then(|setting| setting.window_use) else { return };
    let text = RichText::new("Window use if set here").font(theme::bold(14.5));
    term_ui(ui, text, "window use", actions);
    if let Some(name) = window_name {
        ui.tell(RichText::new(name).small().color(palette.quiet));
    }
    let judged = picture.judged && !picture.unanswered;
    use_bar_ui(ui, palette, "side to side", Some(used.side_to_side), judged);
    use_bar_ui(ui, palette, "up and down", Some(used.up_and_down), judged);
    use_bar_ui(ui, palette, "from boresight", used.from_boresight, judged);
}

/// The width at which everything is drawn at its own size, points.
pub(crate) const WIDTH: f32 = 334.0;

/// Where the panel has the whole width of a small window, the rings stand side by side.
const ABREAST: f32 = 560.0;

/// How much larger than its own size a wide panel draws its targets.
fn enlargement(ui: &Ui) -> f32 {
    (ui.available_width() / (WIDTH - 28.0)).clamp(1.0, 1.6)
}

/// Legible from two metres: the target is the largest thing on the screen.
fn ring_ui(ui: &mut Ui, palette: &Palette, channel: Channel, ring: &RingGuidance) {
    // Where the ring stays there is no turn to draw, and its words take that room.
    let turns = ring.turn.as_ref().is_some_and(|turn| !turn.way.is_empty());
    if let Some(dial) = ring.dial.as_ref().filter(|_| turns) {
        turn_dial(ui, palette, palette.drawn(channel), dial);
    }
    channel_label(ui, palette, channel, "ring");
    // The block keeps its height whatever it says, so that nothing below jumps.
    let larger = enlargement(ui);
    let height = 100.0 * larger;
    ui.allocate_ui(egui::vec2(ui.available_width(), height), |ui| {
        ui.set_min_height(height);
        match &ring.target {
            Target::Ring(target) => {
                ui.horizontal(|ui| {
                    ui.tell(
                        RichText::new(target).font(theme::bold(56.0 * larger)).color(palette.here),
                    );
                    ui.vertical(|ui| {
                        ui.add_space(4.0);
                        turn_ui(ui, palette, ring);
                    });
                });
                if let Some(reads) = &ring.will_read {
                    let reads = match &ring.known_to {
                        Some(known_to) => format!("{known_to} · will read {reads}"),
                        None => format!("will read {reads}"),
                    };
                    ui.tell(RichText::new(reads).color(palette.text)).tell_on_hover(
                        "Beside the target: how well it is known (95 %) from the readings so far.",
                    );
                }
            }
            Target::Reads(reads) => {
                ui.label(RichText::new("turn until it reads").color(palette.quiet));
                ui.tell(RichText::new(reads).font(theme::bold(29.0 * larger)).color(palette.here));
                turn_ui(ui, palette, ring);
            }
            Target::Missing(why) => {
                ui.label(RichText::new("–").font(theme::bold(30.0)).color(palette.quiet));
                ui.add(Label::new(RichText::new(why).color(palette.quiet)).wrap());
            }
        }
    });
}

/// Both targets abreast, with what is read there, while something else has the room below.
pub(crate) fn targets_ui(ui: &mut Ui, palette: &Palette, rings: &PerChannel<RingGuidance>) {
    ui.columns_const(|columns: &mut [Ui; 2]| {
        for (column, channel) in columns.iter_mut().zip(Channel::BOTH) {
            column.vertical(|column| target_ui(column, palette, channel, &rings[channel]));
        }
    });
    ui.separator();
}

fn target_ui(ui: &mut Ui, palette: &Palette, channel: Channel, ring: &RingGuidance) {
    ui.spacing_mut().item_spacing.y = 1.0;
    channel_label(ui, palette, channel, "ring");
    let large = |ui: &mut Ui, text: &str, size: f32| {
        ui.add(Label::new(RichText::new(text).font(theme::bold(size)).color(palette.here)).wrap());
    };
    match &ring.target {
        Target::Ring(target) => large(ui, target, 38.0),
        Target::Reads(reads) => large(ui, reads, 20.0),
        Target::Missing(why) => {
            ui.add(Label::new(RichText::new(why).small().color(palette.quiet)).wrap());
        }
    }
    if let Some(turn) = &ring.turn {
        ui.tell(RichText::new(&turn.amount).font(theme::bold(15.0)));
    }
    if let (Some(reads), Target::Ring(_)) = (&ring.will_read, &ring.target) {
        ui.add(Label::new(format!("will read {reads}")).wrap());
    }
}

/// How far and which way, and from which side to come to rest.
fn turn_ui(ui: &mut Ui, palette: &Palette, ring: &RingGuidance) {
    let Some(turn) = &ring.turn else {
        let text = "where the ring is now is not known";
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
        return;
    };
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.tell(RichText::new(&turn.amount).font(theme::bold(22.0)));
    for words in [&turn.way, &turn.finish] {
        if !words.is_empty() {
            ui.add(Label::new(RichText::new(words).small().color(palette.quiet)).wrap());
        }
    }
}
