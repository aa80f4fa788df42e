//! Field, frame, numbers and names along the edges.

use egui::{Align2, Color32, Rect, Stroke, StrokeKind, pos2, vec2};

use super::{Chart, ChartPen};

/// Points left of a field, above, right of and below it: numbers at the left, a name above, numbers and
/// a name below.
const LEFT: f32 = 52.0;
const ABOVE: f32 = 18.0;
const RIGHT: f32 = 12.0;
const BELOW: f32 = 34.0;

/// The field of a room whose axes have numbers and names.
pub(crate) fn within_axes(room: Rect) -> Rect {
    Rect::from_min_max(room.min + vec2(LEFT, ABOVE), room.max - vec2(RIGHT, BELOW))
}

/// Where the numbers of an axis stand.
#[derive(Clone, Copy)]
pub(crate) enum Numbers {
    /// Outside the field, with a line through it from each.
    Grid,
    /// Outside the field, without lines.
    Plain,
    /// Inside, so many points from its edge, beside a line from each.
    Inside(f32),
}

impl Chart<'_> {
    /// The ground of the field.
    pub(crate) fn field(&self, colour: Color32) {
        self.painter.rect_filled(self.map.rect(), 3.0, colour);
    }

    /// The edge of the field.
    pub(crate) fn frame(&self, colour: Color32) {
        let edge = Stroke::new(1.0, colour);
        let kind =
            if self.map.rect() == self.room { StrokeKind::Inside } else { StrokeKind::Outside };
        self.painter.rect_stroke(self.map.rect(), 0.0, edge, kind);
    }

    /// Numbers along x; what lies outside the field or has no room is left out.
    pub(crate) fn across(&mut self, how: Numbers, marks: impl IntoIterator<Item = (f64, String)>) {
        let (rect, pen) = (self.map.rect(), ChartPen::new(1.0, self.palette.line));
        for (value, text) in marks {
            let x = self.map.x(value);
            let seen = rect.expand(0.5).x_range().contains(x);
            if seen && !matches!(how, Numbers::Plain) {
                self.upright(value, pen);
            }
            match how {
                Numbers::Inside(pt) if x > rect.left() + pt && x + 24.0 < rect.right() => {
                    self.number(pos2(x + 2.0, rect.bottom() - pt), Align2::LEFT_BOTTOM, &text);
                }
                Numbers::Grid | Numbers::Plain if seen => {
                    self.number(pos2(x, rect.bottom() + 3.0), Align2::CENTER_TOP, &text);
                }
                _ => {}
            }
        }
    }

    /// Numbers along y, as [`Chart::across`].
    pub(crate) fn up(&mut self, how: Numbers, marks: impl IntoIterator<Item = (f64, String)>) {
        let (rect, pen) = (self.map.rect(), ChartPen::new(1.0, self.palette.line));
        for (value, text) in marks {
            let y = self.map.y(value);
            let seen = rect.expand(0.5).y_range().contains(y);
            if seen && !matches!(how, Numbers::Plain) {
                self.level(value, pen);
            }
            match how {
                Numbers::Inside(pt) if seen && y > rect.top() + 12.0 => {
                    self.number(pos2(rect.left() + pt, y), Align2::LEFT_BOTTOM, &text);
                }
                Numbers::Grid | Numbers::Plain if seen => {
                    self.number(pos2(rect.left() - 4.0, y), Align2::RIGHT_CENTER, &text);
                }
                _ => {}
            }
        }
    }

    /// A short mark inside the lower edge at `x` and inside the left edge at `y`.
    pub(crate) fn ticks(&self, [x, y]: [f64; 2], length: f32, colour: Color32) {
        let (rect, at, pen) = (self.map.rect(), self.place([x, y]), ChartPen::new(1.0, colour));
        let below = pos2(at.x, rect.bottom());
        pen.draw(&self.painter, &[below, below - vec2(0.0, length)]);
        let left = pos2(rect.left(), at.y);
        pen.draw(&self.painter, &[left, left + vec2(length, 0.0)]);
    }

    /// The name of x below its numbers, that of y above the field: neither covers what is charted.
    pub(crate) fn names(&mut self, [across, up]: [impl AsRef<str>; 2], [of_x, of_y]: [Color32; 2]) {
        let rect = self.map.rect();
        let below = pos2(rect.center().x, rect.bottom() + BELOW - 1.0);
        self.words(below, Align2::CENTER_BOTTOM, across.as_ref(), of_x);
        let above = pos2(rect.left(), rect.top() - 2.0);
        self.words(above, Align2::LEFT_BOTTOM, up.as_ref(), of_y);
    }
}
