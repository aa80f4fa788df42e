//! A key with nothing held beside it.

use egui::{Event, Key, Ui};

/// Whether a key was pressed alone, which takes it. To the toolkit `Alt+Enter` is `Enter`, too; in a list it would open
/// what another place's command is for.
pub(crate) fn lone_key(ui: &Ui, key: Key) -> bool {
    let is_it = |event: &Event| {
        matches!(event, Event::Key { key: other, pressed: true, modifiers, .. }
            if *other == key && modifiers.is_none())
    };
    ui.input_mut(|input| {
        let found = input.events.iter().any(is_it);
        input.events.retain(|event| !is_it(event));
        found
    })
}
