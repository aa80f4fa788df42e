//! The shelf on screen: what goes together, what is not known, what became of what was built.
//!
//! - `matches`: units to be built; `parts`: every part by itself; `empty`: what stands there while there is no plan.

mod empty;
mod matches;
mod parts;

use egui::{Button, Response, RichText, Ui, vec2};
use record::shop::parts::told;
use solver::Channel;

use super::part::ShelfPart;
use super::picture::{BuiltView, ShelfView};
use super::{ShelfAction, ShelfRow, Shelving};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, Tone, channel_label, message_ui, page_ui, shortened_button_ui};

/// Lines longer than this are hard to read, points.
const MEASURE: f32 = 900.0;

/// Shows it.
pub(crate) fn shelf_ui(
    ui: &mut Ui,
    palette: &Palette,
    shelf: &Shelving,
    actions: &mut Vec<ShelfAction>,
) {
    parts_ui(ui, palette, shelf, actions);
    page_ui(ui, ("shelf", shelf.part), |ui| {
        ui.set_max_width(MEASURE.min(ui.available_width()));
        if shelf.working.is_going_on() {
            message_ui(ui, palette, Tone::Plain, working_words(shelf), false);
        }
        empty::why_none_ui(ui, palette, shelf, actions);
        let Some(picture) = &shelf.picture else { return };
        match shelf.part {
            ShelfPart::Matches => matches::matches_ui(ui, palette, picture, actions),
            ShelfPart::NotKnown => not_known_ui(ui, palette, picture),
            ShelfPart::Parts => parts::each_ui(ui, palette, picture, actions),
            ShelfPart::Built => built_ui(ui, palette, picture, actions),
        }
    });
}

/// The row of a button is at hand once the keyboard comes to it.
fn at_hand(button: &Response, row: impl FnOnce() -> ShelfRow, actions: &mut Vec<ShelfAction>) {
    if button.gained_focus() {
        actions.push(ShelfAction::At(row()));
    }
}

fn working_words(shelf: &Shelving) -> &'static str {
    match (shelf.stop.is_asked(), &shelf.picture) {
        (true, _) => "Stopping…",
        (false, None) => "Matching the shelf…",
        (false, Some(_)) => "Matching the shelf anew; what stands below was matched before.",
    }
}

/// Which part is in sight, and what can be asked.
fn parts_ui(ui: &mut Ui, palette: &Palette, shelf: &Shelving, actions: &mut Vec<ShelfAction>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(2.0, 2.0);
        for part in ShelfPart::ALL {
            let count = shelf.picture.as_ref().map_or(0, |picture| match part {
                ShelfPart::Matches => picture.matches.len(),
                ShelfPart::NotKnown => picture.to_look_at(),
                ShelfPart::Parts => picture.parts.len(),
                ShelfPart::Built => picture.built.len(),
            });
            let text = if count == 0 {
                part.text().to_owned()
            } else {
                format!("{} ({count})", part.text())
            };
            let button = Button::selectable(shelf.part == part, text).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                actions.push(ShelfAction::Show(part));
            }
        }
        ui.add_space(8.0);
        if shelf.working.is_going_on() {
            let stop = Button::new("Stop").min_size(vec2(0.0, TARGET));
            let tip =
                "What was found until then is shown, with how much better another choice could be.";
            let asked = ui.add_enabled(!shelf.stop.is_asked(), stop).on_hover_text(tip).clicked();
            if asked {
                actions.push(ShelfAction::Stop);
            }
        } else {
            let again = Button::new("Match the shelf again").min_size(vec2(0.0, TARGET));
            let tip = "Sessions or the list may have changed since.";
            if ui.add(again).on_hover_text(tip).clicked() {
                actions.push(ShelfAction::Again);
            }
        }
    });
    ui.tell(RichText::new(shelf.part.question()).color(palette.quiet));
}

fn not_known_ui(ui: &mut Ui, palette: &Palette, picture: &ShelfView) {
    let sections = [
        (told::NOT_KNOWN, &picture.unknown, Tone::Plain),
        ("To look at", &picture.remarks, Tone::Look),
        ("Sessions that tell nothing here", &picture.left_out, Tone::Look),
    ];
    for (head, each, tone) in sections {
        if each.is_empty() {
            continue;
        }
        ui.tell(RichText::new(head).font(theme::bold(15.0)));
        for said in each {
            message_ui(ui, palette, tone, said, false);
        }
        ui.add_space(6.0);
    }
    if picture.to_look_at() == 0 {
        ui.add(Label::new("Everything on the shelf is known well enough to be matched.").wrap());
    }
}

fn built_ui(ui: &mut Ui, palette: &Palette, picture: &ShelfView, actions: &mut Vec<ShelfAction>) {
    if picture.built.is_empty() {
        let none = "No session yet has a unit whose four parts are named and were all known before, one tube at \
                    least where it was never read before. When one has, what was predicted of it stands here \
                    beside what was read.";
        ui.add(Label::new(RichText::new(none).color(palette.quiet)).wrap());
    }
    for one in &picture.built {
        one_built_ui(ui, palette, one, actions);
    }
}

fn one_built_ui(ui: &mut Ui, palette: &Palette, one: &BuiltView, actions: &mut Vec<ShelfAction>) {
    let tone = if one.agrees { Tone::Plain } else { Tone::Look };
    message_ui(ui, palette, tone, &one.title, false);
    for channel in Channel::BOTH {
        channel_label(ui, palette, channel, "");
        ui.add(Label::new(&one.circles[channel]).wrap());
    }
    ui.add(Label::new(&one.crossing).wrap());
    let button = shortened_button_ui(ui, &one.button, 0.0);
    at_hand(&button, || ShelfRow::Session(one.path.clone()), actions);
    if button.clicked() {
        actions.push(ShelfAction::Review(one.path.clone()));
    }
    ui.add_space(10.0);
}
