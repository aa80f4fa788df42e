//! A station's check standard: read it, see how the station stands, decide on limits.

use egui::accesskit::Role;
use egui::{Button, Id, Key, Modifiers, RichText, Ui, WidgetInfo, vec2};
use solver::Channel;

use super::chart::check_chart_ui;
use super::{CheckAction, CheckField, CheckSheet, Decision, OpenChecks};
use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, back_ui, buttons_ui, first_field, scrolled};
use crate::shell::kept_file::Mend;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{
    Label, NumberField, TellOnHover, Tone, channel_colour_text, cut, message_ui, number_field_ui,
    refused_ui, text_ui, withdrawable_ui,
};

/// Two charts stand side by side where the sheet is this wide, points.
const TWO_CHARTS: f32 = 460.0;

pub(crate) fn check_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut CheckSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let Some(open) = context.checks else { return };
    if let Some(field) = sheet.focus.take() {
        ui.memory_mut(|memory| memory.request_focus(id_of(field, open)));
    }
    scrolled(ui, |ui| {
        stations_ui(ui, sheet, context, actions);
        message_ui(ui, palette, open.picture().tone, &open.picture().state, true);
        for remark in &open.picture().remarks {
            message_ui(ui, palette, Tone::Look, remark, false);
        }
        if sheet.decision == Decision::None {
            reading_ui(ui, palette, sheet, open, actions);
        } else {
            decision_ui(ui, palette, sheet, actions);
        }
        saved_ui(ui, palette, open, actions);
        charts_ui(ui, palette, open);
        if sheet.decision == Decision::None {
            readings_ui(ui, palette, sheet, open);
        }
    });
}

/// Where the keyboard goes when the sheet comes to the front: the standard's name while the file is
/// to be begun, else x.
fn id_of(field: CheckField, open: &OpenChecks) -> Id {
    if field == CheckField::X && open.file().is_some() {
        first_field()
    } else {
        Id::unique(("check", field))
    }
}

fn stations_ui(
    ui: &mut Ui,
    sheet: &CheckSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        for station in &context.offers.stations {
            let chosen = station.name == sheet.station;
            let (name, shown) = (&station.name, cut(&station.name));
            let shown = ui.add(Button::selectable(chosen, &*shown).min_size(vec2(0.0, TARGET)));
            shown.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, name));
            if shown.tell_on_hover(name).clicked() {
                actions.push(Action::Checks(CheckAction::Open(station.name.clone())));
            }
        }
    });
}

fn reading_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut CheckSheet,
    open: &OpenChecks,
    actions: &mut Vec<Action>,
) {
    let mut log = false;
    match open.standard() {
        Some(standard) => {
            let read = format!("Read {standard} as on any day: same place, same hand movements.");
            ui.add(Label::new(RichText::new(read).color(palette.quiet)).wrap());
        }
        None => {
            let hint = "what is read each day, its name or number";
            text_ui(ui, palette, first_field(), "Check standard", &mut sheet.standard, hint);
        }
    }
    ui.horizontal_wrapped(|ui| {
        for channel in Channel::BOTH {
            let text = channel_colour_text(palette, channel, "");
            let button =
                Button::selectable(sheet.channel == channel, text).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                sheet.channel = channel;
                sheet.focus = Some(CheckField::X);
            }
        }
    });
    log |= numbers_ui(ui, palette, sheet, open);
    text_ui(ui, palette, Id::unique("check hand"), "Hand", &mut sheet.hand, "whose initials");
    refused_ui(ui, palette, sheet.refused.as_ref().map(|(_, why)| why));
    ui.horizontal_wrapped(|ui| {
        let button = Button::new(RichText::new("Log the check").font(theme::bold(14.5)))
            .min_size(vec2(110.0, TARGET));
        log |= ui.add(button).on_hover_text("Enter in the y field does it too.").clicked();
        let limits = Button::new("Draw limits…").min_size(vec2(0.0, TARGET));
        if ui.add(limits).on_hover_text("A decision: shows first what they rest on.").clicked() {
            actions.push(Action::Checks(CheckAction::Limits));
        }
        let anew = Button::new("Start anew…").min_size(vec2(0.0, TARGET));
        let tip = "The station was zeroed, mended or calibrated, or the standard replaced.";
        if ui.add_enabled(open.file().is_some(), anew).tell_on_hover(tip).clicked() {
            sheet.decision = Decision::Anew;
            sheet.focus = Some(CheckField::X);
        }
        back_ui(ui, actions);
    });
    if log {
        actions.push(Action::Checks(CheckAction::Log));
    }
}

/// Ring, x and y in one row; true when Enter left the last.
fn numbers_ui(ui: &mut Ui, palette: &Palette, sheet: &mut CheckSheet, open: &OpenChecks) -> bool {
    let sign = open.station().usual_unit.sign();
    let names = ["ring °".to_owned(), format!("x {sign}"), format!("y {sign}")];
    let width = ((ui.available_width() - 24.0) / 3.0).clamp(60.0, 120.0);
    let wrong = sheet.refused.as_ref().and_then(|(field, _)| *field);
    let mut entered = None;
    let mut letters = Vec::new();
    ui.horizontal(|ui| {
        let fields = [CheckField::Ring, CheckField::X, CheckField::Y];
        for (field, name) in fields.into_iter().zip(&names) {
            let (text, full_name) = match field {
                CheckField::Ring => (&mut sheet.ring, "check ring"),
                CheckField::X => (&mut sheet.x, "check x"),
                CheckField::Y => (&mut sheet.y, "check y"),
            };
            let shown = NumberField {
                id: id_of(field, open),
                name,
                full_name,
                width,
                hint: if field == CheckField::Ring { "none" } else { "" },
                refused: wrong == Some(field),
                commands: &['l', 'r'],
            };
            let (response, typed) = number_field_ui(ui, palette, &shown, text);
            letters.extend(typed);
            if response.changed() && wrong == Some(field) {
                sheet.refused = None;
            }
            if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                entered = Some(field);
            }
        }
    });
    for letter in letters {
        match letter {
            'l' => sheet.channel = Channel::Left,
            'r' => sheet.channel = Channel::Right,
            _ => {}
        }
    }
    let Some(field) = entered else { return false };
    // The Enter that left one field must not be seen by the next.
    ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
    sheet.focus = match field {
        CheckField::Ring => Some(CheckField::X),
        CheckField::X => Some(CheckField::Y),
        CheckField::Y => None,
    };
    field == CheckField::Y
}

fn decision_ui(ui: &mut Ui, palette: &Palette, sheet: &mut CheckSheet, actions: &mut Vec<Action>) {
    let (told, on): (Vec<String>, &str) = match &sheet.decision {
        Decision::None => return,
        Decision::Limits(told) => (told.clone(), "Draw limits"),
        Decision::Withdraw(_, words) => (
            vec![
                words.clone(),
                "It stays in the file with the reason; it no longer counts.".to_owned(),
            ],
            "Withdraw the check",
        ),
        Decision::Anew => (
            vec![
                "Days before are not compared with days after: limits are drawn anew from new days."
                    .to_owned(),
            ],
            "Start anew",
        ),
    };
    for sentence in &told {
        ui.add(Label::new(sentence).wrap());
    }
    let enter = text_ui(
        ui,
        palette,
        first_field(),
        "Reason",
        &mut sheet.reason,
        "why, for whoever reads it later",
    );
    text_ui(ui, palette, Id::unique("check hand"), "Hand", &mut sheet.hand, "whose initials");
    refused_ui(ui, palette, sheet.refused.as_ref().map(|(_, why)| why));
    if buttons_ui(ui, on, actions) || enter {
        actions.push(Action::Checks(CheckAction::Decide));
    }
}

/// Whether what was read is safe, and what can be done where it is not.
fn saved_ui(ui: &mut Ui, palette: &Palette, open: &OpenChecks, actions: &mut Vec<Action>) {
    let (words, look) = open.saved();
    let colour = if look { palette.look } else { palette.quiet };
    ui.add(Label::new(RichText::new(words).small().color(colour)).wrap());
    let Some(file) = open.file() else { return };
    for mend in Mend::of(file) {
        if ui.add(Button::new(mend.text()).min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(Action::Checks(CheckAction::Mend(*mend)));
        }
    }
}

fn charts_ui(ui: &mut Ui, palette: &Palette, open: &OpenChecks) {
    let charts = &open.picture().charts;
    let room = ui.available_width();
    for pair in charts.chunks(2) {
        if room >= TWO_CHARTS {
            ui.horizontal_top(|ui| {
                let width = (room - ui.spacing().item_spacing.x) / 2.0 - 8.0;
                for chart in pair {
                    check_chart_ui(ui, palette, chart, width);
                }
            });
        } else {
            for chart in pair {
                check_chart_ui(ui, palette, chart, room - 8.0);
            }
        }
    }
}

fn readings_ui(ui: &mut Ui, palette: &Palette, sheet: &mut CheckSheet, open: &OpenChecks) {
    if open.picture().readings.is_empty() {
        return;
    }
    ui.add_space(4.0);
    ui.label(RichText::new("Readings, the latest first").font(theme::bold(14.5)));
    for row in &open.picture().readings {
        if withdrawable_ui(ui, palette, &row.words, row.withdrawn.as_deref()) {
            sheet.decision = Decision::Withdraw(row.seq, row.words.clone());
            sheet.refused = None;
            sheet.focus = Some(CheckField::X);
        }
    }
}
