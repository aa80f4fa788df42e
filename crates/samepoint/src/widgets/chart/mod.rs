//! The one painter of charts: each maps, marks, numbers and tells alike.
//!
//! - [`map`]: from what is charted to the screen, with one scale both ways where shape matters;
//! - [`clock`]: the same for dials; [`steps`]: ranges with an edge, round steps;
//! - [`canvas`]: the room of a chart, its words for whom does not see it, and for a chart with nothing in it;
//! - [`axes`]: field, frame, numbers and names along the edges; [`labels`]: words that stay in sight;
//! - [`pen`], [`marks`]: lines and markers, left and right told apart without their colours;
//! - [`points`]: choosing a point by pointer or by arrow keys;
//! - [`grey`]: a camera's picture under all that, never brighter than the room bears.

mod axes;
mod canvas;
mod clock;
mod grey;
mod labels;
mod map;
mod marks;
mod pen;
mod points;
mod steps;

use egui::{Painter, Pos2, Rect, Ui};

pub(crate) use axes::{Numbers, within_axes};
pub(crate) use canvas::{canvas_ui, empty_ui, fitted, key_ui, room_ui, told_ui};
pub(crate) use clock::ClockChart;
pub(crate) use grey::{GreyImage, GreyTexture, range};
pub(crate) use map::Map;
pub(crate) use marks::{ChartInk, arrow_head, channel_marker, corners, marker, turned};
pub(crate) use pen::ChartPen;
pub(crate) use points::PointAtHand;
pub(crate) use steps::{around, decimals, round_marks, round_step, round_values};

use crate::theme::Palette;

/// A chart being drawn.
pub(crate) struct Chart<'a> {
    /// Its colours.
    pub(crate) palette: &'a Palette,
    /// Where things lie.
    pub(crate) map: Map,
    room: Rect,
    painter: Painter,
    /// Where words stand already.
    taken: Vec<Rect>,
}

impl<'a> Chart<'a> {
    /// A chart in its room, which holds the map's field and what stands round it.
    pub(crate) fn new(ui: &Ui, palette: &'a Palette, room: Rect, map: Map) -> Self {
        Self { palette, map, room, painter: ui.painter_at(room), taken: Vec::new() }
    }

    /// Where a point lies on the screen.
    pub(crate) fn place(&self, at: [f64; 2]) -> Pos2 {
        self.map.place(at)
    }

    /// Ink that stays in the field.
    fn inside(&self) -> Painter {
        let field = self.map.rect().expand(1.0).intersect(self.painter.clip_rect());
        self.painter.with_clip_rect(field)
    }
}
