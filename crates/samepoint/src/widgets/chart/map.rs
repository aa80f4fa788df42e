//! From what is charted to the screen and back: x to the right, y up.

use egui::{Pos2, Rect, pos2};

/// Where what has no place is put, so that it is not seen.
const NOWHERE: f32 = -1e6;

/// A field on the screen and the ranges it shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Map {
    rect: Rect,
    x: [f64; 2],
    y: [f64; 2],
}

impl Map {
    /// Each range over the whole field.
    pub(crate) const fn new(rect: Rect, x: [f64; 2], y: [f64; 2]) -> Self {
        Self { rect, x, y }
    }

    /// One scale both ways, the largest that leaves `margin` points round the ranges; they are widened
    /// about their middles to fill the field.
    pub(crate) fn equal(rect: Rect, margin: f32, x: [f64; 2], y: [f64; 2]) -> Self {
        let room = |side: f32| f64::from((side - 2.0 * margin).max(1.0));
        let pt = (room(rect.width()) / (x[1] - x[0])).min(room(rect.height()) / (y[1] - y[0]));
        let widened = |[low, high]: [f64; 2], side: f32| {
            let (middle, half) = (f64::midpoint(low, high), f64::from(side) / (2.0 * pt));
            [middle - half, middle + half]
        };
        Self { rect, x: widened(x, rect.width()), y: widened(y, rect.height()) }
    }

    /// The field.
    pub(crate) const fn rect(&self) -> Rect {
        self.rect
    }

    /// What the field shows, x and y.
    pub(crate) const fn ranges(&self) -> [[f64; 2]; 2] {
        [self.x, self.y]
    }

    /// How far across a value lies.
    pub(crate) fn x(&self, value: f64) -> f32 {
        between([self.rect.left(), self.rect.right()], share(self.x, value))
    }

    /// How far down a value lies.
    pub(crate) fn y(&self, value: f64) -> f32 {
        between([self.rect.bottom(), self.rect.top()], share(self.y, value))
    }

    /// Where a point lies.
    pub(crate) fn place(&self, [x, y]: [f64; 2]) -> Pos2 {
        pos2(self.x(x), self.y(y))
    }

    /// What lies at a place.
    pub(crate) fn value(&self, at: Pos2) -> [f64; 2] {
        let across = f64::from((at.x - self.rect.left()) / self.rect.width());
        let up = f64::from((self.rect.bottom() - at.y) / self.rect.height());
        [self.x[0] + across * (self.x[1] - self.x[0]), self.y[0] + up * (self.y[1] - self.y[0])]
    }

    /// How long a length is across, and how long up, points.
    pub(crate) fn lengths(&self, length: f64) -> [f32; 2] {
        let of = |[low, high]: [f64; 2], side: f32| (length / (high - low)) as f32 * side;
        [of(self.x, self.rect.width()), of(self.y, self.rect.height())]
    }

    /// What lies between two corners.
    pub(crate) fn area(&self, from: [f64; 2], to: [f64; 2]) -> Rect {
        Rect::from_two_pos(self.place(from), self.place(to))
    }
}

fn share([low, high]: [f64; 2], value: f64) -> f32 {
    ((value - low) / (high - low)) as f32
}

fn between([from, to]: [f32; 2], share: f32) -> f32 {
    let at = from + share * (to - from);
    if at.is_finite() { at } else { NOWHERE }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    fn field() -> Rect {
        Rect::from_min_size(pos2(10.0, 20.0), vec2(200.0, 100.0))
    }

    #[test]
    fn places_run_right_and_up_and_lead_back() {
        let map = Map::new(field(), [-1.0, 1.0], [0.0, 50.0]);
        assert_eq!(map.place([-1.0, 0.0]), pos2(10.0, 120.0));
        assert_eq!(map.place([1.0, 50.0]), pos2(210.0, 20.0));
        assert_eq!(map.value(pos2(110.0, 70.0)), [0.0, 25.0]);
        assert_eq!(map.lengths(1.0), [100.0, 2.0]);
    }

    /// A circle stays a circle, and what was asked for is in sight with its margin.
    #[test]
    fn one_scale_both_ways_holds_both_ranges() {
        for (x, y) in [([-3.0, 5.0], [-1.0, 1.0]), ([0.0, 1.0], [-9.0, 9.0])] {
            let map = Map::equal(field(), 7.0, x, y);
            let [across, up] = map.lengths(1.0);
            assert!((across - up).abs() < 1e-3, "{across} {up}");
            let seen = field().shrink(7.0 - 1e-3);
            assert!(seen.contains_rect(map.area([x[0], y[0]], [x[1], y[1]])), "{x:?} {y:?}");
        }
    }

    #[test]
    fn what_has_no_place_is_out_of_sight() {
        for map in [
            Map::new(field(), [2.0, 2.0], [0.0, f64::NAN]),
            Map::equal(field(), 0.0, [0.0, 0.0], [0.0, 0.0]),
        ] {
            let at = map.place([1.0, 1.0]);
            assert!(at.x.is_finite() && at.y.is_finite());
            assert!(!field().contains(at), "{at:?}");
        }
    }
}
