//! The shelf: which two tubes in which housing, which way up, with which eyepieces, so that the most units
//! come inside the window without a shim, then the most at all, then with the fewest leaves, then with the
//! least window use.
//!
//! - [`offsets`]: what many readings tell of bores and tubes together, and what they leave open;
//! - [`model`]: the shelf, a match, a plan; [`mod@plan`]: from the one to the other;
//! - [`mod@against`]: a prediction beside what was measured;
//! - [`weights`]: four steps of an objective as one whole number;
//! - inside: `known`, where each circle would lie; `columns`, every unit that would come inside; `worth`, what a
//!   pair of circles is worth; `lp`, the linear programme; `search`, the choice and its proof; `many`, both where
//!   there are too many units to look at each, with `swaps`, a plan to begin with, and `priced`, the best units by
//!   the prices of their parts; `chance`, what uncertainties leave of a match.

pub mod against;
mod chance;
mod columns;
mod known;
mod lp;
mod many;
pub mod model;
pub mod offsets;
pub mod plan;
mod priced;
mod search;
mod swaps;
pub mod weights;
mod worth;

pub use against::{Against, against};
pub use model::{
    Chance, Match, MatchPlan, MatchPrediction, Radius, Shelf, ShelfEyepiece, ShelfHousing,
    ShelfTube, Unknown,
};
pub use offsets::{Centres, Estimate, KnownValue, Missing, Offsets, Part, Seated, Subject};
pub use plan::{STEPS, at_crossing_near, plan, plan_by_prices, plan_while, predict};
pub use weights::Totals;
