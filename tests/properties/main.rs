//! What must hold for every input, tried on many.
//!
//! [`carry_through`]: rotation, translation, mirroring and swap of channels; [`exact`]: exact data
//! give exact circles, with and without ring angles; [`crossings`]: crossing points lie on both
//! circles; [`deciding`]: what a judgement carries beside its verdict; [`estimator`]: the fit equals independent oracles; [`any_bits`]: nothing panics,
//! hangs or answers with a number that is none; [`swing`]: the worst over a swing is the
//! worst; [`uncertain`]: ellipses, intervals and tests hold what they promise; [`standing_out`]:
//! leaving a reading out equals a refit, and what was misread is named; [`next_reading`]: no other
//! reading improves a crossing more; [`remedies`]: no shim plan is lost, a source split knows what
//! it knows; [`ranking`]: the list of remedies, its order, predictions and refusals; [`clock_face`]: where a shim
//! goes, drawn, and twins told once;
//! [`own_circle`]: what was not moved is seldom called off its circle, what was is;
//! [`relative`]: differences alone give the truth, or say which ring to turn; [`relative_sure`]: how sure that
//! is, and what is not settled is not recommended;
//! [`station_map`]: planted maps are found from known deviations.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod any_bits;
mod carry_through;
mod clock_face;
mod crossings;
mod deciding;
mod estimator;
mod exact;
mod given;
mod next_reading;
mod own_circle;
mod ranking;
mod relative;
mod relative_sure;
mod remedies;
mod standing_out;
mod station_map;
mod swing;
mod uncertain;
