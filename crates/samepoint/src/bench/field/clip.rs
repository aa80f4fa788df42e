//! What goes on the clipboard.

/// What goes on the clipboard.
pub(crate) enum Clip {
    /// Text.
    Text(String),
    /// A picture.
    Picture(paper::PixelPicture),
}
