//! What stands on the page while there is no plan: why, and what to do.

use egui::{Button, RichText, Ui, vec2};

use crate::places::shelf::{ShelfAction, Shelving, WhyNone};
use crate::shell::refusals::NO_SHOP;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tone, message_ui};

pub(super) fn why_none_ui(
    ui: &mut Ui,
    palette: &Palette,
    shelf: &Shelving,
    actions: &mut Vec<ShelfAction>,
) {
    match &shelf.why_none {
        None => {}
        Some(WhyNone::NoShop) => {
            message_ui(ui, palette, Tone::Look, NO_SHOP, false);
        }
        Some(WhyNone::Stopped) => {
            let words = "Stopped before there was anything to choose from. Match the shelf again begins anew.";
            message_ui(ui, palette, Tone::Plain, words, false);
        }
        Some(WhyNone::Refused(why)) => {
            message_ui(ui, palette, Tone::Look, why, false);
        }
        Some(WhyNone::NoShelf) => no_shelf_ui(ui, palette, actions),
    }
}

fn no_shelf_ui(ui: &mut Ui, palette: &Palette, actions: &mut Vec<ShelfAction>) {
    let what = "This shop has no list of its shelf yet. With one, here stands which two tubes go into which housing, \
                which way up, with which eyepieces and shims, so that the most units come inside the tolerance \
                window; what each is predicted to give, the chance that it comes inside, and which reading would \
                tell what is not known.";
    ui.add(Label::new(what).wrap());
    let how = "The list is shelf.ron in the shop’s folder. Begin the list writes one of the parts that this shop’s \
               units name, all as in use; write in_use: false beside what lies on the shelf, and add what \
               certificates state, with its uncertainty and source. Then match the shelf again.";
    ui.add(Label::new(RichText::new(how).color(palette.quiet)).wrap());
    if ui.add(Button::new("Begin the list").min_size(vec2(0.0, TARGET))).clicked() {
        actions.push(ShelfAction::BeginList);
    }
}
