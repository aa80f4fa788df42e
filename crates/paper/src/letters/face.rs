//! The faces that can be asked for.

/// DejaVu Sans.
const PLAIN: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans.ttf");
/// DejaVu Sans Bold.
const BOLD: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans-Bold.ttf");
/// DejaVu Sans Mono.
const MONO: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSansMono.ttf");

/// A face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Face {
    /// Running words.
    #[default]
    Plain,
    /// Words that stand out.
    Bold,
    /// Digits all of one width.
    Mono,
}

impl Face {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Plain, Self::Bold, Self::Mono];

    /// The face's file.
    #[must_use]
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Plain => PLAIN,
            Self::Bold => BOLD,
            Self::Mono => MONO,
        }
    }
}
