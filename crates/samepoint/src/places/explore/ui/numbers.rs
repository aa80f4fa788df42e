//! One channel cut open, and what follows in numbers and words.

use crate::places::explore::ExploreAction;
use egui::{RichText, Ui};
use record::practice::explore::Plane;

use super::section::section_ui;
use crate::places::explore::Exploring;
use crate::places::explore::picture::{ExploreView, section_words};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, channel_label, message_ui, switch_ui, term_ui, use_bar_ui};

pub(crate) fn numbers_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &mut Exploring,
    actions: &mut Vec<ExploreAction>,
) {
    cut_ui(ui, palette, exploring);
    let (channel, plane) = (exploring.channel, exploring.plane);
    let Some(Ok(picture)) = &exploring.picture else { return };
    let [across, up] = &picture.sections[channel];
    let section = match plane {
        Plane::Across => across,
        Plane::Up => up,
    };
    section_ui(ui, palette, channel, section, &section_words(section, plane));
    meeting_ui(ui, palette, picture, actions);
}

/// Which way the channel is cut.
fn cut_ui(ui: &mut Ui, palette: &Palette, exploring: &mut Exploring) {
    ui.horizontal_wrapped(|ui| {
        channel_label(ui, palette, exploring.channel, "");
        for (plane, text) in [(Plane::Across, "from above"), (Plane::Up, "from the side")] {
            let on = exploring.plane == plane;
            let telling = format!("Cut open, seen {text}");
            if switch_ui(ui, palette, on, text, &telling).clicked() {
                exploring.plane = plane;
            }
        }
    });
}

fn meeting_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &ExploreView,
    actions: &mut Vec<ExploreAction>,
) {
    ui.add_space(4.0);
    ui.add(Label::new(RichText::new(&picture.relation).font(theme::bold(14.5))).wrap());
    ui.add(Label::new(RichText::new(&picture.optics).color(palette.quiet)).wrap());
    for sentence in &picture.set {
        ui.add(Label::new(sentence).wrap());
    }
    ui.add_space(2.0);
    let text = RichText::new("Window use there").font(theme::bold(14.5));
    term_ui(ui, text, "window use", actions);
    use_bar_ui(ui, palette, "side to side", Some(picture.used.side_to_side), true);
    use_bar_ui(ui, palette, "up and down", Some(picture.used.up_and_down), true);
    use_bar_ui(ui, palette, "from boresight", picture.used.from_boresight, true);
    term_ui(ui, RichText::new("Swing").font(theme::bold(14.5)), "swing", actions);
    for remark in picture.swing.iter().chain(&picture.seen) {
        message_ui(ui, palette, remark.tone, &remark.text, false);
    }
}
