//! What is missing where no map can be told.

use core::fmt;

use crate::direction::FIELD_LIMIT_ARCMIN;

/// Why no map can be told, and what would let it.
#[derive(Clone, Debug, PartialEq)]
pub enum MapGap {
    /// Nothing was read.
    NothingRead,
    /// Everything was read at one deviation. Where that is boresight itself, what is read there is told all the
    /// same, divisions.
    OnePlace {
        /// Known where the one deviation is none.
        boresight_divisions: Option<[f64; 2]>,
    },
    /// All deviations lie on one line, and a scale for each axis was asked for.
    OneLine,
    /// Different deviations read the same.
    ReadsAlike,
    /// With the flips as they were seen nothing fits; mirrored it does.
    Mirrored,
    /// A number that cannot be: which deviation, counted from 1, and what of it.
    NotANumber {
        /// Which.
        deviation: usize,
        /// What of it.
        what: &'static str,
    },
    /// A standard uncertainty of a reading that is not above 0.
    Sigma,
    /// The numbers are too large or too small to be worked with.
    OutOfReach,
}

/// What is said where the flip test and the deviations tell two things.
pub(super) const CONTRADICTED: &str = "the flip test and the deviations contradict each other: mirrored, they fit; \
                                       look again which way each number went, and at the signs of the deviations";

impl fmt::Display for MapGap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingRead => f.write_str("no known deviation is read yet; read boresight first, then two more"),
            Self::OnePlace { boresight_divisions: Some(_) } => f.write_str(
                "only boresight is read: where it is read is known, scale and turn are not; show a known \
                 deviation to the side",
            ),
            Self::OnePlace { boresight_divisions: None } => f.write_str(
                "only one deviation is read: neither scale nor turn nor boresight is determined; show another \
                 one, or boresight itself",
            ),
            Self::OneLine => f.write_str(
                "all deviations lie on one line: a scale for each axis is not determined; show one across \
                 that line, or ask for one scale",
            ),
            Self::ReadsAlike => f.write_str(
                "different deviations read the same numbers: the crosshair did not move; look whether the \
                 right thing was shown",
            ),
            Self::Mirrored => f.write_str(CONTRADICTED),
            Self::NotANumber { deviation, what } => write!(
                f,
                "deviation {deviation}: {what} cannot be used; directions go to {FIELD_LIMIT_ARCMIN:.0}′, \
                 uncertainties are 0 or more"
            ),
            Self::Sigma => f.write_str(
                "how well a reading is read must be more than 0 divisions, or left open",
            ),
            Self::OutOfReach => f.write_str("these numbers are too large or too small to be worked with"),
        }
    }
}

impl core::error::Error for MapGap {}
