//! What to do when the rings alone do not get there: shims, swapped eyepieces, swapped or turned tubes.
//!
//! - [`mod@rank`]: every remedy in one list, cheapest first, with what it is predicted to give;
//! - [`predicted`]: circles, setting and use after a remedy; [`spread`]: the use with uncertainty;
//! - [`shim`]: what a seat takes and what a shim does; [`plans`]: shim plans, every one looked at;
//! - [`swap`]: eyepieces and tubes swapped, tubes turned;
//! - [`words`]: remedies in words for hands; [`clock_face`]: where a shim goes, drawn;
//! - inside: [`key`], the order of remedies; [`glance`], a quick look at a pair of circles.

pub mod clock_face;
pub(crate) mod glance;
mod key;
pub mod plans;
pub mod predicted;
pub mod rank;
pub mod shim;
pub mod spread;
pub mod swap;
pub mod words;

pub use predicted::{PredictedCircle, PredictedKind, PredictedSetting, Prediction};
pub use rank::{
    NotOffered, RankedRemedy, Ranking, RemedyAction, RemedyKind, RemedyRefusal, Situation, rank,
};
