//! A text field that also offers what the shop has.

use egui::{
    Align, Align2, Id, Key, Layout, RichText, ScrollArea, TextEdit, Ui, WidgetInfo,
    accesskit::Role, vec2,
};

use super::keyboard::walk_list;
use crate::theme::{Palette, TARGET};
use crate::widgets::{LONGEST_LINE, Tell, shortened_button_ui};

/// The field.
pub(crate) struct PickOrType<'a> {
    /// Its lasting id.
    pub id: Id,
    /// Its name, shown above it.
    pub name: &'a str,
    /// Shown while empty.
    pub hint: &'a str,
    /// What can be picked; nothing: no button.
    pub offered: &'a [&'a str],
}

/// What a hand did to it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct TypedOrPicked {
    /// Enter left it.
    pub enter: bool,
    /// The keyboard left it.
    pub left: bool,
    /// This one was picked.
    pub picked: Option<usize>,
}

/// Shows the field over its text. Tab goes from the offer to the field and on, so that a typing
/// hand never meets the offer.
pub(crate) fn pick_or_type_ui(
    ui: &mut Ui,
    palette: &Palette,
    field: &PickOrType<'_>,
    text: &mut String,
) -> TypedOrPicked {
    let mut done = TypedOrPicked::default();
    let name = ui.tell(RichText::new(field.name).color(palette.quiet));
    let row = vec2(ui.available_width(), TARGET);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        if !field.offered.is_empty() {
            done.picked = offer_ui(ui, field);
        }
        let edit = TextEdit::singleline(text)
            .id(field.id)
            .hint_text(field.hint)
            .min_size(vec2(0.0, TARGET))
            .align(Align2::LEFT_CENTER)
            .desired_width(f32::INFINITY)
            .char_limit(LONGEST_LINE);
        let response = ui.add(edit).labelled_by(name.id);
        done.left = response.lost_focus();
        done.enter = done.left && ui.input(|input| input.key_pressed(Key::Enter));
    });
    if let Some(picked) = done.picked.and_then(|place| field.offered.get(place)) {
        (*picked).clone_into(text);
        ui.memory_mut(|memory| memory.request_focus(field.id));
    }
    done
}

fn offer_ui(ui: &mut Ui, field: &PickOrType<'_>) -> Option<usize> {
    let mut picked = None;
    let shown = ui.menu_button("▾", |ui| {
        ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
            let mut offers = Vec::new();
            for (place, offered) in field.offered.iter().enumerate() {
                let shown = shortened_button_ui(ui, offered, 180.0);
                if shown.clicked() {
                    picked = Some(place);
                    ui.close();
                }
                offers.push(shown);
            }
            walk_list(ui, &offers);
        });
    });
    let telling = format!("Pick {}", field.name.to_lowercase());
    shown.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    shown.response.on_hover_text("What this shop has");
    picked
}
