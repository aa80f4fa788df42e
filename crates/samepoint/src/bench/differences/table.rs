//! The round's readings where both channels are read at one look.

use egui::{Rect, RichText, ScrollArea, Ui, vec2};
use paper::words;
use record::fact::Seq;

use crate::app::action::Action;
use crate::bench::log::table::{
    TableLine, bring_into_sight, followed, heads_ui, line_ui, number_cell,
};
use crate::theme::{Palette, TARGET};
use crate::views::differences::{DifferenceRow, Saw};

/// Right edges of the columns, as shares of the width: number, rings, x, y, what is left over.
const EDGES: [f32; 6] = [0.13, 0.29, 0.45, 0.63, 0.81, 0.985];

/// Shows the table; what was logged or selected last is scrolled to.
pub(crate) fn difference_table_ui(
    ui: &mut Ui,
    palette: &Palette,
    rows: &[DifferenceRow],
    selected: Option<Seq>,
    actions: &mut Vec<Action>,
) {
    let newest = rows.iter().map(|row| row.seq).max();
    let follow = followed(ui, selected.or(newest));
    ui.label(RichText::new("Both channels at one look, right less left").color(palette.quiet));
    let sign = rows.iter().rev().find_map(|row| match &row.saw {
        Saw::Difference { unit, .. } => Some(unit.sign()),
        Saw::Box(_) => None,
    });
    let sign = sign.unwrap_or("′");
    let (x, y) = (format!("Δx {sign}"), format!("Δy {sign}"));
    heads_ui(ui, palette, ["", "left °", "right °", &x, &y, "off ′"], EDGES);
    if rows.is_empty() {
        ui.label(RichText::new("no readings in this round").color(palette.quiet));
    }
    ScrollArea::vertical().id_salt("difference table").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for row in rows {
            let size = vec2(ui.available_width(), TARGET);
            let place = Rect::from_min_size(ui.cursor().min, size);
            if follow == Some(row.seq) {
                bring_into_sight(ui, place);
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
    let line = TableLine {
        telling: row.words(),
        cells: cells(row),
        edges: EDGES,
        left_over: &[5],
        selected,
        stands_out: row.stands_out,
        is_off: false,
        withdrawn: row.withdrawn.as_deref(),
    };
    if line_ui(ui, palette, &line) {
        actions.push(Action::Select(if selected { None } else { Some(row.seq) }));
    }
}

fn cells(row: &DifferenceRow) -> [String; 6] {
    let ring = |ring: &Option<String>| ring.clone().unwrap_or_else(|| "·".to_owned());
    let number = number_cell(row.purpose, row.number);
    let (x, y) = match &row.saw {
        Saw::Difference { x, y, .. } => (x.clone(), y.clone()),
        Saw::Box(inside) => (String::new(), if *inside { "in box" } else { "outside" }.to_owned()),
    };
    let off = row.off_arcmin.map_or_else(String::new, |off| words::number(off, 1));
    [number, ring(&row.rings.left), ring(&row.rings.right), x, y, off]
}
