//! What a sheet is called, and since when it is in front.

use egui::{Id, Ui};

use super::Sheet;
use crate::dialogs::SAVE_PICTURE;

/// What a sheet is called; none is in front otherwise.
pub(crate) const fn title(front: &Sheet) -> Option<&'static str> {
    Some(match front {
        Sheet::Clear => return None,
        Sheet::SetUp(sheet) if sheet.begins => "New session",
        Sheet::SetUp(_) => "Set up",
        Sheet::FirstStart => "Welcome",
        Sheet::Begin(_) => "Begin a shop",
        Sheet::Edit(form) => form.title(),
        Sheet::FindMap(_) => "Find the map",
        Sheet::List(_) => "Import a list",
        Sheet::Keeps => "What the shop keeps",
        Sheet::Open(_) => "Open a session",
        Sheet::ReadPicture(_) => "Read a picture",
        Sheet::Camera(_) => "Camera command",
        Sheet::KeepCopy(_) => "Keep a copy",
        Sheet::Report(_) => "Report",
        Sheet::Label(_) => "Label for the case",
        Sheet::RecallList(_) => "Recall list",
        Sheet::OfShop(sheet) => sheet.what.title(),
        Sheet::Withdraw(_) => "Withdraw a reading",
        Sheet::Choose(_) => "Choose this setting",
        Sheet::SavePicture(_) => SAVE_PICTURE,
        Sheet::Round(_) => "New round",
        Sheet::OwnRemedy(_) => "Note a remedy",
        Sheet::Paste(_) => "Paste readings",
        Sheet::Import(_) => "Import CSV",
        Sheet::Commands(_) => "Commands",
        Sheet::Looking(_) => "Looking test",
        Sheet::Sign(_) => "Sign",
        Sheet::Seal(_) => "Seal",
        Sheet::Handover(_) => "Handover",
        Sheet::Receiving(_) => "Receiving",
        Sheet::Units(_) => "Units waiting",
        Sheet::Check(_) => "Check the station",
        Sheet::ProgressCsv(_) => "Write results",
        Sheet::Hidden(_) => "What was hidden",
        Sheet::Waiting(_) => "Not saved",
        Sheet::Continue(_) => "Continue in a new file",
        Sheet::Rescue(_) => "Facts that were not saved",
        Sheet::Due => "What is due",
        Sheet::Keypad => "Keypad",
        Sheet::Pedals(_) => "Pedals and read-back",
        Sheet::Keys => "Keys",
        Sheet::Cautions => "Cautions",
        Sheet::Glossary => "Words",
        Sheet::About => "About",
    })
}

/// The id of the window that a sheet is.
pub(crate) fn sheet_id(title: &'static str) -> Id {
    Id::unique(("sheet", title))
}

/// Which sheet was in front in the last frames, and for how many.
pub(crate) type SheetShown = (&'static str, u8);

/// Whether a sheet has just come to the front. A window is laid out unseen in its first frame and
/// cannot take the keyboard then, so it stays fresh for a second one.
pub(crate) fn is_fresh(ui: &Ui, title: &'static str) -> bool {
    let frames = ui.data_mut(|data| {
        let shown = data.get_temp_mut_or_default::<SheetShown>(Id::unique("sheet shown"));
        let frames = if shown.0 == title { shown.1.saturating_add(1) } else { 1 };
        *shown = (title, frames);
        frames
    });
    if frames <= 2 {
        ui.request_repaint();
    }
    frames <= 2
}
