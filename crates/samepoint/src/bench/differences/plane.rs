//! The plane of differences: what the station showed, what the rings can reach, the window's box.

use egui::{Align2, FontId, Pos2, Shape, Stroke, Ui, vec2};

use super::Plane;
use crate::bench::views::parts::{Axes, canvas, told_ui};
use crate::theme::Palette;

/// Room for the words below, points.
const WORDS: f32 = 118.0;

/// Shows it.
pub fn differences_ui(ui: &mut Ui, palette: &Palette, height: f32, plane: &Plane) {
    let telling = format!("Differences, right less left. {}", plane.told);
    let (rect, response) = canvas(ui, 1.0, height, WORDS, &telling);
    let half = extent(plane);
    let axes = Axes::new(rect, [-half, half], [-half, half]);
    let painter = ui.painter_at(response.rect);
    painter.rect_filled(response.rect, 3.0, palette.field);
    let place = |at: [f64; 2]| axes.place(at);
    let middle = place([0.0, 0.0]);
    let faint = Stroke::new(1.0, palette.line);
    painter.hline(response.rect.x_range(), middle.y, faint);
    painter.vline(middle.x, response.rect.y_range(), faint);
    if let Some((centre, [near, far])) = plane.reach {
        let scale = (axes.place([1.0, 0.0]).x - middle.x).abs();
        for radius in [near, far] {
            let radius = (radius as f32) * scale;
            painter.circle_stroke(place(centre), radius, Stroke::new(1.0, palette.quiet));
        }
        let at = place(centre);
        painter.line_segment(
            [at - vec2(5.0, 0.0), at + vec2(5.0, 0.0)],
            Stroke::new(1.0, palette.quiet),
        );
        painter.line_segment(
            [at - vec2(0.0, 5.0), at + vec2(0.0, 5.0)],
            Stroke::new(1.0, palette.quiet),
        );
    }
    if let Some(window) = &plane.window {
        let up = window.dipvergence_arcmin();
        let low = place([-window.convergence_arcmin(), -up]);
        let high = place([window.divergence_arcmin(), up]);
        let edge = Stroke::new(1.5, palette.here);
        let frame = egui::Rect::from_two_pos(low, high);
        painter.rect_stroke(frame, 0.0, edge, egui::StrokeKind::Middle);
    }
    let font = FontId::proportional(11.5);
    for (number, at) in &plane.readings {
        let at = place(*at);
        diamond(&painter, at, 5.0, Stroke::new(1.5, palette.text));
        let beside = at + vec2(8.0, 0.0);
        painter.text(beside, Align2::LEFT_CENTER, number, font.clone(), palette.quiet);
    }
    if let Some(at) = plane.setting {
        painter.circle_filled(place(at), 5.0, palette.here);
    }
    let corner = |align: Align2, text: &str| {
        // Beside the axis, not on it.
        let above = if align.y() == egui::Align::Center { vec2(0.0, 10.0) } else { vec2(0.0, 0.0) };
        let at = align.pos_in_rect(&response.rect.shrink(6.0)) - above;
        painter.text(at, align, text, font.clone(), palette.quiet);
    };
    corner(Align2::RIGHT_CENTER, "eyes diverge");
    corner(Align2::LEFT_CENTER, "eyes converge");
    corner(Align2::CENTER_TOP, "right image high");
    corner(Align2::CENTER_BOTTOM, "left image high");
    let width = format!("{}′ across", paper::words::number(2.0 * half, 0));
    corner(Align2::RIGHT_BOTTOM, &width);
    told_ui(ui, palette, std::slice::from_ref(&plane.told));
    let key = "Diamonds: readings. Two rings: what the rings can reach. Box: the window. Filled \
               dot: what the setting leaves.";
    told_ui(ui, palette, &[key.to_owned()]);
}

/// Half the side of what is in sight, arcminutes.
fn extent(plane: &Plane) -> f64 {
    let reading = plane.readings.iter().flat_map(|(_, [x, y])| [x.abs(), y.abs()]);
    let reach = plane.reach.iter().flat_map(|([x, y], [_, far])| [x.abs() + far, y.abs() + far]);
    let window = plane.window.iter().flat_map(|window| {
        [window.convergence_arcmin(), window.divergence_arcmin(), window.dipvergence_arcmin()]
    });
    let most = reading.chain(reach).chain(window).fold(5.0, f64::max);
    1.08 * if most.is_finite() { most } else { 5.0 }
}

fn diamond(painter: &egui::Painter, at: Pos2, half: f32, edge: Stroke) {
    let corners = [vec2(0.0, -half), vec2(half, 0.0), vec2(0.0, half), vec2(-half, 0.0)];
    let points = corners.into_iter().map(|corner| at + corner).collect();
    painter.add(Shape::closed_line(points, edge));
}
