//! The order in which remedies are ranked.

use core::cmp::Ordering;

/// What remedies are ranked by: inside the window first, these by channels touched, parts, score and
/// distance from boresight; the others by score before all else.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RemedyOrder {
    pub(super) outside: bool,
    pub(super) channels: usize,
    /// Leaves of shims, eyepieces or tubes handled.
    pub(super) parts: usize,
    pub(super) score: f64,
    /// Of the crossing from boresight, arcminutes; infinite without one.
    pub(super) away: f64,
}

impl RemedyOrder {
    pub(super) fn new(channels: usize, parts: usize, score: f64, away: f64) -> Self {
        // What is no number is outside.
        let inside = score <= 1.0;
        Self { outside: !inside, channels, parts, score, away }
    }

    /// A total order: scores and distances compare by [`f64::total_cmp`].
    pub(super) fn compare(&self, other: &Self) -> Ordering {
        let effort = (self.channels, self.parts).cmp(&(other.channels, other.parts));
        let score = self.score.total_cmp(&other.score);
        self.outside
            .cmp(&other.outside)
            .then(if self.outside { score.then(effort) } else { effort.then(score) })
            .then(self.away.total_cmp(&other.away))
    }
}
