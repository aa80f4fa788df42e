//! Field, frame, numbers and names along the edges.

use egui::{Align2, Color32, Rect, Stroke, StrokeKind, pos2, vec2};

use super::{Chart, Pen};

/// Points left of a field, above, right of and below it: numbers at the left, a name above, numbers and
/// a name below.
const LEFT: f32 = 52.0;
const ABOVE: f32 = 18.0;
const RIGHT: f32 = 12.0;
const BELOW: f32 = 34.0;

/// The field of a room whose axes have numbers and names.
#[must_use]
pub fn within_axes(room: Rect) -> Rect {
    Rect::from_min_max(room.min + vec2(LEFT, ABOVE), room.max - vec2(RIGHT, BELOW))
}

/// Numbers along an axis.
pub struct Numbers {
    /// Whether a line runs through the field from each.
    pub lines: bool,
    /// Whether they stand inside the field, so many points from its edge, beside their lines.
    pub inside: Option<f32>,
}

impl Numbers {
    /// Outside the field, with a line from each.
    pub const GRID: Self = Self { lines: true, inside: None };
    /// Outside the field, without lines.
    pub const PLAIN: Self = Self { lines: false, inside: None };

    /// Inside the field, so many points from its edge, with a line from each.
    #[must_use]
    pub const fn inside(pt: f32) -> Self {
        Self { lines: true, inside: Some(pt) }
    }
}

impl Chart<'_> {
    /// The ground of the field.
    pub fn field(&self, colour: Color32) {
        self.painter.rect_filled(self.map.rect(), 3.0, colour);
    }

    /// The edge of the field.
    pub fn frame(&self, colour: Color32) {
        let edge = Stroke::new(1.0, colour);
        let kind = if self.map.rect() == self.painter.clip_rect() {
            StrokeKind::Inside
        } else {
            StrokeKind::Outside
        };
        self.painter.rect_stroke(self.map.rect(), 0.0, edge, kind);
    }

    /// Numbers along x; what lies outside the field or has no room is left out.
    pub fn across(&mut self, how: &Numbers, marks: impl IntoIterator<Item = (f64, String)>) {
        let rect = self.map.rect();
        for (value, text) in marks {
            let x = self.map.x(value);
            if !rect.expand(0.5).x_range().contains(x) {
                continue;
            }
            if how.lines {
                self.upright(value, Pen::new(1.0, self.palette.line));
            }
            match how.inside {
                Some(pt) if x + 24.0 > rect.right() || x < rect.left() + pt => continue,
                Some(pt) => {
                    self.number(pos2(x + 2.0, rect.bottom() - pt), Align2::LEFT_BOTTOM, &text)
                }
                None => self.number(pos2(x, rect.bottom() + 3.0), Align2::CENTER_TOP, &text),
            };
        }
    }

    /// Numbers along y, as [`Chart::across`].
    pub fn up(&mut self, how: &Numbers, marks: impl IntoIterator<Item = (f64, String)>) {
        let rect = self.map.rect();
        for (value, text) in marks {
            let y = self.map.y(value);
            if !rect.expand(0.5).y_range().contains(y) {
                continue;
            }
            if how.lines {
                self.level(value, Pen::new(1.0, self.palette.line));
            }
            match how.inside {
                Some(_) if y < rect.top() + 12.0 => continue,
                Some(pt) => self.number(pos2(rect.left() + pt, y), Align2::LEFT_BOTTOM, &text),
                None => self.number(pos2(rect.left() - 4.0, y), Align2::RIGHT_CENTER, &text),
            };
        }
    }

    /// A short mark inside the lower edge at `x` and inside the left edge at `y`.
    pub fn ticks(&self, [x, y]: [f64; 2], length: f32, colour: Color32) {
        let (rect, at, pen) = (self.map.rect(), self.place([x, y]), Pen::new(1.0, colour));
        let below = pos2(at.x, rect.bottom());
        pen.draw(&self.painter, &[below, below - vec2(0.0, length)]);
        let left = pos2(rect.left(), at.y);
        pen.draw(&self.painter, &[left, left + vec2(length, 0.0)]);
    }

    /// The name of x below its numbers, that of y above the field: neither covers what is charted.
    pub fn names(&mut self, [across, up]: [impl AsRef<str>; 2], [of_x, of_y]: [Color32; 2]) {
        let rect = self.map.rect();
        let below = pos2(rect.center().x, rect.bottom() + BELOW - 1.0);
        self.words(below, Align2::CENTER_BOTTOM, across.as_ref(), of_x);
        let above = pos2(rect.left(), rect.top() - 2.0);
        self.words(above, Align2::LEFT_BOTTOM, up.as_ref(), of_y);
    }
}
