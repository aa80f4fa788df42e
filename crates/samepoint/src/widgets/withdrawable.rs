//! A reading in words that can be withdrawn, or was.

use egui::{Button, RichText, Ui, vec2};

use super::Label;
use crate::theme::{Palette, TARGET};

/// Shows it; true when it is asked to be withdrawn.
pub(crate) fn withdrawable_ui(
    ui: &mut Ui,
    palette: &Palette,
    words: &str,
    withdrawn: Option<&str>,
) -> bool {
    let line = ui.horizontal_wrapped(|ui| {
        let told = match withdrawn {
            None => RichText::new(words).small(),
            Some(reason) => {
                RichText::new(format!("{words} · withdrawn: {reason}")).small().color(palette.quiet)
            }
        };
        ui.add(Label::new(told).wrap());
        let button = Button::new("Withdraw…").min_size(vec2(0.0, TARGET));
        withdrawn.is_none() && ui.add(button).clicked()
    });
    line.inner
}
