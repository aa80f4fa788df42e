//! A turn on a clock face: from where the ring is to where it should go.

use egui::{Color32, Pos2, Rect, Ui, Vec2, vec2};
use paper::style::Marker;

use super::chart::{ChartInk, ChartPen, ClockChart, arrow_head, marker};
use crate::theme::Palette;

/// Width and height, points.
const SIDE_PT: f32 = 46.0;
/// Points of an arc are this far apart, degrees.
const STEP_DEG: f64 = 4.0;

/// A turn on a clock face, seen as one looks into the eyepiece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dial {
    /// Where it starts, degrees clockwise from up.
    pub from_deg: f64,
    /// How far it goes, degrees, clockwise positive.
    pub clockwise_deg: f64,
}

/// Draws the turn in the upper right corner of the room that is left, over what comes next. Words
/// beside it tell the same.
pub(crate) fn turn_dial(ui: &Ui, palette: &Palette, colour: Color32, dial: &Dial) {
    let room = ui.available_rect_before_wrap();
    let corner = room.right_top() + vec2(-SIDE_PT - 4.0, 0.0);
    let rect = Rect::from_min_size(corner, Vec2::splat(SIDE_PT));
    let (clock, radius) = (ClockChart { middle: rect.center() }, SIDE_PT / 2.0 - 7.0);
    let painter = ui.painter();
    marker(painter, clock.middle, Marker::Dot, radius, ChartInk::Open(palette.line));
    let top = [clock.at(0.0, radius), clock.at(0.0, radius + 4.0)];
    ChartPen::new(1.5, palette.edge).draw(painter, &top);
    let turn_deg = dial.clockwise_deg;
    let steps = (turn_deg.abs() / STEP_DEG).ceil().clamp(1.0, 90.0) as u32;
    let turned = |k: u32| dial.from_deg + turn_deg * f64::from(k) / f64::from(steps);
    let arc: Vec<Pos2> = (0..=steps).map(|k| clock.at(turned(k), radius)).collect();
    ChartPen::new(4.0, colour).draw(painter, &arc);
    marker(painter, clock.at(dial.from_deg, radius), Marker::Dot, 3.5, ChartInk::Filled(colour));
    if turn_deg.abs() >= 0.5 {
        let end_deg = turned(steps);
        let along = ClockChart::outward(end_deg + 90.0_f64.copysign(turn_deg));
        arrow_head(painter, clock.at(end_deg, radius), along, 10.0, palette.here);
    }
}
