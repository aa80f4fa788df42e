//! One channel cut open along its axis: objective, tube on its shims, eyepiece, and the ray of a
//! target on boresight through them to the eye.

use egui::{
    Align2, Color32, FontId, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};
use paper::words;
use record::practice::explore::Section;
use solver::Channel;

use crate::theme::Palette;
use crate::widgets::Label;

/// Height of the drawing, points.
const HEIGHT: f32 = 176.0;
/// Half the height of lenses and of the tube, points.
const LENS: f32 = 40.0;
const TUBE: f32 = 26.0;
/// Points of a millimetre across the axis, unless something would leave the drawing.
const TALL: f32 = 70.0;

/// From millimetres to points: heights are drawn larger than lengths.
struct Frame {
    rect: Rect,
    from: f64,
    pt_per_mm: f32,
    tall: f32,
}

impl Frame {
    fn new(rect: Rect, section: &Section) -> Self {
        let [first, .., last] = section.ray;
        let heights = section.ray.iter().map(|[_, height]| height.abs());
        let highest = heights.chain([section.ring_axis.abs()]).fold(0.0, f64::max) as f32;
        let room = rect.height() / 2.0 - 22.0;
        let tall = if highest * TALL > room { room / highest } else { TALL };
        let pt_per_mm = rect.width() / ((last[0] - first[0]) as f32).max(1.0);
        Self { rect, from: first[0], pt_per_mm, tall }
    }

    fn x(&self, along: f64) -> f32 {
        self.rect.left() + (along - self.from) as f32 * self.pt_per_mm
    }

    fn y(&self, height: f64) -> f32 {
        self.rect.center().y - height as f32 * self.tall
    }

    fn at(&self, along: f64, height: f64) -> Pos2 {
        pos2(self.x(along), self.y(height))
    }

    /// How much larger heights are drawn than lengths.
    fn times(&self) -> f64 {
        f64::from(self.tall / self.pt_per_mm)
    }
}

pub(crate) fn section_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    section: &Section,
    told: &str,
) {
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover());
    let telling = format!("Section of the {channel} channel. {told}");
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &telling));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, palette.field);
    let frame = Frame::new(rect.shrink2(vec2(6.0, 0.0)), section);
    draw(&painter, palette, palette.drawn(channel), &frame, section);
    let times = words::number(frame.times(), 0);
    let about = format!("{told} Heights are drawn {times} times larger than lengths.");
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
}

fn draw(painter: &Painter, palette: &Palette, colour: Color32, frame: &Frame, section: &Section) {
    let thin = Stroke::new(1.0, palette.edge);
    let axis = [frame.at(frame.from, 0.0), pos2(frame.rect.right(), frame.y(0.0))];
    painter.extend(Shape::dashed_line(&axis, Stroke::new(1.0, palette.quiet), 8.0, 4.0));
    lens(painter, frame.at(0.0, section.objective), thin);
    tube(painter, palette, frame, section);
    lens(painter, frame.at(section.eyepiece_at, section.lens), Stroke::new(2.0, colour));
    // The axis the ring turns about: the cell's centre goes round it.
    let ring = frame.at(section.eyepiece_at, section.ring_axis);
    painter.line_segment([ring - vec2(9.0, 0.0), ring + vec2(9.0, 0.0)], Stroke::new(1.5, colour));
    let ray: Vec<Pos2> =
        section.ray.iter().map(|[along, height]| frame.at(*along, *height)).collect();
    painter.add(Shape::line(ray, Stroke::new(2.0, palette.here)));
    back_sight(painter, palette, frame, section);
    let name = |along: f64, text: &str, align: Align2| {
        let at = pos2(frame.x(along), frame.rect.bottom() - 3.0);
        painter.text(at, align, text, FontId::proportional(11.5), palette.quiet);
    };
    let [front, rear] = section.tube_at;
    name(0.0, "objective", Align2::CENTER_BOTTOM);
    name(f64::midpoint(front, rear), "tube", Align2::CENTER_BOTTOM);
    name(section.eyepiece_at, "eyepiece", Align2::CENTER_BOTTOM);
    let eye = pos2(frame.rect.right(), frame.rect.top() + 3.0);
    painter.text(eye, Align2::RIGHT_TOP, "eye →", FontId::proportional(11.5), palette.quiet);
    let target = pos2(frame.rect.left(), frame.rect.top() + 3.0);
    painter.text(target, Align2::LEFT_TOP, "← target", FontId::proportional(11.5), palette.quiet);
}

/// The way the eye looks back along the ray that reaches it.
fn back_sight(painter: &Painter, palette: &Palette, frame: &Frame, section: &Section) {
    let [.., lens, eye] = section.ray;
    let slope = (lens[1] - eye[1]) / (eye[0] - lens[0]);
    let far = lens[0] - frame.from;
    let sight = [frame.at(lens[0], lens[1]), frame.at(frame.from, lens[1] + slope * far)];
    painter.extend(Shape::dashed_line(&sight, Stroke::new(1.0, palette.look), 3.0, 4.0));
}

/// Two arcs about a middle.
fn lens(painter: &Painter, middle: Pos2, stroke: Stroke) {
    for side in [-1.0, 1.0] {
        let arc: Vec<Pos2> = (-6..=6)
            .map(|step| {
                let share = step as f32 / 6.0;
                middle + vec2(side * 5.0 * (1.0 - share * share), share * LENS)
            })
            .collect();
        painter.add(Shape::line(arc, stroke));
    }
    painter.circle_filled(middle, 2.0, stroke.color);
}

/// The tube between its ends, and its shims where they lie.
fn tube(painter: &Painter, palette: &Palette, frame: &Frame, section: &Section) {
    let [front, rear] = section.tube_at;
    let [at_front, at_rear] = [frame.at(front, section.tube[0]), frame.at(rear, section.tube[1])];
    let half = vec2(0.0, TUBE);
    let corners = vec![at_front - half, at_rear - half, at_rear + half, at_front + half];
    painter.add(Shape::convex_polygon(corners, palette.raised, Stroke::new(1.0, palette.edge)));
    for (end, along) in section.tube.iter().zip(section.tube_without_shims).zip([front, rear]) {
        let (height, without) = end;
        let by_pt = (height - without) as f32 * frame.tall;
        if by_pt.abs() < 0.5 {
            continue;
        }
        // A tube pushed up lies on its shim, one pushed down hangs below it.
        let side = if by_pt > 0.0 { TUBE } else { -TUBE };
        let edge = frame.at(along, *height) + vec2(0.0, side);
        let inward = if along == front { 14.0 } else { -14.0 };
        let shim = Rect::from_two_pos(edge, edge + vec2(inward, by_pt));
        painter.rect_filled(shim, 0.0, palette.look);
    }
}
