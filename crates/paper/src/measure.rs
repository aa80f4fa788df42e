//! From one place in the field to another: how far, and which way.

use solver::Direction;

use crate::scene::{Anchor, ItemId, MeasureEnd, Role, Scene, Shape};
use crate::words;

/// One end of a measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredEnd {
    /// Where.
    pub at: Direction,
    /// What is there, when it was snapped to something.
    pub on: Option<String>,
}

impl MeasuredEnd {
    fn told(&self) -> String {
        self.on.clone().unwrap_or_else(|| words::direction(self.at))
    }
}

/// The measurement in figures: `Δx 12.3′  Δy −4.0′  12.9′ apart`.
#[must_use]
pub fn figures(from: Direction, to: Direction) -> String {
    let apart = to - from;
    format!(
        "Δx {}  Δy {}  {} apart",
        words::arcmin(apart.x_arcmin),
        words::arcmin(apart.y_arcmin),
        words::arcmin(apart.boresight_arcmin())
    )
}

/// The measurement as a sentence.
#[must_use]
pub fn sentence(from: &MeasuredEnd, to: &MeasuredEnd) -> String {
    format!("From {} to {}: {}", from.told(), to.told(), figures(from.at, to.at))
}

/// Draws a measurement, or its beginning.
#[must_use]
pub fn measure_scene(from: &MeasuredEnd, to: Option<&MeasuredEnd>) -> Scene {
    let mut scene = Scene::default();
    let mut end = |which, end: &MeasuredEnd| {
        let shape = Shape::Marker { at: end.at };
        let words = format!("measured: {}", end.told());
        scene.push(ItemId::MeasureEnd(which), Role::Measure, shape, words);
    };
    end(MeasureEnd::From, from);
    let Some(to) = to else { return scene };
    end(MeasureEnd::To, to);
    let line = Shape::Line { points: vec![from.at, to.at], closed: false };
    scene.push(ItemId::MeasureLine, Role::Measure, line, sentence(from, to));
    let shape = Shape::Text {
        at: from.at.midpoint(to.at),
        text: figures(from.at, to.at),
        anchor: Anchor::Above,
    };
    scene.push(ItemId::MeasureLabel, Role::Measure, shape, sentence(from, to));
    scene
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 3, −4, 5: a right triangle.
    #[test]
    fn figures_of_a_right_triangle() {
        let (from, to) = (Direction::new(1.0, 2.0), Direction::new(4.0, -2.0));
        assert_eq!(figures(from, to), "Δx 3.0′  Δy −4.0′  5.0′ apart");
    }
}
