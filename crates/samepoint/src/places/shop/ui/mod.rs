//! The shop: its sessions in a table, and what they answer together.
//!
//! - [`filters`]: what is asked of the table; [`chosen`]: columns and filters by name; [`table`]: the sessions; `unit`: one
//!   over the years; `round_robin`: one on several benches; [`troubles`]: what to look at; `other_shops`: seen as one with this;
//! - [`practised`]: what lies in practice; [`chart`]: a chart whose points open their sessions; [`stations`]: check charts and what is due.

pub(crate) mod chart;
pub(crate) mod chosen;
pub(crate) mod filters;
pub(crate) mod other_shops;
pub(crate) mod practised;
pub(crate) mod round_robin;
pub(crate) mod stations;
pub(crate) mod table;
pub(crate) mod troubles;
pub(crate) mod unit;

use std::path::PathBuf;
use std::time::Duration;

use egui::containers::menu::MenuButton;
use egui::style::ScrollAnimation;
use egui::{Button, Id, RichText, ScrollArea, Ui, vec2};
use jiff::civil::Date;
use record::shop::survey::differ::Quantity;

use super::{ShopAction, ShopPage, Surveying};
use crate::preferences::KeptFilter;
use crate::shell::offers::Offers;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{
    Changed, Label, Tell, TellOnHover, Tone, changed, follow_keyboard, message_ui, page_ui,
};

/// What the place looks at and never changes.
pub(crate) struct ShopContext<'a> {
    /// What the shop offers.
    pub offers: &'a Offers,
    /// What day it is.
    pub today: Date,
    /// The filters that are kept.
    pub filters: &'a [KeptFilter],
    /// Folders of other shops that are to be seen beside this.
    pub beside: &'a [PathBuf],
}

/// What stands above the rows in a low window.
const ABOVE: &str = "The other pages, the search, filters and columns stand above the rows: scroll up, or Shift+Tab.";
/// What the button is for.
const READ_AGAIN: &str = "Reads every file whole, also those that look as they did. Another bench may have \
                          written.";
/// Lines longer than this are hard to read, points.
const MEASURE: f32 = 900.0;
/// In a window that is not as high, points, or of more folders that cannot be read, it is said in a line that there are
/// several, and their own page says the rest.
const LOW: f32 = 600.0;
const MOST_UNSEEN: usize = 2;
/// How far reading has come is told anew so often.
const TELL_ANEW: Duration = Duration::from_millis(300);
/// Room for two charts side by side, points.
const TWO_CHARTS: f32 = 1400.0;

/// Shows it.
pub(crate) fn shop_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    let none = shop.survey.as_ref().is_none_or(|survey| survey.sessions.is_empty());
    let low = ui.ctx().content_rect().height() < LOW;
    if low && shop.part == ShopPage::Sessions && !none {
        low_ui(ui, palette, shop, context, actions);
        return;
    }
    parts_ui(ui, palette, shop, actions);
    if let Some(why) = &shop.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    if shop.part == ShopPage::OtherShops {
        other_shops::other_shops_ui(ui, palette, shop, context, actions);
        return;
    }
    if let Some(words) = shop.reading.words(false).filter(|_| shop.survey.is_none()) {
        reading_ui(ui, palette, words);
        return;
    }
    // What could not be read stands under “To look at”, also where nothing else is there.
    let empty = none
        && match shop.part {
            ShopPage::Practice => false,
            ShopPage::Stations => context.offers.stations.is_empty(),
            ShopPage::Troubles => {
                shop.survey.as_ref().is_none_or(|survey| survey.troubles().is_empty())
            }
            _ => true,
        };
    if empty {
        ui.scope(|ui| {
            ui.set_max_width(MEASURE.min(ui.available_width()));
            message_ui(ui, palette, Tone::Plain, shop.part.nothing_yet(), false);
        });
        return;
    }
    match shop.part {
        ShopPage::Sessions => {
            filters::filters_ui(ui, shop, actions);
            table::above_ui(ui, palette, shop, context, actions);
            table::table_ui(ui, palette, shop, actions);
        }
        ShopPage::Units => unit::unit_ui(ui, palette, shop, context, actions),
        ShopPage::RoundRobin => round_robin::round_robin_ui(ui, palette, shop, actions),
        ShopPage::Practice => practised::practised_ui(ui, palette, shop, actions),
        ShopPage::Troubles => troubles::troubles_ui(ui, palette, shop, context, actions),
        part => {
            if part == ShopPage::Stations {
                shop.checks.follow(context.offers, context.today);
            }
            answer_ui(ui, palette, shop, context, actions);
        }
    }
}

/// The sessions in a low window: their rows are in sight, and what stands above them elsewhere is scrolled to.
fn low_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    let all = shop.survey.as_ref().map_or(0, |survey| survey.sessions.len());
    // The press itself takes the keyboard from every field: the search has it a frame later.
    let asked = Id::unique("up to the search");
    let up = ui.data_mut(|data| data.remove_temp::<()>(asked)).is_some();
    if up {
        ui.memory_mut(|memory| memory.request_focus(filters::words_id()));
    }
    ui.horizontal(|ui| {
        let button = Button::new("Search and pages ▴").min_size(vec2(0.0, TARGET));
        if ui.add(button).tell_on_hover(ABOVE).clicked() {
            ui.data_mut(|data| data.insert_temp(asked, ()));
            ui.request_repaint();
        }
        let told = format!("{} of {all}, newest first unless sorted", shop.rows.len());
        ui.add(Label::new(RichText::new(told).color(palette.quiet)).truncate());
    });
    let height = ui.available_height();
    ScrollArea::vertical().id_salt("shop sessions").auto_shrink(false).show(ui, |ui| {
        let head = ui.scope(|ui| parts_ui(ui, palette, shop, actions)).response;
        if up {
            let top = Some(egui::Align::TOP);
            ui.scroll_to_rect_animation(head.rect, top, ScrollAnimation::none());
        }
        if let Some(why) = &shop.refused {
            message_ui(ui, palette, Tone::Look, why, false);
        }
        filters::filters_ui(ui, shop, actions);
        table::above_ui(ui, palette, shop, context, actions);
        follow_keyboard(ui);
        let size = vec2(ui.available_width(), height);
        let rows = ui.allocate_ui(size, |ui| {
            ui.set_height(height);
            table::table_ui(ui, palette, shop, actions);
        });
        // They come into sight when the window opens, when its size changes, and when the row at hand does.
        let at = (ui.ctx().content_rect().size(), shop.at, shop.rows.len());
        if changed(ui, "shop rows in sight", at) != Changed::No {
            let top = Some(egui::Align::TOP);
            ui.scroll_to_rect_animation(rows.response.rect, top, ScrollAnimation::none());
        }
    });
}

/// Which part is in sight, and what it answers.
fn parts_ui(ui: &mut Ui, palette: &Palette, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(2.0, 2.0);
        for part in ShopPage::ALL {
            let chosen = shop.part == part;
            if ui.add(Button::selectable(chosen, part.text()).min_size(vec2(0.0, TARGET))).clicked()
            {
                actions.push(ShopAction::Show(part));
            }
        }
        ui.add_space(8.0);
        let again = Button::new("Read the sessions again").min_size(vec2(0.0, TARGET));
        let idle = !shop.reading.is_going_on();
        if ui.add_enabled(idle, again).on_hover_text(READ_AGAIN).clicked() {
            actions.push(ShopAction::Again);
        }
        write_ui(ui, shop, actions);
        let words = Button::new(UiCommand::Glossary.text()).min_size(vec2(0.0, TARGET));
        if ui.add(words).on_hover_text(UiCommand::Glossary.tip()).clicked() {
            actions.push(ShopAction::Do(UiCommand::Glossary));
        }
    });
    ui.tell(RichText::new(shop.part.question()).color(palette.quiet));
    let seen = &shop.together;
    // Their own page tells it of each folder.
    let own_page = shop.part == ShopPage::OtherShops;
    let low = ui.ctx().content_rect().height() < LOW && !own_page;
    if let Some(words) = seen.short_words().filter(|_| low || seen.unseen.len() > MOST_UNSEEN) {
        let tone = if seen.unseen.is_empty() { Tone::Plain } else { Tone::Look };
        message_ui(ui, palette, tone, &words, false);
        return;
    }
    if let Some(survey) = shop.survey.as_deref() {
        match (shop.reading.words(true), survey.kept_words()) {
            (Some(words), _) => reading_ui(ui, palette, words),
            (None, Some(words)) => {
                ui.tell(RichText::new(words).color(palette.quiet));
            }
            (None, None) => {}
        }
    }
    if own_page {
        return;
    }
    if let Some(words) = &seen.words {
        ui.tell(RichText::new(words).color(palette.quiet));
    }
    for (_, words) in &seen.unseen {
        message_ui(ui, palette, Tone::Look, words, false);
    }
}

/// How far reading has come, kept up while it goes on.
fn reading_ui(ui: &mut Ui, palette: &Palette, words: String) {
    ui.tell(RichText::new(words).color(palette.quiet));
    ui.ctx().request_repaint_after(TELL_ANEW);
}

/// What of the shop can be put into files.
const WRITES: [UiCommand; 4] =
    [UiCommand::ShopTable, UiCommand::MonthReport, UiCommand::AuditPack, UiCommand::RecallList];

fn write_ui(ui: &mut Ui, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    let chart = shop.chart_at_hand().map(|_| UiCommand::SavePicture);
    let button = Button::new("Write ▾").min_size(vec2(0.0, TARGET));
    MenuButton::from_button(button).ui(ui, |ui| {
        for command in WRITES.into_iter().chain(chart) {
            let button = Button::new(command.text())
                .shortcut_text(command.key_words(ui.ctx()))
                .min_size(vec2(220.0, TARGET));
            if ui.add(button).tell_on_hover(command.tip()).clicked() {
                actions.push(ShopAction::Do(command));
                ui.close();
            }
        }
    });
}

/// Charts one below the other, or side by side where there is room for two, each with its sentences.
fn answer_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    page_ui(ui, ("shop", shop.part), |ui| {
        let room = ui.available_width();
        if shop.part == ShopPage::Differences {
            differences_ui(ui, shop, actions);
        }
        if shop.part == ShopPage::Stations {
            ui.scope(|ui| {
                ui.set_max_width(MEASURE.min(room));
                stations::stations_ui(ui, palette, shop, context, actions);
            });
        }
        for sentence in &shop.answer.told {
            ui.scope(|ui| {
                ui.set_max_width(MEASURE.min(room));
                ui.add(Label::new(RichText::new(sentence).color(palette.quiet)).wrap());
            });
        }
        if room < TWO_CHARTS || shop.answer.charts.len() < 2 {
            for place in 0..shop.answer.charts.len() {
                chart_and_words_ui(ui, palette, shop, place, room, actions);
            }
            return;
        }
        for first in (0..shop.answer.charts.len()).step_by(2) {
            ui.columns_const(|columns: &mut [Ui; 2]| {
                for (column, place) in columns.iter_mut().zip(first..) {
                    let width = column.available_width() - 12.0;
                    chart_and_words_ui(column, palette, shop, place, width, actions);
                }
            });
        }
    });
}

/// One chart of the answer, and what it tells.
fn chart_and_words_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    place: usize,
    width: f32,
    actions: &mut Vec<ShopAction>,
) {
    let Some(of) = shop.chart(place) else { return };
    ui.scope(|ui| {
        ui.set_max_width(width);
        ui.tell(RichText::new(&of.title).font(theme::bold(15.0)));
        let (leads, here) = chart::chart_ui(ui, palette, (shop.part, place), of, width);
        actions.extend(leads.map(ShopAction::Follow));
        if here && shop.chart_at != place {
            actions.push(ShopAction::ChartAt(place));
        }
        ui.set_max_width(MEASURE.min(width));
        for sentence in &of.told {
            ui.add(Label::new(sentence).wrap());
        }
        ui.add_space(10.0);
    });
}

/// What is compared, and whether hands or stations.
fn differences_ui(ui: &mut Ui, shop: &Surveying, actions: &mut Vec<ShopAction>) {
    ui.horizontal_wrapped(|ui| {
        for (text, by_hand) in [("Stations", false), ("Hands", true)] {
            let chosen = shop.by_hand == by_hand;
            if ui.add(Button::selectable(chosen, text).min_size(vec2(0.0, TARGET))).clicked() {
                actions.push(ShopAction::ByHand(by_hand));
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        let now = shop.quantity.unwrap_or(Quantity::Boresight);
        for quantity in Quantity::EVERY {
            let chosen = now == quantity;
            let button = Button::selectable(chosen, quantity.word()).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                actions.push(ShopAction::Compare(quantity));
            }
        }
    });
}
