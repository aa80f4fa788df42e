//! A turn on a clock face: from where the ring is to where it should go.

use egui::{Color32, Pos2, Rect, Shape, Stroke, Ui, Vec2, vec2};

use crate::bench::picture::Dial;
use crate::theme::Palette;

/// Width and height, points.
const SIDE_PT: f32 = 46.0;
/// Points of an arc are this far apart, degrees.
const STEP_DEG: f64 = 4.0;

/// Draws the turn in the upper right corner of the room that is left, over what comes next. Words
/// beside it tell the same.
pub fn turn_dial(ui: &Ui, palette: &Palette, colour: Color32, dial: &Dial) {
    let room = ui.available_rect_before_wrap();
    let corner = room.right_top() + vec2(-SIDE_PT - 4.0, 0.0);
    let rect = Rect::from_min_size(corner, Vec2::splat(SIDE_PT));
    let (middle, radius) = (rect.center(), SIDE_PT / 2.0 - 7.0);
    // Up is zero, clockwise is positive; screen y runs down.
    let at = |clock_deg: f64, radius: f32| -> Pos2 {
        let rad = clock_deg.to_radians() as f32;
        middle + vec2(rad.sin(), -rad.cos()) * radius
    };
    let painter = ui.painter();
    painter.circle_stroke(middle, radius, Stroke::new(1.5, palette.line));
    painter.line_segment([at(0.0, radius), at(0.0, radius + 4.0)], Stroke::new(1.5, palette.edge));
    let turn_deg = dial.clockwise_deg;
    let end_deg = dial.from_deg + turn_deg;
    let steps = (turn_deg.abs() / STEP_DEG).ceil().clamp(1.0, 90.0) as u32;
    let arc: Vec<Pos2> = (0..=steps)
        .map(|k| at(dial.from_deg + turn_deg * f64::from(k) / f64::from(steps), radius))
        .collect();
    painter.add(Shape::line(arc, Stroke::new(4.0, colour)));
    painter.circle_filled(at(dial.from_deg, radius), 3.5, colour);
    if turn_deg.abs() >= 0.5 {
        let tip = at(end_deg, radius);
        let along = (at(end_deg + 90.0_f64.copysign(turn_deg), 1.0) - middle).normalized();
        let side = along.rot90() * 5.5;
        let head = vec![tip + along * 6.0, tip - along * 3.0 + side, tip - along * 3.0 - side];
        painter.add(Shape::convex_polygon(head, palette.here, Stroke::NONE));
    }
}
