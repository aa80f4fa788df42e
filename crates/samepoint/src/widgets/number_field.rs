//! A field for one number as it is typed, with its name above it and a frame that shows trouble.

use egui::accesskit::Role;
use egui::{Align2, Event, Id, Response, RichText, Stroke, TextEdit, Ui, Vec2, WidgetInfo};

use super::Tell;
use crate::theme;
use crate::theme::{Palette, TARGET};

/// On the button that logs what is typed, where the last field is y.
pub(crate) const Y_FIELD_TIP: &str = "Enter in the y field does it too.";

/// One number field.
pub(crate) struct NumberField<'a> {
    /// Its lasting id.
    pub id: Id,
    /// Name shown above it.
    pub name: &'a str,
    /// Name told to assistive technology.
    pub full_name: &'a str,
    /// Width, points.
    pub width: f32,
    /// Shown while empty.
    pub hint: &'a str,
    /// Whether what is typed was refused.
    pub refused: bool,
    /// Letters that are commands where no number has been begun.
    pub commands: &'a [char],
}

/// Letters that a field for a number takes: one more than any number has, so that what is too long is
/// refused as a whole and never cut to another number.
pub(crate) const LONGEST_NUMBER: usize = 41;

/// Tells assistive technology that a number is typed here, and what it is called. A field without this is
/// one for words: `tests/window/typed_numbers.rs` walks every field there is.
pub(crate) fn told_as_number(response: &Response, full_name: &str, text: &str) {
    response.widget_info(|| WidgetInfo {
        label: Some(full_name.to_owned()),
        ..WidgetInfo::text_edit(true, text, text, "")
    });
    response.ctx.accesskit_node_builder(response.id, |node| node.set_role(Role::NumberInput));
}

/// Shows a field over its text. Letters that are commands come back instead of being entered, but only
/// where the next thing typed would begin a number: no letter within one is taken away unseen.
pub(crate) fn number_field_ui(
    ui: &mut Ui,
    palette: &Palette,
    field: &NumberField<'_>,
    text: &mut String,
) -> (Response, Vec<char>) {
    let begins = text.is_empty() || is_all_selected(ui, field.id, text);
    let letters = if begins && ui.memory(|memory| memory.has_focus(field.id)) {
        take_commands(ui, field.commands)
    } else {
        Vec::new()
    };
    let response = ui
        .vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.tell(RichText::new(field.name).small().color(palette.quiet));
            ui.scope(|ui| {
                if field.refused {
                    let widgets = &mut ui.visuals_mut().widgets;
                    for state in [&mut widgets.inactive, &mut widgets.hovered, &mut widgets.active]
                    {
                        state.bg_stroke = Stroke::new(2.0, palette.look);
                    }
                    ui.visuals_mut().selection.stroke = Stroke::new(2.0, palette.look);
                }
                let edit = TextEdit::singleline(text)
                    .id(field.id)
                    .font(theme::mono(16.0))
                    .hint_text(field.hint)
                    .align(Align2::RIGHT_CENTER)
                    .min_size(Vec2::new(field.width, TARGET))
                    .desired_width(field.width - 8.0)
                    .char_limit(LONGEST_NUMBER);
                let response = ui.add(edit);
                told_as_number(&response, field.full_name, text);
                response
            })
            .inner
        })
        .inner;
    (response, letters)
}

/// Whether the next letter replaces all that stands in a field, or nobody has typed in it yet.
fn is_all_selected(ui: &Ui, id: Id, text: &str) -> bool {
    let range = TextEdit::load_state(ui.ctx(), id).and_then(|state| state.cursor.char_range());
    range.is_none_or(|range| {
        let (one, other) = (range.primary.index.0, range.secondary.index.0);
        one.min(other) == 0 && one.max(other) >= text.chars().count()
    })
}

/// Takes the commands out of what was typed, up to the first key that begins a number.
pub(crate) fn take_commands(ui: &Ui, commands: &[char]) -> Vec<char> {
    ui.input_mut(|input| {
        let mut letters = Vec::new();
        let mut begun = false;
        input.events.retain(|event| {
            let Event::Text(text) = event else { return true };
            let command = match (text.chars().next(), text.chars().count()) {
                (Some(letter), 1) => Some(letter.to_ascii_lowercase()),
                _ => None,
            };
            match command.filter(|letter| !begun && commands.contains(letter)) {
                Some(letter) => {
                    letters.push(letter);
                    false
                }
                None => {
                    begun = true;
                    true
                }
            }
        });
        letters
    })
}
