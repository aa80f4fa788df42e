//! Where a shim goes: the seat as a clock face, seen from the eye side. What is drawn comes from the solver.

use egui::{Align2, Color32, RichText, Sense, Ui, Vec2};
use paper::style::Marker;
use solver::remedy::clock_face::{ClockFace, FaceShape, ShapeRole};

use crate::theme::Palette;
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, room_ui};
use crate::widgets::{Label, TellOnHover};

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
    let telling = face.telling();
    let (room, response) = room_ui(ui, Vec2::splat(SIDE_PT), Sense::hover(), &telling);
    let radius = [-1.0, 1.0];
    let map = Map::equal(room, SIDE_PT / 2.0 - RADIUS_PT, radius, radius);
    let mut chart = Chart::new(ui, palette, room, map);
    for shape in face.shapes() {
        paint(&mut chart, &shape);
    }
    response.tell_on_hover(telling);
}

fn paint(chart: &mut Chart<'_>, shape: &FaceShape) {
    let palette = chart.palette;
    match shape {
        FaceShape::Circle { part, centre, radius, filled: true } => {
            let [radius, _] = chart.map.lengths(*radius);
            chart.mark(*centre, Marker::Dot, radius, ChartInk::Filled(colour(palette, *part)));
        }
        FaceShape::Circle { part, centre, radius, .. } => {
            chart.circle(*centre, *radius, pen(palette, *part));
        }
        FaceShape::Line { part, from, to, arrow: false } => {
            chart.line([*from, *to], pen(palette, *part));
        }
        FaceShape::Line { part, from, to, .. } => chart.arrow(*from, *to, pen(palette, *part)),
        FaceShape::Words { at, text } => {
            let place = chart.place(*at);
            chart.words(place, Align2::CENTER_CENTER, text, palette.quiet);
        }
    }
}

const fn colour(palette: &Palette, part: ShapeRole) -> Color32 {
    match part {
        ShapeRole::Seat => palette.line,
        ShapeRole::Allowed | ShapeRole::Tube => palette.quiet,
        ShapeRole::Shim | ShapeRole::Push => palette.here,
    }
}

const fn pen(palette: &Palette, part: ShapeRole) -> ChartPen {
    let width = match part {
        ShapeRole::Push => 2.5,
        ShapeRole::Seat | ShapeRole::Allowed | ShapeRole::Tube | ShapeRole::Shim => 1.5,
    };
    ChartPen::new(width, colour(palette, part))
}
