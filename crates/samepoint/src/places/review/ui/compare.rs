//! Another session of the same unit beside it.

use egui::{Button, Id, RichText, TextEdit, Ui, vec2};

use super::ReviewContext;
use crate::places::review::{ReviewAction, Reviewed};
use crate::shell::open_shop::words_of;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, shortened_button_ui};

/// Sessions listed before the rest is only counted.
const LISTED: usize = 12;

pub(crate) fn compare_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &Reviewed,
    context: &ReviewContext<'_>,
    filter: &mut String,
    actions: &mut Vec<ReviewAction>,
) {
    if let Some(other) = &open.other {
        let title = RichText::new(format!("Beside {}", words_of(&other.path)));
        ui.add(Label::new(title.font(theme::bold(14.5))).truncate());
        if ui.add(Button::new("Take it away").min_size(vec2(0.0, TARGET))).clicked() {
            actions.push(ReviewAction::CompareNone);
        }
        for sentence in &other.told {
            ui.add(Label::new(sentence).wrap());
        }
        ui.add_space(8.0);
    }
    let unit = open.account.session.unit().map_or("", |unit| unit.name.as_str());
    let name = ui.label("Compare with a session whose name has");
    let edit = TextEdit::singleline(filter)
        .id(Id::unique("compare filter"))
        .hint_text(unit)
        .min_size(vec2(0.0, TARGET))
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY);
    ui.add(edit).labelled_by(name.id);
    let wanted = if filter.trim().is_empty() { unit } else { filter.trim() };
    let found: Vec<_> = context
        .offers
        .sessions
        .iter()
        .filter(|(path, words)| *path != open.path && words.contains(wanted))
        .collect();
    if found.is_empty() {
        let none = format!("No other session of this shop has “{wanted}” in its name.");
        ui.add(Label::new(RichText::new(none).color(palette.quiet)).wrap());
    }
    for (path, words) in found.iter().take(LISTED) {
        if shortened_button_ui(ui, words, 220.0).clicked() {
            actions.push(ReviewAction::CompareWith(path.clone()));
        }
    }
    if found.len() > LISTED {
        let rest = format!("and {} more: type more of the name", found.len() - LISTED);
        ui.tell(RichText::new(rest).small().color(palette.quiet));
    }
}
