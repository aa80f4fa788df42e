//! Every part by itself: what is known of it, what is not determined, the sessions it came from.

use egui::{RichText, Ui};
use record::shop::parts::page::PartKind;

use super::at_hand;
use crate::places::shelf::picture::{PartView, ShelfView};
use crate::places::shelf::{ShelfAction, ShelfRow};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, shortened_button_ui};

pub(super) fn each_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &ShelfView,
    actions: &mut Vec<ShelfAction>,
) {
    let about = "Offsets are where a part moves the centre of its circle, right and up, seen from the eye side; ± is \
                 95 %.";
    ui.add(Label::new(RichText::new(about).color(palette.quiet)).wrap());
    for kind in PartKind::ALL {
        let mut each = picture.parts.iter().filter(|one| one.kind == kind).peekable();
        if each.peek().is_none() {
            continue;
        }
        ui.add_space(8.0);
        ui.tell(RichText::new(kind.plural()).font(theme::bold(16.0)));
        for one in each {
            one_ui(ui, palette, one, actions);
        }
    }
    if picture.parts.is_empty() {
        ui.add(Label::new("The list names no part yet.").wrap());
    }
}

fn one_ui(ui: &mut Ui, palette: &Palette, one: &PartView, actions: &mut Vec<ShelfAction>) {
    ui.add_space(6.0);
    ui.add(Label::new(RichText::new(&one.title).font(theme::bold(14.5))).wrap());
    for line in &one.lines {
        ui.add(Label::new(line).wrap());
    }
    ui.horizontal_wrapped(|ui| {
        for (path, words) in &one.sessions {
            let button = shortened_button_ui(ui, words, 0.0);
            at_hand(&button, || ShelfRow::Session(path.clone()), actions);
            if button.clicked() {
                actions.push(ShelfAction::Review(path.clone()));
            }
        }
        if let Some(more) = &one.more {
            ui.add(Label::new(RichText::new(more).color(palette.quiet)).wrap());
        }
    });
}
