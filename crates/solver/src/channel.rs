//! The two channels of a viewer, and a pair of things, one for each.

use core::fmt;
use core::ops::{Index, IndexMut};

/// One channel of the viewer, named after the eye it serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Channel {
    /// The channel before the left eye.
    Left,
    /// The channel before the right eye.
    Right,
}

impl Channel {
    /// Both channels, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// `"left"` or `"right"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl fmt::Display for Channel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// One value for each channel; indexed by [`Channel`].
///
/// ```
/// use solver::{Channel, PerChannel};
/// let turns = PerChannel { left: 3, right: 5 };
/// assert_eq!(turns[Channel::Right], 5);
/// assert_eq!(turns.map(|n| n + 1).left, 4);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct PerChannel<T> {
    /// The left channel's.
    pub left: T,
    /// The right channel's.
    pub right: T,
}

impl<T> PerChannel<T> {
    /// Makes both from a rule.
    pub fn from_fn(mut make: impl FnMut(Channel) -> T) -> Self {
        Self { left: make(Channel::Left), right: make(Channel::Right) }
    }

    /// Both values put through the same rule.
    pub fn map<U>(self, mut rule: impl FnMut(T) -> U) -> PerChannel<U> {
        PerChannel { left: rule(self.left), right: rule(self.right) }
    }

    /// Borrows both.
    #[must_use]
    pub const fn as_ref(&self) -> PerChannel<&T> {
        PerChannel { left: &self.left, right: &self.right }
    }

    /// The two values with their channel, left first.
    pub fn iter(&self) -> impl Iterator<Item = (Channel, &T)> {
        [(Channel::Left, &self.left), (Channel::Right, &self.right)].into_iter()
    }

    /// Left and right exchanged.
    #[must_use]
    pub fn swapped(self) -> Self {
        Self { left: self.right, right: self.left }
    }
}

impl<T> Index<Channel> for PerChannel<T> {
    type Output = T;
    fn index(&self, channel: Channel) -> &T {
        match channel {
            Channel::Left => &self.left,
            Channel::Right => &self.right,
        }
    }
}

impl<T> IndexMut<Channel> for PerChannel<T> {
    fn index_mut(&mut self, channel: Channel) -> &mut T {
        match channel {
            Channel::Left => &mut self.left,
            Channel::Right => &mut self.right,
        }
    }
}
