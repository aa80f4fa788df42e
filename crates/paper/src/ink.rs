//! What goes on paper, in points from the upper left corner: the one list that SVG and PDF draw.

use std::sync::Arc;

use crate::letters::Face;
use crate::palette::Colour;
use crate::parts::InkPart;

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
    /// A photograph in grey.
    Grey {
        /// Its upper left corner.
        from: PagePoint,
        /// Its lower right corner.
        to: PagePoint,
        /// Its pixels.
        picture: GreyPicture,
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
    Part(InkPart),
}

/// A photograph in grey.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct GreyPicture {
    size_px: [u32; 2],
    /// Row by row from the top, 0 black.
    grey: Arc<[u8]>,
}

impl GreyPicture {
    /// Width and height, and a value for each pixel, row by row from the top, 0 black; `None` where they are not as
    /// many as that.
    #[must_use]
    pub fn new(size_px: [u32; 2], grey: Vec<u8>) -> Option<Self> {
        let pixels = usize::try_from(u64::from(size_px[0]) * u64::from(size_px[1])).ok()?;
        (pixels > 0 && pixels == grey.len()).then(|| Self { size_px, grey: grey.into() })
    }

    /// Width and height, pixels.
    #[must_use]
    pub const fn size_px(&self) -> [u32; 2] {
        self.size_px
    }

    /// Its values, row by row from the top.
    #[must_use]
    pub fn grey(&self) -> &[u8] {
        &self.grey
    }

    /// It as rectangles, for who draws none but areas: one for each run of equal pixels in a row.
    pub(crate) fn areas(&self, from: PagePoint, to: PagePoint) -> Vec<Ink> {
        let [wide, high] = self.size_px.map(f64::from);
        let [right_pt, down_pt] = [(to[0] - from[0]) / wide, (to[1] - from[1]) / high];
        let rows = self.grey.chunks(self.size_px[0].max(1) as usize).enumerate();
        let areas = rows.flat_map(|(row, values)| {
            let top = from[1] + down_pt * row as f64;
            let mut left = 0;
            values.chunk_by(|a, b| a == b).map(move |run| {
                let corners = [left, left + run.len()].map(|at| from[0] + right_pt * at as f64);
                left += run.len();
                let points = rectangle([corners[0], top], [corners[1], top + down_pt]);
                let grey = run.first().copied().unwrap_or_default();
                Ink::Path { points, closed: true, pen: Pen::fill(Colour([grey; 3])) }
            })
        });
        areas.collect()
    }
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn a_photograph_as_areas_covers_its_place() {
        assert!(GreyPicture::new([2, 2], vec![0; 3]).is_none());
        assert!(GreyPicture::new([0, 2], Vec::new()).is_none());
        let picture = GreyPicture::new([3, 2], vec![7, 7, 9, 1, 2, 2]).unwrap();
        let area = |grey, from, to| Ink::Path {
            points: rectangle(from, to),
            closed: true,
            pen: Pen::fill(Colour([grey; 3])),
        };
        let all = [
            area(7, [10.0, 20.0], [14.0, 23.0]),
            area(9, [14.0, 20.0], [16.0, 23.0]),
            area(1, [10.0, 23.0], [12.0, 26.0]),
            area(2, [12.0, 23.0], [16.0, 26.0]),
        ];
        assert_eq!(picture.areas([10.0, 20.0], [16.0, 26.0]), all);
    }
}
