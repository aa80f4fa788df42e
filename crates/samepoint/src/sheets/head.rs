//! The head of a sheet: its window, and since when it is in front.

use egui::{Id, Ui};

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
