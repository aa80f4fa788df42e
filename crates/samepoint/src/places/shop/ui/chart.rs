//! A chart whose points open their sessions: by a press, or by the keyboard, arrows stepping from point
//! to point and Enter opening.

use std::hash::Hash;

use egui::accesskit::Role;
use egui::{
    Align2, Color32, EventFilter, FontId, Id, Key, Modifiers, Painter, Pos2, Rect, Sense, Shape,
    Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use crate::places::shop::chart::{Chart, Leads, Look, Point};
use crate::theme::Palette;

/// Heights of a flat chart and of one true to shape, at most, points.
const FLAT: f32 = 240.0;
const SQUARE: f32 = 420.0;
/// Room for the numbers of the axes.
const LEFT: f32 = 52.0;
const BELOW: f32 = 34.0;
/// How near a press must be to a point.
const NEAR: f32 = 14.0;

/// Shows it; where the point leads that a hand asks for, if it does.
pub(crate) fn chart_ui(
    ui: &mut Ui,
    palette: &Palette,
    salt: impl Hash + std::fmt::Debug,
    chart: &Chart,
    width: f32,
) -> Option<Leads> {
    let id = Id::unique(("shop chart", salt));
    let room = vec2(width - LEFT - 8.0, if chart.true_shape { SQUARE } else { FLAT });
    let size = if chart.true_shape { shaped(room, chart) } else { room };
    let (all, _) = ui.allocate_exact_size(vec2(width, size.y + BELOW + 24.0), Sense::hover());
    let rect = Rect::from_min_size(all.min + vec2(LEFT, 2.0), size);
    let response = ui.interact(rect, id, Sense::click());
    let telling = format!("{}. {}", chart.title, chart.told.join(" "));
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &telling));
    let at = stepped(ui, id, chart, &response);
    let drawn = Drawn { painter: ui.painter_at(all), palette, chart, rect };
    drawn.frame(response.has_focus());
    drawn.curves();
    let pointed = response.hover_pos().and_then(|at| drawn.nearest(at));
    let chosen = pointed.or(if response.has_focus() { at } else { None });
    drawn.points(chosen);
    let words = chosen.and_then(|index| chart.points.get(index)).map(|point| point.words.as_str());
    let below = pos2(rect.left(), rect.bottom() + BELOW + 8.0);
    let hint = words.unwrap_or("Press a point to go to its session; arrows and Enter do it too.");
    let colour = if words.is_some() { palette.here } else { palette.quiet };
    drawn.painter.text(below, Align2::LEFT_CENTER, hint, FontId::proportional(12.5), colour);
    // Enter on a chart that has the keyboard is a press without a pointer.
    let asked = if response.clicked() { pointed.or(at) } else { None };
    asked.and_then(|index| chart.points.get(index)).map(|point| point.leads)
}

/// The point the keyboard is at, by its index; arrows step from left to right.
fn stepped(ui: &Ui, id: Id, chart: &Chart, response: &egui::Response) -> Option<usize> {
    if !response.has_focus() {
        return None;
    }
    let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let mut order: Vec<usize> = (0..chart.points.len()).collect();
    let x = |index: &usize| chart.points.get(*index).map_or(0.0, |point| point.at[0]);
    order.sort_by(|a, b| x(a).total_cmp(&x(b)));
    let mut place = ui.data_mut(|data| data.get_temp::<usize>(id)).unwrap_or_default();
    for (key, by) in [(Key::ArrowRight, 1), (Key::ArrowLeft, -1)] {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            place = place.saturating_add_signed(by);
        }
    }
    place = place.min(order.len().saturating_sub(1));
    ui.data_mut(|data| data.insert_temp(id, place));
    order.get(place).copied()
}

/// The largest part of a room in which both axes have one scale.
fn shaped(room: Vec2, chart: &Chart) -> Vec2 {
    let [[x0, x1], [y0, y1]] = chart.extent;
    let shape = ((x1 - x0) / (y1 - y0)) as f32;
    if !(shape.is_finite() && shape > 0.0) {
        return room;
    }
    if room.x / room.y > shape {
        vec2(room.y * shape, room.y)
    } else {
        vec2(room.x, room.x / shape)
    }
}

/// A chart being drawn.
struct Drawn<'a> {
    painter: Painter,
    palette: &'a Palette,
    chart: &'a Chart,
    rect: Rect,
}

impl Drawn<'_> {
    fn place(&self, at: [f64; 2]) -> Pos2 {
        let [[x0, x1], [y0, y1]] = self.chart.extent;
        let across = ((at[0] - x0) / (x1 - x0)) as f32;
        let up = ((at[1] - y0) / (y1 - y0)) as f32;
        let place = pos2(
            self.rect.left() + across * self.rect.width(),
            self.rect.bottom() - up * self.rect.height(),
        );
        // What has no place is put where it is not seen.
        if place.x.is_finite() && place.y.is_finite() { place } else { pos2(-1e5, -1e5) }
    }

    fn colour(&self, look: Look) -> Color32 {
        match look {
            Look::Left => self.palette.left,
            Look::Right => self.palette.right,
            Look::Plain => self.palette.here,
            Look::Quiet => self.palette.quiet,
        }
    }

    fn frame(&self, focused: bool) {
        let Self { painter, palette, rect, chart, .. } = self;
        painter.rect_filled(*rect, 3.0, palette.field);
        let edge = Stroke::new(1.0, if focused { palette.here } else { palette.line });
        painter.rect_stroke(*rect, 3.0, edge, StrokeKind::Outside);
        let small = FontId::proportional(11.5);
        let faint = Stroke::new(1.0, palette.line);
        let mut end = f32::MIN;
        for mark in &chart.marks[0] {
            let x = self.place([mark.at, 0.0]).x;
            let text = painter.layout_no_wrap(mark.text.clone(), small.clone(), palette.quiet);
            let from = x - text.size().x / 2.0;
            // Names that would run into each other are left away.
            if !rect.x_range().contains(x) || from < end + 4.0 || from < rect.left() - LEFT {
                continue;
            }
            let room = painter.clip_rect().right() - text.size().x;
            end = from + text.size().x;
            painter.vline(x, rect.y_range(), faint);
            painter.galley(pos2(from.min(room), rect.bottom() + 3.0), text, palette.quiet);
        }
        for mark in &chart.marks[1] {
            let y = self.place([0.0, mark.at]).y;
            if rect.y_range().contains(y) {
                painter.hline(rect.x_range(), y, faint);
                let at = pos2(rect.left() - 4.0, y);
                painter.text(at, Align2::RIGHT_CENTER, &mark.text, small.clone(), palette.quiet);
            }
        }
        let [across, up] = &chart.names;
        let below = pos2(rect.right(), rect.bottom() + 24.0);
        painter.text(below, Align2::RIGHT_CENTER, across, small.clone(), palette.quiet);
        let above = rect.left_top() + vec2(6.0, 3.0);
        painter.text(above, Align2::LEFT_TOP, up, small, palette.quiet);
    }

    fn curves(&self) {
        let clipped = self.painter.with_clip_rect(self.rect);
        for curve in &self.chart.curves {
            let points: Vec<Pos2> = curve.points.iter().map(|at| self.place(*at)).collect();
            let stroke = Stroke::new(1.5, self.colour(curve.look));
            if curve.dashed {
                clipped.extend(Shape::dashed_line(&points, stroke, 5.0, 4.0));
            } else {
                clipped.add(Shape::line(points.clone(), stroke));
            }
            // A channel's curve carries its mark at the top: two hues alone would not tell them apart.
            if matches!(curve.look, Look::Left | Look::Right)
                && let Some(top) = points.into_iter().min_by(|a, b| a.y.total_cmp(&b.y))
            {
                self.mark(&clipped, top, curve.look, true);
            }
        }
    }

    /// A square for left, a triangle for right, a dot for what belongs to neither.
    fn mark(&self, painter: &Painter, at: Pos2, look: Look, filled: bool) {
        let colour = self.colour(look);
        let fill = if filled { colour } else { Color32::TRANSPARENT };
        let stroke = Stroke::new(1.5, colour);
        match look {
            Look::Left => {
                let square = Rect::from_center_size(at, vec2(7.0, 7.0));
                painter.rect(square, 0.0, fill, stroke, StrokeKind::Middle);
            }
            Look::Right => {
                let corners = [vec2(0.0, -5.0), vec2(4.5, 3.5), vec2(-4.5, 3.5)];
                let points = corners.into_iter().map(|corner| at + corner).collect();
                painter.add(Shape::convex_polygon(points, fill, stroke));
            }
            Look::Plain | Look::Quiet => {
                painter.circle_filled(at, 3.5, colour);
            }
        }
    }

    /// The point nearest to a place on the screen, when it is near enough.
    fn nearest(&self, at: Pos2) -> Option<usize> {
        let far = |point: &Point| self.place(point.at).distance(at);
        let points = self.chart.points.iter().enumerate();
        let (index, distance) =
            points.map(|(k, point)| (k, far(point))).min_by(|a, b| a.1.total_cmp(&b.1))?;
        (distance <= NEAR).then_some(index)
    }

    fn points(&self, chosen: Option<usize>) {
        let clipped = self.painter.with_clip_rect(self.rect.expand(6.0));
        for (index, point) in self.chart.points.iter().enumerate() {
            let at = self.place(point.at);
            let colour = self.colour(point.look);
            if let Some([low, high]) = point.interval {
                let ends = [low, high].map(|y| self.place([point.at[0], y]));
                clipped.line_segment(ends, Stroke::new(1.5, colour));
            }
            self.mark(&clipped, at, point.look, false);
            if chosen == Some(index) {
                clipped.circle_stroke(at, 8.0, Stroke::new(1.5, self.palette.here));
            }
        }
    }
}
