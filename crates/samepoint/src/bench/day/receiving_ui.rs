//! How a unit came in: its condition, what came with it, pictures.

use egui::{Button, Id, RichText, Ui, vec2};

use super::{DayAction, DayField, ReceivingSheet};
use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, buttons_ui, first_field};
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tone, message_ui, text_ui};

fn id_of(field: DayField) -> Id {
    match field {
        DayField::Condition => first_field(),
        field => Id::unique(("receiving", field)),
    }
}

pub(crate) fn receiving_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ReceivingSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let refused = sheet.refused.clone();
    let beside = |ui: &mut Ui, field: DayField| {
        if let Some((_, why)) = refused.as_ref().filter(|(of, _)| *of == field) {
            message_ui(ui, palette, Tone::Look, why, false);
        }
    };
    let mut enter = text_ui(
        ui,
        palette,
        id_of(DayField::Condition),
        "Condition",
        &mut sheet.condition,
        "scratches, dents, moisture, what is loose",
    );
    beside(ui, DayField::Condition);
    enter |= text_ui(
        ui,
        palette,
        id_of(DayField::Accessories),
        "Accessories",
        &mut sheet.accessories,
        "case, caps, strap, battery, manual",
    );
    beside(ui, DayField::Accessories);
    if buttons_ui(ui, "Note it", actions) || enter {
        actions.push(Action::Day(DayAction::Receive));
    }
    ui.separator();
    let mut add = text_ui(
        ui,
        palette,
        id_of(DayField::Picture),
        "Picture file",
        &mut sheet.picture,
        "PNG or JPEG; a copy is kept in the shop",
    );
    beside(ui, DayField::Picture);
    let caption = Id::unique("receiving caption");
    add |= text_ui(ui, palette, caption, "What it shows", &mut sheet.caption, "");
    ui.horizontal_wrapped(|ui| {
        add |= ui.add(Button::new("Add the picture").min_size(vec2(0.0, TARGET))).clicked();
        if sheet.asking {
            ui.label(RichText::new("The file dialog is open…").color(palette.quiet));
        } else if ui
            .add(Button::new("Choose with a file dialog…").min_size(vec2(0.0, TARGET)))
            .clicked()
        {
            actions.push(Action::AskPath);
        }
    });
    if add {
        actions.push(Action::Day(DayAction::AddPicture));
    }
    let pictures = context.state().map(|state| state.received().pictures).unwrap_or_default();
    for said in pictures {
        let picture = &said.body;
        let short = picture.hash.get(..12).unwrap_or(&picture.hash);
        let text = format!("{} · {short}….{}", picture.caption, picture.extension);
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    }
    if let Some(focus) = sheet.focus.take() {
        ui.memory_mut(|memory| memory.request_focus(id_of(focus)));
    }
}
