//! The marks of a round when there are many: what can be told apart, made ready once for a view and
//! not for every frame.
//!
//! A mark is left out only where another of its kind stands above it in the same square of two pixels, a
//! quarter of its own width, and what a reading leaves over only where every such square that it crosses
//! is crossed by another of its kind. So the
//! outermost, those far off their circle and the one selected are drawn wherever they are; what lies
//! under the pointer is found among all of them.

use std::sync::Arc;

use egui::epaint::{Tessellator, Vertex};
use egui::{Mesh, Pos2, Rect, Shape, Ui, Vec2, pos2};
use egui_plot::{PlotBounds, PlotTransform};
use paper::Role;
use paper::scene::{Marks, Scene};
use solver::Direction;

use super::labels::Labels;
use super::off_screen::{EdgeArrow, arrows};
use super::paint::{paint, paint_items, paint_shape, place};
use crate::theme::Palette;

/// So many are drawn one by one.
const FEW: usize = 500;
/// Of more than so many the edges are not smoothed: they lie on one another anyway.
const CROWD: usize = 1_500;
/// What lies in one square of so many pixels cannot be told apart.
const SQUARE_PX: f32 = 2.0;
/// A mark reaches this far from its place, points.
const REACH_PT: f32 = 16.0;

/// What was made ready for the last view.
#[derive(Clone, Debug, Default)]
pub(super) struct ManyMeshes {
    made: Option<MadeMesh>,
}

#[derive(Clone, Debug)]
struct MadeMesh {
    of: Arc<Scene>,
    seen: MeshKey,
    /// Its marks; `None`: they are few, and drawn one by one.
    mesh: Option<Arc<Mesh>>,
    arrows: Vec<EdgeArrow>,
}

/// What a mesh looks like depends on this.
#[derive(Clone, Copy, Debug, PartialEq)]
struct MeshKey {
    frame: Rect,
    bounds: PlotBounds,
    pixels_per_point: f32,
    palette: Palette,
}

impl ManyMeshes {
    /// Draws a scene in a view: the run of its marks at once where they are many.
    pub(super) fn paint(
        &mut self,
        scene: &Arc<Scene>,
        palette: &Palette,
        ui: &Ui,
        transform: &PlotTransform,
        shapes: &mut Vec<Shape>,
    ) {
        let Some(mesh) = &self.ready(scene, palette, ui, transform).mesh else {
            return paint(scene, palette, ui, transform, shapes);
        };
        let labels = Labels::of(scene, palette, ui, *transform.frame(), |at| place(transform, at));
        paint_items(scene.beneath(), &labels, palette, transform, shapes);
        shapes.push(Shape::Mesh(Arc::clone(mesh)));
        paint_items(scene.above(), &labels, palette, transform, shapes);
    }

    /// The arrows to what lies beyond the view that was drawn last.
    pub(super) fn arrows(&self) -> &[EdgeArrow] {
        self.made.as_ref().map_or(&[], |made| &made.arrows)
    }

    fn ready(
        &mut self,
        scene: &Arc<Scene>,
        palette: &Palette,
        ui: &Ui,
        transform: &PlotTransform,
    ) -> &MadeMesh {
        let seen = MeshKey {
            frame: *transform.frame(),
            bounds: *transform.bounds(),
            pixels_per_point: ui.ctx().pixels_per_point(),
            palette: *palette,
        };
        let kept = self.made.take_if(|made| !(Arc::ptr_eq(&made.of, scene) && made.seen == seen));
        drop(kept);
        self.made.get_or_insert_with(|| {
            let many = scene.marks().len() > FEW;
            let mesh = many.then(|| Arc::new(mesh(scene.marks(), palette, ui, transform, seen)));
            MadeMesh { of: Arc::clone(scene), seen, mesh, arrows: arrows(scene, transform) }
        })
    }
}

fn mesh(
    marks: &Marks,
    palette: &Palette,
    ui: &Ui,
    transform: &PlotTransform,
    seen: MeshKey,
) -> Mesh {
    // The transform is a scale and a shift each way.
    let (by_x, by_y) = (transform.dpos_dvalue_x(), transform.dpos_dvalue_y());
    let zero = place(transform, Direction::BORESIGHT);
    let place = |Direction { x_arcmin, y_arcmin }| {
        let zero = zero?;
        let at = pos2(
            (f64::from(zero.x) + by_x * x_arcmin) as f32,
            (f64::from(zero.y) + by_y * y_arcmin) as f32,
        );
        (at.x.is_finite() && at.y.is_finite()).then_some(at)
    };
    let kept = told_apart(marks, place, seen.frame, seen.pixels_per_point);
    let crowd = kept.len() > CROWD;
    // No letters are among them, so the size of the letters' picture says nothing.
    let mut options = ui.ctx().tessellation_options(|options| *options);
    options.feathering &= !crowd;
    let mut tessellator = Tessellator::new(seen.pixels_per_point, options, [1, 1], Vec::new());
    let mut mesh = Mesh::default();
    let mut shapes = Vec::new();
    let mut stamps: Vec<MarkerStamp> = Vec::new();
    for marked in kept.into_iter().filter_map(|place| marks.get(place)) {
        let role = marked.role();
        let mut drawn = |into: &mut Mesh| {
            paint_shape(role, &marked.shape(), palette, transform, &mut shapes);
            for shape in shapes.drain(..) {
                tessellator.tessellate_shape(shape, into);
            }
        };
        // Where edges are not smoothed, markers of one kind differ in their place alone.
        let at = if crowd && marked.span().1.is_none() { place(marked.span().0) } else { None };
        let Some(at) = at else {
            drawn(&mut mesh);
            continue;
        };
        if let Some(stamp) = stamps.iter().find(|stamp| stamp.role == role) {
            stamp.press(at, &mut mesh);
        } else {
            let mut stamp = MarkerStamp { role, at, mesh: Mesh::default() };
            drawn(&mut stamp.mesh);
            stamp.press(at, &mut mesh);
            stamps.push(stamp);
        }
    }
    mesh
}

/// A marker made ready once, for all of its kind.
struct MarkerStamp {
    role: Role,
    /// Where it was made.
    at: Pos2,
    mesh: Mesh,
}

impl MarkerStamp {
    /// Puts it at a place.
    fn press(&self, at: Pos2, into: &mut Mesh) {
        let by: Vec2 = at - self.at;
        let before = into.vertices.len() as u32;
        let moved = |vertex: &Vertex| Vertex { pos: vertex.pos + by, ..*vertex };
        into.vertices.extend(self.mesh.vertices.iter().map(moved));
        into.indices.extend(self.mesh.indices.iter().map(|index| before + index));
    }
}

/// The places of those that can be told apart in a frame, in drawing order.
fn told_apart(
    marks: &Marks,
    place: impl Fn(Direction) -> Option<Pos2>,
    frame: Rect,
    pixels_per_point: f32,
) -> Vec<usize> {
    let room = frame.expand(REACH_PT);
    let squares_per_point = pixels_per_point / SQUARE_PX;
    let mut squares: Vec<(Role, TakenSquares)> = Vec::new();
    let mut kept = Vec::new();
    // From the top: what is drawn last is what is seen.
    for index in (0..marks.len()).rev() {
        let Some(marked) = marks.get(index) else { continue };
        let role = marked.role();
        let of_role = squares.iter().position(|(other, _)| *other == role);
        let of_role = of_role.unwrap_or_else(|| {
            squares.push((role, TakenSquares::of(room, squares_per_point)));
            squares.len() - 1
        });
        let Some((_, taken)) = squares.get_mut(of_role) else { continue };
        let seen = match marked.span() {
            (at, None) => place(at)
                .filter(|at| room.contains(*at))
                .is_some_and(|at| taken.take(at) || matches!(role, Role::Selected(_))),
            (from, Some(to)) => place(from)
                .zip(place(to))
                .and_then(|(from, to)| inside(room, from, to))
                .is_some_and(|(from, to)| taken.take_line(from, to)),
        };
        if seen {
            kept.push(index);
        }
    }
    kept.reverse();
    kept
}

/// Which squares of a room are taken.
struct TakenSquares {
    corner: Pos2,
    per_point: f32,
    size: [usize; 2],
    bits: Vec<u64>,
}

impl TakenSquares {
    fn of(room: Rect, per_point: f32) -> Self {
        let side = |points: f32| (points * per_point).clamp(0.0, 16_384.0) as usize + 1;
        let size = [side(room.width()), side(room.height())];
        let [width, height] = size;
        Self { corner: room.min, per_point, size, bits: vec![0; width * height / 64 + 1] }
    }

    /// Takes a square; whether it was free.
    fn take(&mut self, at: Pos2) -> bool {
        let along = (at - self.corner) * self.per_point;
        let [width, height] = self.size;
        let (x, y) = (along.x.max(0.0) as usize, along.y.max(0.0) as usize);
        if x >= width || y >= height {
            return false;
        }
        let index = y * width + x;
        let Some(bits) = self.bits.get_mut(index / 64) else { return false };
        let bit = 1_u64 << (index % 64);
        let free = *bits & bit == 0;
        *bits |= bit;
        free
    }

    /// Takes the squares along a line; whether any was free.
    fn take_line(&mut self, from: Pos2, to: Pos2) -> bool {
        let steps = (from.distance(to) * self.per_point).ceil().clamp(1.0, 65_536.0);
        let step = (to - from) / steps;
        let mut free = self.take(to);
        for k in 0..steps as u32 {
            free |= self.take(from + step * k as f32);
        }
        free
    }
}

/// The part of a line that lies in a room.
fn inside(room: Rect, from: Pos2, to: Pos2) -> Option<(Pos2, Pos2)> {
    let way = to - from;
    let (mut first, mut last) = (0.0_f32, 1.0_f32);
    for (at, along, low, high) in
        [(from.x, way.x, room.left(), room.right()), (from.y, way.y, room.top(), room.bottom())]
    {
        if along.abs() < f32::EPSILON {
            if at < low || at > high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - at) / along, (high - at) / along);
        first = first.max(one.min(other));
        last = last.min(one.max(other));
    }
    (first <= last).then(|| (from + way * first, from + way * last))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use super::*;
    use paper::{Field, ItemId, MarkKind, ReadingMark, field_scene};
    use solver::{Channel, Reading};

    /// 20,000 marks, ten to a pixel, one of them far out and one selected.
    fn crowd() -> Vec<ReadingMark> {
        let mark = |key: u64, x: f64, y: f64| ReadingMark {
            key,
            number: 1,
            channel: if key.is_multiple_of(2) { Channel::Left } else { Channel::Right },
            reading: Reading { direction: Direction::new(x, y), ring_deg: None },
            kind: MarkKind::Log,
            selected: false,
        };
        let mut marks: Vec<ReadingMark> = (0..20_000)
            .map(|k| mark(k, (k % 50) as f64 + 0.01 * (k % 7) as f64, (k / 50 % 20) as f64))
            .collect();
        marks.push(mark(20_001, 190.0, 90.0));
        marks.insert(17, ReadingMark { selected: true, ..mark(20_002, 3.0, 0.0) });
        marks
    }

    #[test]
    fn only_what_can_be_told_apart_is_drawn() {
        let crowd = crowd();
        let scene = field_scene(&Field { marks: &crowd, ..Field::default() });
        let frame = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(200.0, 100.0));
        let at = |d: Direction| Some(pos2(d.x_arcmin as f32 + 0.3, d.y_arcmin as f32 + 0.3));
        let marks = scene.marks();
        let kept = told_apart(marks, at, frame, 1.0);
        // 50 × 20 places, each channel's own, and the two.
        assert!(kept.len() <= 2 * 50 * 20 + 2, "{}", kept.len());
        assert!(kept.is_sorted());
        let place_of = |index: usize| at(marks.get(index).unwrap().span().0).unwrap();
        let role_of = |index: usize| marks.get(index).unwrap().role();
        for index in (0..marks.len()).filter(|&index| marks.get(index).is_some()) {
            let here = place_of(index);
            let stands = |&other: &usize| {
                role_of(other) == role_of(index) && place_of(other).distance(here) < 3.0
            };
            assert!(kept.iter().any(stands), "nothing is drawn at {here}");
        }
        for key in [20_001, 20_002] {
            let its = |id: ItemId| matches!(id, ItemId::Reading(_, other) if other == key);
            assert!(kept.iter().any(|&index| its(marks.get(index).unwrap().id())), "{key}");
        }
    }

    /// Markers pressed from one stamp are what each drawn by itself is, to a hundredth of a point.
    #[test]
    fn pressed_markers_lie_where_drawn_ones_do() {
        let crowd = crowd();
        let frame = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(700.0, 700.0));
        let bounds = PlotBounds::from_min_max([-5.0, -40.0], [55.0, 20.0]);
        let transform = PlotTransform::new(frame, bounds, false);
        let context = egui::Context::default();
        let mut compared = 0;
        let mut output = context.run_ui(egui::RawInput::default(), |ui| {
            let palette = *crate::theme::Lighting::Dim.palette();
            let apart = |k: usize, mark: &ReadingMark| {
                let direction =
                    Direction::new(0.55 * (k % 90) as f64, 0.37 * (k / 90) as f64 - 20.0);
                ReadingMark { reading: Reading { direction, ring_deg: None }, ..*mark }
            };
            let marks: Vec<ReadingMark> =
                crowd.iter().take(4_000).enumerate().map(|(k, mark)| apart(k, mark)).collect();
            let scene = field_scene(&Field { marks: &marks, ..Field::default() });
            let seen = MeshKey { frame, bounds, pixels_per_point: 1.0, palette };
            let pressed = mesh(scene.marks(), &palette, ui, &transform, seen);
            let place = |d| place(&transform, d);
            let kept = told_apart(scene.marks(), place, frame, 1.0);
            assert!(kept.len() > CROWD, "{}", kept.len());
            let options = egui::epaint::TessellationOptions {
                feathering: false,
                ..ui.ctx().tessellation_options(|options| *options)
            };
            let mut tessellator = Tessellator::new(1.0, options, [1, 1], Vec::new());
            let mut drawn = Mesh::default();
            for marked in kept.into_iter().filter_map(|index| scene.marks().get(index)) {
                let mut shapes = Vec::new();
                paint_shape(marked.role(), &marked.shape(), &palette, &transform, &mut shapes);
                for shape in shapes {
                    tessellator.tessellate_shape(shape, &mut drawn);
                }
            }
            assert_eq!(pressed.indices, drawn.indices);
            for (one, other) in pressed.vertices.iter().zip(&drawn.vertices) {
                assert!(one.pos.distance(other.pos) < 0.01 && one.color == other.color);
                compared += 1;
            }
        });
        output.textures_delta.clear();
        assert!(compared > 10_000, "{compared}");
    }

    #[test]
    fn a_line_is_drawn_where_it_crosses_a_square_of_its_own() {
        let room = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(100.0, 100.0));
        let mut squares = TakenSquares::of(room, 0.5);
        assert!(squares.take_line(pos2(10.0, 10.0), pos2(60.0, 10.0)));
        assert!(!squares.take_line(pos2(20.2, 10.4), pos2(50.1, 10.4)), "under the first");
        assert!(squares.take_line(pos2(20.2, 10.4), pos2(63.1, 10.4)), "reaches beyond it");
        let across = inside(room, pos2(-1e6, 50.0), pos2(1e6, 50.0)).unwrap();
        assert!((across.0.x, across.1.x) == (0.0, 100.0), "{across:?}");
        assert_eq!(inside(room, pos2(-10.0, 20.0), pos2(-1.0, 30.0)), None);
    }
}
