//! Which program writes the camera's frames.

use egui::{RichText, Ui};

use crate::app::action::Action;
use crate::frames::command::USUAL;
use crate::sheets::parts::{buttons_ui, first_field};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, refused_ui, text_ui};

/// Which program writes the camera's frames.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CameraSheet {
    /// As typed.
    pub command: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// Shows the sheet.
pub(crate) fn camera_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut CameraSheet,
    actions: &mut Vec<Action>,
) {
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    };
    let name = "Program that writes the camera’s frames";
    let enter =
        text_ui(ui, palette, first_field(), name, &mut sheet.command, "empty: the usual one");
    refused_ui(ui, palette, sheet.refused.as_ref());
    quiet(
        ui,
        "It writes frames of the camera map’s size as YUV4MPEG2 to its standard output, until it is ended. It is run on \
         this computer, by you, without a shell, and kept in your preferences; no shop’s file names it. Arguments are \
         parted by spaces; what has spaces of its own stands in straight double quotes.",
    );
    quiet(ui, "The usual one");
    ui.add(Label::new(RichText::new(USUAL).font(theme::mono(13.0)).color(palette.text)).wrap());
    if buttons_ui(ui, "Keep and start", actions) || enter {
        actions.push(Action::TakeCameraCommand);
    }
}
