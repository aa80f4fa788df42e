//! The round's readings where both channels are read at one look.

use egui::accesskit::Role;
use egui::{
    Align2, FontId, Rect, RichText, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2,
    vec2,
};
use paper::words;
use record::fact::{Purpose, Seq};

use super::log_table::followed;
use crate::app::Action;
use crate::app::difference_picture::{DifferenceRow, Saw};
use crate::theme::{self, Palette, TARGET};

/// Right edges of the columns, as shares of the width: number, rings, x, y, what is left over.
const EDGES: [f32; 6] = [0.13, 0.29, 0.45, 0.63, 0.81, 0.985];

/// Shows the table; what was logged or selected last is scrolled to.
pub fn difference_table_ui(
    ui: &mut Ui,
    palette: &Palette,
    rows: &[DifferenceRow],
    selected: Option<Seq>,
    actions: &mut Vec<Action>,
) {
    let newest = rows.iter().map(|row| row.seq).max();
    let follow = followed(ui, selected.or(newest));
    ui.label(RichText::new("Both channels at one look, right less left").color(palette.quiet));
    let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let sign = rows.iter().rev().find_map(|row| match &row.saw {
        Saw::Difference { unit, .. } => Some(unit.sign()),
        Saw::Box(_) => None,
    });
    let sign = sign.unwrap_or("′");
    let names = ["", "left °", "right °", &format!("Δx {sign}"), &format!("Δy {sign}"), "off ′"];
    for (name, edge) in names.into_iter().zip(EDGES) {
        let at = pos2(head.left() + head.width() * edge - 2.0, head.center().y);
        let font = FontId::proportional(11.5);
        ui.painter().text(at, Align2::RIGHT_CENTER, name, font, palette.quiet);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.0, palette.line));
    if rows.is_empty() {
        ui.label(RichText::new("no readings in this round").color(palette.quiet));
    }
    ScrollArea::vertical().id_salt("difference table").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for row in rows {
            let size = vec2(ui.available_width(), TARGET);
            let place = Rect::from_min_size(ui.cursor().min, size);
            if follow == Some(row.seq) && !ui.clip_rect().contains_rect(place) {
                ui.scroll_to_rect(place, None);
                ui.ctx().request_discard("the newest reading was out of sight");
            }
            row_ui(ui, palette, row, selected == Some(row.seq), actions);
        }
    });
}

fn row_ui(
    ui: &mut Ui,
    palette: &Palette,
    row: &DifferenceRow,
    selected: bool,
    actions: &mut Vec<Action>,
) {
    let size = vec2(ui.available_width(), TARGET);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let out = if row.stands_out { ", stands out" } else { "" };
    let telling = format!("{}{out}", row.words());
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, selected, &telling));
    if selected || response.hovered() || response.has_focus() {
        let fill = if selected { palette.line } else { palette.raised };
        ui.painter().rect_filled(rect, 3.0, fill);
    }
    if response.has_focus() || row.stands_out {
        let colour = if row.stands_out { palette.look } else { palette.here };
        let edge = Stroke::new(1.0, colour);
        ui.painter().rect_stroke(rect, 3.0, edge, StrokeKind::Inside);
    }
    for (k, (text, edge)) in cells(row).iter().zip(EDGES).enumerate() {
        let colour = match k {
            5 if row.stands_out => palette.look,
            0 | 5 => palette.quiet,
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

fn cells(row: &DifferenceRow) -> [String; 6] {
    let minus = |text: &str| text.replace('-', "−");
    let ring = |ring: &Option<String>| ring.as_deref().map_or_else(|| "·".to_owned(), minus);
    let number = match row.purpose {
        Purpose::AsFound => "found".to_owned(),
        Purpose::Confirm => "conf".to_owned(),
        Purpose::Log => row.number.to_string(),
    };
    let (x, y) = match &row.saw {
        Saw::Difference { x, y, .. } => (minus(x), minus(y)),
        Saw::Box(inside) => (String::new(), if *inside { "in box" } else { "outside" }.to_owned()),
    };
    let off = row.off_arcmin.map_or_else(String::new, |off| words::number(off, 1));
    [number, ring(&row.rings.left), ring(&row.rings.right), x, y, off]
}
