//! Marks that make no camera map, in the user's words.

use thiserror::Error;

/// Why marks make no camera map.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MapError {
    /// Too few.
    #[error("{found} marks are too few; a camera map needs {least}")]
    TooFew {
        /// How many there are.
        found: usize,
        /// How many are needed.
        least: usize,
    },
    /// Too many.
    #[error("{found} marks are too many; {most} is the most")]
    TooMany {
        /// How many there are.
        found: usize,
        /// The most.
        most: usize,
    },
    /// Not a number, or beyond all measure.
    #[error("mark {mark} holds a number that is no place in a picture or on a graticule")]
    NotAPlace {
        /// Which, from 1.
        mark: usize,
    },
    /// A mark outside the picture.
    #[error(
        "mark {mark} lies outside the picture of {width} × {height} pixels, at {x_px:.1}, {y_px:.1}"
    )]
    OutsidePicture {
        /// Which, from 1.
        mark: usize,
        /// Pixels across.
        width: u64,
        /// Pixels down.
        height: u64,
        /// Where.
        x_px: f64,
        /// Where.
        y_px: f64,
    },
    /// Two marks in one place.
    #[error("marks {first} and {second} are the same place {of}; mark another")]
    SamePlace {
        /// One, from 1.
        first: usize,
        /// The other, from 1.
        second: usize,
        /// Of what.
        of: &'static str,
    },
    /// All but one, or all, on one line.
    #[error(
        "the marks lie on one line, or all but one do; mark places that spread over the picture, \
         such as the four corners of the graticule"
    )]
    OnOneLine,
    /// The fit does not settle, or the map folds over.
    #[error(
        "no camera sees a graticule as these marks have it; look whether two of them are exchanged or a \
         division is mistyped"
    )]
    NoSuchCamera,
}
