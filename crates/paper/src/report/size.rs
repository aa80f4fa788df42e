//! Sizes of paper.

/// A paper size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8½ in × 11 in.
    Letter,
}

impl PaperSize {
    /// Width and height, points of 1/72 inch.
    #[must_use]
    pub const fn size_pt(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0 * 72.0 / 25.4, 297.0 * 72.0 / 25.4],
            Self::Letter => [612.0, 792.0],
        }
    }
}
