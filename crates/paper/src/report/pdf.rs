//! Pages of ink → PDF: vectors and text, faces embedded with the letters in use and no others, the
//! same bytes for the same pages.

use std::collections::HashMap;
use std::sync::Arc;

use krilla::Document;
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::{BitsPerComponent, CustomImage, Image, ImageColorspace};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Data, SerializeSettings};

use record::Stamp;

use super::tags::Tags;

use crate::error::Error;
use crate::ink::{Align, GreyPicture, Ink, PagePoint, Pen, rectangle};
use crate::letters::{DrawnFace, Face, Letters};
use crate::palette::Colour;

/// A quarter circle as a cubic: its handles, for a radius of 1.
const QUARTER: f64 = 0.552_284_749_830_793_6;

/// What a document says of itself to programs.
pub(crate) struct DocumentInfo {
    pub(crate) title: String,
    pub(crate) program: String,
    /// Who put it together: by it the program knows its own files.
    pub(crate) producer: &'static str,
    /// Names the session's state: the same for the same facts.
    pub(crate) id: String,
    /// A document to be kept has a date. A session's is when the last fact in it was said: the same each
    /// time.
    pub(crate) made: Option<DateTime>,
    /// The file it was drawn from.
    pub(crate) from: Option<Attached>,
}

/// A file in the document, byte for byte.
pub(crate) struct Attached {
    /// Its name, without a folder.
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
    /// When the last of it was said.
    pub(crate) told: DateTime,
}

/// Writes the pages.
pub(crate) fn pdf(
    pages: &[Vec<Ink>],
    size_pt: [f64; 2],
    letters: &Letters,
    about: DocumentInfo,
) -> Result<Vec<u8>, Error> {
    let not_written = |what: String| Error::NotWritten { what };
    // PDF/A-3a and PDF/UA-1: made to be kept, with the file it was drawn from, and told in order to whoever hears it.
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A3_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|why| not_written(format!("{why:?}")))?;
    let settings = SerializeSettings { configuration, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let mut fonts = Fonts::load()?;
    let mut glyphs = Vec::new();
    let [width, height] = size_pt.map(|side| side as f32);
    let mut tags = Tags::default();
    for (number, page) in pages.iter().enumerate() {
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| not_written("a page without a size".to_owned()))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        let mut told = tags.page(number);
        for ink in page {
            if told.before(&mut surface, ink) {
                draw(&mut surface, ink, letters, &mut fonts, &mut glyphs);
            }
        }
        told.end(&mut surface);
        surface.finish();
        sheet.finish();
    }
    let mut metadata = Metadata::new()
        .title(about_words(&about.title))
        .creator(about_words(&about.program))
        .producer(about.producer.to_owned())
        .language("en".to_owned())
        .document_id(about.id);
    if let Some(made) = about.made {
        metadata = metadata.creation_date(made);
    }
    document.set_metadata(metadata);
    let (tree, outline) = tags.finish();
    document.set_tag_tree(tree);
    document.set_outline(outline);
    if let Some(from) = about.from {
        let file = EmbeddedFile {
            path: about_words(&from.name),
            mime_type: MimeType::new("application/octet-stream"),
            description: Some("The session that this report was drawn from".to_owned()),
            association_kind: AssociationKind::Source,
            data: Data::from(from.bytes),
            modification_date: Some(from.told),
            compress: Some(true),
            location: None,
        };
        // The only one: no other of its name can be there.
        let _ = document.embed_file(file);
    }
    document.finish().map_err(|why| not_written(format!("{why:?}")))
}

/// What programs are told: one line, and no longer than a document made to be kept may say
/// (ISO 19005-2, 6.1.13: 32 767 bytes a string); the pages have all of it.
fn about_words(text: &str) -> String {
    record::shown::one_line(text).chars().take(1000).collect()
}

/// The day and time where the clock stood, without saying where that was.
pub(crate) fn date_time(stamp: Stamp) -> DateTime {
    let time = stamp.time_of_day();
    let mut parts = time.split(':').map(|part| part.parse().unwrap_or(0));
    let mut part = || parts.next().unwrap_or(0);
    date(stamp).hour(part()).minute(part()).second(part())
}

/// The day alone.
pub(super) fn date(stamp: Stamp) -> DateTime {
    let day = stamp.date();
    DateTime::new(u16::try_from(day.year()).unwrap_or(0))
        .month(u8::try_from(day.month()).unwrap_or(1))
        .day(u8::try_from(day.day()).unwrap_or(1))
}

/// The faces in use, each taken in when its first letter is drawn.
#[derive(Default)]
struct Fonts(HashMap<DrawnFace, Option<Font>>);

impl Fonts {
    fn of(&mut self, face: DrawnFace) -> Option<Font> {
        let load = || {
            let (file, index) = face.file()?;
            let file: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::new(file);
            Font::new(Data::from(file), index)
        };
        self.0.entry(face).or_insert_with(load).clone()
    }

    /// # Errors
    /// A face of the program cannot be read.
    fn load() -> Result<Self, Error> {
        let mut fonts = Self::default();
        for face in Face::ALL {
            if fonts.of(DrawnFace::Own(face)).is_none() {
                let what = "a face of the program cannot be read".to_owned();
                return Err(Error::NotWritten { what });
            }
        }
        Ok(fonts)
    }
}

/// A photograph as the PDF takes it.
#[derive(Clone, Hash)]
struct Photograph(GreyPicture);

impl CustomImage for Photograph {
    fn color_channel(&self) -> &[u8] {
        self.0.grey()
    }

    fn alpha_channel(&self) -> Option<&[u8]> {
        None
    }

    fn bits_per_component(&self) -> BitsPerComponent {
        BitsPerComponent::Eight
    }

    fn size(&self) -> (u32, u32) {
        let [width, height] = self.0.size_px();
        (width, height)
    }

    fn icc_profile(&self) -> Option<&[u8]> {
        None
    }

    fn color_space(&self) -> ImageColorspace {
        ImageColorspace::Luma
    }
}

/// Draws a piece of ink; `glyphs` is room for the letters of a line.
fn draw(
    surface: &mut Surface<'_>,
    ink: &Ink,
    letters: &Letters,
    fonts: &mut Fonts,
    glyphs: &mut Vec<KrillaGlyph>,
) {
    match ink {
        Ink::Name(_) | Ink::Part(_) => {}
        Ink::Clip { from, to } => {
            if let Some(path) = path(&rectangle(*from, *to), true) {
                surface.push_clip_path(&path, &FillRule::NonZero);
            }
        }
        Ink::ClipEnd => surface.pop(),
        Ink::Circle { centre, radius_pt, pen } => {
            take(surface, pen);
            if let Some(path) = circle(*centre, *radius_pt) {
                surface.draw_path(&path);
            }
        }
        Ink::Path { points, closed, pen } => {
            take(surface, pen);
            if let Some(path) = path(points, *closed) {
                surface.draw_path(&path);
            }
        }
        Ink::Grey { from: [x0, y0], to: [x1, y1], picture } => {
            // Not smoothed: ISO 19005-3, 6.2.8, forbids it in what is made to be kept.
            let image = Image::from_custom(Photograph(picture.clone()), false).ok();
            let size = Size::from_wh((x1 - x0) as f32, (y1 - y0) as f32);
            if let (Some(image), Some(size)) = (image, size) {
                surface.push_transform(&Transform::from_translate(*x0 as f32, *y0 as f32));
                surface.draw_image(image, size);
                surface.pop();
            }
        }
        Ink::Words { at: [x, y], text, face, size_pt, colour, align } => {
            let text = letters.told(text);
            take(surface, &Pen::fill(*colour));
            letters.lay(&text, *face, |laid, width_em| {
                // A blank that only parts what is read aloud hangs over the edge.
                let hangs = text.len() > 1 && text.ends_with(' ');
                let last = laid.iter().filter(|glyph| hangs && glyph.of.end == text.len());
                let hanging_em = last.map(|glyph| glyph.advance_em).sum::<f64>();
                let width_pt = (width_em - hanging_em) * size_pt;
                let mut left = match align {
                    Align::Left => *x,
                    Align::Middle => x - width_pt / 2.0,
                    Align::Right => x - width_pt,
                };
                for piece in laid.chunk_by(|one, next| one.face == next.face) {
                    glyphs.clear();
                    glyphs.extend(piece.iter().map(|glyph| {
                        let [x_offset, y_offset] = glyph.offset_em.map(|part| part as f32);
                        let (id, of) = (GlyphId::new(glyph.id), glyph.of.clone());
                        let advance = glyph.advance_em as f32;
                        KrillaGlyph::new(id, advance, x_offset, y_offset, 0.0, of, None)
                    }));
                    let start = Point::from_xy(left as f32, *y as f32);
                    let font = piece.first().and_then(|glyph| fonts.of(glyph.face));
                    if let Some(font) = font {
                        surface.draw_glyphs(start, glyphs, font, &text, *size_pt as f32, false);
                    }
                    left += piece.iter().map(|glyph| glyph.advance_em).sum::<f64>() * size_pt;
                }
            });
        }
    }
}

fn take(surface: &mut Surface<'_>, pen: &Pen) {
    surface.set_fill(pen.fill.map(|colour| Fill {
        paint: paint(colour).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }));
    surface.set_stroke(pen.line.map(|line| Stroke {
        paint: paint(line.colour).into(),
        width: line.width_pt as f32,
        line_join: LineJoin::Round,
        dash:
            line.dash_pt.map(|dash| StrokeDash {
                array: dash.map(|part| part as f32).to_vec(),
                offset: 0.0,
            }),
        ..Stroke::default()
    }));
}

fn paint(Colour([r, g, b]): Colour) -> rgb::Color {
    rgb::Color::new(r, g, b)
}

fn path(points: &[PagePoint], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (index, [x, y]) in points.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if index == 0 {
            path.move_to(x, y);
        } else {
            path.line_to(x, y);
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// Four cubics, nowhere more than 2.8e-4 of the radius off.
fn circle([x, y]: PagePoint, radius: f64) -> Option<Path> {
    let mut path = PathBuilder::new();
    let at = |dx: f64, dy: f64| ((x + dx * radius) as f32, (y + dy * radius) as f32);
    let (start_x, start_y) = at(1.0, 0.0);
    path.move_to(start_x, start_y);
    for (dx, dy) in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0_f64)] {
        let (x1, y1) = at(dx - QUARTER * dy, dy + QUARTER * dx);
        let (x2, y2) = at(-dy + QUARTER * dx, dx + QUARTER * dy);
        let (x3, y3) = at(-dy, dx);
        path.cubic_to(x1, y1, x2, y2, x3, y3);
    }
    path.close();
    path.finish()
}
