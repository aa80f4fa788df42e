//! A field that is come back to is typed over, not typed into.

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Context, Id};

/// Selects all that stands in a field, so that what is typed next takes its place.
pub(crate) fn select_all(ctx: &Context, field: Id) {
    let mut state = TextEditState::load(ctx, field).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(usize::MAX));
    state.cursor.set_char_range(Some(all));
    state.store(ctx, field);
}
