//! A display list → shapes on screen, through the plot's transform.

use std::sync::Arc;

use egui::epaint::PathStroke;
use egui::{Color32, Pos2, Rect, Shape, Stroke, Ui, Vec2, vec2};
use egui_plot::{PlotPoint, PlotTransform};
use paper::scene::{Item, Scene};
use paper::style::{Marker, Style, style};
use paper::{Role, Shape as SceneShape};
use solver::Direction;

use super::labels::{Labels, PlacedLabel};
use crate::theme::Palette;
use crate::widgets::chart::corners;

/// Points on a dashed circle: under half a degree each.
const CIRCLE_POINTS: u16 = 720;

/// Draws every item of a scene.
pub(super) fn paint(
    scene: &Scene,
    palette: &Palette,
    ui: &Ui,
    transform: &PlotTransform,
    shapes: &mut Vec<Shape>,
) {
    let labels = Labels::of(scene, palette, ui, *transform.frame(), |at| place(transform, at));
    paint_items(scene.beneath(), &labels, palette, transform, shapes);
    for marked in scene.marks().iter() {
        paint_shape(marked.role(), &marked.shape(), palette, transform, shapes);
    }
    paint_items(scene.above(), &labels, palette, transform, shapes);
}

/// Draws items.
pub(super) fn paint_items(
    items: &[Item],
    labels: &Labels,
    palette: &Palette,
    transform: &PlotTransform,
    shapes: &mut Vec<Shape>,
) {
    for item in items {
        if !matches!(item.shape, SceneShape::Text { .. }) {
            paint_shape(item.role, &item.shape, palette, transform, shapes);
        } else if let Some(PlacedLabel { rect, galley, colour, .. }) = labels.get(item.id) {
            let ground = palette.field.gamma_multiply(0.8);
            shapes.push(Shape::rect_filled(rect.expand2(vec2(4.0, 1.0)), 3.0, ground));
            shapes.push(Shape::galley(rect.min, Arc::clone(galley), *colour));
        }
    }
}

/// Draws what stands for something.
pub(super) fn paint_shape(
    role: Role,
    shape: &SceneShape,
    palette: &Palette,
    transform: &PlotTransform,
    shapes: &mut Vec<Shape>,
) {
    Brush { palette, transform, style: style(role) }.draw(shape, shapes, palette.role(role));
}

/// Where a direction is on screen; `None` for what has no place there.
pub(super) fn place(transform: &PlotTransform, direction: Direction) -> Option<Pos2> {
    // egui's own arithmetic panics on numbers that are not finite: none get past here.
    if !direction.is_finite() {
        return None;
    }
    let at = transform.position_from_point(&PlotPoint::new(direction.x_arcmin, direction.y_arcmin));
    (at.x.is_finite() && at.y.is_finite()).then_some(at)
}

/// The direction drawn at a place on screen; `None` before there is a view.
pub(super) fn direction_at(transform: &PlotTransform, at: Pos2) -> Option<Direction> {
    let point = transform.value_from_position(at);
    let direction = Direction::new(point.x, point.y);
    direction.is_finite().then_some(direction)
}

struct Brush<'a> {
    palette: &'a Palette,
    transform: &'a PlotTransform,
    style: Style,
}

impl Brush<'_> {
    fn place(&self, direction: Direction) -> Option<Pos2> {
        place(self.transform, direction)
    }

    fn draw(&self, shape: &SceneShape, shapes: &mut Vec<Shape>, colour: Color32) {
        let stroke = Stroke::new(self.style.width_pt, colour);
        match shape {
            SceneShape::Circle { centre, radius_arcmin } => {
                let points: Vec<Pos2> = (0..=CIRCLE_POINTS)
                    .filter_map(|k| {
                        let angle =
                            f64::from(k) * core::f64::consts::TAU / f64::from(CIRCLE_POINTS);
                        self.place(*centre + Direction::polar(*radius_arcmin, angle))
                    })
                    .collect();
                self.line(points, false, stroke, shapes);
            }
            SceneShape::Line { points, closed } => {
                let points: Vec<Pos2> =
                    points.iter().filter_map(|&point| self.place(point)).collect();
                self.line(points, *closed, stroke, shapes);
            }
            SceneShape::Band { outer, inner } => self.band(outer, inner, colour, shapes),
            SceneShape::Marker { at } => {
                if let Some(at) = self.place(*at) {
                    self.marker(at, colour, shapes);
                }
            }
            SceneShape::Head { tip, heading_rad } => {
                if let Some(tip) = self.place(*tip) {
                    // Screen y runs down.
                    let along = Vec2::angled(-*heading_rad as f32);
                    let (back, side) =
                        (along * -self.style.size_pt, along.rot90() * 0.6 * self.style.size_pt);
                    let points = vec![
                        tip + along * self.style.size_pt * 0.6,
                        tip + back + side,
                        tip + back - side,
                    ];
                    shapes.push(Shape::convex_polygon(points, colour, Stroke::NONE));
                }
            }
            // Words are placed together: `labels`.
            SceneShape::Text { .. } => {}
        }
    }

    fn line(&self, mut points: Vec<Pos2>, closed: bool, stroke: Stroke, shapes: &mut Vec<Shape>) {
        if closed && let Some(&first) = points.first() {
            points.push(first);
        }
        if points.len() < 2 {
            return;
        }
        match self.style.dash_pt {
            Some([dash, gap]) => {
                // Dashes off the screen are many and seen by nobody.
                let near = self.transform.frame().expand(64.0);
                let seen = |pair: &[Pos2]| match *pair {
                    [from, to] => {
                        near.intersects(Rect::from_two_pos(from, to))
                            && from.distance(to) < 4.0 * near.width()
                    }
                    _ => false,
                };
                // Runs of pieces that are near the screen, each dashed from its own beginning.
                let mut run: Vec<Pos2> = Vec::new();
                for pair in points.windows(2) {
                    if seen(pair) {
                        if run.is_empty() {
                            run.extend(pair.first());
                        }
                        run.extend(pair.get(1));
                    } else if !run.is_empty() {
                        shapes.extend(Shape::dashed_line(&run, stroke, dash, gap));
                        run.clear();
                    }
                }
                if !run.is_empty() {
                    shapes.extend(Shape::dashed_line(&run, stroke, dash, gap));
                }
            }
            None => shapes.push(Shape::line(points, PathStroke::from(stroke))),
        }
    }

    /// A band as a strip of triangles: faint inside, so that what lies beneath is seen.
    fn band(
        &self,
        outer: &[Direction],
        inner: &[Direction],
        colour: Color32,
        shapes: &mut Vec<Shape>,
    ) {
        let mut mesh = egui::Mesh::default();
        let mut edges = 0_u32;
        for (&out, &inn) in outer.iter().zip(inner) {
            let (Some(out), Some(inn)) = (self.place(out), self.place(inn)) else { return };
            mesh.colored_vertex(out, colour);
            mesh.colored_vertex(inn, colour);
            edges += 1;
        }
        for k in 0..edges {
            let (this, next) = (2 * k, 2 * ((k + 1) % edges));
            mesh.add_triangle(this, this + 1, next);
            mesh.add_triangle(next, this + 1, next + 1);
        }
        shapes.push(Shape::mesh(mesh));
    }

    fn marker(&self, at: Pos2, colour: Color32, shapes: &mut Vec<Shape>) {
        let half = self.style.size_pt;
        match self.style.marker {
            Marker::Dot => {
                shapes.push(Shape::circle_filled(at, half, colour));
                return;
            }
            Marker::Cross => {
                let stroke = Stroke::new(self.style.width_pt, colour);
                for arm in [vec2(half, 0.0), vec2(0.0, half)] {
                    shapes.push(Shape::line_segment([at - arm, at + arm], stroke));
                }
                return;
            }
            _ => {}
        }
        let points: Vec<Pos2> =
            corners(self.style.marker).iter().map(|&corner| at + corner * half).collect();
        let (fill, edge) = if self.style.filled {
            // A dark rim keeps a filled marker apart from the lines it stands on.
            (colour, Stroke::new(1.5, self.palette.field))
        } else {
            (self.palette.field, Stroke::new(self.style.width_pt, colour))
        };
        shapes.push(Shape::convex_polygon(points, fill, edge));
        if matches!(self.style.marker, Marker::SquareCrossed | Marker::TriangleCrossed) {
            let (arm, down) = (0.45 * half, vec2(0.0, 0.2 * half));
            for arm in [vec2(arm, 0.0), vec2(0.0, arm)] {
                shapes.push(Shape::line_segment([at + down - arm, at + down + arm], edge));
            }
        }
    }
}
