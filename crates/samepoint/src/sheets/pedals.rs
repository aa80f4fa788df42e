//! Foot pedals and spare keys, each with its command; reading back.

use egui::{Button, RichText, Ui, WidgetInfo, accesskit::Role, vec2};

use super::parts::{SheetContext, back_ui, first_field};
use crate::app::action::Action;
use crate::pedals::Pedal;
use crate::speech::USUAL;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, Tone, message_ui, refused_ui, switch_ui, text_ui};

/// Pedals and read-back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PedalSheet {
    /// The command whose press is waited for.
    pub waiting: Option<Pedal>,
    /// What was refused.
    pub refused: Option<String>,
}

pub(crate) fn pedals_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut PedalSheet,
    context: &SheetContext<'_>,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
    };
    ui.label(RichText::new("Pedals and spare keys").font(theme::bold(14.5)));
    quiet(
        ui,
        "A pedal is a keyboard or a mouse to the computer. Choose a command, then press the pedal: F13 to F24, \
         a key that nothing else needs, or the middle, fourth or fifth mouse button.",
    );
    if let Some(pedal) = sheet.waiting {
        let words = format!("Press the pedal for “{}” now. Esc leaves it.", pedal.command().text());
        message_ui(ui, palette, Tone::Plain, &words, true);
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    for (place, pedal) in Pedal::ALL.into_iter().enumerate() {
        let given = context.preferences.pedals.iter().filter(|(_, given)| **given == pedal);
        let given: Vec<String> = given.map(|(press, _)| press.to_string()).collect();
        ui.horizontal_wrapped(|ui| {
            let name = pedal.command().text();
            let shown = Button::new("Give").min_size(vec2(56.0, TARGET));
            let give = ui.add(shown);
            give.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Give {name}")));
            if fresh && place == 0 {
                give.request_focus();
            }
            if give.clicked() {
                sheet.waiting = Some(pedal);
                sheet.refused = None;
            }
            if !given.is_empty() {
                let let_go = ui.add(Button::new("Let go").min_size(vec2(64.0, TARGET)));
                let telling = format!("Let go {name}");
                let_go.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
                if let_go.clicked() {
                    actions.push(Action::LetGo(pedal));
                }
            }
            ui.tell(name);
            if !given.is_empty() {
                ui.tell(
                    RichText::new(given.join(", ")).font(theme::mono(13.5)).color(palette.here),
                );
            }
        });
    }
    ui.separator();
    ui.label(RichText::new("Reading back").font(theme::bold(14.5)));
    let mut wish = context.preferences.read_back.clone();
    ui.horizontal_wrapped(|ui| {
        let text = if wish.on { "what is logged is spoken" } else { "nothing is spoken" };
        if switch_ui(ui, palette, wish.on, text, "Speak what is logged").clicked() {
            wish.on = !wish.on;
        }
        if ui.add(Button::new("Try it").min_size(vec2(72.0, TARGET))).clicked() {
            actions.push(Action::TrySpeech);
        }
    });
    let hint = format!("empty: {}", USUAL.join(", else "));
    let name = "Program that speaks its last argument";
    text_ui(ui, palette, first_field(), name, &mut wish.command, &hint);
    quiet(
        ui,
        "It is started on this computer, by you, without a shell; no shop’s file names it. Arguments are \
         parted by spaces.",
    );
    if wish != context.preferences.read_back {
        actions.push(Action::SetReadBack(wish));
    }
    back_ui(ui, actions);
}
