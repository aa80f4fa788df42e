//! The round's readings, each channel its own table, with what each leaves over.

use egui::{
    Align, Align2, FontId, Id, Key, Layout, Rect, RichText, ScrollArea, Sense, Stroke, StrokeKind,
    Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};
use paper::words;
use record::ReadingUnit;
use record::fact::{Purpose, Seq};
use solver::{Channel, PerChannel};

use crate::app::Action;
use crate::app::picture::{Remark, Row};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{Tone, channel_label};

/// Height of a row: a gloved finger's, the two of a pair sharing no edge.
const ROW_HEIGHT: f32 = TARGET;
/// Right edges of the columns, as shares of the width: number, ring, x, y, off circle, off angle.
const EDGES: [f32; 6] = [0.125, 0.27, 0.45, 0.63, 0.82, 0.985];

/// What the tables show.
#[derive(Clone, Copy)]
pub struct LogTable<'a> {
    /// The round's readings.
    pub rows: &'a PerChannel<Vec<Row>>,
    /// How each channel's round closes, once its first position was read again.
    pub closing: &'a PerChannel<Option<Remark>>,
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
    let newest = table.rows.iter().flat_map(|(_, rows)| rows.iter().map(|row| row.seq)).max();
    let follow = followed(ui, table.selected.or(newest));
    ScrollArea::vertical().id_salt("log table").auto_shrink(false).show(ui, |ui| {
        for channel in Channel::BOTH {
            ui.scope(|ui| table_ui(ui, palette, channel, table, follow, actions));
            ui.add_space(8.0);
        }
    });
}

/// The reading to scroll to, when it is another one than in the last frame.
pub(super) fn followed(ui: &Ui, wanted: Option<Seq>) -> Option<Seq> {
    let id = Id::unique("log table follows");
    let before = ui.data_mut(|data| data.get_temp::<Option<Seq>>(id).flatten());
    if before == wanted {
        return None;
    }
    ui.data_mut(|data| data.insert_temp(id, wanted));
    wanted
}

fn table_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    table: LogTable<'_>,
    follow: Option<Seq>,
    actions: &mut Vec<Action>,
) {
    let rows = &table.rows[channel];
    ui.horizontal(|ui| {
        channel_label(ui, palette, channel, "");
        if let Some(closing) = &table.closing[channel] {
            let colour = if closing.tone == Tone::Look { palette.look } else { palette.quiet };
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.add(egui::Label::new(RichText::new(&closing.text).small().color(colour)).wrap());
            });
        }
    });
    let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let sign = rows.last().map_or("′", |row| row.unit.sign());
    let names = ["", "ring °", &format!("x {sign}"), &format!("y {sign}"), "circle ′", "angle °"];
    for (name, edge) in names.into_iter().zip(EDGES) {
        let at = pos2(head.left() + head.width() * edge - 2.0, head.center().y);
        let font = FontId::proportional(11.5);
        ui.painter().text(at, Align2::RIGHT_CENTER, name, font, palette.quiet);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.0, palette.line));
    if rows.is_empty() {
        ui.label(RichText::new("no readings in this round").color(palette.quiet));
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    for row in rows {
        let size = vec2(ui.available_width(), ROW_HEIGHT);
        let place = Rect::from_min_size(ui.cursor().min, size);
        if follow == Some(row.seq) && !ui.clip_rect().contains_rect(place) {
            ui.scroll_to_rect(place, None);
            // A reading shows in the frame that logged it: that frame is laid out once more.
            ui.ctx().request_discard("the newest reading was out of sight");
        }
        // A thousand readings cost no more than those in sight; arrow keys bring the others there.
        if ui.is_rect_visible(place) {
            row_ui(ui, palette, channel, row, table, actions);
        } else {
            ui.allocate_space(size);
        }
    }
}

fn row_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    row: &Row,
    table: LogTable<'_>,
    actions: &mut Vec<Action>,
) {
    let selected = table.selected == Some(row.seq);
    let stands_out = table.standing_out.contains(&row.seq);
    let size = vec2(ui.available_width(), ROW_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let out = if stands_out { ", stands out" } else { "" };
    let telling = format!("{}{out}", telling(channel, row));
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, selected, &telling));
    if selected || response.hovered() || response.has_focus() {
        let fill = if selected { palette.line } else { palette.raised };
        ui.painter().rect_filled(rect, 3.0, fill);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.0, palette.here);
        ui.painter().rect_stroke(rect, 3.0, edge, StrokeKind::Inside);
    }
    if stands_out {
        let edge = Stroke::new(1.0, palette.look);
        ui.painter().rect_stroke(rect, 3.0, edge, StrokeKind::Inside);
    }
    let cells = cells(row);
    for (k, (text, edge)) in cells.iter().zip(EDGES).enumerate() {
        let colour = match k {
            4 | 5 if stands_out => palette.look,
            0 | 4 | 5 => palette.quiet,
            _ => palette.text,
        };
        let font = if k == 0 { FontId::proportional(11.5) } else { theme::mono(13.5) };
        let at = pos2(rect.left() + rect.width() * edge - 2.0, rect.center().y);
        ui.painter().text(at, Align2::RIGHT_CENTER, text, font, colour);
    }
    let hint = format!("{telling}\nF8 withdraws it with a reason, Ctrl+R reads it again.");
    if response.on_hover_text(hint).clicked() {
        actions.push(Action::Select(if selected { None } else { Some(row.seq) }));
    }
}

fn cells(row: &Row) -> [String; 6] {
    let number = match row.purpose {
        Purpose::AsFound => "found".to_owned(),
        Purpose::Confirm => "conf".to_owned(),
        Purpose::Log => row.number.to_string(),
    };
    let minus = |text: &str| text.replace('-', "−");
    [
        number,
        row.ring.as_deref().map_or_else(|| "·".to_owned(), minus),
        minus(&row.x),
        minus(&row.y),
        row.residual.map_or_else(String::new, |left| words::number(left.off_circle_arcmin, 1)),
        row.residual
            .and_then(|left| left.off_angle_deg)
            .map_or_else(String::new, |deg| words::number(deg, 1)),
    ]
}

/// A row as a sentence.
fn telling(channel: Channel, row: &Row) -> String {
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
    format!(
        "{channel} reading {}{found}: {ring}, x {}, y {} {unit}{left_over}",
        row.number, row.x, row.y
    )
}

/// Up and down in the entry row walk through the readings.
pub fn walk(ui: &Ui, all: &[Seq], selected: Option<Seq>) -> Option<Option<Seq>> {
    let (up, down) = ui.input_mut(|input| {
        (
            input.consume_key(egui::Modifiers::NONE, Key::ArrowUp),
            input.consume_key(egui::Modifiers::NONE, Key::ArrowDown),
        )
    });
    if up == down || all.is_empty() {
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
