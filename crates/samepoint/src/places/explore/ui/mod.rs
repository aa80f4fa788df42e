//! The optics opened up: what can be moved on the left, the circles in the middle, one channel cut
//! open and the numbers on the right; a preset and its question above.
//!
//! - [`parameters`]: what can be moved; [`numbers`]: what follows, in words; [`section`]: a channel cut open.

pub(crate) mod numbers;
pub(crate) mod parameters;
pub(crate) mod section;

use egui::{
    Align, Button, CentralPanel, Frame, Layout, Margin, Panel, RichText, ScrollArea, Ui,
    WidgetInfo, accesskit::Role, vec2,
};
use record::practice::explore::Preset;

use super::{ExploreAction, Exploring, Leaf};
use crate::plot::{FieldPlot, field_plot_ui};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, TellOnHover, Tone, message_ui, practice_badge_ui};
use numbers::numbers_ui;
use parameters::knobs_ui;

/// From this size on everything stands side by side, points.
const WIDE: [f32; 2] = [900.0, 440.0];
/// Width of what stands beside the plot.
const SIDE: f32 = 326.0;

/// Shows it.
pub(crate) fn explore_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &mut Exploring,
    actions: &mut Vec<ExploreAction>,
) {
    let room = ui.available_size();
    let wide = room.x >= WIDE[0] && room.y >= WIDE[1];
    let clear = Frame::new().inner_margin(Margin { bottom: 6, ..Margin::ZERO });
    Panel::top("explore preset").resizable(false).frame(clear).show(ui, |ui| {
        preset_ui(ui, palette, exploring, wide, actions);
    });
    if let Some(Err(why)) = &exploring.picture {
        Panel::top("explore refused").resizable(false).frame(clear).show(ui, |ui| {
            let why = paper::words::sentence(&why.to_string());
            message_ui(ui, palette, Tone::Look, &why, false);
        });
    }
    if !wide {
        let leaf = exploring.leaf;
        let frame = if leaf == Leaf::Plot { field_frame(palette) } else { Frame::new() };
        CentralPanel::default().frame(frame).show(ui, |ui| match leaf {
            Leaf::Plot => plot_ui(ui, palette, exploring),
            Leaf::Millimetres => scrolled(ui, |ui| knobs_ui(ui, palette, exploring, actions)),
            Leaf::Numbers => scrolled(ui, |ui| numbers_ui(ui, palette, exploring, actions)),
        });
        return;
    }
    let side = Frame::new().inner_margin(Margin { right: 10, ..Margin::ZERO });
    Panel::left("explore knobs").exact_size(SIDE).resizable(false).frame(side).show(ui, |ui| {
        scrolled(ui, |ui| knobs_ui(ui, palette, exploring, actions));
    });
    let side = Frame::new().inner_margin(Margin { left: 10, ..Margin::ZERO });
    Panel::right("explore numbers").exact_size(SIDE).resizable(false).frame(side).show(ui, |ui| {
        scrolled(ui, |ui| numbers_ui(ui, palette, exploring, actions));
    });
    CentralPanel::default()
        .frame(field_frame(palette))
        .show(ui, |ui| plot_ui(ui, palette, exploring));
}

/// Round the plot, with room for the numbers at its edge.
fn field_frame(palette: &Palette) -> Frame {
    Frame::new().fill(palette.field).inner_margin(Margin::symmetric(10, 6))
}

fn scrolled(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        // The bar has room of its own.
        ui.set_max_width(ui.available_width() - 8.0);
        add(ui);
    });
}

/// Which preset, what it asks, and the answer.
fn preset_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &mut Exploring,
    wide: bool,
    actions: &mut Vec<ExploreAction>,
) {
    ui.horizontal_wrapped(|ui| {
        let preset = exploring.preset;
        let name = RichText::new(format!("{} ▾", preset.name())).font(theme::bold(15.0));
        let menu = ui.menu_button(name, |ui| {
            for other in Preset::ALL {
                let button =
                    Button::selectable(other == preset, other.name()).min_size(vec2(300.0, TARGET));
                if ui.add(button).clicked() {
                    actions.push(ExploreAction::Take(other));
                    ui.close();
                }
            }
        });
        let telling = format!("Preset: {}", preset.name());
        menu.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
        let next = Preset::ALL.iter().skip_while(|other| **other != preset).nth(1);
        let mut offer = |text: &str, tip: &str, preset: Preset| {
            let button = Button::new(text).min_size(vec2(0.0, TARGET));
            if ui.add(button).tell_on_hover(tip).clicked() {
                actions.push(ExploreAction::Take(preset));
            }
        };
        offer("As it came", "The preset's own numbers again.", preset);
        let first = Preset::ALL.first().copied().unwrap_or(preset);
        offer("Next", "The next preset.", next.copied().unwrap_or(first));
        let text = if exploring.answered { "Hide the answer" } else { "Show the answer" };
        if ui.add(Button::new(text).min_size(vec2(0.0, TARGET))).clicked() {
            exploring.answered = !exploring.answered;
        }
        let text = if exploring.derived { "Hide the derivation" } else { "Show the derivation" };
        let derived = ui.add(Button::new(text).min_size(vec2(0.0, TARGET)));
        let tip = "How the numbers come about: the formula, the numbers put in, the result.";
        if derived.tell_on_hover(tip).clicked() {
            exploring.derived = !exploring.derived;
        }
        practice_badge_ui(ui, palette);
    });
    // The answer takes no more than a part of a small window.
    let height = if wide { 200.0 } else { 96.0 };
    ScrollArea::vertical()
        .id_salt("question")
        .max_height(height)
        .min_scrolled_height(height)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            let question = exploring.preset.question();
            ui.add(Label::new(RichText::new(question).font(theme::bold(15.0))).wrap());
            if exploring.answered
                && let Some(Ok(picture)) = &exploring.picture
            {
                message_ui(ui, palette, Tone::Plain, &picture.answer.words, false);
            }
            if exploring.derived
                && let Some(Ok(picture)) = &exploring.picture
            {
                for line in &picture.derivation {
                    ui.add(Label::new(RichText::new(&line.formula).color(palette.quiet)).wrap());
                    let worked = format!("    {} = {}", line.put_in, line.result);
                    ui.add(Label::new(RichText::new(worked).font(theme::mono(13.0))).wrap());
                }
            }
        });
    if !wide {
        leaves_ui(ui, exploring);
    }
}

/// What is in sight where there is little room.
fn leaves_ui(ui: &mut Ui, exploring: &mut Exploring) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for leaf in Leaf::ALL {
            let chosen = exploring.leaf == leaf;
            let shown =
                ui.add(Button::selectable(chosen, leaf.text()).min_size(vec2(52.0, TARGET)));
            let telling = format!("Show {}", leaf.text());
            shown.widget_info(|| WidgetInfo::selected(Role::Tab, true, chosen, &telling));
            if shown.clicked() {
                exploring.leaf = leaf;
            }
        }
    });
}

fn plot_ui(ui: &mut Ui, palette: &Palette, exploring: &mut Exploring) {
    let Some(Ok(picture)) = &exploring.picture else { return };
    ui.horizontal(|ui| {
        let about = "As a bench would log it, from the eye side";
        ui.add(Label::new(RichText::new(about).color(palette.quiet)).truncate());
        let view = &mut exploring.view;
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for (text, name, act) in
                [("Fit", "Fit the picture", 0.0), ("−", "Farther", 0.8), ("+", "Closer", 1.25)]
            {
                let button = ui.add(Button::new(text).min_size(vec2(TARGET, TARGET)));
                button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
                if button.tell_on_hover(name).clicked() {
                    if act == 0.0 {
                        view.fit();
                    } else {
                        view.zoom(act);
                    }
                    ui.ctx().request_repaint();
                }
            }
        });
    });
    let bench = &picture.bench;
    let shown = FieldPlot { scene: &bench.scene, telling: &bench.telling, handles: &[] };
    // Nothing there can be pressed or dragged.
    let _ = field_plot_ui(ui, palette, &mut exploring.view, shown);
}
