//! Where a camera map's marks are put: the picture of the graticule, the cursor in it, and marks put on crossings.

use core::fmt;
use std::path::PathBuf;
use std::sync::Arc;

use egui::Context;
use reader::{Picture, crossing_near};
use record::figures::number;

use super::camera::{SIZE, graticule_is_dark, size_px};
use super::fields::Fields;
use super::fitted::{FittedMarks, NoFit, fitted};
use super::marks::{self, MARKS, MarkTyped};
use crate::pictures::file::{self, Grey};
use crate::pictures::refusal::NoGrey;
use crate::shell::path_sheet::PathSheet;
use crate::widgets::chart::{GreyImage, GreyTexture};

/// What came of opening a picture.
pub(crate) type Opening = Result<Opened, NoGrey>;

/// A picture that was opened.
#[derive(Clone)]
pub(crate) struct Opened {
    path: PathBuf,
    grey: Arc<Grey>,
    size_px: [u64; 2],
    image: GreyImage,
}

impl Opened {
    /// Reads a picture's file and makes it ready for the screen: a worker does.
    pub(crate) fn of(path: PathBuf) -> Opening {
        let (grey, size_px) = file::of_any_size(&file::bytes_of(&path)?)?;
        let image = GreyImage::of(&grey.pixels, size_px.map(|side| side as usize));
        Ok(Self { path, grey: Arc::new(grey), size_px, image })
    }
}

/// How far from where a hand points a crossing is looked for, pixels.
const WITHIN_PX: f64 = 12.0;

/// A mark put this near to another is that one, placed anew, pixels.
const SAME_PX: f64 = 5.0;

/// Standard uncertainties in a ± of 95 %.
const COVERAGE: f64 = 1.96;

/// The picture of a graticule, and a hand at it.
#[derive(Clone, Default)]
pub struct CameraDesk {
    /// The picture's path.
    pub path: PathSheet,
    /// Whether it is being opened.
    pub opening: bool,
    opened: Option<Opened>,
    screen: Option<GreyTexture>,
    /// Where the keyboard's cursor is, pixels.
    pub(crate) cursor_px: [f64; 2],
    /// What became of the mark placed last.
    pub(crate) told: String,
    /// What the marks come to, and the fields that it is of.
    made: Option<(Fields, Result<FittedMarks, NoFit>)>,
}

impl PartialEq for CameraDesk {
    fn eq(&self, other: &Self) -> bool {
        self.path == other.path && self.cursor_px == other.cursor_px
    }
}

impl fmt::Debug for CameraDesk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("CameraDesk").field("path", &self.path).finish_non_exhaustive()
    }
}

impl CameraDesk {
    /// Whether a picture is open.
    pub(crate) const fn is_open(&self) -> bool {
        self.opened.is_some()
    }

    /// What is open, in words.
    pub(crate) fn name(&self) -> String {
        let name = self.opened.as_ref().and_then(|opened| opened.path.file_name());
        name.map(|name| record::shown::path(std::path::Path::new(name))).unwrap_or_default()
    }

    /// Puts the picture away.
    pub(crate) fn close(&mut self) {
        (self.opened, self.told) = (None, String::new());
    }

    /// Shows a picture; its size is the map's, unless marks of another size are there already.
    pub(super) fn show(&mut self, fields: &mut Fields, opened: Opened) {
        self.opening = false;
        let has_marks = !marks::rows(&fields.text_as_is(MARKS)).is_empty();
        let [width, height] = opened.size_px;
        if let Ok(wanted) = size_px(fields)
            && has_marks
            && wanted != opened.size_px
        {
            let why = NoGrey::OtherSize { found: [width as u32, height as u32], wanted };
            self.path.refused = Some(paper::words::capital(&format!("{why}.")));
            return;
        }
        for (key, side) in SIZE.into_iter().zip(opened.size_px) {
            fields.fill(key, &side.to_string());
        }
        self.cursor_px = [0.5 * (width as f64 - 1.0), 0.5 * (height as f64 - 1.0)];
        self.path.refused = None;
        self.told.clear();
        if let Some(screen) = &mut self.screen {
            screen.set(opened.image.clone());
        }
        self.opened = Some(opened);
    }

    /// The picture as the screen holds it, its first time handed over.
    pub(crate) fn screen(&mut self, ctx: &Context) -> Option<&GreyTexture> {
        let opened = self.opened.as_ref()?;
        Some(self.screen.get_or_insert_with(|| GreyTexture::new(ctx, opened.image.clone())))
    }

    /// What the fields come to, worked out once for what is typed.
    pub(crate) fn fitted(&mut self, fields: &Fields) -> &Result<FittedMarks, NoFit> {
        let known = self.made.take().filter(|(of, _)| of == fields);
        let (_, made) = self.made.insert(known.unwrap_or_else(|| (fields.clone(), fitted(fields))));
        made
    }

    /// Moves the cursor by pixels; it stays in the picture.
    pub(crate) fn move_cursor(&mut self, by_px: [f64; 2]) {
        let Some(opened) = &self.opened else { return };
        for (axis, at) in self.cursor_px.iter_mut().enumerate() {
            let last = opened.size_px[axis] as f64 - 1.0;
            *at = (*at + by_px[axis]).clamp(0.0, last.max(0.0));
        }
    }

    /// Puts a mark at the crossing near a place, or at the place itself where none is told; the place of its line.
    pub(crate) fn place(&mut self, fields: &mut Fields, at_px: [f64; 2]) -> Option<usize> {
        let opened = self.opened.as_ref()?;
        let size = opened.size_px.map(|side| side as usize);
        let picture = Picture::new(&opened.grey.pixels, size, Some(opened.grey.full_scale));
        let dark = graticule_is_dark(fields);
        let found = picture.map_err(|why| why.to_string()).and_then(|picture| {
            crossing_near(&picture, dark, at_px, WITHIN_PX).map_err(|why| why.to_string())
        });
        let (px, decimals, how) = match found {
            Ok(found) => {
                let [xx, _, yy] = found.covariance_px2;
                let spread = COVERAGE * xx.max(yy).sqrt();
                let spread = number(spread.max(0.001), if spread < 0.095 { 3 } else { 2 });
                (found.px, 3, format!("on the centre of the crossing, ±{spread} px (95 %)"))
            }
            Err(why) => (at_px, 1, format!("where you put it: {why}")),
        };
        let [x, y] = px.map(|value| number(value, decimals));
        let mut rows = marks::rows(&fields.text_as_is(MARKS));
        let near = |row: &MarkTyped| {
            row.px().is_some_and(|other| (other[0] - px[0]).hypot(other[1] - px[1]) < SAME_PX)
        };
        let place = rows.iter().position(near).unwrap_or(rows.len());
        if let Some(row) = rows.get_mut(place) {
            [row.0[0], row.0[1]] = [x.clone(), y.clone()];
        } else {
            rows.push(MarkTyped([x.clone(), y.clone(), String::new(), String::new()]));
        }
        fields.fill(MARKS, &marks::text(&rows));
        self.cursor_px = px;
        self.told = format!("Mark {} is at {x}, {y} px, {how}.", place + 1);
        Some(place)
    }

    /// Takes the mark away that the cursor is on.
    pub(crate) fn take_away(&mut self, fields: &mut Fields) {
        let mut rows = marks::rows(&fields.text_as_is(MARKS));
        let [x, y] = self.cursor_px;
        let far =
            |row: &MarkTyped| row.px().map_or(f64::INFINITY, |at| (at[0] - x).hypot(at[1] - y));
        let nearest = rows.iter().enumerate().min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        let Some((place, _)) = nearest.filter(|(_, row)| far(row) <= WITHIN_PX) else {
            self.told = format!("No mark is within {WITHIN_PX:.0} px of the cursor.");
            return;
        };
        rows.remove(place);
        fields.fill(MARKS, &marks::text(&rows));
        self.told = format!("Mark {} is taken away; those behind it have moved up.", place + 1);
    }
}
