//! A command's tip.

use egui::Ui;

use crate::ui_command::UiCommand;

/// A command's tip with its key, as this platform writes keys.
#[must_use]
pub(crate) fn tip(ui: &Ui, command: UiCommand) -> String {
    match command.key_words(ui.ctx()).as_str() {
        "" => command.tip().to_owned(),
        key => format!("{} ({key})", command.tip()),
    }
}
