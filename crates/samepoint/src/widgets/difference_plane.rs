//! The plane of differences: what the station showed, what the rings can reach, the window's box.

use egui::{Align, Align2, Ui, vec2};
use paper::plane::{PLANE_KEY, plane_alt};
use paper::style::Marker;

use super::chart::{Chart, ChartInk, ChartPen, Map, canvas_ui, key_ui};
use crate::theme::Palette;
use crate::views::differences::DifferencePlane;

/// Room for the words below, points.
const WORDS: f32 = 118.0;

/// Shows it.
pub(crate) fn differences_ui(ui: &mut Ui, palette: &Palette, height: f32, plane: &DifferencePlane) {
    let telling = plane_alt(&plane.told);
    let (room, _) = canvas_ui(ui, height, WORDS, &telling);
    let half = extent(plane);
    let map = Map::equal(room, 0.0, [-half, half], [-half, half]);
    let mut chart = Chart::new(ui, palette, room, map);
    chart.field(palette.field);
    chart.level(0.0, ChartPen::new(1.0, palette.line));
    chart.upright(0.0, ChartPen::new(1.0, palette.line));
    if let Some((centre, [near, far])) = plane.reach {
        for radius in [near, far] {
            chart.circle(centre, radius, ChartPen::new(1.0, palette.quiet));
        }
        chart.mark(centre, Marker::Cross, 5.0, ChartInk::Filled(palette.quiet));
    }
    if let Some(window) = &plane.window {
        let up = window.dipvergence_arcmin();
        let (low, high) = (-window.convergence_arcmin(), window.divergence_arcmin());
        chart.square([low, -up], [high, up], ChartPen::new(1.5, palette.here));
    }
    for (number, at) in &plane.readings {
        chart.mark(*at, Marker::Diamond, 5.0, ChartInk::Open(palette.text));
        let beside = chart.place(*at) + vec2(8.0, 0.0);
        chart.words(beside, Align2::LEFT_CENTER, &number.to_string(), palette.quiet);
    }
    if let Some(at) = plane.setting {
        chart.mark(at, Marker::Dot, 5.0, ChartInk::Filled(palette.here));
    }
    let width = format!("{}′ across", paper::words::number(2.0 * half, 0));
    for (align, text) in [
        (Align2::RIGHT_CENTER, "eyes diverge"),
        (Align2::LEFT_CENTER, "eyes converge"),
        (Align2::CENTER_TOP, "right image high"),
        (Align2::CENTER_BOTTOM, "left image high"),
        (Align2::RIGHT_BOTTOM, &width),
    ] {
        // Beside the axis, not on it.
        let above = if align.y() == Align::Center { 10.0 } else { 0.0 };
        let at = align.pos_in_rect(&room.shrink(6.0)) - vec2(0.0, above);
        chart.words(at, align, text, palette.quiet);
    }
    key_ui(ui, palette, &plane.told);
    key_ui(ui, palette, PLANE_KEY);
}

/// Half the side of what is in sight, arcminutes.
fn extent(plane: &DifferencePlane) -> f64 {
    let reading = plane.readings.iter().flat_map(|(_, [x, y])| [x.abs(), y.abs()]);
    let reach = plane.reach.iter().flat_map(|([x, y], [_, far])| [x.abs() + far, y.abs() + far]);
    let window = plane.window.iter().flat_map(|window| {
        [window.convergence_arcmin(), window.divergence_arcmin(), window.dipvergence_arcmin()]
    });
    let most = reading.chain(reach).chain(window).fold(5.0, f64::max);
    1.08 * if most.is_finite() { most } else { 5.0 }
}
