//! A chart of a shop on paper: the same points, curves, limits and marks as on screen, as ink; as SVG and PNG.

use crate::ink::{Align, Ink, InkLine, Pen, rectangle};
use crate::letters::{Face, Letters};
use crate::marks;
use crate::palette::Colour;
use crate::parts::PartRole;
use crate::png::{PngError, png_of};
use crate::report::wrap::lines;
use crate::svg::{SvgHead, svg_of};

/// Whose points and curves are whose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ChartLook {
    /// The left channel's: squares, whole lines.
    Left,
    /// The right channel's: triangles.
    Right,
    /// Neither's: dots.
    #[default]
    Plain,
    /// Stands back.
    Quiet,
}

impl ChartLook {
    const fn colour(self) -> Colour {
        match self {
            Self::Left => Colour::LEFT,
            Self::Right => Colour::RIGHT,
            Self::Plain => Colour::INK,
            Self::Quiet => Colour::QUIET,
        }
    }
}

/// A chart as it is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ChartOnPaper {
    /// Its title.
    pub title: String,
    /// What stands small below the title: whose, and when it was drawn.
    pub whose: String,
    /// What lies across, and what up, with units.
    pub names: [String; 2],
    /// From where to where, x and y.
    pub extent: [[f64; 2]; 2],
    /// Whether both axes have one scale.
    pub true_shape: bool,
    /// Numbers and names along x, and along y.
    pub marks: [Vec<(f64, String)>; 2],
    /// Points, with the ends of their intervals in y.
    pub points: Vec<([f64; 2], Option<[f64; 2]>, ChartLook)>,
    /// Limits along y, each with what it is.
    pub limits: Vec<(f64, String)>,
    /// Curves, and whether they are dashed.
    pub curves: Vec<(Vec<[f64; 2]>, bool, ChartLook)>,
    /// What it tells, in sentences, below it.
    pub told: Vec<String>,
}

/// Width of the picture, points.
const WIDTH_PT: f64 = 540.0;
/// Height of a flat field, and the most of one that is true to shape.
const FLAT_PT: f64 = 260.0;
const SQUARE_PT: f64 = 430.0;
/// Room round the field: left for numbers, right, below for numbers and a name.
const LEFT_PT: f64 = 58.0;
const RIGHT_PT: f64 = 16.0;
const BELOW_PT: f64 = 34.0;
const SIDE_PT: f64 = 14.0;
const WORDS_PT: f64 = 8.5;
/// Between two lines of words.
const LINE_PT: f64 = 11.5;
/// Pixels a point in PNG: 216 an inch.
const PIXELS_PER_PT: f64 = 3.0;

/// A field on paper.
struct FieldOnPaper {
    from: [f64; 2],
    to: [f64; 2],
    extent: [[f64; 2]; 2],
}

impl FieldOnPaper {
    fn place(&self, at: [f64; 2]) -> [f64; 2] {
        let [x, y] = self.extent;
        let share = |value: f64, [low, high]: [f64; 2]| {
            let share = (value - low) / (high - low);
            // What lies far outside is drawn at its edge of the world, and clipped.
            if share.is_finite() { share.clamp(-10.0, 11.0) } else { -10.0 }
        };
        [
            self.from[0] + share(at[0], x) * (self.to[0] - self.from[0]),
            self.to[1] - share(at[1], y) * (self.to[1] - self.from[1]),
        ]
    }
}

impl ChartOnPaper {
    /// As SVG.
    #[must_use]
    pub fn svg(&self) -> String {
        let (ink, size_pt) = self.ink();
        let description = format!("{}. {}", self.whose, self.told.join(" "));
        let head =
            SvgHead { written_by: marks::CHART_SVG, title: &self.title, description: &description };
        svg_of(&ink, size_pt, &head)
    }

    /// As PNG.
    ///
    /// # Errors
    /// What the encoder finds wrong.
    pub fn png(&self) -> Result<Vec<u8>, PngError> {
        let (ink, size_pt) = self.ink();
        png_of(&ink, size_pt, PIXELS_PER_PT)
    }

    /// What is drawn, and how large it is, points.
    #[must_use]
    pub fn ink(&self) -> (Vec<Ink>, [f64; 2]) {
        let letters = Letters::load();
        let room_pt = WIDTH_PT - 2.0 * SIDE_PT;
        let mut ink = Vec::new();
        let mut down_pt = 20.0;
        let say = |ink: &mut Vec<Ink>, text: &str, face: Face, size_pt: f64, down_pt: &mut f64| {
            for line in lines(&letters, text, face, size_pt, room_pt) {
                let colour = if face == Face::Bold { Colour::INK } else { Colour::QUIET };
                ink.push(words([SIDE_PT, *down_pt], line, face, size_pt, colour, Align::Left));
                *down_pt += size_pt * 1.35;
            }
        };
        say(&mut ink, &self.title, Face::Bold, 12.0, &mut down_pt);
        say(&mut ink, &self.whose, Face::Plain, WORDS_PT, &mut down_pt);
        let field = self.field(down_pt + LINE_PT);
        ink.push(Ink::Part(letters.part(PartRole::Picture { alt: self.told.join(" ") })));
        self.field_ink(&field, &letters, &mut ink);
        down_pt = field.to[1] + BELOW_PT + LINE_PT;
        for sentence in &self.told {
            say(&mut ink, sentence, Face::Plain, WORDS_PT, &mut down_pt);
        }
        let size_pt = [WIDTH_PT, down_pt + 4.0];
        let ground = Ink::Path {
            points: rectangle([0.0, 0.0], size_pt),
            closed: true,
            pen: Pen::fill(Colour::WHITE),
        };
        ink.insert(0, ground);
        (ink, size_pt)
    }

    fn field(&self, top_pt: f64) -> FieldOnPaper {
        let [x, y] = self.extent;
        let (mut width, mut height) = (WIDTH_PT - LEFT_PT - RIGHT_PT, FLAT_PT);
        let shape = (x[1] - x[0]) / (y[1] - y[0]);
        if self.true_shape && shape.is_finite() && shape > 0.0 {
            height = (width / shape).min(SQUARE_PT);
            width = height * shape;
        }
        let from = [LEFT_PT, top_pt + 4.0];
        FieldOnPaper { from, to: [from[0] + width, from[1] + height], extent: self.extent }
    }

    fn field_ink(&self, field: &FieldOnPaper, letters: &Letters, ink: &mut Vec<Ink>) {
        let (from, to) = (field.from, field.to);
        let grid = Pen::line(Colour::GRID, 0.6);
        let [along_x, along_y] = &self.marks;
        let mut free_pt = f64::NEG_INFINITY;
        for (at, text) in along_x {
            let [x, _] = field.place([*at, 0.0]);
            if !(from[0] - 0.5..=to[0] + 0.5).contains(&x) {
                continue;
            }
            ink.push(stroke(vec![[x, from[1]], [x, to[1]]], grid));
            // Names that would touch the one before are left out; their lines stay.
            let half_pt = letters.width_pt(text, Face::Plain, WORDS_PT) / 2.0;
            if x - half_pt >= free_pt {
                ink.push(small([x, to[1] + LINE_PT], text, Colour::QUIET, Align::Middle));
                free_pt = x + half_pt + 6.0;
            }
        }
        for (at, text) in along_y {
            let [_, y] = field.place([0.0, *at]);
            if (from[1] - 0.5..=to[1] + 0.5).contains(&y) {
                ink.push(stroke(vec![[from[0], y], [to[0], y]], grid));
                ink.push(small([from[0] - 5.0, y + 3.0], text, Colour::QUIET, Align::Right));
            }
        }
        ink.push(Ink::Clip { from, to });
        for (at, _) in &self.limits {
            let [[low, high], _] = field.extent;
            let ends = [[low, *at], [high, *at]].map(|at| field.place(at));
            ink.push(stroke(ends.to_vec(), Pen::line(Colour::LOOK, 1.0)));
        }
        for (points, dashed, look) in &self.curves {
            let line = InkLine {
                colour: look.colour(),
                width_pt: 1.1,
                dash_pt: dashed.then_some([6.0, 4.0]),
            };
            let points = points.iter().map(|at| field.place(*at)).collect();
            ink.push(stroke(points, Pen { line: Some(line), fill: None }));
        }
        for (at, interval, look) in &self.points {
            if let Some(ends) = interval {
                let ends = ends.map(|y| field.place([at[0], y]));
                ink.push(stroke(ends.to_vec(), Pen::line(look.colour(), 0.9)));
            }
            ink.push(marker(field.place(*at), *look));
        }
        // A channel's curve carries its mark at the top, as on screen.
        for (points, _, look) in &self.curves {
            let top = points.iter().max_by(|a, b| a[1].total_cmp(&b[1]));
            if let Some(top) = top.filter(|_| matches!(look, ChartLook::Left | ChartLook::Right)) {
                ink.push(marker(field.place(*top), *look));
            }
        }
        ink.push(Ink::ClipEnd);
        for (at, what) in &self.limits {
            let [_, y] = field.place([0.0, *at]);
            ink.push(small([to[0] - 4.0, y - 2.5], what, Colour::LOOK, Align::Right));
        }
        let frame = Pen::line(Colour::LINE, 0.8);
        ink.push(Ink::Path { points: rectangle(from, to), closed: true, pen: frame });
        let [across, up] = &self.names;
        let below = [(from[0] + to[0]) / 2.0, to[1] + BELOW_PT - 6.0];
        ink.push(small(below, across, Colour::INK, Align::Middle));
        let above = [from[0], from[1] - 4.0];
        ink.push(small(above, up, Colour::INK, Align::Left));
    }
}

fn words(
    at: [f64; 2],
    text: String,
    face: Face,
    size_pt: f64,
    colour: Colour,
    align: Align,
) -> Ink {
    Ink::Words { at, text, face, size_pt, colour, align }
}

/// Numbers and names of a field.
fn small(at: [f64; 2], text: &str, colour: Colour, align: Align) -> Ink {
    words(at, text.to_owned(), Face::Plain, WORDS_PT, colour, align)
}

const fn stroke(points: Vec<[f64; 2]>, pen: Pen) -> Ink {
    Ink::Path { points, closed: false, pen }
}

fn marker([x, y]: [f64; 2], look: ChartLook) -> Ink {
    let pen = Pen { fill: Some(Colour::WHITE), ..Pen::line(look.colour(), 1.1) };
    let half = 3.2;
    match look {
        ChartLook::Left => Ink::Path {
            points: rectangle([x - half, y - half], [x + half, y + half]),
            closed: true,
            pen,
        },
        ChartLook::Right => Ink::Path {
            points: vec![
                [x, y - half * 1.2],
                [x + half * 1.1, y + half],
                [x - half * 1.1, y + half],
            ],
            closed: true,
            pen,
        },
        ChartLook::Plain | ChartLook::Quiet => {
            Ink::Circle { centre: [x, y], radius_pt: 2.6, pen: Pen::fill(look.colour()) }
        }
    }
}
