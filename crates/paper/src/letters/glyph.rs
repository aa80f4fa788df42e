//! A letter as it is set.

use std::ops::Range;

use super::faces::DrawnFace;

/// A letter as it is drawn; lengths in ems.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Glyph {
    /// Its number in the face.
    pub(crate) id: u32,
    /// The face.
    pub(crate) face: DrawnFace,
    /// How far the next one stands.
    pub(crate) advance_em: f64,
    /// How far it is moved from its place: right, up.
    pub(crate) offset_em: [f64; 2],
    /// The bytes of the text it stands for.
    pub(crate) of: Range<usize>,
}
