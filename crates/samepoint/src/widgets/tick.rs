//! A box to tick.

use egui::{Checkbox, Id, Key, Modifiers, Ui};

use crate::theme::TARGET;

/// Shows it, as high as a button. Space ticks it, as a press does; Enter goes on, as it does in a field of words: true
/// where it was pressed.
pub(crate) fn tick_ui(ui: &mut Ui, id: Id, ticked: &mut bool, text: &str) -> bool {
    let shown = ui.push_id(id, |ui| {
        ui.spacing_mut().interact_size.y = TARGET;
        ui.spacing_mut().icon_width = 18.0;
        let here = Id::unique((id, "has the keyboard"));
        let had = ui.data(|data| data.get_temp::<bool>(here)).unwrap_or_default();
        let enter = had && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
        let has = ui.add(Checkbox::new(ticked, text)).has_focus();
        ui.data_mut(|data| data.insert_temp(here, has));
        enter
    });
    shown.inner
}
