//! Pairs of ring angles and what they give: the best compromise, its map and slack.
//!
//! - [`compromise`]: the smallest window use over both rings, with the proof that it is the smallest;
//! - [`ring_map`]: window use over both rings, and the outline of what passes;
//! - [`slack`]: how far rings may slip;
//! - inside: [`shares`], the parts of window use and linear functions below them; [`annulus`], the least
//!   use of the box in closed form; [`cells`], branch and bound; [`descent`], local search;
//!   [`best`], ties; [`arms`], places on circles.
//!
//! Inside this room a place on a circle is a unit vector from its centre: rings come back in at
//! the end, if their numbering is known.

mod annulus;
mod arms;
mod best;
mod cells;
pub mod compromise;
mod descent;
pub mod ring_map;
mod shares;
pub mod slack;

pub use compromise::{Compromise, best_compromise};
pub use ring_map::RingMap;
pub use slack::{RingSlack, Slack, slack};
