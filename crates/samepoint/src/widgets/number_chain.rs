//! Number fields beside each other that Enter goes through, one after the other.

use egui::{Key, Modifiers, Response, Ui};

use super::{NumberField, number_field_ui, select_all};
use crate::theme::Palette;

/// What was heard of fields that are drawn one after the other; `F` names a field.
pub(crate) struct NumberChain<F> {
    /// The field that Enter left.
    entered: Option<F>,
    /// Commands in place of a number, in the order typed.
    letters: Vec<char>,
}

impl<F: Copy> NumberChain<F> {
    /// Before the first field.
    pub(crate) const fn begun() -> Self {
        Self { entered: None, letters: Vec::new() }
    }

    /// Shows the next field over its text. One that is come back to is typed over.
    pub(crate) fn field_ui(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        field: F,
        shown: &NumberField<'_>,
        text: &mut String,
    ) -> Response {
        let (response, letters) = number_field_ui(ui, palette, shown, text);
        self.letters.extend(letters);
        if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            self.entered = Some(field);
        }
        if response.gained_focus() {
            select_all(ui.ctx(), shown.id);
        }
        response
    }

    /// After the last: which field Enter left, and the commands. The Enter that left one is not seen by what follows.
    pub(crate) fn heard(self, ui: &Ui) -> (Option<F>, Vec<char>) {
        if self.entered.is_some() {
            ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
        }
        (self.entered, self.letters)
    }
}
