//! Lines: whole, dashed or dotted, so that what they stand for is not told by colour alone.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke};
use solver::Channel;

use super::Chart;

#[derive(Clone, Copy, Debug)]
enum Dash {
    Whole,
    /// Dashes and gaps, points.
    Dashed(f32, f32),
    Dotted,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ChartPen {
    stroke: Stroke,
    dash: Dash,
}

impl ChartPen {
    /// A whole line, `width` points wide.
    pub(crate) const fn new(width: f32, colour: Color32) -> Self {
        Self { stroke: Stroke { width, color: colour }, dash: Dash::Whole }
    }

    /// In dashes.
    pub(crate) const fn dashed(self) -> Self {
        Self { dash: Dash::Dashed(7.0, 4.0), ..self }
    }

    /// In short dashes: a limit.
    pub(crate) const fn fine(self) -> Self {
        Self { dash: Dash::Dashed(4.0, 3.0), ..self }
    }

    /// In dots.
    pub(crate) const fn dotted(self) -> Self {
        Self { dash: Dash::Dotted, ..self }
    }

    /// Whole for left, dashed for right.
    pub(crate) const fn of(self, channel: Channel) -> Self {
        match channel {
            Channel::Left => self,
            Channel::Right => Self { dash: Dash::Dashed(9.0, 5.0), ..self },
        }
    }

    /// Draws through places on the screen.
    pub(crate) fn draw(self, painter: &Painter, points: &[Pos2]) {
        if points.len() < 2 {
            return;
        }
        match self.dash {
            Dash::Whole => {
                painter.add(Shape::line(points.to_vec(), self.stroke));
            }
            Dash::Dashed(dash, gap) => {
                painter.extend(Shape::dashed_line(points, self.stroke, dash, gap));
            }
            Dash::Dotted => {
                let radius = self.stroke.width * 0.8;
                painter.extend(Shape::dotted_line(points, self.stroke.color, 5.0, radius));
            }
        }
    }

    /// Its colour.
    pub(crate) const fn colour(self) -> Color32 {
        self.stroke.color
    }

    pub(super) const fn stroke(self) -> Stroke {
        self.stroke
    }
}

impl Chart<'_> {
    /// A line through points, inside the field.
    pub(crate) fn line(&self, points: impl IntoIterator<Item = [f64; 2]>, pen: ChartPen) {
        let places: Vec<Pos2> = points.into_iter().map(|at| self.place(at)).collect();
        pen.draw(&self.inside(), &places);
    }

    /// A line through places on the screen.
    pub(crate) fn path(&self, places: &[Pos2], pen: ChartPen) {
        pen.draw(&self.inside(), places);
    }

    /// A shape with corners on the screen, its ground and its edge.
    pub(crate) fn shape(&self, corners: &[Pos2], ground: Color32, edge: Color32) {
        let edge = Stroke::new(1.0, edge);
        self.inside().add(Shape::convex_polygon(corners.to_vec(), ground, edge));
    }

    /// A line that closes.
    pub(crate) fn outline(&self, points: impl IntoIterator<Item = [f64; 2]>, pen: ChartPen) {
        let mut places: Vec<Pos2> = points.into_iter().map(|at| self.place(at)).collect();
        places.extend(places.first().copied());
        pen.draw(&self.inside(), &places);
    }

    /// A rectangle between two corners.
    pub(crate) fn square(&self, from: [f64; 2], to: [f64; 2], pen: ChartPen) {
        self.outline([from, [to[0], from[1]], to, [from[0], to[1]]], pen);
    }

    /// A rectangle between two corners, filled.
    pub(crate) fn filled(&self, from: [f64; 2], to: [f64; 2], colour: Color32) {
        self.painter.rect_filled(self.map.area(from, to), 0.0, colour);
    }

    /// A line across the whole field.
    pub(crate) fn level(&self, y: f64, pen: ChartPen) {
        let [[low, high], _] = self.map.ranges();
        self.line([[low, y], [high, y]], pen);
    }

    /// A line up the whole field.
    pub(crate) fn upright(&self, x: f64, pen: ChartPen) {
        let [_, [low, high]] = self.map.ranges();
        self.line([[x, low], [x, high]], pen);
    }

    /// A circle of a radius in what is charted; in a chart with one scale both ways.
    pub(crate) fn circle(&self, centre: [f64; 2], radius: f64, pen: ChartPen) {
        let [radius, _] = self.map.lengths(radius);
        self.inside().circle_stroke(self.place(centre), radius, pen.stroke());
    }

    /// A crosshair through the whole field, open in the middle by `gap` points.
    pub(crate) fn crosshair(&self, at: [f64; 2], gap: f32, pen: ChartPen) {
        let (rect, at) = (self.map.rect(), self.place(at));
        let open = Rect::from_center_size(at, egui::Vec2::splat(2.0 * gap));
        let arms = [
            [rect.left_center(), open.left_center(), open.right_center(), rect.right_center()]
                .map(|end| Pos2::new(end.x, at.y)),
            [rect.center_top(), open.center_top(), open.center_bottom(), rect.center_bottom()]
                .map(|end| Pos2::new(at.x, end.y)),
        ];
        for [from, near, far, to] in arms {
            pen.draw(&self.inside(), &[from, near]);
            pen.draw(&self.inside(), &[far, to]);
        }
    }
}
