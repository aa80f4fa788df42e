//! The shop's practice: how much, by whom, and each file to be looked over.

use egui::{RichText, Ui};

use crate::places::shop::{ShopAction, Surveying};
use crate::theme::Palette;
use crate::widgets::{Label, TellOnHover, Tone, message_ui, page_ui, shortened_button_ui};

pub(crate) fn practised_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    actions: &mut Vec<ShopAction>,
) {
    let practised = match &shop.practised {
        None => return,
        Some(Err(why)) => {
            message_ui(ui, palette, Tone::Look, &why.to_string(), false);
            return;
        }
        Some(Ok(practised)) => practised,
    };
    page_ui(ui, "practised", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        ui.add(Label::new(&practised.told).wrap());
        for trainee in &practised.trainees {
            ui.add(Label::new(trainee).wrap());
        }
        for skipped in &practised.skipped {
            message_ui(ui, palette, Tone::Look, &format!("Passed over: {skipped}"), false);
        }
        ui.add_space(6.0);
        for attempt in &practised.attempts {
            let button = shortened_button_ui(ui, &format!("Look over {}", attempt.telling), 260.0);
            if button.tell_on_hover(record::shown::path(&attempt.path)).clicked() {
                actions.push(ShopAction::ReviewFile(attempt.path.clone()));
            }
        }
        if practised.files() == 0 {
            let none = "Nobody has begun a practice unit in this shop.";
            ui.add(Label::new(RichText::new(none).color(palette.quiet)).wrap());
        }
    });
}
