//! The round's readings, each channel its own table, with what each leaves over.

use core::ops::Range;

use egui::{
    Align, Align2, FontId, Key, Layout, Rect, RichText, ScrollArea, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, accesskit::Role, pos2, vec2,
};
use paper::words;
use record::ReadingUnit;
use record::fact::{Purpose, Seq};
use solver::{Channel, PerChannel};

use crate::app::action::Action;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::views::differences::withdrawn_word;
use crate::views::log::{LogRow, LogView};
use crate::views::off_by::OffByLine;
use crate::views::round::TonedSentence;
use crate::widgets::{Changed, Label, TellOnHover, Tone, changed, channel_label};

/// Height of a row: a gloved finger's, the two of a pair sharing no edge.
const ROW_HEIGHT: f32 = TARGET;
/// Right edges of the columns, as shares of the width: number, ring, x, y, off circle, off angle.
const EDGES: [f32; 6] = [0.125, 0.27, 0.45, 0.63, 0.82, 0.985];

/// What the tables show.
#[derive(Clone, Copy)]
pub struct LogTable<'a> {
    /// The round's readings.
    pub log: LogView<'a>,
    /// How each channel's round closes, once its first position was read again.
    pub closing: &'a PerChannel<Option<TonedSentence>>,
    /// Confirm readings beside what was predicted of them.
    pub off_by: &'a [OffByLine],
    /// The readings that stand out.
    pub standing_out: &'a [Seq],
    /// The reading selected.
    pub selected: Option<Seq>,
}

/// Shows both tables; what was logged or selected last is scrolled to.
pub fn log_table_ui(
    ui: &mut Ui,
    palette: &Palette,
    table: LogTable<'_>,
    actions: &mut Vec<Action>,
) {
    let follow = followed(ui, table.selected.or(table.log.log.newest()));
    ScrollArea::vertical().id_salt("log table").auto_shrink(false).show(ui, |ui| {
        for channel in Channel::BOTH {
            ui.scope(|ui| table_ui(ui, palette, channel, table, follow, actions));
            ui.add_space(8.0);
        }
    });
}

/// The reading to scroll to, when it is another one than in the last frame.
pub(crate) fn followed(ui: &Ui, wanted: Option<Seq>) -> Option<Seq> {
    (changed(ui, "reading in the log", wanted) != Changed::No).then_some(wanted).flatten()
}

fn table_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    table: LogTable<'_>,
    follow: Option<Seq>,
    actions: &mut Vec<Action>,
) {
    let lines = table.log.log.lines(channel);
    ui.horizontal(|ui| {
        channel_label(ui, palette, channel, "");
        if let Some(closing) = &table.closing[channel] {
            let colour = if closing.tone == Tone::Look { palette.look } else { palette.quiet };
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let text = RichText::new(&closing.text).small().color(colour);
                let about = paper::glossary::meaning("closure error").unwrap_or_default();
                ui.add(Label::new(text).wrap()).tell_on_hover(about);
            });
        }
    });
    let sign = table.log.rows(channel).next_back().map_or("′", |row| row.unit.sign());
    let (x, y) = (format!("x {sign}"), format!("y {sign}"));
    heads_ui(ui, palette, ["", "ring °", &x, &y, "circle ′", "angle °"], EDGES);
    if lines.is_empty() {
        ui.label(RichText::new("no readings in this round").color(palette.quiet));
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    let (top, width) = (ui.cursor().min, ui.available_width());
    let followed = follow.and_then(|seq| lines.binary_search_by_key(&seq, |line| line.seq).ok());
    if let Some(index) = followed {
        let above = vec2(0.0, index as f32 * ROW_HEIGHT);
        bring_into_sight(ui, Rect::from_min_size(top + above, vec2(width, ROW_HEIGHT)));
    }
    // Many thousand readings cost no more than those in sight; arrow keys bring the others there.
    let seen = in_sight(top.y, ui.clip_rect(), lines.len());
    let gap_ui = |ui: &mut Ui, rows: usize| {
        if rows > 0 {
            ui.allocate_space(vec2(width, rows as f32 * ROW_HEIGHT));
        }
    };
    gap_ui(ui, seen.start);
    for row in seen.clone().filter_map(|at| table.log.row(channel, at)) {
        row_ui(ui, palette, channel, &row, table, actions);
    }
    gap_ui(ui, lines.len() - seen.end);
}

/// The rows that a clip shows any of, of so many that begin at `top`.
fn in_sight(top: f32, clip: Rect, rows: usize) -> Range<usize> {
    let row_at = |y: f32| ((y - top) / ROW_HEIGHT).max(0.0);
    let start = (row_at(clip.top()).floor() as usize).min(rows);
    let end = (row_at(clip.bottom()).ceil() as usize).clamp(start, rows);
    start..end
}

fn row_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    row: &LogRow,
    table: LogTable<'_>,
    actions: &mut Vec<Action>,
) {
    let off_by = table.off_by.iter().find(|line| line.seq == row.seq);
    let mut cells = cells(row);
    if let Some(off_by) = off_by {
        [cells[4], cells[5]] = off_by.cells.clone();
    }
    let told = off_by.map_or_else(String::new, |off_by| format!(". {}", off_by.text));
    let line = TableLine {
        telling: format!("{}{told}", telling(channel, row)),
        cells,
        edges: EDGES,
        left_over: &[4, 5],
        selected: table.selected == Some(row.seq),
        stands_out: table.standing_out.contains(&row.seq),
        is_off: off_by.is_some_and(|off_by| off_by.tone == Tone::Look),
        withdrawn: row.withdrawn.as_deref(),
    };
    if line_ui(ui, palette, &line) {
        actions.push(Action::Select(if line.selected { None } else { Some(row.seq) }));
    }
}

/// A reading as a line of a table.
pub(crate) struct TableLine<'a> {
    /// It as a sentence.
    pub telling: String,
    /// Its number, then what was read and what it leaves over.
    pub cells: [String; 6],
    /// Right edges of the cells, as shares of the width.
    pub edges: [f32; 6],
    /// The cells that say what it leaves over.
    pub left_over: &'a [usize],
    /// Whether it is selected.
    pub selected: bool,
    /// Whether it stands out.
    pub stands_out: bool,
    /// Whether it lies farther from what was predicted than is explained.
    pub is_off: bool,
    /// Why it was withdrawn, if it was: it is struck through.
    pub withdrawn: Option<&'a str>,
}

/// Shows a line; true when it was pressed.
pub(crate) fn line_ui(ui: &mut Ui, palette: &Palette, line: &TableLine<'_>) -> bool {
    let size = vec2(ui.available_width(), ROW_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let out = if line.stands_out { ", stands out" } else { "" };
    let telling = format!("{}{out}", line.telling);
    let role = Role::ListBoxOption;
    response.widget_info(|| WidgetInfo::selected(role, true, line.selected, &telling));
    if line.selected || response.hovered() || response.has_focus() {
        let fill = if line.selected { palette.line } else { palette.raised };
        ui.painter().rect_filled(rect, 3.0, fill);
    }
    if response.has_focus() || line.stands_out {
        let colour = if line.stands_out { palette.look } else { palette.here };
        let edge = Stroke::new(1.0, colour);
        ui.painter().rect_stroke(rect, 3.0, edge, StrokeKind::Inside);
    }
    let struck = line.withdrawn.is_some();
    for (k, (text, edge)) in line.cells.iter().zip(line.edges).enumerate() {
        let left_over = line.left_over.contains(&k);
        let colour = match (k, left_over) {
            _ if struck => palette.quiet,
            (_, true) if line.stands_out || line.is_off => palette.look,
            (0, _) | (_, true) => palette.quiet,
            _ => palette.text,
        };
        let font = if k == 0 { FontId::proportional(11.5) } else { theme::mono(13.5) };
        let at = pos2(rect.left() + rect.width() * edge - 2.0, rect.center().y);
        let place = ui.painter().text(at, Align2::RIGHT_CENTER, text, font, colour);
        if struck && !text.is_empty() {
            // Over the figures, in the brighter colour: seen in every light, and without colour.
            let through = Stroke::new(1.5, palette.text);
            ui.painter().hline(place.expand(2.0).x_range(), place.center().y, through);
        }
    }
    let hint = match line.withdrawn {
        Some(reason) => format!(
            "{telling}\nWithdrawn: {reason}. It keeps its place and number, and does not count. Ctrl+R \
             reads it again."
        ),
        None => format!(
            "{telling}\nPress to select it; then F8 withdraws it with a reason, Ctrl+R reads it again."
        ),
    };
    response.tell_on_hover(hint).clicked()
}

/// The names above a table's cells.
pub(crate) fn heads_ui(ui: &mut Ui, palette: &Palette, names: [&str; 6], edges: [f32; 6]) {
    let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    for (name, edge) in names.into_iter().zip(edges) {
        let at = pos2(head.left() + head.width() * edge - 2.0, head.center().y);
        let font = FontId::proportional(11.5);
        ui.painter().text(at, Align2::RIGHT_CENTER, name, font, palette.quiet);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.0, palette.line));
}

/// What a reading is for, or its number, in a cell.
pub(crate) fn number_cell(purpose: Purpose, number: usize) -> String {
    match purpose {
        Purpose::AsFound => "found".to_owned(),
        Purpose::Confirm => "conf".to_owned(),
        Purpose::Log => number.to_string(),
    }
}

/// Scrolls to a row that is out of sight.
pub(crate) fn bring_into_sight(ui: &Ui, place: Rect) {
    if !ui.clip_rect().contains_rect(place) {
        ui.scroll_to_rect(place, None);
        // A reading shows in the frame that logged it: that frame is laid out once more.
        ui.ctx().request_discard("the newest reading was out of sight");
    }
}

fn cells(row: &LogRow) -> [String; 6] {
    let number = number_cell(row.purpose, row.number);
    [
        number,
        row.ring.clone().unwrap_or_else(|| "·".to_owned()),
        row.x.clone(),
        row.y.clone(),
        row.residual.map_or_else(String::new, |left| words::number(left.off_circle_arcmin, 1)),
        row.residual
            .and_then(|left| left.off_angle_deg)
            .map_or_else(String::new, |deg| words::number(deg, 1)),
    ]
}

/// A row as a sentence.
fn telling(channel: Channel, row: &LogRow) -> String {
    let unit = match row.unit {
        ReadingUnit::Arcmin => "arcminutes",
        other => other.word(),
    };
    let ring = row
        .ring
        .as_deref()
        .map_or_else(|| "no ring angle".to_owned(), |deg| format!("ring {deg}°"));
    let found = match row.purpose {
        Purpose::AsFound => ", as found",
        Purpose::Confirm => ", to confirm",
        Purpose::Log => "",
    };
    let left_over = row.residual.map_or_else(String::new, |left| {
        let angle = left
            .off_angle_deg
            .map_or_else(String::new, |deg| format!(", off angle {}°", words::number(deg, 1)));
        format!(", off circle {}{angle}", words::arcmin(left.off_circle_arcmin))
    });
    let noted: String = row.noted.iter().map(|noted| format!("; {noted}")).collect();
    format!(
        "{channel} reading {}{}{found}: {ring}, x {}, y {} {unit}{left_over}{noted}",
        row.number,
        withdrawn_word(row.withdrawn.as_deref()),
        row.x,
        row.y
    )
}

/// Up and down in the entry row walk through the readings.
///
/// `all`: the readings in the order they are shown, asked for only where a key was pressed.
pub(crate) fn walk(
    ui: &Ui,
    all: impl FnOnce() -> Vec<Seq>,
    selected: Option<Seq>,
) -> Option<Option<Seq>> {
    let (up, down) = ui.input_mut(|input| {
        (
            input.consume_key(egui::Modifiers::NONE, Key::ArrowUp),
            input.consume_key(egui::Modifiers::NONE, Key::ArrowDown),
        )
    });
    if up == down {
        return None;
    }
    let all = all();
    if all.is_empty() {
        return None;
    }
    let place = selected.and_then(|seq| all.iter().position(|other| *other == seq));
    let next = match place {
        None if up => all.len().checked_sub(1),
        None => Some(0),
        Some(place) if up => place.checked_sub(1),
        Some(place) => (place + 1 < all.len()).then_some(place + 1),
    };
    Some(next.and_then(|place| all.get(place).copied()))
}
