//! The misalignment against the tolerance window: the box, the guard band inside it, the means.

use egui::{Align2, Sense, Ui, pos2, vec2};
use paper::style::Marker;
use paper::words;

use super::picture::WindowChart as Picture;
use crate::theme::Palette;
use crate::widgets::TellOnHover;
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, room_ui};

const HEIGHT: f32 = 150.0;
/// Room round the box for its figures, points.
const MARGIN: f32 = 20.0;

/// Shows it, to scale: the eyes converge to the left, diverge to the right.
pub(crate) fn chart_ui(ui: &mut Ui, palette: &Palette, picture: &Picture) {
    let size = vec2(ui.available_width(), HEIGHT);
    let (rect, response) = room_ui(ui, size, Sense::hover(), &picture.telling);
    let about = paper::glossary::meaning("guard band").unwrap_or_default();
    response.tell_on_hover(format!("{}\nGuard band: {about}", picture.telling));
    let window = &picture.window;
    let (low, high) = (-window.convergence_arcmin(), window.divergence_arcmin());
    let dip = window.dipvergence_arcmin();
    let mut chart =
        Chart::new(ui, palette, rect, Map::equal(rect, MARGIN, [low, high], [-dip, dip]));
    chart.field(palette.field);
    chart.square([low, -dip], [high, dip], ChartPen::new(1.5, palette.text));
    // A band wider than the window leaves nothing inside.
    if let Some([x, y]) = picture.guard_arcmin
        && low + x < high - x
        && y < dip
    {
        chart.square([low + x, y - dip], [high - x, dip - y], ChartPen::new(1.0, palette.quiet));
    }
    let faint = ChartPen::new(1.0, palette.line);
    chart.line([[low, 0.0], [high, 0.0]], faint);
    chart.line([[0.0, -dip], [0.0, dip]], faint);
    let whole = chart.map.area([low, -dip], [high, dip]);
    let [below, above] = [whole.bottom() + 3.0, whole.top() - 2.0];
    let quiet = palette.quiet;
    chart.words(pos2(whole.left(), below), Align2::LEFT_TOP, "converge", quiet);
    chart.words(pos2(whole.right(), below), Align2::RIGHT_TOP, "diverge", quiet);
    let up = format!("±{}", words::arcmin(dip));
    chart.words(pos2(whole.left(), above), Align2::LEFT_BOTTOM, &up, quiet);
    let sides = format!("{} · {}", words::arcmin(low), words::arcmin(high));
    chart.words(pos2(whole.right(), above), Align2::RIGHT_BOTTOM, &sides, quiet);
    for (index, at) in picture.points.iter().enumerate().rev() {
        // Beyond the picture a mean is drawn at its edge: the words tell how far out it is.
        let at = chart.map.value(chart.place(*at).clamp(rect.min + EDGE, rect.max - EDGE));
        let inside = low <= at[0] && at[0] <= high && at[1].abs() <= dip;
        let colour = match (inside, picture.answered) {
            (true, true) => palette.inside,
            (true, false) => palette.text,
            (false, _) => palette.look,
        };
        if index == 0 {
            chart.mark(at, Marker::Dot, 5.0, ChartInk::Filled(colour));
            chart.mark(at, Marker::Dot, 7.0, ChartInk::Open(palette.here));
        } else {
            chart.mark(at, Marker::Dot, 5.0, ChartInk::Open(colour));
        }
    }
}

/// How far from the edge the mark of what lies beyond it is.
const EDGE: egui::Vec2 = vec2(5.0, 5.0);
