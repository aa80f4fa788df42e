//! The field plot in pixels: the same ink as SVG and PDF.

use std::collections::HashMap;
use std::sync::Arc;

use thiserror::Error;
use vello_cpu::color::{AlphaColor, Srgb};
use vello_cpu::kurbo::{Affine, BezPath, Cap, Circle, Join, Point, Rect, Shape as _, Stroke};
use vello_cpu::peniko::{Blob, FontData};
use vello_cpu::{Glyph, Pixmap, RenderContext, Resources};

use crate::ink::{Align, Ink, PagePoint, Pen};
use crate::layout::layout;
use crate::letters::{DrawnFace, Face, Letters};
use crate::palette::Colour;
use crate::scene::Scene;

/// No picture is wider or higher, pixels.
const LARGEST_PX: f64 = 8192.0;
/// How near a circle is followed, pixels.
const NEARNESS_PX: f64 = 0.05;

/// A picture in pixels.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PixelPicture {
    /// Across.
    pub width: u16,
    /// Down.
    pub height: u16,
    /// Red, green, blue and opacity of each pixel, row by row from the upper left corner.
    pub rgba: Vec<u8>,
}

/// Why there is no PNG.
#[derive(Debug, Error)]
#[error("the picture could not be written as PNG: {why}")]
pub struct PngError {
    /// In the encoder's words.
    pub why: String,
}

/// Draws a scene of a size in points, at a number of pixels a point.
///
/// # Degenerate input
/// A size or scale that is no positive number counts as the least; no side is longer than 8192
/// pixels.
#[must_use]
pub fn pixels(scene: &Scene, size_pt: [f64; 2], pixels_per_pt: f64) -> PixelPicture {
    let picture = drawn(scene, size_pt, pixels_per_pt);
    PixelPicture {
        width: picture.width(),
        height: picture.height(),
        rgba: picture.data_as_u8_slice().to_vec(),
    }
}

/// The same as the bytes of a PNG file.
///
/// # Errors
/// Only what the encoder finds wrong, which for a picture in memory is nothing known.
pub fn png(scene: &Scene, size_pt: [f64; 2], pixels_per_pt: f64) -> Result<Vec<u8>, PngError> {
    drawn(scene, size_pt, pixels_per_pt)
        .into_png()
        .map_err(|error| PngError { why: error.to_string() })
}

/// Ink of a size in points as the bytes of a PNG file.
///
/// # Errors
/// As [`png`].
pub(crate) fn png_of(
    ink: &[Ink],
    size_pt: [f64; 2],
    pixels_per_pt: f64,
) -> Result<Vec<u8>, PngError> {
    let scale = possible_scale(pixels_per_pt);
    inked(ink, size_px(size_pt, scale), scale, &Letters::load())
        .into_png()
        .map_err(|error| PngError { why: error.to_string() })
}

fn possible_scale(pixels_per_pt: f64) -> f64 {
    if pixels_per_pt.is_finite() { pixels_per_pt.clamp(0.1, 16.0) } else { 1.0 }
}

fn size_px(size_pt: [f64; 2], scale: f64) -> [u16; 2] {
    size_pt.map(
        |pt| {
            if pt.is_finite() { (pt * scale).round().clamp(1.0, LARGEST_PX) as u16 } else { 1 }
        },
    )
}

fn drawn(scene: &Scene, size_pt: [f64; 2], pixels_per_pt: f64) -> Pixmap {
    let scale = possible_scale(pixels_per_pt);
    let size_px = size_px(size_pt, scale);
    let letters = Letters::load();
    let ink = layout(scene, [0.0, 0.0], size_px.map(|px| f64::from(px) / scale), &letters);
    inked(&ink, size_px, scale, &letters)
}

fn inked(ink: &[Ink], [width, height]: [u16; 2], scale: f64, letters: &Letters) -> Pixmap {
    let mut brush = PixelBrush {
        context: RenderContext::new(width, height),
        resources: Resources::new(),
        letters,
        fonts: HashMap::new(),
        nearness_pt: NEARNESS_PX / scale,
    };
    brush.context.set_transform(Affine::scale(scale));
    for ink in ink {
        brush.ink(ink);
    }
    let mut picture = Pixmap::new(width, height);
    brush.context.flush();
    brush.context.render(&mut picture, &mut brush.resources);
    picture
}

struct PixelBrush<'a> {
    context: RenderContext,
    resources: Resources,
    letters: &'a Letters,
    /// The faces in use, each taken in when its first letter is drawn.
    fonts: HashMap<DrawnFace, Option<FontData>>,
    nearness_pt: f64,
}

impl PixelBrush<'_> {
    fn ink(&mut self, ink: &Ink) {
        match ink {
            Ink::Circle { centre: [x, y], radius_pt, pen } => {
                let circle = Circle::new(Point::new(*x, *y), *radius_pt);
                self.path(&circle.to_path(self.nearness_pt), pen);
            }
            Ink::Path { points, closed, pen } => self.path(&path(points, *closed), pen),
            Ink::Words { at, text, face, size_pt, colour, align } => {
                self.words(*at, text, *face, *size_pt, *colour, *align);
            }
            Ink::Grey { from, to, picture } => {
                picture.areas(*from, *to).iter().for_each(|area| self.ink(area));
            }
            Ink::Clip { from, to } => {
                let clip = Rect::new(from[0], from[1], to[0], to[1]);
                self.context.push_clip_path(&clip.to_path(self.nearness_pt));
            }
            Ink::ClipEnd => self.context.pop_clip_path(),
            Ink::Name(_) | Ink::Part(_) => {}
        }
    }

    fn path(&mut self, path: &BezPath, pen: &Pen) {
        if let Some(fill) = pen.fill {
            self.context.set_paint(colour(fill));
            self.context.fill_path(path);
        }
        if let Some(line) = pen.line {
            let stroke = Stroke::new(line.width_pt).with_join(Join::Round).with_caps(Cap::Butt);
            let stroke = match line.dash_pt {
                Some(dash) => stroke.with_dashes(0.0, dash),
                None => stroke,
            };
            self.context.set_stroke(stroke);
            self.context.set_paint(colour(line.colour));
            self.context.stroke_path(path);
        }
    }

    fn words(
        &mut self,
        [x, y]: PagePoint,
        text: &str,
        face: Face,
        size_pt: f64,
        ink: Colour,
        align: Align,
    ) {
        let set = self.letters.set(&self.letters.told(text), face);
        let width_pt = set.width_em * size_pt;
        let mut pen_x = match align {
            Align::Left => x,
            Align::Middle => x - width_pt / 2.0,
            Align::Right => x - width_pt,
        };
        self.context.set_paint(colour(ink));
        for piece in set.glyphs.chunk_by(|one, next| one.face == next.face) {
            let mut glyphs = Vec::with_capacity(piece.len());
            for letter in piece {
                let [right_em, up_em] = letter.offset_em;
                glyphs.push(Glyph {
                    id: letter.id,
                    x: (pen_x + right_em * size_pt) as f32,
                    y: (y - up_em * size_pt) as f32,
                });
                pen_x += letter.advance_em * size_pt;
            }
            let Some(font) = piece.first().and_then(|letter| self.font(letter.face)) else {
                continue;
            };
            self.context
                .glyph_run(&mut self.resources, &font)
                .font_size(size_pt as f32)
                .hint(false)
                .fill_glyphs(glyphs.into_iter());
        }
    }

    fn font(&mut self, face: DrawnFace) -> Option<FontData> {
        let load = || {
            let (file, index) = face.file()?;
            Some(FontData::new(Blob::new(Arc::new(file)), index))
        };
        self.fonts.entry(face).or_insert_with(load).clone()
    }
}

fn path(points: &[PagePoint], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (k, [x, y]) in points.iter().enumerate() {
        if k == 0 {
            path.move_to((*x, *y));
        } else {
            path.line_to((*x, *y));
        }
    }
    if closed && !points.is_empty() {
        path.close_path();
    }
    path
}

fn colour(Colour([r, g, b]): Colour) -> AlphaColor<Srgb> {
    AlphaColor::from_rgb8(r, g, b)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
    use solver::{Channel, Direction, OffsetCircle, PerChannel};

    use super::*;
    use crate::field::{Field, Ghost, field_scene};
    use crate::layout::Layout;
    use crate::scene::{ItemId, Role, Shape};

    fn scene() -> Scene {
        let circle = OffsetCircle::unphased(Direction::new(3.0, 4.0), 20.0);
        let circles = PerChannel { left: Some(circle), right: None };
        let ghosts = [Ghost { label: String::new(), circles, crossing: None }];
        let mut scene = field_scene(&Field { ghosts: &ghosts, ..Field::default() });
        let shape = Shape::Circle { centre: circle.centre, radius_arcmin: 20.0 };
        let id = ItemId::Circle(Channel::Left);
        scene.push(id, Role::Circle(Channel::Left), shape, String::new());
        scene
    }

    /// The circle is drawn where the plate puts it, in the left channel's ink; a place with nothing
    /// on it is paper. Read back by the encoder's own library.
    #[test]
    fn a_circle_is_where_it_should_be() {
        let scene = scene();
        let bytes = png(&scene, [300.0, 300.0], 2.0).unwrap();
        let picture = Pixmap::from_png(std::io::Cursor::new(bytes)).unwrap();
        assert_eq!((picture.width(), picture.height()), (600, 600));
        let plate = Layout::of(&scene, [0.0; 2], [300.0; 2], &Letters::load());
        let at = |direction: Direction| {
            let [x, y] = plate.place(direction).unwrap();
            let pixel = picture.sample((2.0 * x) as u16, (2.0 * y) as u16);
            [pixel.r, pixel.g, pixel.b]
        };
        // On the line, between grid lines; the line is 2.8 pixels wide.
        let on = at(Direction::new(3.0, 4.0) + Direction::polar(20.0, 0.6));
        assert_eq!(on, Colour::LEFT.0);
        let off = at(Direction::new(3.0, 4.0) + Direction::polar(15.0, 0.6));
        assert_eq!(off, Colour::WHITE.0);
    }

    #[test]
    fn hostile_sizes_still_give_a_picture() {
        for (size, scale) in
            [([0.0, -4.0], 1.0), ([f64::NAN, 50.0], f64::INFINITY), ([9e9, 1.0], 1.0)]
        {
            let picture = pixels(&scene(), size, scale);
            let count = usize::from(picture.width) * usize::from(picture.height);
            assert_eq!(picture.rgba.len(), 4 * count);
            assert!(count > 0);
        }
    }
}
