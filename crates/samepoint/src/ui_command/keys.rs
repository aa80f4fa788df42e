//! Which commands' keys were pressed.

use egui::KeyboardShortcut;

use super::UiCommand;

impl UiCommand {
    /// The key shown beside it; `None` for what is found in the list of commands only.
    #[must_use]
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        match self.keys() {
            [shown, ..] => Some(*shown),
            [] => None,
        }
    }

    /// Its key as this platform writes keys; nothing where it has none.
    #[must_use]
    pub fn key_words(self, ctx: &egui::Context) -> String {
        self.shortcut().map_or_else(String::new, |shortcut| ctx.format_shortcut(&shortcut))
    }

    /// Takes the commands whose keys were pressed, of those whose keys `act` here.
    pub fn pressed(
        input: &mut egui::InputState,
        act: impl Fn(Self, &KeyboardShortcut) -> bool,
    ) -> Vec<Self> {
        // Longer shortcuts first, so that Ctrl+Shift+Z is not taken for Ctrl+Z.
        let all = Self::ALL
            .into_iter()
            .flat_map(|command| command.keys().iter().map(move |key| (command, *key)));
        let act = &act;
        let mut keys: Vec<_> = all.filter(|(command, key)| act(*command, key)).collect();
        keys.sort_by_key(|(_, shortcut)| {
            let held = shortcut.modifiers;
            std::cmp::Reverse(u8::from(held.shift) + u8::from(held.alt))
        });
        // Nor where the longer one does not act: Ctrl+Shift+E is never Ctrl+E.
        let exact = |shortcut: &KeyboardShortcut| {
            input.events.iter().any(|event| {
                matches!(event, egui::Event::Key { key, pressed: true, modifiers, .. }
                    if *key == shortcut.logical_key
                        && modifiers.matches_exact(shortcut.modifiers))
            })
        };
        let silent = Self::ALL.into_iter().flat_map(|command| {
            let shifted = command.keys().iter().filter(|key| key.modifiers.shift);
            shifted.filter(move |key| !act(command, key))
        });
        let silent: Vec<egui::Key> =
            silent.filter(|key| exact(key)).map(|key| key.logical_key).collect();
        keys.retain(|(_, shortcut)| {
            let is_part = !shortcut.modifiers.shift && silent.contains(&shortcut.logical_key);
            !is_part && input.consume_shortcut(shortcut)
        });
        // Some desktops send the letter of Alt+letter as text too; it is not meant for a field.
        if keys.iter().any(|(_, shortcut)| shortcut.modifiers.alt) {
            input.events.retain(|event| !matches!(event, egui::Event::Text(_)));
        }
        keys.into_iter().map(|(command, _)| command).collect()
    }
}
