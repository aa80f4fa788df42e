//! Pictures of a station, read: what is claimed of it, over seeded pictures.
//!
//! - `pictures`: 2,000 invented pictures of every kind: how far off, how often inside, what is refused
//! - `bound`: the least uncertainty there can be, and what is reached of it
//! - `camera`: the camera map: degenerate marks, its inverse, a general library's figures
//! - `graticule`: marks put on the centre of the crossing that a hand points at
//! - `distorted`: lines that a lens bends
//! - `hostile`: pictures of anything: no panic, no crosshair where there is none
//! - `elsewhere`: pictures rendered elsewhere, and what other estimators made of them
//! - `tally`: counts
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod bound;
mod camera;
mod distorted;
mod elsewhere;
mod graticule;
mod hostile;
mod pictures;
mod tally;
