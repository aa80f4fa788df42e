//! Markers: square for left, triangle for right, as everywhere; diamonds, dots, crosses for the rest.

use egui::{Color32, Painter, Pos2, Shape, Stroke, Vec2, vec2};
use paper::style::Marker;
use solver::Channel;

use super::{Chart, ChartPen};

/// How a marker is drawn.
#[derive(Clone, Copy, Debug)]
pub(crate) enum ChartInk {
    /// Filled.
    Filled(Color32),
    /// Its edge alone.
    Open(Color32),
    /// Filled with the first, its edge in the second.
    Edged(Color32, Color32),
}

/// The marker that stands for a channel.
pub(crate) const fn channel_marker(channel: Channel) -> Marker {
    match channel {
        Channel::Left => Marker::Square,
        Channel::Right => Marker::Triangle,
    }
}

const SQUARE: [Vec2; 4] = [vec2(-0.9, -0.9), vec2(0.9, -0.9), vec2(0.9, 0.9), vec2(-0.9, 0.9)];
const TRIANGLE: [Vec2; 3] = [vec2(0.0, -1.15), vec2(1.05, 0.85), vec2(-1.05, 0.85)];
const DIAMOND: [Vec2; 4] = [vec2(0.0, -1.0), vec2(1.0, 0.0), vec2(0.0, 1.0), vec2(-1.0, 0.0)];

/// A marker's corners about its middle, for half a size of one; none for what has no corners.
pub(crate) const fn corners(marker: Marker) -> &'static [Vec2] {
    match marker {
        Marker::Square | Marker::SquareCrossed => &SQUARE,
        Marker::Triangle | Marker::TriangleCrossed => &TRIANGLE,
        Marker::Diamond => &DIAMOND,
        Marker::Dot | Marker::Cross => &[],
    }
}

/// A marker `half` points to each side of a place.
pub(crate) fn marker(painter: &Painter, at: Pos2, marker: Marker, half: f32, ink: ChartInk) {
    turned(painter, at, vec2(0.0, -1.0), marker, half, ink);
}

/// The same, its upper side toward `up`.
pub(crate) fn turned(
    painter: &Painter,
    at: Pos2,
    up: Vec2,
    marker: Marker,
    half: f32,
    ink: ChartInk,
) {
    let (fill, edge) = match ink {
        ChartInk::Filled(colour) => (colour, Stroke::NONE),
        ChartInk::Open(colour) => (Color32::TRANSPARENT, Stroke::new(1.5, colour)),
        ChartInk::Edged(colour, edge) => (colour, Stroke::new(1.5, edge)),
    };
    let right = up.rot90();
    let to = |corner: Vec2| at + (right * corner.x - up * corner.y) * half;
    match marker {
        Marker::Dot => {
            painter.circle(at, half, fill, edge);
        }
        Marker::Cross => {
            let pen =
                ChartPen::new(edge.width.max(1.0), if fill.a() > 0 { fill } else { edge.color });
            for arm in [vec2(1.0, 0.0), vec2(0.0, 1.0)] {
                pen.draw(painter, &[to(-arm), to(arm)]);
            }
        }
        _ => {
            let points = corners(marker).iter().copied().map(to).collect();
            painter.add(Shape::convex_polygon(points, fill, edge));
        }
    }
}

/// An arrow's head about a place, pointing along.
pub(crate) fn arrow_head(painter: &Painter, at: Pos2, along: Vec2, size: f32, colour: Color32) {
    let (along, side) = (along * size, along.rot90() * 0.5 * size);
    let points = vec![at + along * 0.6, at - along * 0.4 + side, at - along * 0.4 - side];
    painter.add(Shape::convex_polygon(points, colour, Stroke::NONE));
}

impl Chart<'_> {
    /// A marker at a point.
    pub(crate) fn mark(&self, at: [f64; 2], what: Marker, half: f32, ink: ChartInk) {
        marker(&self.painter, self.place(at), what, half, ink);
    }

    /// A short level line at a point, `half` points to each side.
    pub(crate) fn dash(&self, at: [f64; 2], half: f32, pen: ChartPen) {
        let at = self.place(at);
        pen.draw(&self.painter, &[at - vec2(half, 0.0), at + vec2(half, 0.0)]);
    }

    /// An arrow from point to point.
    pub(crate) fn arrow(&self, from: [f64; 2], to: [f64; 2], pen: ChartPen) {
        let (from, to) = (self.place(from), self.place(to));
        let along = (to - from).normalized();
        pen.draw(&self.painter, &[from, to - along * 5.0]);
        arrow_head(&self.painter, to - along * 5.4, along, 9.0, pen.colour());
    }
}
