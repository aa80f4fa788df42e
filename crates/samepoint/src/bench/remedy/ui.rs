//! Remedies, ranked: what to do, and what each is predicted to give.

use egui::{Align, Button, Color32, RichText, ScrollArea, Stroke, Ui, vec2};

use paper::words::number;
use record::figures::kept_together;
use record::practice::WITHHELD;
use solver::Channel;

use super::clock_face::clock_faces_ui;
use super::lines::{ComparedLine, RemedyLine, RemedyLines};
use super::own::{OWN_CAUTION, OwnKind, OwnRemedy, OwnShim, Takes, ends_words};
use crate::app::action::Action;
use crate::bench::guidance::compared::compared_ui;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::round::UNANSWERED;
use crate::widgets::{
    Changed, Label, TellOnHover, Tone, changed, channel_label, message_ui, switch_ui, tip,
};

/// A caution belongs beside every list.
const CAUTION: &str = "Predictions until measured. Battery out first; open a unit only as its \
                       maintenance manual directs.";

/// Shows them.
pub(crate) fn remedy_ui(
    ui: &mut Ui,
    palette: &Palette,
    lines: &RemedyLines,
    compared: &[ComparedLine],
    considered: Option<usize>,
    unanswered: bool,
    actions: &mut Vec<Action>,
) {
    head_ui(ui, actions);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        compared_ui(ui, palette, compared);
        if let Some(instead) = &lines.instead {
            message_ui(ui, palette, Tone::Plain, instead, false);
            let again = Button::new("Search again").min_size(vec2(0.0, TARGET));
            if lines.again && ui.add(again).clicked() {
                actions.push(Action::Do(UiCommand::Remedies));
            }
            return;
        }
        if unanswered {
            message_ui(ui, palette, Tone::Look, UNANSWERED, false);
        }
        if lines.none_needed {
            let tone = if unanswered { Tone::Plain } else { Tone::Good };
            message_ui(ui, palette, tone, &lines.baseline, false);
        } else {
            ui.add(Label::new(RichText::new(&lines.baseline).color(palette.quiet)).wrap());
        }
        if let Some(doubted) = &lines.doubted {
            message_ui(ui, palette, Tone::Look, doubted, false);
        }
        message_ui(ui, palette, Tone::Look, CAUTION, false);
        for (index, line) in lines.remedies.iter().enumerate() {
            let good = if unanswered { palette.text } else { palette.inside };
            line_ui(ui, palette, (index, line), considered == Some(index), good, actions);
        }
        if lines.remedies.is_empty() {
            message_ui(ui, palette, Tone::Plain, "No remedy can be worked out.", false);
        }
        ui.add_space(6.0);
        for sentence in lines.effect.iter().chain(&lines.refused) {
            ui.add(Label::new(RichText::new(sentence).small().color(palette.quiet)).wrap());
        }
    });
}

fn head_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Remedy").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(Align::Center), |ui| {
            let back = Button::new("Back").min_size(vec2(64.0, TARGET));
            if ui.add(back).on_hover_text("Back to where to turn each ring (Esc).").clicked() {
                actions.push(Action::Do(UiCommand::Meet));
            }
        });
    });
}

fn line_ui(
    ui: &mut Ui,
    palette: &Palette,
    (index, line): (usize, &RemedyLine),
    considered: bool,
    good: Color32,
    actions: &mut Vec<Action>,
) {
    let gives = if line.inside == Some(true) { good } else { palette.look };
    let mut job = egui::text::LayoutJob::default();
    let mut add = |text: &str, colour: Color32, size: f32| {
        let font = egui::FontId::proportional(size);
        job.append(&kept_together(text), 0.0, egui::TextFormat::simple(font, colour));
    };
    add(&format!("{}. {}\n", index + 1, line.hands), palette.text, 14.0);
    let word = match line.inside {
        Some(true) => "inside",
        Some(false) => "outside",
        None => "not judged",
    };
    add(&format!("{} ({word})", line.gives), gives, 12.5);
    let edge = if considered { palette.here } else { palette.line };
    let button = Button::new(job)
        .wrap()
        .fill(if considered { palette.raised } else { palette.ground })
        .stroke(Stroke::new(if considered { 2.0 } else { 1.0 }, edge))
        .min_size(vec2(ui.available_width(), TARGET));
    let shown = ui.add(button).on_hover_text("Lay what it would give over the plot.");
    shown.widget_info(|| {
        let telling = format!("Remedy {}: {} {} ({word})", index + 1, line.hands, line.gives);
        egui::WidgetInfo::selected(egui::accesskit::Role::Button, true, considered, telling)
    });
    if shown.clicked() {
        actions.push(Action::Consider(if considered { None } else { Some(index) }));
    }
    if considered {
        clock_faces_ui(ui, palette, &line.faces);
        if line.either_end {
            let hint = "Front end, or rear end: either does the same. What is recorded is the end you take.";
            ui.add(Label::new(RichText::new(hint).small().color(palette.quiet)).wrap());
        }
        let command = UiCommand::TakeRemedy;
        let front = if line.either_end { ", shims at the front end" } else { "" };
        let text = RichText::new(format!("{}{front}", command.text())).font(theme::bold(14.5));
        let take = Button::new(text)
            .shortcut_text(command.key_words(ui.ctx()))
            .min_size(vec2(140.0, TARGET));
        let take = ui.add(take).tell_on_hover(tip(ui, command));
        if take.clicked() {
            actions.push(Action::Do(command));
        }
        let mut take = take;
        if line.either_end {
            let command = UiCommand::TakeRemedyAtRear;
            let rear = Button::new(command.text()).min_size(vec2(140.0, TARGET));
            let rear = ui.add(rear).tell_on_hover(tip(ui, command));
            if rear.clicked() {
                actions.push(Action::Do(command));
            }
            take = take.union(rear);
        }
        // Walked to by key, it comes into sight.
        if changed(ui, "remedy in sight", index) != Changed::No {
            shown.union(take).scroll_to_me(None);
        }
    }
}

/// A remedy of the trainee's own: what is done, from what the seats take; nothing is predicted.
pub(crate) fn own_remedy_ui(
    ui: &mut Ui,
    palette: &Palette,
    own: &mut OwnRemedy,
    takes: &Takes,
    actions: &mut Vec<Action>,
) {
    head_ui(ui, actions);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        message_ui(ui, palette, Tone::Plain, WITHHELD, false);
        let about = "Do what you hold right, or nothing. It is put on record without a prediction, and the next \
                     round opens.";
        ui.add(Label::new(RichText::new(about).color(palette.quiet)).wrap());
        message_ui(ui, palette, Tone::Look, OWN_CAUTION, false);
        ui.horizontal_wrapped(|ui| {
            for kind in OwnKind::ALL {
                let chosen = own.kind == Some(kind);
                if switch_ui(ui, palette, chosen, kind.text(), kind.text()).clicked() {
                    own.kind = Some(kind);
                    own.refused = None;
                }
            }
        });
        if own.kind == Some(OwnKind::Shims) {
            if takes.heights_um.is_empty() {
                let none = "This housing names no seats that take shims.";
                message_ui(ui, palette, Tone::Plain, none, false);
            }
            for channel in Channel::BOTH {
                shim_ui(ui, palette, channel, &mut own.shims[channel], takes);
            }
        }
        if let Some(why) = &own.refused {
            message_ui(ui, palette, Tone::Look, why, false);
        }
        let command = UiCommand::TakeRemedy;
        let text = RichText::new(command.text()).font(theme::bold(14.5));
        let take = Button::new(text)
            .shortcut_text(command.key_words(ui.ctx()))
            .min_size(vec2(140.0, TARGET));
        if ui.add_enabled(own.kind.is_some(), take).tell_on_hover(tip(ui, command)).clicked() {
            actions.push(Action::Do(command));
        }
    });
}

/// One tube's shim: how thick, where along the tube, at which clock position.
fn shim_ui(ui: &mut Ui, palette: &Palette, channel: Channel, shim: &mut OwnShim, takes: &Takes) {
    ui.add_space(6.0);
    channel_label(ui, palette, channel, "tube");
    ui.horizontal_wrapped(|ui| {
        let none = format!("{channel} tube, no shim");
        if switch_ui(ui, palette, shim.height_um.is_none(), "none", &none).clicked() {
            shim.height_um = None;
        }
        for &height_um in &takes.heights_um {
            let text = format!("{} mm", number(f64::from(height_um) / 1000.0, 2));
            let telling = format!("{channel} tube, shim {text}");
            let chosen = shim.height_um == Some(height_um);
            if switch_ui(ui, palette, chosen, &text, &telling).clicked() {
                shim.height_um = Some(height_um);
            }
        }
    });
    if shim.height_um.is_none() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for (at, ends) in takes.ends.iter().enumerate() {
            let text = ends_words(*ends);
            let telling = format!("{channel} shim, {text}");
            if switch_ui(ui, palette, shim.ends == at, text, &telling).clicked() {
                shim.ends = at;
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        for (at, deg) in takes.clocks_deg.iter().enumerate() {
            let text = format!("{}°", number(*deg, 0));
            let telling = format!("{channel} shim at clock {text}");
            if switch_ui(ui, palette, shim.clock == at, &text, &telling).clicked() {
                shim.clock = at;
            }
        }
    });
}
