//! Pictures as evidence (format 2): the camera map in force, and the picture a reading rests on.

use crate::error::Error;
use crate::fact::Seq;
use crate::validate::{Checked, finite, named};

/// The most marks a camera map holds: more than any graticule has.
pub const MOST_MARKS: usize = 1000;

/// The widest and highest picture, pixels.
pub const LARGEST_PICTURE_PX: u64 = 65_535;

/// A station's camera map, copied in; pictures after it are read through it.
///
/// Pixel (0, 0) is the centre of the top left pixel, x right, y down. What is derived from the marks is
/// not stored.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// Its name in the shop.
    pub name: String,
    /// The station it looks into.
    pub station: String,
    /// Width and height of its pictures, pixels.
    pub size_px: [u64; 2],
    /// Whether lines are brighter or darker than what is round them.
    pub lines: Lines,
    /// Places whose divisions are known; four or more.
    pub marks: Vec<PictureMark>,
}

/// Whether lines are brighter or darker than what is round them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Lines {
    /// Brighter.
    #[default]
    Bright,
    /// Darker.
    Dark,
}

impl Lines {
    /// It in a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bright => "bright",
            Self::Dark => "dark",
        }
    }
}

/// A place in the picture whose graticule reading is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureMark {
    /// Where it is in the picture, pixels.
    pub px: [f64; 2],
    /// Where it is on the graticule, divisions.
    pub divisions: [f64; 2],
}

/// The picture that a reading rests on, and what was found in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// The `seq` of the reading.
    pub reading: Seq,
    /// SHA-256 of the picture's bytes, 64 lower-case hex digits: its name in the shop's `pictures/`.
    pub picture_sha256: String,
    /// The same of the picture with the lamp off that was subtracted, where there was one.
    pub background_sha256: Option<String>,
    /// Who found the crosshair in it.
    pub read: FrameRead,
    /// Where: one crosshair for a channel's direction; left, then right for a difference.
    pub crosshairs: Vec<NotedCrosshair>,
}

/// Who found the crosshair in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FrameRead {
    /// The program.
    Camera,
    /// A hand, looking at the picture.
    Hand,
}

impl FrameRead {
    /// It in words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Camera => "by the camera",
            Self::Hand => "by hand",
        }
    }
}

/// A crosshair in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotedCrosshair {
    /// Where, pixels.
    pub px: [f64; 2],
    /// Its covariance xx, xy, yy, pixels²; `None` where a hand did not say.
    pub covariance_px2: Option<[f64; 3]>,
}

impl Checked for Camera {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)?;
        named("station", &self.station)?;
        for pixels in self.size_px {
            if !(1..=LARGEST_PICTURE_PX).contains(&pixels) {
                return Err(field("size_px", pixels as f64, "from 1 to 65535"));
            }
        }
        if !(4..=MOST_MARKS).contains(&self.marks.len()) {
            return Err(field("marks", self.marks.len() as f64, "from 4 to 1000 of them"));
        }
        for mark in &self.marks {
            for value in mark.px {
                within("marks.px", value)?;
            }
            for value in mark.divisions {
                within("marks.divisions", value)?;
            }
        }
        Ok(())
    }
}

impl Checked for Frame {
    fn check(&self) -> Result<(), Error> {
        sha256("picture_sha256", &self.picture_sha256)?;
        if let Some(background) = &self.background_sha256 {
            sha256("background_sha256", background)?;
        }
        let fewest = usize::from(self.read == FrameRead::Camera);
        if !(fewest..=2).contains(&self.crosshairs.len()) {
            let found = self.crosshairs.len() as f64;
            return Err(field("crosshairs", found, "one, or two for a difference"));
        }
        for crosshair in &self.crosshairs {
            for value in crosshair.px {
                within("crosshairs.px", value)?;
            }
            match crosshair.covariance_px2 {
                Some([xx, xy, yy]) => {
                    for value in [xx, xy, yy] {
                        finite("crosshairs.covariance_px2", value)?;
                    }
                    let determinant = xx * yy - xy * xy;
                    if !(xx > 0.0 && yy > 0.0 && determinant > 0.0) {
                        let must_be = "that of something known, positive definite";
                        return Err(field("crosshairs.covariance_px2", determinant, must_be));
                    }
                }
                None if self.read == FrameRead::Camera => {
                    return Err(Error::FieldEmpty {
                        field: "crosshairs.covariance_px2".to_owned(),
                    });
                }
                None => {}
            }
        }
        Ok(())
    }
}

/// Whether a text is 64 lower-case hex digits.
pub(crate) fn is_sha256(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

fn sha256(field: &str, text: &str) -> Result<(), Error> {
    if is_sha256(text) { Ok(()) } else { Err(Error::NotASha256 { field: field.to_owned() }) }
}

/// A million pixels or divisions is no place in a picture.
fn within(name: &str, value: f64) -> Result<(), Error> {
    if value.abs() <= 1e6 { Ok(()) } else { Err(field(name, value, "within a million of 0")) }
}

fn field(name: &str, value: f64, must_be: &'static str) -> Error {
    Error::FieldValue { field: name.to_owned(), value, must_be }
}
