//! Where a shim lies, drawn: the seat as a clock face, seen from the eye side. What is drawn comes from the
//! solver, as on screen.

use solver::remedy::clock_face::{ClockFace, FaceShape, ShapeRole, Spot};

use super::block::{Block, TextLook, paragraph};
use crate::ink::{Align, Ink, PagePoint, Pen};
use crate::letters::{Face, Letters};
use crate::palette::Colour;

/// Width and height, points.
const SIDE_PT: f64 = 96.0;
const RADIUS_PT: f64 = 34.0;
const WORDS_PT: f64 = 6.5;
/// From the middle of a letter to its baseline, as a share of its height.
const HALF_HEIGHT: f64 = 0.35;

/// A face with its words beside it.
pub(super) fn block(face: &ClockFace, letters: &Letters, width_pt: f64) -> Block {
    let ink = face.shapes().iter().flat_map(ink).collect();
    let drawn = Block::picture(letters, SIDE_PT, ink, face.telling());
    let from_pt = SIDE_PT + 8.0;
    let words = paragraph(letters, &face.telling(), width_pt - from_pt, TextLook::SMALL);
    drawn.beside(Block::gap(30.0).then(words), from_pt)
}

/// Paper's y runs down.
fn place([x, y]: Spot) -> PagePoint {
    [SIDE_PT / 2.0 + RADIUS_PT * x, SIDE_PT / 2.0 - RADIUS_PT * y]
}

fn ink(shape: &FaceShape) -> Vec<Ink> {
    match shape {
        FaceShape::Circle { part, centre, radius, filled } => {
            let colour = colour(*part);
            let pen = if *filled { Pen::fill(colour) } else { Pen::line(colour, 0.8) };
            vec![Ink::Circle { centre: place(*centre), radius_pt: radius * RADIUS_PT, pen }]
        }
        FaceShape::Line { part, from, to, arrow } => {
            let ([x0, y0], [x1, y1]) = (place(*from), place(*to));
            let width = if *arrow { 1.4 } else { 0.8 };
            let pen = Pen::line(colour(*part), width);
            let line = Ink::Path { points: vec![[x0, y0], [x1, y1]], closed: false, pen };
            let length = (x1 - x0).hypot(y1 - y0);
            if !*arrow || length <= 0.0 {
                return vec![line];
            }
            let along = [(x1 - x0) / length, (y1 - y0) / length];
            let corner = |ahead: f64, aside: f64| {
                [x1 + along[0] * ahead - along[1] * aside, y1 + along[1] * ahead + along[0] * aside]
            };
            let points = vec![corner(4.0, 0.0), corner(-2.5, 3.0), corner(-2.5, -3.0)];
            vec![line, Ink::Path { points, closed: true, pen: Pen::fill(colour(*part)) }]
        }
        FaceShape::Words { at, text } => {
            let [x, y] = place(*at);
            vec![Ink::Words {
                at: [x, y + HALF_HEIGHT * WORDS_PT],
                text: text.clone(),
                face: Face::Plain,
                size_pt: WORDS_PT,
                colour: Colour::QUIET,
                align: Align::Middle,
            }]
        }
    }
}

const fn colour(part: ShapeRole) -> Colour {
    match part {
        ShapeRole::Seat => Colour::LINE,
        ShapeRole::Allowed | ShapeRole::Tube => Colour::QUIET,
        ShapeRole::Shim | ShapeRole::Push => Colour::INK,
    }
}
