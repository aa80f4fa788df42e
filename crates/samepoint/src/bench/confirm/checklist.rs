//! What a confirm reading is taken under, and what is still to be seen to.

use egui::{
    Button, Color32, Frame, Id, RichText, ScrollArea, Stroke, Ui, WidgetInfo, accesskit::Role, vec2,
};
use record::fact::{Lock, SwingStop};
use solver::Channel;

use super::{CheckLine, Confirming};
use crate::app::action::Action;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Changed, NumberField, TellOnHover, changed, number_field_ui, switch_ui};

/// With less height than this, points, the conditions scroll with the list.
const CONDITIONS_AND_THREE_LINES: f32 = 220.0;

/// Shows both, below the entry row, in the height given, points; `None` where all of it is scrolled already.
pub(crate) fn checklist_ui(
    ui: &mut Ui,
    palette: &Palette,
    confirming: &mut Confirming,
    channel: Channel,
    height: Option<f32>,
    actions: &mut Vec<Action>,
) {
    let Some(height) = height else {
        conditions_ui(ui, palette, confirming, channel, actions);
        ui.add_space(2.0);
        lines_ui(ui, palette, confirming, actions);
        return;
    };
    let bottom = ui.cursor().top() + height;
    let stays = height >= CONDITIONS_AND_THREE_LINES;
    if stays {
        conditions_ui(ui, palette, confirming, channel, actions);
    }
    let list = ScrollArea::vertical().id_salt("checklist").max_height(bottom - ui.cursor().top());
    list.auto_shrink([false, true]).show(ui, |ui| {
        if !stays {
            conditions_ui(ui, palette, confirming, channel, actions);
            ui.add_space(2.0);
        }
        lines_ui(ui, palette, confirming, actions);
    });
}

fn lines_ui(ui: &mut Ui, palette: &Palette, confirming: &Confirming, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    for line in &confirming.lines {
        let here = line.check == confirming.check;
        let asks = if here { confirming.asks() } else { line.check.asks() };
        line_ui(ui, palette, line, here, asks, actions);
    }
}

/// Lock, seating, place and dioptre of the next reading.
fn conditions_ui(
    ui: &mut Ui,
    palette: &Palette,
    confirming: &mut Confirming,
    channel: Channel,
    actions: &mut Vec<Action>,
) {
    Frame::new()
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.line))
        .corner_radius(6)
        .inner_margin(8)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0;
                let tight = confirming.lock == Some(Lock::After);
                let lock = confirming.lock_words();
                condition_ui(ui, palette, lock, tight, UiCommand::ConfirmLock, actions);
                let seat = confirming.seating_words();
                condition_ui(
                    ui,
                    palette,
                    seat,
                    confirming.reseated,
                    UiCommand::ConfirmReseated,
                    actions,
                );
                let stop = confirming.stop_words();
                let away = confirming.stop != SwingStop::Working;
                condition_ui(ui, palette, stop, away, UiCommand::SwingStop, actions);
            });
            ui.horizontal(|ui| {
                let name = format!("{channel} dioptre");
                let field = NumberField {
                    id: Id::unique(("dioptre", channel)),
                    name: &name,
                    full_name: &format!("{channel} dioptre entry"),
                    width: 92.0,
                    hint: "not noted",
                    refused: false,
                    commands: &[],
                };
                let text = &mut confirming.dioptre[channel];
                if number_field_ui(ui, palette, &field, text).0.changed() {
                    actions.push(Action::RefreshChecklist);
                }
                ui.vertical(|ui| {
                    ui.add_space(18.0);
                    let zero = confirming.at_zero();
                    let text = if zero { "both at zero" } else { "both back at zero" };
                    condition_ui(ui, palette, text, zero, UiCommand::DioptresZero, actions);
                });
            });
        });
}

fn condition_ui(
    ui: &mut Ui,
    palette: &Palette,
    text: &str,
    on: bool,
    command: UiCommand,
    actions: &mut Vec<Action>,
) {
    let tip = format!("{} {}", command.tip(), command.key_words(ui.ctx()));
    if switch_ui(ui, palette, on, text, text).tell_on_hover(tip).clicked() {
        actions.push(Action::Do(command));
    }
}

fn line_ui(
    ui: &mut Ui,
    palette: &Palette,
    line: &CheckLine,
    here: bool,
    asks: &str,
    actions: &mut Vec<Action>,
) {
    let colour = if here {
        palette.here
    } else if line.done {
        palette.inside
    } else {
        palette.quiet
    };
    let mark = if line.done { "●" } else { "○" };
    let progress = line.progress();
    let button = Button::new(RichText::new(format!("{mark} {}", line.check.name())).color(colour))
        .right_text(RichText::new(&progress).font(theme::mono(12.5)).color(palette.quiet))
        .fill(if here { palette.raised } else { palette.ground })
        .stroke(Stroke::new(1.0, if here { palette.edge } else { Color32::TRANSPARENT }))
        .min_size(vec2(ui.available_width(), TARGET));
    let shown = ui.add(button).tell_on_hover(asks);
    let state = match (line.done, here) {
        (true, true) => "seen to, asked for now",
        (true, false) => "seen to",
        (false, true) => "asked for now",
        (false, false) => "open",
    };
    let telling = format!("Check {}: {state} {progress}", line.check.name());
    shown.widget_info(|| WidgetInfo::labeled(Role::Button, true, telling.trim()));
    if here {
        // What is asked for comes into sight when it changes, and stays where a hand scrolls it to.
        if changed(ui, "check asked for", line.check) != Changed::No {
            shown.scroll_to_me(None);
        }
    }
    if shown.clicked() {
        actions.push(Action::Ask(line.check));
    }
}
