//! Where a shim goes: the seat as a clock face, seen from the eye side. What is drawn comes from the solver.

use egui::{
    Align2, Color32, FontId, Pos2, Rect, RichText, Sense, Shape as Drawn, Stroke, Ui, Vec2,
    WidgetInfo, accesskit::Role, vec2,
};
use solver::remedy::clock_face::{ClockFace, Part, Shape, Spot};

use crate::theme::Palette;
use crate::widgets::Label;

/// Width and height, points.
const SIDE_PT: f32 = 168.0;
/// The face's radius, points: the words round it have room.
const RADIUS_PT: f32 = 58.0;

/// Draws faces side by side, each with its name and told in words.
pub(crate) fn clock_faces_ui(ui: &mut Ui, palette: &Palette, faces: &[ClockFace]) {
    if faces.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for face in faces {
            ui.vertical(|ui| {
                ui.set_width(SIDE_PT);
                let name = format!("{} tube, from the eye side", face.channel);
                ui.add(Label::new(RichText::new(name).small().color(palette.quiet)));
                clock_face_ui(ui, palette, face);
            });
        }
    });
}

fn clock_face_ui(ui: &mut Ui, palette: &Palette, face: &ClockFace) {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(SIDE_PT), Sense::hover());
    let telling = face.telling();
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &telling));
    let painter = ui.painter_at(rect);
    for shape in face.shapes() {
        paint(&painter, palette, rect, &shape);
    }
    response.on_hover_text(telling);
}

fn place(rect: Rect, [x, y]: Spot) -> Pos2 {
    // Screen y runs down.
    rect.center() + vec2(x as f32, -(y as f32)) * RADIUS_PT
}

fn paint(painter: &egui::Painter, palette: &Palette, rect: Rect, shape: &Shape) {
    match shape {
        Shape::Circle { part, centre, radius, filled } => {
            let (centre, radius) = (place(rect, *centre), *radius as f32 * RADIUS_PT);
            if *filled {
                painter.circle_filled(centre, radius, colour(palette, *part));
            } else {
                painter.circle_stroke(centre, radius, pen(palette, *part));
            }
        }
        Shape::Line { part, from, to, arrow } => {
            let (from, to) = (place(rect, *from), place(rect, *to));
            painter.line_segment([from, to], pen(palette, *part));
            if *arrow {
                let along = (to - from).normalized();
                let side = along.rot90() * 5.0;
                let head = vec![to + along * 6.0, to - along * 4.0 + side, to - along * 4.0 - side];
                let fill = colour(palette, *part);
                painter.add(Drawn::convex_polygon(head, fill, Stroke::NONE));
            }
        }
        Shape::Words { at, text } => {
            let font = FontId::proportional(11.5);
            painter.text(place(rect, *at), Align2::CENTER_CENTER, text, font, palette.quiet);
        }
    }
}

const fn colour(palette: &Palette, part: Part) -> Color32 {
    match part {
        Part::Seat => palette.line,
        Part::Allowed | Part::Tube => palette.quiet,
        Part::Shim | Part::Push => palette.here,
    }
}

const fn pen(palette: &Palette, part: Part) -> Stroke {
    let width = match part {
        Part::Push => 2.5,
        Part::Seat | Part::Allowed | Part::Tube | Part::Shim => 1.5,
    };
    Stroke { width, color: colour(palette, part) }
}
