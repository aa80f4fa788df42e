//! What goes on paper, in points from the upper left corner: the one list that SVG and PDF draw.

use crate::letters::Face;
use crate::palette::Colour;
use crate::parts::Part;

/// A place, points right of and below the upper left corner.
pub type PagePoint = [f64; 2];

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Ink {
    /// A circle.
    Circle {
        /// Its middle.
        centre: PagePoint,
        /// Its radius, points.
        radius_pt: f64,
        /// How.
        pen: Pen,
    },
    /// A line or an area through points.
    Path {
        /// In order.
        points: Vec<PagePoint>,
        /// Whether the last joins the first.
        closed: bool,
        /// How.
        pen: Pen,
    },
    /// Words on one line.
    Words {
        /// Where the baseline is, at the side that `align` names.
        at: PagePoint,
        /// The words.
        text: String,
        /// The face.
        face: Face,
        /// Height of the face, points.
        size_pt: f64,
        /// Its colour.
        colour: Colour,
        /// Which side `at` is.
        align: Align,
    },
    /// What follows, up to [`Ink::ClipEnd`], is seen inside a rectangle only.
    Clip {
        /// Its upper left corner.
        from: PagePoint,
        /// Its lower right corner.
        to: PagePoint,
    },
    /// Ends the last [`Ink::Clip`].
    ClipEnd,
    /// What follows is one thing with a name; drawn as nothing.
    Name(String),
    /// What follows belongs to this part of a document; drawn as nothing.
    Part(Part),
}

/// How a line is drawn and an area filled.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pen {
    /// The line; `None` draws none.
    pub line: Option<InkLine>,
    /// What fills it; `None` is clear.
    pub fill: Option<Colour>,
}

/// A line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InkLine {
    /// Its colour.
    pub colour: Colour,
    /// Its width, points.
    pub width_pt: f64,
    /// Dash and gap, points; `None` is solid.
    pub dash_pt: Option<[f64; 2]>,
}

/// Which side of a text its place is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// Its beginning.
    #[default]
    Left,
    /// Its middle.
    Middle,
    /// Its end.
    Right,
}

impl Pen {
    /// A solid line.
    #[must_use]
    pub const fn line(colour: Colour, width_pt: f64) -> Self {
        Self { line: Some(InkLine { colour, width_pt, dash_pt: None }), fill: None }
    }

    /// An area without an edge.
    #[must_use]
    pub const fn fill(colour: Colour) -> Self {
        Self { line: None, fill: Some(colour) }
    }
}

/// A rectangle's corners in order.
#[must_use]
pub fn rectangle(from: PagePoint, to: PagePoint) -> Vec<PagePoint> {
    vec![from, [to[0], from[1]], to, [from[0], to[1]]]
}
