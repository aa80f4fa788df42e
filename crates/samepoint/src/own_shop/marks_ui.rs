//! The marks of a camera map as numbers, a line each, with how it lies.

use egui::{Button, Id, Key, Modifiers, RichText, Ui, vec2};

use super::form::desk::CameraDesk;
use super::form::fields::Fields;
use super::form::marks::{self, MARKS, MarkTyped};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, NumberField, number_field_ui};

/// The field of one number of a mark.
pub(crate) fn mark_field(place: usize, number: usize) -> Id {
    Id::unique(("mark", place, number))
}

/// Under which the picture leaves its own id.
pub(crate) fn picture_id() -> Id {
    Id::unique("graticule’s picture, its id")
}

/// Shows them all, and the way to add one by hand.
pub(crate) fn marks_ui(ui: &mut Ui, palette: &Palette, fields: &mut Fields, desk: &mut CameraDesk) {
    let before = fields.text_as_is(MARKS);
    let mut rows = marks::rows(&before);
    let words: Vec<(usize, String)> = match desk.fitted(fields) {
        Ok(fitted) => fitted.of_marks.iter().map(|mark| (mark.row, mark.words.clone())).collect(),
        Err(_) => Vec::new(),
    };
    let hints = hints(&rows, desk, fields);
    let mut gone = None;
    for (place, row) in rows.iter_mut().enumerate() {
        ui.horizontal_wrapped(|ui| {
            let name = format!("Mark {}", place + 1);
            ui.add(Label::new(RichText::new(&name).font(theme::bold(13.0))));
            if let Some((_, words)) = words.iter().find(|(of, _)| *of == place) {
                ui.add(Label::new(RichText::new(words).small().color(palette.quiet)).wrap());
            }
        });
        ui.horizontal_wrapped(|ui| {
            numbers_ui(ui, palette, (place, row), &hints[place], desk.is_open());
            let text = format!("Remove mark {}", place + 1);
            if ui.add(Button::new(text).min_size(vec2(0.0, TARGET))).clicked() {
                gone = Some(place);
            }
        });
    }
    if let Some(place) = gone {
        rows.remove(place);
    }
    if ui.add(Button::new("Add a mark").min_size(vec2(0.0, TARGET))).clicked() {
        rows.push(MarkTyped::default());
        ui.memory_mut(|memory| memory.request_focus(mark_field(rows.len() - 1, 0)));
    }
    let now = marks::text(&rows);
    if now != before {
        fields.fill(MARKS, &now);
    }
}

/// What each mark's divisions would be by the map of the others; nothing where there is none.
fn hints(rows: &[MarkTyped], desk: &mut CameraDesk, fields: &Fields) -> Vec<[String; 2]> {
    let fitted = desk.fitted(fields).as_ref().ok();
    let hint = |row: &MarkTyped| {
        let divisions = fitted.zip(row.px()).and_then(|(made, px)| made.map.divisions_from_px(px));
        let about = |value: f64| format!("~ {}", record::figures::number(value, 1));
        divisions.map_or_else(Default::default, |divisions| divisions.map(about))
    };
    rows.iter().map(hint).collect()
}

fn numbers_ui(
    ui: &mut Ui,
    palette: &Palette,
    (place, row): (usize, &mut MarkTyped),
    hints: &[String; 2],
    to_picture: bool,
) {
    const SHORT: [&str; 4] = ["x, px", "y, px", "x, divisions", "y, divisions"];
    for (number, text) in row.0.iter_mut().enumerate() {
        let field = NumberField {
            id: mark_field(place, number),
            name: SHORT[number],
            full_name: &marks::name(place, number),
            width: 88.0,
            hint: number.checked_sub(2).map_or("", |of| hints[of].as_str()),
            refused: false,
            commands: &[],
        };
        let (response, _) = number_field_ui(ui, palette, &field, text);
        let enter = |ui: &Ui| {
            // Taken, so that the field that comes next does not end with it, too.
            ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter))
        };
        if response.lost_focus() && enter(ui) {
            // From number to number, then to the next crossing.
            let next = match number {
                0..=2 => mark_field(place, number + 1),
                _ if to_picture => {
                    let picture = ui.data(|data| data.get_temp::<Id>(picture_id()));
                    picture.unwrap_or(response.id)
                }
                _ => mark_field(place + 1, 0),
            };
            ui.memory_mut(|memory| memory.request_focus(next));
        }
    }
}
