//! Pairs of ring angles and what they give: the best compromise.
//!
//! - [`compromise`]: the smallest window use over both rings, with the proof that it is the smallest;
//! - [`mod@by_hand`]: any two places on the circles, as a hand picks them;
//! - [`shares`]: the parts of window use as both rings turn.
//!
//! Inside this room a place on a circle is its angle from the centre, radians counter-clockwise
//! from +x: rings come back in at the end, if their numbering is known.

pub mod by_hand;
pub mod compromise;
pub mod ring_map;
mod shares;
pub mod slack;

pub use by_hand::{RingPlace, by_hand};
pub use compromise::{Compromise, best_compromise};
pub use ring_map::RingMap;
pub use slack::{RingSlack, Slack, slack};
