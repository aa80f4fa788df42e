//! What a sheet is called, and since when it is in front.

use egui::{Id, Ui};

use super::Front;

/// What a sheet is called; none is in front otherwise.
pub(crate) const fn title(front: &Front) -> Option<&'static str> {
    Some(match front {
        Front::Clear => return None,
        Front::SetUp(sheet) if sheet.begins => "New session",
        Front::SetUp(_) => "Set up",
        Front::Open(_) => "Open a session",
        Front::KeepCopy(_) => "Keep a copy",
        Front::Report(_) => "Report",
        Front::RecallList(_) => "Recall list",
        Front::Withdraw(_) => "Withdraw a reading",
        Front::Choose(_) => "Choose this setting",
        Front::SavePicture(_) => "Save a picture of the plot",
        Front::Round(_) => "New round",
        Front::OwnRemedy(_) => "Note a remedy",
        Front::Paste(_) => "Paste readings",
        Front::Import(_) => "Import CSV",
        Front::Commands(_) => "Commands",
        Front::Looking(_) => "Looking test",
        Front::Sign(_) => "Sign",
        Front::Seal(_) => "Seal",
        Front::Handover(_) => "Handover",
        Front::Receiving(_) => "Receiving",
        Front::Units(_) => "Units waiting",
        Front::Check(_) => "Check the station",
        Front::ProgressCsv(_) => "Write results",
        Front::Hidden(_) => "What was hidden",
        Front::Waiting(_) => "Not saved",
        Front::Continue(_) => "Continue in a new file",
        Front::Rescue(_) => "Facts that were not saved",
        Front::Due => "What is due",
        Front::Keypad => "Keypad",
        Front::Pedals(_) => "Pedals and read-back",
        Front::Keys => "Keys",
        Front::Cautions => "Cautions",
        Front::Glossary => "Words",
        Front::About => "About",
    })
}

/// The id of the window that a sheet is.
pub(crate) fn sheet_id(title: &'static str) -> Id {
    Id::unique(("sheet", title))
}

/// Which sheet was in front in the last frames, and for how many.
pub(crate) type Shown = (&'static str, u8);

/// Whether a sheet has just come to the front. A window is laid out unseen in its first frame and
/// cannot take the keyboard then, so it stays fresh for a second one.
pub(crate) fn is_fresh(ui: &Ui, title: &'static str) -> bool {
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
