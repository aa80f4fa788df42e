//! The sessions in rows: only those in sight are drawn, so ten thousand cost what forty do.

use egui::accesskit::Role;
use egui::{
    Align2, Button, Color32, FontId, Id, Key, Modifiers, Pos2, Rect, RichText, ScrollArea, Sense,
    Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use paper::words;
use record::SessionSummary;
use record::shop::survey::seek::SortBy;

use super::ShopContext;
use super::chosen::chosen_ui;
use super::filters::words_id;
use crate::places::shop::columns::{BESIDE_PT, ColumnLook, TEXT_PT, cell, look, with_room};
use crate::places::shop::practised::Practised;
use crate::places::shop::{ShopAction, Surveying};
use crate::theme::{Palette, TARGET};
use crate::widgets::{Changed, Tell, TellOnHover, changed, lone_key};

/// The columns there is room for: which, and where.
fn columns(chosen: &[SortBy], rect: Rect) -> Vec<(SortBy, ColumnLook, Rect)> {
    let shown = with_room(chosen, rect.width());
    let whole: f32 = shown.iter().map(|column| look(*column).least).sum();
    let mut left = rect.left();
    let place = |column: SortBy| {
        let look = look(column);
        let width = rect.width() * look.least / whole.max(1.0);
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width, rect.height()));
        left += width;
        (column, look, place)
    };
    shown.into_iter().map(place).collect()
}

/// How many rows there are, what is chosen of them, and what can be done with the row at hand.
pub(crate) fn above_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    context: &ShopContext<'_>,
    actions: &mut Vec<ShopAction>,
) {
    let all = shop.survey.as_ref().map_or(0, |survey| survey.sessions.len());
    let practised = shop.practised.as_ref().and_then(|read| read.as_ref().ok());
    let beside = match practised.map_or(0, Practised::files) {
        0 => String::new(),
        _ if shop.filter.with_practice => " · practice too".to_owned(),
        count => format!(" · {count} of practice left out"),
    };
    let all = if shop.filter.with_practice { all + shop.practice_sessions.len() } else { all };
    let in_sight = shop.columns_in_sight();
    let missing = in_sight.len() - with_room(&in_sight, ui.available_width()).len();
    let beside = match missing {
        0 => beside,
        _ => format!("{beside} · no room for {}", words::counted_s(missing, "column")),
    };
    let told = format!("{} of {all} sessions{beside}", shop.rows.len());
    ui.horizontal_wrapped(|ui| {
        ui.tell(RichText::new(told).color(palette.quiet));
        chosen_ui(ui, palette, shop, context.filters, actions);
        if let Some(index) = shop.rows.get(shop.at).copied() {
            for (text, action) in [
                ("Look it over", ShopAction::Review(index)),
                ("Open at the bench", ShopAction::Bench(index)),
                ("Its unit’s page", ShopAction::OpenUnit(unit_of(shop, index))),
            ] {
                if ui.add(Button::new(text).min_size(vec2(0.0, TARGET))).clicked() {
                    actions.push(action);
                }
            }
        }
    });
}

/// The rows below their heads, as high as there is room.
pub(crate) fn table_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &mut Surveying,
    actions: &mut Vec<ShopAction>,
) {
    keys(ui, shop, actions);
    let in_sight = shop.columns_in_sight();
    head_ui(ui, palette, shop, &in_sight, actions);
    let mut pressed = None;
    let mut area = ScrollArea::vertical().id_salt("sessions").auto_shrink(false);
    let wanted = wanted_offset(ui, shop);
    let moved = wanted.is_some();
    if let Some(offset) = wanted {
        area = area.vertical_scroll_offset(offset);
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    area.show_rows(ui, TARGET, shop.rows.len(), |ui, range| {
        for place in range {
            let Some(session) = shop.rows.get(place).and_then(|index| shop.session(*index)) else {
                continue;
            };
            let row = Row { session, shop: shop.together.name(session.folder) };
            if row_ui(ui, palette, row, &in_sight, (place == shop.at, moved)) {
                pressed = Some(place);
            }
        }
    });
    if let Some(place) = pressed {
        // A press chooses a row; a press on the chosen one opens it.
        if place == shop.at
            && let Some(index) = shop.rows.get(place)
        {
            actions.push(ShopAction::Review(*index));
        }
        shop.at = place;
    }
}

/// Arrows move through the rows, also from the field that words are typed into; Enter opens.
fn keys(ui: &Ui, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    let focused = ui.memory(egui::Memory::focused);
    if focused.is_some_and(|id| id != words_id()) && ui.ctx().text_edit_focused() {
        return;
    }
    let last = shop.rows.len().saturating_sub(1);
    for (key, by) in
        [(Key::ArrowDown, 1), (Key::ArrowUp, -1), (Key::PageDown, 15), (Key::PageUp, -15)]
    {
        if lone_key(ui, key) {
            shop.at = shop.at.saturating_add_signed(by).min(last);
        }
    }
    let free = focused.is_none_or(|id| id == words_id());
    if free
        && ui.input_mut(|input| input.consume_key(Modifiers::SHIFT, Key::Enter))
        && let Some(index) = shop.rows.get(shop.at)
    {
        actions.push(ShopAction::OpenUnit(unit_of(shop, *index)));
    }
    if free
        && lone_key(ui, Key::Enter)
        && let Some(index) = shop.rows.get(shop.at)
    {
        actions.push(ShopAction::Review(*index));
    }
}

/// The unit of a session.
fn unit_of(shop: &Surveying, index: usize) -> String {
    shop.session(index).map(|session| session.unit.to_string()).unwrap_or_default()
}

/// Where to scroll so that the row at hand is in sight, when it moved.
fn wanted_offset(ui: &Ui, shop: &Surveying) -> Option<f32> {
    let moved = changed(ui, "shop row", shop.at) == Changed::Yes;
    let room = ui.available_height();
    moved.then(|| (shop.at as f32 * TARGET - room / 2.0).max(0.0))
}

/// The word of the glossary that a column is about.
const fn term_of(sort: SortBy) -> Option<&'static str> {
    match sort {
        SortBy::WindowUse => Some("window use"),
        SortBy::Boresight => Some("boresight"),
        SortBy::Rounds => Some("round"),
        SortBy::Verdict => Some("undecided"),
        _ => None,
    }
}

fn head_ui(
    ui: &mut Ui,
    palette: &Palette,
    shop: &Surveying,
    in_sight: &[SortBy],
    actions: &mut Vec<ShopAction>,
) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), TARGET), Sense::hover());
    for (sort, look, cell) in columns(in_sight, rect) {
        let name = sort.word();
        let response = ui.interact(cell, Id::unique(("sort", name)), Sense::click());
        let telling = format!("Sort by {name}");
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
        if let Some(about) = term_of(sort).and_then(paper::glossary::meaning) {
            response.clone().on_hover_text(about);
        }
        let chosen = sort == shop.sort.0;
        let arrow = match (chosen, shop.sort.1) {
            (false, _) => "",
            (true, false) => " ▴",
            (true, true) => " ▾",
        };
        let marked = chosen || response.hovered() || response.has_focus();
        let colour = if marked { palette.here } else { palette.quiet };
        let (at, align) = placed(cell, look.right);
        let font = FontId::proportional(12.5);
        ui.painter().text(at, align, format!("{name}{arrow}"), font, colour);
        if response.has_focus() {
            let edge = Stroke::new(1.0, palette.here);
            ui.painter().rect_stroke(cell, 3.0, edge, StrokeKind::Inside);
        }
        if response.clicked() {
            actions.push(ShopAction::Sort(sort));
        }
    }
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, palette.line));
}

/// Where a cell's text stands.
fn placed(cell: Rect, right: bool) -> (Pos2, Align2) {
    if right {
        (pos2(cell.right() - 8.0, cell.center().y), Align2::RIGHT_CENTER)
    } else {
        (pos2(cell.left() + 4.0, cell.center().y), Align2::LEFT_CENTER)
    }
}

/// A session and, where several folders are seen as one, what its own is called.
#[derive(Clone, Copy)]
struct Row<'a> {
    session: &'a SessionSummary,
    shop: Option<&'a str>,
}

fn row_ui(
    ui: &mut Ui,
    palette: &Palette,
    row: Row<'_>,
    chosen: &[SortBy],
    (here, moved): (bool, bool),
) -> bool {
    let size = vec2(ui.available_width(), TARGET);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    if here && moved {
        // Where the page around it is scrolled, too.
        response.scroll_to_me(None);
    }
    let telling = telling(row);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, here, &telling));
    if here || response.hovered() {
        ui.painter().rect_filled(rect, 3.0, if here { palette.line } else { palette.raised });
    }
    if response.has_focus() {
        let edge = Stroke::new(1.0, palette.here);
        ui.painter().rect_stroke(rect, 3.0, edge, StrokeKind::Inside);
    }
    let troubled = row
        .session
        .troubles()
        .iter()
        .any(|trouble| !matches!(trouble, record::shop::survey::troubles::Trouble::Waiting));
    for (column, look, place) in columns(chosen, rect) {
        let colour = if troubled { palette.look } else { palette.text };
        let text =
            shortened(ui, cell(row.session, column, row.shop), place.width() - BESIDE_PT, colour);
        let (at, align) = placed(place, look.right);
        ui.painter().text(at, align, text, FontId::proportional(TEXT_PT), colour);
    }
    response.tell_on_hover(telling).clicked()
}

/// A text that fits, its end left away where there is no room.
fn shortened(ui: &Ui, text: String, width: f32, colour: Color32) -> String {
    let measured = |text: &str| {
        let font = FontId::proportional(TEXT_PT);
        ui.painter().layout_no_wrap(text.to_owned(), font, colour).size().x
    };
    let whole = measured(&text);
    if whole <= width {
        return text;
    }
    let mut kept: Vec<char> = text.chars().collect();
    let most = (kept.len() as f32 * width / whole) as usize;
    kept.truncate(most);
    loop {
        let cut: String = kept.iter().collect::<String>() + "…";
        if kept.is_empty() || measured(&cut) <= width {
            return cut;
        }
        kept.pop();
    }
}

/// A row as a sentence.
fn telling(Row { session, shop }: Row<'_>) -> String {
    let of = |column: SortBy| cell(session, column, shop);
    let practice = if session.practice { "practice, " } else { "" };
    let boresight = match session.boresight_arcmin {
        Some(_) => format!("from boresight {}′", of(SortBy::Boresight)),
        None => "from boresight not measured".to_owned(),
    };
    let used = match session.window_use {
        Some(_) => format!("window use {}", of(SortBy::WindowUse)),
        None => "window use not known".to_owned(),
    };
    let rounds = words::counted_s(session.rounds, "round");
    let [unit, day, housing, station, hand, verdict, state] = [
        SortBy::Unit,
        SortBy::Day,
        SortBy::Housing,
        SortBy::Station,
        SortBy::Hand,
        SortBy::Verdict,
        SortBy::State,
    ]
    .map(of);
    let mut said = format!(
        "{practice}{unit}, {day}, housing {housing}, {station}, hand {hand}, {rounds}, \
         {boresight}, {used}, {verdict}, {state}"
    );
    for (before, column, joined, on) in [
        ("job", SortBy::Job, "", None),
        ("customer", SortBy::Customer, "", None),
        ("signed by", SortBy::Signer, " on ", Some(SortBy::SignedOn)),
        ("countersigned by", SortBy::Countersigner, " on ", Some(SortBy::CountersignedOn)),
    ] {
        let text = of(column);
        if !text.is_empty() {
            let on = on.map(|on| format!("{joined}{}", of(on))).unwrap_or_default();
            said.push_str(&format!(", {before} {text}{on}"));
        }
    }
    if let Some(shop) = shop {
        said.push_str(&format!(", shop {shop}"));
    }
    for trouble in session.troubles() {
        said.push_str(". ");
        said.push_str(trouble.words().trim_end_matches('.'));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No sign stands for a number that is not there, and no unit behind it.
    #[test]
    fn what_was_not_measured_is_said() {
        let mut session = SessionSummary { unit: "0147".into(), ..SessionSummary::default() };
        let said = telling(Row { session: &session, shop: None });
        assert!(said.contains("from boresight not measured, window use not known"), "{said}");
        assert!(!said.contains("–′"), "{said}");
        (session.boresight_arcmin, session.window_use) = (Some(3.26), Some(0.5));
        let said = telling(Row { session: &session, shop: None });
        assert!(said.contains("from boresight 3.3′, window use 50 %"), "{said}");
    }
}
