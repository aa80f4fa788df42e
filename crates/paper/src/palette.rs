//! Colours for paper: white ground, inks dark enough to read and to copy.
//!
//! Left and right have about the same grey, so a copy without colour tells them apart as the screen
//! does: by line and marker ([`crate::style`]).

use solver::Channel;

use crate::scene::Role;

/// A colour in sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour(pub [u8; 3]);

impl Colour {
    /// The paper.
    pub const WHITE: Self = Self([255, 255, 255]);
    /// Words and what is *here*.
    pub const INK: Self = Self([17, 17, 17]);
    /// Words that explain.
    pub const QUIET: Self = Self([85, 85, 85]);
    /// Rules, frames, ticks.
    pub const LINE: Self = Self([150, 150, 150]);
    /// The grid behind a picture.
    pub const GRID: Self = Self([226, 226, 226]);
    /// Left: dark amber.
    pub const LEFT: Self = Self([148, 86, 0]);
    /// Right: dark cyan.
    pub const RIGHT: Self = Self([0, 104, 122]);
    /// Inside, and a pass.
    pub const INSIDE: Self = Self([24, 104, 44]);
    /// Look at this: clay.
    pub const LOOK: Self = Self([156, 58, 30]);

    /// A share of the paper mixed in.
    #[must_use]
    pub fn paled(self, share: f64) -> Self {
        Self(self.0.map(|part| {
            let part = f64::from(part);
            (part + (255.0 - part) * share.clamp(0.0, 1.0)).round() as u8
        }))
    }

    /// As SVG and CSS write it.
    #[must_use]
    pub fn hex(self) -> String {
        let Self([r, g, b]) = self;
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

/// A channel's accent.
#[must_use]
pub const fn channel(channel: Channel) -> Colour {
    match channel {
        Channel::Left => Colour::LEFT,
        Channel::Right => Colour::RIGHT,
    }
}

/// The colour of a picture's role.
#[must_use]
pub fn role(role: Role) -> Colour {
    match role {
        Role::Circle(of)
        | Role::DoubtfulCircle(of)
        | Role::Centre(of)
        | Role::Reading(of)
        | Role::Confirm(of)
        | Role::Residual(of)
        | Role::Now(of) => channel(of),
        Role::AsFound(of) => channel(of).paled(0.2),
        Role::Path(of) => channel(of).paled(0.45),
        Role::Swing(of) => channel(of).paled(0.3),
        Role::Ghost(of) => channel(of).paled(0.55),
        Role::Band(of) => channel(of).paled(0.75),
        Role::Selected(_) | Role::Trial(_) | Role::Here | Role::Window | Role::Measure => {
            Colour::INK
        }
        Role::Elsewhere | Role::Ellipse | Role::Guard | Role::SwingShared | Role::GhostCrossing => {
            Colour::QUIET
        }
        Role::Limit | Role::Boresight => Colour::LINE,
    }
}

/// The colour of a role's words: a faint line may carry words, but words are never faint.
#[must_use]
pub fn words(of: Role) -> Colour {
    match role(of) {
        Colour::LINE => Colour::QUIET,
        colour => colour,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.2, 1.4.3.
    fn luminance(Colour(parts): Colour) -> f64 {
        let [r, g, b] = parts.map(|part| {
            let share = f64::from(part) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// WCAG 2.2, 1.4.3: words need a contrast of 4.5 to their ground.
    #[test]
    fn words_read_on_white() {
        let inks = [Colour::INK, Colour::QUIET, Colour::LEFT, Colour::RIGHT];
        for colour in inks.into_iter().chain([Colour::INSIDE, Colour::LOOK]) {
            let contrast = 1.05 / (luminance(colour) + 0.05);
            assert!(contrast >= 4.5, "{colour:?}: {contrast}");
        }
    }
}
