//! A field for one number as it is typed, with its name above it and a frame that shows trouble.

use egui::{Align2, Event, Id, Response, RichText, Stroke, TextEdit, Ui, Vec2};

use crate::theme::{self, Palette, TARGET};

/// One number field.
pub struct NumberField<'a> {
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
}

/// Shows a field over its text; letters typed into it come back instead of being entered.
pub fn number_field_ui(
    ui: &mut Ui,
    palette: &Palette,
    field: &NumberField<'_>,
    text: &mut String,
) -> (Response, Vec<char>) {
    let letters =
        if ui.memory(|memory| memory.has_focus(field.id)) { take_letters(ui) } else { Vec::new() };
    let response = ui
        .vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.label(RichText::new(field.name).small().color(palette.quiet));
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
                    .char_limit(24);
                let response = ui.add(edit);
                let (full_name, value) = (field.full_name, text.as_str());
                response.widget_info(|| egui::WidgetInfo {
                    label: Some(full_name.to_owned()),
                    ..egui::WidgetInfo::text_edit(true, value, value, "")
                });
                response
            })
            .inner
        })
        .inner;
    (response, letters)
}

/// Letters have no place in a number: they are commands.
fn take_letters(ui: &Ui) -> Vec<char> {
    ui.input_mut(|input| {
        let mut letters = Vec::new();
        input.events.retain(|event| match event {
            Event::Text(text) if text.chars().count() == 1 => {
                let letter = text.chars().next().filter(|c| c.is_alphabetic());
                letters.extend(letter.map(|c| c.to_ascii_lowercase()));
                letter.is_none()
            }
            _ => true,
        });
        letters
    })
}
