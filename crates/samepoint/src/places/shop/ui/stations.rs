//! The stations: what is due, and the charts of their check standards.

use egui::{Button, RichText, Ui, vec2};
use record::{Survey, due_list};

use super::ShopContext;
use crate::places::shop::charts::session_words;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::upkeep::chart::check_chart_ui;
use crate::upkeep::due_ui::WARNING_DAYS;
use crate::widgets::{Label, TellOnHover, Tone, message_ui, shortened_button_ui};

pub(crate) fn stations_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    if let Some(survey) = &shop.survey {
        recall_ui(ui, palette, survey, actions);
        let list = UiCommand::RecallList;
        let text = format!("{} {}", list.text(), list.key_words(ui.ctx()));
        let button = Button::new(text).min_size(vec2(0.0, TARGET));
        if ui.add(button).tell_on_hover(list.tip()).clicked() {
            actions.push(ShopAction::Do(list));
        }
        ui.add_space(6.0);
    }
    let stations = context.offers.stations.iter();
    let each = stations.map(|station| (station, context.offers.checks_of(&station.name)));
    for due in due_list(each, context.today, WARNING_DAYS) {
        let tone = if due.is_fit() { Tone::Plain } else { Tone::Look };
        message_ui(ui, palette, tone, &format!("{due}."), false);
        let standings = context.offers.standings.iter();
        for (_, standing) in standings.filter(|(name, _)| *name == due.station) {
            let (words, look) = standing.words();
            let tone = if look { Tone::Look } else { Tone::Plain };
            for words in words {
                let words = format!("{}: {words}.", due.station);
                message_ui(ui, palette, tone, &words, false);
            }
        }
        if shortened_button_ui(ui, &format!("Check {}…", due.station), 0.0).clicked() {
            actions.push(ShopAction::CheckStation(due.station.clone()));
        }
        let Some(picture) = shop.checks.of(&due.station) else { continue };
        let title = format!("{}, check standard", due.station);
        ui.add(Label::new(RichText::new(title).font(theme::bold(14.5))).truncate());
        let room = ui.available_width();
        for pair in picture.charts.chunks(2) {
            ui.horizontal_top(|ui| {
                let width = (room - ui.spacing().item_spacing.x) / 2.0 - 8.0;
                for chart in pair {
                    check_chart_ui(ui, palette, chart, width);
                }
            });
        }
        ui.add_space(6.0);
    }
}

/// When a station's zero was off, and the sessions that were read then, each a button to look it over.
fn recall_ui(ui: &mut Ui, palette: &Palette, survey: &Survey, actions: &mut Vec<ShopAction>) {
    for spell in &survey.spells {
        message_ui(ui, palette, Tone::Look, &spell.words(), false);
        let in_spell = survey
            .recalled()
            .filter(|(_, _, recall)| recall.station == spell.station && spell.holds(recall.day));
        for (index, session, recall) in in_spell {
            if shortened_button_ui(ui, &session_words(session), 260.0).clicked() {
                actions.push(ShopAction::Review(index));
            }
            let colour = if recall.changes() { palette.look } else { palette.quiet };
            ui.add(Label::new(RichText::new(recall.words()).color(colour)).wrap());
        }
        ui.add_space(6.0);
    }
}
