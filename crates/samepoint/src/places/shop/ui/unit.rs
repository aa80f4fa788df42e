//! Units: all of them by when they came last, or one with every session of it.

use egui::{Button, Key, RichText, ScrollArea, Ui, vec2};
use record::shop::survey::visits::{UnitHistory, UnitVisit};
use solver::words::counted_s;

use super::ShopContext;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{
    Changed, Label, Tell, TellOnHover, Tone, changed, lone_key, message_ui, page_ui,
};

pub(crate) fn unit_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    keys(ui, shop, actions);
    if shop.unit.unit.is_empty() {
        all_ui(ui, shop, context, actions);
        return;
    }
    ui.horizontal_wrapped(|ui| {
        let all = Button::new("All units").min_size(vec2(0.0, TARGET));
        if ui.add(all).tell_on_hover("Backspace does it too.").clicked() {
            actions.push(ShopAction::AllUnits);
        }
        if let Some(history) = &shop.unit.history {
            let words = RichText::new(history.words(context.today)).font(theme::bold(15.0));
            ui.add(Label::new(words).wrap());
        }
    });
    if let Some(why) = &shop.unit.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    let Some(history) = &shop.unit.history else {
        let words = if shop.unit.reading.is_going_on() {
            "Reading the unit’s sessions…"
        } else {
            "No session of this shop is of that unit."
        };
        ui.tell(RichText::new(words).color(palette.quiet));
        return;
    };
    page_ui(ui, "unit page", |ui| {
        ui.set_max_width(super::MEASURE.min(ui.available_width()));
        history_ui(ui, palette, history, shop.unit.at, actions);
    });
}

/// Arrows move through the rows; Enter opens.
fn keys(ui: &Ui, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    let page = &mut shop.unit;
    let last = page.rows().saturating_sub(1);
    for (key, by) in
        [(Key::ArrowDown, 1), (Key::ArrowUp, -1), (Key::PageDown, 15), (Key::PageUp, -15)]
    {
        if lone_key(ui, key) {
            page.at = page.at.saturating_add_signed(by).min(last);
        }
    }
    let pressed = |key| lone_key(ui, key);
    if !page.unit.is_empty() && pressed(Key::Backspace) {
        actions.push(ShopAction::AllUnits);
    }
    let free = ui.memory(egui::Memory::focused).is_none();
    if !(free && pressed(Key::Enter)) {
        return;
    }
    if page.unit.is_empty() {
        let unit = page.returning.units.get(page.at).map(|unit| unit.unit.clone());
        actions.extend(unit.map(ShopAction::OpenUnit));
    } else {
        actions.extend(page.session_at().map(ShopAction::Review));
    }
}

/// Every unit, the one that came last first.
fn all_ui(
    ui: &mut Ui,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    for sentence in shop.unit.returning.words() {
        ui.add(Label::new(sentence).wrap());
    }
    let at = shop.unit.at;
    let mut area = ScrollArea::vertical().id_salt("units").auto_shrink(false);
    if changed(ui, "unit row", at) == Changed::Yes {
        let room = ui.available_height();
        area = area.vertical_scroll_offset((at as f32 * TARGET - room / 2.0).max(0.0));
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    let units = &shop.unit.returning.units;
    area.show_rows(ui, TARGET, units.len(), |ui, range| {
        let first = range.start;
        for (k, unit) in units.get(range).unwrap_or_default().iter().enumerate() {
            let words = unit.words(context.today);
            let here = first + k == at;
            let button = Button::selectable(here, words).truncate();
            let size = vec2(ui.available_width(), TARGET);
            if ui.add(button.min_size(size)).clicked() {
                actions.push(ShopAction::OpenUnit(unit.unit.clone()));
            }
        }
    });
}

fn history_ui(
    ui: &mut Ui,
    palette: &Palette,
    history: &UnitHistory,
    at: usize,
    actions: &mut Vec<ShopAction>,
) {
    for note in &history.notes {
        message_ui(ui, palette, Tone::Plain, note, false);
    }
    let moved = changed(ui, "visit", at) == Changed::Yes;
    for (row, visit) in history.visits.iter().rev().enumerate() {
        let here = row == at;
        let title = RichText::new(visit.title()).font(theme::bold(14.5));
        let button = Button::selectable(here, title).wrap().min_size(vec2(0.0, TARGET));
        let shown = ui.add(button);
        if here && moved {
            shown.scroll_to_me(Some(egui::Align::Center));
        }
        if shown.tell_on_hover("Look this session over.").clicked() {
            actions.push(ShopAction::Review(visit.session));
        }
        visit_ui(ui, palette, visit);
        ui.add_space(8.0);
    }
}

fn visit_ui(ui: &mut Ui, palette: &Palette, visit: &UnitVisit) {
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    };
    let job = visit.job_words();
    if !job.is_empty() {
        quiet(ui, &job);
    }
    for sentence in visit.found_and_left.iter().chain(&visit.done) {
        ui.add(Label::new(sentence).wrap());
    }
    for sentence in &visit.built {
        quiet(ui, sentence);
    }
    let Some(since) = &visit.since else { return };
    let days = since.days.map_or_else(String::new, |days| {
        format!("{} after the visit before. ", counted_s(days.unsigned_abs(), "day"))
    });
    let agrees = since.kept.as_ref().is_ok_and(|change| {
        change.misalignment.agrees() == Some(true) && change.shared.agrees() == Some(true)
    });
    let tone = if agrees || since.kept.is_err() { Tone::Plain } else { Tone::Look };
    message_ui(ui, palette, tone, &format!("{days}{}", since.words.join(" ")), false);
}
