//! Sheets in front of the plot. None is modal: the entry row stays in reach beside them.

use egui::{Align2, Button, ComboBox, Id, Key, RichText, ScrollArea, TextEdit, Ui, Window, vec2};
use record::fact::RoundReason;

use crate::app::Action;
use crate::app::front::{Front, NewSheet, PathSheet, RoundSheet, WITHDRAW_REASONS, WithdrawSheet};
use crate::cautions::CAUTIONS;
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Tone, message_ui};

/// What sheets offer to choose from.
#[derive(Clone, Debug, Default)]
pub struct Offers {
    /// Names of the shop's stations.
    pub stations: Vec<String>,
    /// Names of its housings.
    pub housings: Vec<String>,
    /// Names of its windows, with their sources.
    pub windows: Vec<(String, String)>,
    /// Its sessions, newest first: path and words.
    pub sessions: Vec<(std::path::PathBuf, String)>,
    /// The shop's own name.
    pub shop: String,
}

/// Shows the sheet in front, if there is one, over the middle of `over`.
pub fn front_ui(
    ui: &Ui,
    over: egui::Rect,
    palette: &Palette,
    front: &mut Front,
    offers: &Offers,
    actions: &mut Vec<Action>,
) {
    let title = match front {
        Front::Clear => {
            ui.data_mut(|data| data.remove::<Shown>(Id::unique("sheet shown")));
            return;
        }
        Front::New(_) => "New session",
        Front::Open(_) => "Open a session",
        Front::KeepCopy(_) => "Keep a copy",
        Front::Withdraw(_) => "Withdraw a reading",
        Front::Round(_) => "New round",
        Front::Keys => "Keys",
        Front::Cautions => "Cautions",
    };
    let fresh = is_fresh(ui, title);
    let width = (over.width() - 48.0).clamp(260.0, 520.0);
    Window::new(RichText::new(title).font(theme::bold(16.0)))
        .id(Id::unique(("sheet", title)))
        .collapsible(false)
        .resizable(false)
        .movable(false)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(over.center_top() + vec2(0.0, 16.0))
        .fixed_size(vec2(width, (over.height() - 80.0).max(160.0)))
        .show(ui.ctx(), |ui| match front {
            Front::Clear => {}
            Front::New(sheet) => new_ui(ui, palette, sheet, offers, actions),
            Front::Open(sheet) => open_ui(ui, palette, sheet, offers, actions),
            Front::KeepCopy(sheet) => copy_ui(ui, palette, sheet, actions),
            Front::Withdraw(sheet) => withdraw_ui(ui, palette, sheet, actions),
            Front::Round(sheet) => round_ui(ui, palette, sheet, actions),
            Front::Keys => keys_ui(ui, palette, actions),
            Front::Cautions => cautions_ui(ui, actions),
        });
    // Sheets that are only read leave the keyboard where it is: on the entry row.
    if fresh && !matches!(front, Front::Keys | Front::Cautions) {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
    }
}

/// Which sheet was in front in the last frames, and for how many.
type Shown = (&'static str, u8);

/// Whether a sheet has just come to the front. A window is laid out unseen in its first frame and
/// cannot take the keyboard then, so it stays fresh for a second one.
fn is_fresh(ui: &Ui, title: &'static str) -> bool {
    let frames = ui.data_mut(|data| {
        let shown = data.get_temp_mut_or_default::<Shown>(Id::unique("sheet shown"));
        let frames = if shown.0 == title { shown.1.saturating_add(1) } else { 1 };
        *shown = (title, frames);
        frames
    });
    if frames <= 2 {
        ui.request_repaint();
    }
    frames <= 2
}

/// The field that a fresh sheet's keyboard goes to.
fn first_field() -> Id {
    Id::unique("sheet first field")
}

/// A text field with its name; true when Enter left it.
fn text_ui(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &str,
) -> bool {
    let name = ui.label(RichText::new(name).color(palette.quiet));
    let edit = TextEdit::singleline(text)
        .id(id)
        .hint_text(hint)
        .min_size(vec2(0.0, TARGET))
        .align(Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY);
    let response = ui.add(edit).labelled_by(name.id);
    response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
}

fn refused_ui(ui: &mut Ui, palette: &Palette, refused: Option<&String>) {
    if let Some(refused) = refused {
        message_ui(ui, palette, Tone::Look, refused, false);
    }
}

/// The way on and the way back.
fn buttons_ui(ui: &mut Ui, on: &str, actions: &mut Vec<Action>) -> bool {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let on =
            Button::new(RichText::new(on).font(theme::bold(14.5))).min_size(vec2(110.0, TARGET));
        let pressed = ui.add(on).clicked();
        let back = Button::new("Back").min_size(vec2(80.0, TARGET));
        if ui.add(back).on_hover_text(UiCommand::Back.tip()).clicked() {
            actions.push(Action::Do(UiCommand::Back));
        }
        pressed
    })
    .inner
}

fn new_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut NewSheet,
    offers: &Offers,
    actions: &mut Vec<Action>,
) {
    let mut enter =
        text_ui(ui, palette, first_field(), "Unit", &mut sheet.unit, "what is written on it");
    enter |=
        text_ui(ui, palette, Id::unique("sheet hand"), "Hand", &mut sheet.hand, "your initials");
    let name = ui.label(RichText::new("Station").color(palette.quiet));
    let chosen = offers.stations.get(sheet.station).map_or("none in this shop", String::as_str);
    ComboBox::from_id_salt("station")
        .width(ui.available_width() - 8.0)
        .selected_text(chosen)
        .show_ui(ui, |ui| {
            for (k, name) in offers.stations.iter().enumerate() {
                ui.selectable_value(&mut sheet.station, k, name);
            }
        })
        .response
        .labelled_by(name.id);
    choice_ui(ui, palette, "Housing", "not said", &mut sheet.housing, &offers.housings);
    let windows: Vec<String> =
        offers.windows.iter().map(|(name, source)| format!("{name} · {source}")).collect();
    choice_ui(
        ui,
        palette,
        "Tolerance window",
        "none: nothing is judged",
        &mut sheet.window,
        &windows,
    );
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Start", actions) || enter {
        actions.push(Action::Start);
    }
}

fn choice_ui(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    none: &str,
    chosen: &mut Option<usize>,
    names: &[String],
) {
    let label = ui.label(RichText::new(name).color(palette.quiet));
    let text = chosen.and_then(|k| names.get(k)).map_or(none, String::as_str);
    ComboBox::from_id_salt(name)
        .width(ui.available_width() - 8.0)
        .truncate()
        .selected_text(text)
        .show_ui(ui, |ui| {
            ui.selectable_value(chosen, None, none);
            for (k, name) in names.iter().enumerate() {
                ui.selectable_value(chosen, Some(k), name);
            }
        })
        .response
        .labelled_by(label.id);
}

fn open_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PathSheet,
    offers: &Offers,
    actions: &mut Vec<Action>,
) {
    let enter = text_ui(
        ui,
        palette,
        first_field(),
        "Path of a session or a shop folder",
        &mut sheet.path,
        "",
    );
    refused_ui(ui, palette, sheet.refused.as_ref());
    let open = buttons_ui(ui, "Open", actions);
    if (open || enter)
        && let Some(path) = sheet.chosen()
    {
        actions.push(Action::OpenPath(path));
    }
    ask_ui(ui, palette, sheet, actions);
    ui.separator();
    ui.label(RichText::new(format!("Sessions of {}", offers.shop)).font(theme::bold(14.5)));
    if offers.sessions.is_empty() {
        ui.label(RichText::new("none yet").color(palette.quiet));
    }
    ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
        for (path, words) in &offers.sessions {
            let button = Button::new(words).min_size(vec2(ui.available_width() - 12.0, TARGET));
            if ui.add(button).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::OpenPath(path.clone()));
            }
        }
    });
}

fn ask_ui(ui: &mut Ui, palette: &Palette, sheet: &PathSheet, actions: &mut Vec<Action>) {
    if sheet.asking {
        ui.label(RichText::new("The file dialog is open…").color(palette.quiet));
    } else if ui
        .add(Button::new("Choose with a file dialog…").min_size(vec2(0.0, TARGET)))
        .clicked()
    {
        actions.push(Action::AskPath);
    }
}

fn copy_ui(ui: &mut Ui, palette: &Palette, sheet: &mut PathSheet, actions: &mut Vec<Action>) {
    let enter = text_ui(ui, palette, first_field(), "Path of the copy", &mut sheet.path, "");
    ui.label(RichText::new("Logging goes on in the session's own file.").color(palette.quiet));
    refused_ui(ui, palette, sheet.refused.as_ref());
    let keep = buttons_ui(ui, "Keep", actions);
    if (keep || enter)
        && let Some(path) = sheet.chosen()
    {
        actions.push(Action::KeepCopyTo(path));
    }
    ask_ui(ui, palette, sheet, actions);
}

fn withdraw_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut WithdrawSheet,
    actions: &mut Vec<Action>,
) {
    ui.label(&sheet.words);
    ui.label(
        RichText::new("It stays in the file with the reason; it no longer counts.")
            .color(palette.quiet),
    );
    ui.horizontal_wrapped(|ui| {
        for reason in WITHDRAW_REASONS {
            if ui.add(Button::new(reason).min_size(vec2(0.0, TARGET))).clicked() {
                reason.clone_into(&mut sheet.reason);
            }
        }
    });
    let enter =
        text_ui(ui, palette, first_field(), "Reason", &mut sheet.reason, "why it is not to count");
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Withdraw", actions) || enter {
        actions.push(Action::WithdrawNow);
    }
}

fn round_ui(ui: &mut Ui, palette: &Palette, sheet: &mut RoundSheet, actions: &mut Vec<Action>) {
    ui.label("What was touched? Earlier readings are kept apart and never fitted with later ones.");
    for why in [
        RoundReason::Reseated,
        RoundReason::Remedy,
        RoundReason::Dioptre,
        RoundReason::EyepieceOut,
        RoundReason::StationZeroed,
        RoundReason::Other,
    ] {
        let button = Button::selectable(sheet.why == why, why.word())
            .min_size(vec2(ui.available_width() - 8.0, TARGET));
        if ui.add(button).clicked() {
            sheet.why = why;
        }
    }
    let enter = text_ui(ui, palette, first_field(), "Note", &mut sheet.note, "what was done");
    if buttons_ui(ui, "Open round", actions) || enter {
        actions.push(Action::OpenRound);
    }
}

fn keys_ui(ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) {
    ScrollArea::vertical().max_height(ui.available_height() - 60.0).show(ui, |ui| {
        for command in UiCommand::ALL {
            let key = ui.ctx().format_shortcut(&command.shortcut());
            key_ui(ui, palette, &key, command.text(), command.tip());
        }
        for (key, text, tip) in [
            ("↑ ↓", "Walk through the readings", "The chosen one is marked on the plot."),
            ("L  R", "Change channel", "In a number field, where letters have no other meaning."),
            ("Tab", "On to the next control", "Shift with it goes back."),
            ("Ctrl +  −", "Everything larger, smaller", "Ctrl 0 is the usual size."),
        ] {
            key_ui(ui, palette, key, text, tip);
        }
    });
    back_ui(ui, actions);
}

fn key_ui(ui: &mut Ui, palette: &Palette, key: &str, text: &str, tip: &str) {
    ui.horizontal_top(|ui| {
        let key = RichText::new(key).font(theme::mono(13.5)).color(palette.here);
        ui.allocate_ui(vec2(126.0, 34.0), |ui| {
            ui.set_min_width(126.0);
            ui.label(key);
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(text);
            ui.add(egui::Label::new(RichText::new(tip).small().color(palette.quiet)).wrap());
        });
    });
}

fn cautions_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    ScrollArea::vertical().max_height(ui.available_height() - 60.0).show(ui, |ui| {
        for caution in CAUTIONS {
            ui.horizontal_top(|ui| {
                ui.label("•");
                ui.add(egui::Label::new(caution).wrap());
            });
        }
    });
    back_ui(ui, actions);
}

fn back_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    if ui.add(Button::new("Back to the log").min_size(vec2(120.0, TARGET))).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
