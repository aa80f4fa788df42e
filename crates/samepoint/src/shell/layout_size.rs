//! How much room the window has, and what is in sight where it has little.

use egui::Vec2;

/// Below this the side panels become tabs, points. Larger text makes points larger, so a small
/// screen and large text are the same thing here.
const WIDE: Vec2 = Vec2::new(960.0, 600.0);

/// How the window is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LayoutSize {
    /// Log, plot and guidance side by side.
    Wide,
    /// One of them at a time below the entry row.
    Small,
}

impl LayoutSize {
    /// The layout for a size, points.
    #[must_use]
    pub(crate) fn of(size: Vec2) -> Self {
        if size.x < WIDE.x || size.y < WIDE.y { Self::Small } else { Self::Wide }
    }
}

/// What is in sight in a small window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tab {
    /// The readings.
    Log,
    /// The field plot.
    #[default]
    Plot,
    /// Where to turn each ring.
    Rings,
}

impl Tab {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 3] = [Self::Log, Self::Plot, Self::Rings];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Log => "Log",
            Self::Plot => "Plot",
            Self::Rings => "Rings",
        }
    }

    /// The one after it.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Log => Self::Plot,
            Self::Plot => Self::Rings,
            Self::Rings => Self::Log,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    #[test]
    fn a_small_window_and_large_text_are_the_same() {
        assert_eq!(LayoutSize::of(vec2(1280.0, 800.0)), LayoutSize::Wide);
        assert_eq!(LayoutSize::of(vec2(960.0, 600.0)), LayoutSize::Wide);
        assert_eq!(LayoutSize::of(vec2(640.0, 480.0)), LayoutSize::Small);
        assert_eq!(LayoutSize::of(vec2(1280.0, 800.0) / 2.0), LayoutSize::Small);
        assert_eq!(LayoutSize::of(vec2(1600.0, 599.0)), LayoutSize::Small);
    }
}
