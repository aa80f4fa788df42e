//! A loupe over one crosshair of an invented unit: divisions with their numbers, and tenths.

use egui::{Rect, Ui};

use super::practice_glass::{LOUPE_REACH, Loupe};
use crate::theme::Palette;
use crate::widgets::chart::{Chart, ChartPen, Map, Numbers, round_marks};

/// Lengths of the marks of divisions, halves and tenths, points.
const MARKS: [f32; 3] = [12.0, 9.0, 5.0];

/// A part of the graticule, larger: a number at each division, a short mark at each tenth.
pub(crate) fn loupe_ui(ui: &Ui, palette: &Palette, rect: Rect, loupe: &Loupe) {
    let [x, y] = loupe.middle.map(|middle| [middle - LOUPE_REACH, middle + LOUPE_REACH]);
    let mut chart = Chart::new(ui, palette, rect, Map::new(rect, x, y));
    chart.field(palette.well);
    let beside = Numbers::Inside(MARKS[0] + 1.0);
    chart.across(beside, round_marks(x, 1.0));
    chart.up(beside, round_marks(y, 1.0));
    let tenths = (10.0 * LOUPE_REACH) as i32;
    for tenth in -tenths..=tenths {
        let [division, half, short] = MARKS;
        let length = match tenth % 10 {
            0 => division,
            5 | -5 => half,
            _ => short,
        };
        let at = loupe.middle.map(|middle| middle + f64::from(tenth) / 10.0);
        chart.ticks(at, length, palette.quiet);
    }
    chart.frame(palette.edge);
    let pen = ChartPen::new(1.5, palette.drawn(loupe.channel)).of(loupe.channel);
    chart.crosshair(loupe.at, 0.0, pen);
}
