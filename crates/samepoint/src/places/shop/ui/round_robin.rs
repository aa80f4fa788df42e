//! One unit on several benches: which units were, or of one what each bench measured against all others.

use egui::{Align, Button, Key, Layout, RichText, ScrollArea, Ui, vec2};
use paper::words::capital;
use record::shop::survey::round_robin::{COMPARED, RoundRobin};
use record::shop::survey::score_rows::HEAD;
use record::shown;

use super::chart;
use crate::jobs::Work;
use crate::places::shop::round_robin_page::RoundRobinPage;
use crate::places::shop::{ShopAction, ShopPage, Surveying};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{
    Changed, Label, Tell, TellOnHover, Tone, changed, lone_key, message_ui, page_ui,
};

pub(crate) fn round_robin_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    actions: &mut Vec<ShopAction>,
) {
    keys(ui, shop, actions);
    let page = &shop.round_robin;
    if page.unit.is_empty() {
        units_ui(ui, palette, shop, actions);
        return;
    }
    let Some(found) = &page.found else {
        head_ui(ui, palette, page, actions);
        let words = if page.reading.is_going_on() {
            format!("{}…", Work::RoundRobin.name())
        } else {
            "No session here is of that unit.".to_owned()
        };
        ui.tell(RichText::new(words).color(palette.quiet));
        return;
    };
    // All of it in the page: in a low window at twice the size there is room for little else.
    page_ui(ui, "round robin", |ui| {
        head_ui(ui, palette, page, actions);
        ui.horizontal_wrapped(|ui| {
            for (at, what) in COMPARED.into_iter().enumerate() {
                let button = Button::selectable(at == page.compared, capital(what));
                if ui.add(button.min_size(vec2(0.0, TARGET))).clicked() {
                    actions.push(ShopAction::CompareBenches(at));
                }
            }
        });
        let room = ui.available_width();
        rows_ui(ui, palette, shop, found, actions);
        if !page.chart.points.is_empty() {
            let salt = (ShopPage::RoundRobin, page.compared);
            let (leads, _) = chart::chart_ui(ui, palette, salt, &page.chart, room);
            actions.extend(leads.map(ShopAction::Follow));
        }
        ui.set_max_width(super::MEASURE.min(room));
        for sentence in &page.chart.told {
            ui.add(Label::new(RichText::new(sentence).color(palette.quiet)).wrap());
        }
        for bench in &found.benches {
            let tone = if bench.agrees() == Some(false) { Tone::Look } else { Tone::Plain };
            message_ui(ui, palette, tone, &bench.words(), false);
        }
        for sentence in found.caveats() {
            ui.add(Label::new(sentence).wrap());
        }
    });
}

/// Which unit, and the way back to all.
fn head_ui(ui: &mut Ui, palette: &Palette, page: &RoundRobinPage, actions: &mut Vec<ShopAction>) {
    ui.horizontal_wrapped(|ui| {
        let all = Button::new("All units on several benches").min_size(vec2(0.0, TARGET));
        if ui.add(all).tell_on_hover("Backspace does it too.").clicked() {
            actions.push(ShopAction::AllRoundRobins);
        }
        let title = format!("Unit {}", shown::one_line(&page.unit));
        ui.add(Label::new(RichText::new(title).font(theme::bold(15.0))).wrap());
    });
    if let Some(why) = &page.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

/// Arrows move through the rows; Enter opens.
fn keys(ui: &Ui, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    if ui.ctx().text_edit_focused() || ui.memory(egui::Memory::focused).is_some() {
        return;
    }
    let page = &mut shop.round_robin;
    let last = page.rows().saturating_sub(1);
    let pressed = |key| lone_key(ui, key);
    for (key, by) in [(Key::ArrowDown, 1), (Key::ArrowUp, -1)] {
        if pressed(key) {
            page.at = page.at.saturating_add_signed(by).min(last);
        }
    }
    if !page.unit.is_empty() && pressed(Key::Backspace) {
        actions.push(ShopAction::AllRoundRobins);
    }
    if !pressed(Key::Enter) {
        return;
    }
    if page.unit.is_empty() {
        actions.extend(page.units.get(page.at).cloned().map(ShopAction::OpenRoundRobin));
    } else {
        actions.extend(page.session_at().map(ShopAction::Review));
    }
}

/// Every unit that was on several benches.
fn units_ui(ui: &mut Ui, palette: &Palette, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    let page = &shop.round_robin;
    if page.units.is_empty() {
        ui.scope(|ui| {
            ui.set_max_width(super::MEASURE.min(ui.available_width()));
            message_ui(ui, palette, Tone::Plain, ShopPage::RoundRobin.nothing_yet(), false);
        });
        return;
    }
    let mut area = ScrollArea::vertical().id_salt("round robins").auto_shrink(false);
    if changed(ui, "round robin unit", page.at) == Changed::Yes {
        let room = ui.available_height();
        area = area.vertical_scroll_offset((page.at as f32 * TARGET - room / 2.0).max(0.0));
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    area.show_rows(ui, TARGET, page.units.len(), |ui, range| {
        let first = range.start;
        for (k, unit) in page.units.get(range).unwrap_or_default().iter().enumerate() {
            let words = format!("Unit {}", shown::one_line(unit));
            let button = Button::selectable(first + k == page.at, words).truncate();
            let size = vec2(ui.available_width(), TARGET);
            if ui.add(button.min_size(size)).clicked() {
                actions.push(ShopAction::OpenRoundRobin(unit.clone()));
            }
        }
    });
}

/// How wide each column but the first is, points; the one of the name takes what is left, and no more than it may.
const WIDTHS: [f32; 6] = [64.0, 64.0, 92.0, 64.0, 56.0, 116.0];
const MOST_NAME: f32 = 330.0;
/// Where there is less room, what the others come to is left to the sentences below.
const ALL_COLUMNS: f32 = 700.0;

/// The columns there is room for, and how wide each is.
fn columns(room: f32) -> Vec<(usize, f32)> {
    let shown =
        (1..).zip(WIDTHS).filter(|(column, _)| room >= ALL_COLUMNS || !(3..=4).contains(column));
    let others: Vec<(usize, f32)> = shown.collect();
    let taken: f32 = others.iter().map(|(_, width)| width).sum();
    let name = (room - taken).min(MOST_NAME);
    std::iter::once((0, name)).chain(others).collect()
}

/// The benches in rows, then the consensus; a bench leads to its session.
fn rows_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    found: &RoundRobin,
    actions: &mut Vec<ShopAction>,
) {
    let page = &shop.round_robin;
    let rows = found.rows(page.compared);
    if rows.is_empty() {
        ui.tell(RichText::new("No bench here shows it.").color(palette.quiet));
        return;
    }
    let columns = columns(ui.available_width());
    let cell = |ui: &mut Ui, (column, width): (usize, f32), add: &mut dyn FnMut(&mut Ui)| {
        // Numbers end at the right, the name and the word begin at the left.
        let layout = if (1..=5).contains(&column) {
            Layout::right_to_left(Align::Center)
        } else {
            Layout::left_to_right(Align::Center)
        };
        ui.allocate_ui_with_layout(vec2(width, TARGET), layout, |ui| {
            ui.set_min_size(vec2(width, TARGET));
            if column == 6 {
                ui.add_space(14.0);
            }
            add(ui);
        });
    };
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        ui.horizontal(|ui| {
            for place in &columns {
                let text = HEAD.get(place.0).copied().unwrap_or_default();
                let text = if place.0 == 0 { "bench" } else { text };
                cell(ui, *place, &mut |ui| {
                    ui.tell(RichText::new(text).color(palette.quiet));
                });
            }
        });
        for (at, row) in rows.iter().enumerate() {
            let bench = row.bench.and_then(|bench| found.benches.get(bench));
            let off = bench.is_some_and(|bench| bench.is_off_at(page.compared));
            ui.horizontal(|ui| {
                for place in &columns {
                    let text = row.cells.get(place.0).map(String::as_str).unwrap_or_default();
                    cell(ui, *place, &mut |ui| match bench.filter(|_| place.0 == 0) {
                        Some(bench) => {
                            let button = Button::selectable(at == page.at, text).truncate();
                            let shown = ui.add(button.min_size(vec2(0.0, TARGET)));
                            let file = format!("Look over {}.", bench.file);
                            if shown.tell_on_hover(file).clicked() {
                                actions.push(ShopAction::Review(bench.session));
                            }
                        }
                        None => {
                            let colour =
                                if off && place.0 > 4 { palette.look } else { palette.text };
                            ui.tell(RichText::new(text).color(colour));
                        }
                    });
                }
            });
        }
    });
    ui.add_space(6.0);
}
