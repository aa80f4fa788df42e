//! Pairs of ring angles and what they give: the best compromise, its map and slack.
//!
//! - [`compromise`]: the smallest window use over both rings, with the proof that it is the smallest;
//! - [`mod@by_hand`]: any two places on the circles, as a hand picks them;
//! - [`over_swing`]: the same for a whole range of swing, and the price of any setting;
//! - [`ring_map`]: window use over both rings, and the outline of what passes;
//! - [`mod@slack`]: how far rings may slip;
//! - inside: [`shares`], the parts of window use and linear functions below them; [`annulus`], the least
//!   use of the box in closed form; [`cells`], branch and bound; [`descent`], local search;
//!   [`best`], ties; [`arms`], places on circles.
//!
//! Inside this room a place on a circle is a unit vector from its centre: rings come back in at
//! the end, if their numbering is known.

mod annulus;
mod arms;
mod best;
pub mod by_hand;
mod cells;
pub mod compromise;
mod descent;
pub mod over_swing;
pub mod ring_map;
mod shares;
pub mod slack;

pub use by_hand::{RingPlace, by_hand};
pub use compromise::{Compromise, best_compromise};
pub use over_swing::{Price, SwingSetting, best_over_swing};
pub use ring_map::RingMap;
pub use slack::{RingSlack, Slack, slack};
