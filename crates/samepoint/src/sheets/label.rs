//! The label of a unit's case: what will stand on it, when the unit is due, and where the file goes.

use egui::{RichText, Ui};

use super::parts::{buttons_ui, first_field};
use super::paths::ask_ui;
use crate::app::action::Action;
use crate::shell::path_sheet::PathSheet;
use crate::theme::Palette;
use crate::widgets::{Tell, refused_ui, text_ui};

/// What is typed for a label.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LabelSheet {
    /// Where to.
    pub path: PathSheet,
    /// The last day, as typed; a line to write on where nothing is.
    pub due: String,
    /// What stands on it, a line each; empty while the session is read.
    pub says: Vec<String>,
    /// Whether it is being written.
    pub writing: bool,
}

pub(crate) fn label_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut LabelSheet,
    actions: &mut Vec<Action>,
) {
    let path = &mut sheet.path;
    let enter = text_ui(ui, palette, first_field(), "Path of the label", &mut path.path, "");
    let due_field = egui::Id::unique("label due");
    let hint = "2027-11-25, or nothing: a line to write on";
    let due_enter = text_ui(ui, palette, due_field, "Due", &mut sheet.due, hint);
    ui.tell(RichText::new(
        "62 × 29 mm, to be printed at its size: .pdf, .svg or .png. A verdict stands on it only where it is \
         signed, in force and follows.",
    )
    .color(palette.quiet));
    if sheet.says.is_empty() && sheet.path.refused.is_none() {
        ui.tell("What will stand on it is being read…");
    }
    for line in &sheet.says {
        ui.tell(line);
    }
    if sheet.writing {
        ui.tell("The label is being written…");
    }
    refused_ui(ui, palette, sheet.path.refused.as_ref());
    let pressed = buttons_ui(ui, "Write", actions);
    if (pressed || enter || due_enter)
        && let Some(path) = sheet.path.chosen()
    {
        actions.push(Action::LabelTo(path));
    }
    ask_ui(ui, palette, sheet.path.asking, actions);
}
