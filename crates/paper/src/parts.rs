//! What the pieces of a page are, for readers that hear it: headings, paragraphs, cells of tables, pictures.
//!
//! Ink is drawn in any order that looks right; a part says what the ink after it belongs to, so that a PDF's tags
//! follow the order of reading. All that has no part is decoration, and is not read aloud.

/// What the ink that follows belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct InkPart {
    /// Pieces of one number are one part, over lines, columns and pages.
    pub number: u32,
    /// What it is.
    pub role: PartRole,
}

/// What a part is.
#[derive(Clone, Debug, PartialEq)]
pub enum PartRole {
    /// What the document is about.
    Title,
    /// A heading below it.
    Heading,
    /// Running words.
    Paragraph,
    /// A cell of a table.
    Cell(CellPlace),
    /// A picture: all ink up to the next part.
    Picture {
        /// What it shows, in words.
        alt: String,
    },
    /// Rules, and what every page says again.
    Decoration,
}

/// Where a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CellPlace {
    /// Which table of the document.
    pub table: u32,
    /// Which row, its head being the first.
    pub row: u32,
    /// Which column.
    pub column: u32,
    /// Whether it names its column.
    pub heads: bool,
}

impl InkPart {
    /// What is not read aloud.
    pub const DECORATION: Self = Self { number: 0, role: PartRole::Decoration };
}
