//! The solver against figures published outside this project, one file per source.
//!
//! Each check names its source; its tolerance is half a unit of the last printed digit, unless a
//! line says where another comes from. "Recomputed" means the source gives the data but fewer
//! digits than are checked: the digits come from a general-purpose library named there.
//!
//! [`published`]: every figure that the program checks itself by, kept in [`solver::published`]. Beside
//! them, what is no figure, needs trials, or is checked by a library that only tests have:
//!
//! Fits: [`chernov_near_line`]. Crossings: [`circle_intersections`], [`common_practice`]. Optics:
//! [`ray_trace`]. Statistics: [`distributions`], [`binormal`], [`ellipse`], [`gum`], [`newcombe`], [`nist_mean`], [`general_purpose`], [`iso13528`], [`round_robin`], [`jcgm101`], [`leys_mad`], [`trend`]. Decision: [`jcgm106`]. Upkeep: [`aiag`], [`hahn`], [`nist_check_standard`], [`station_map`].

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod aiag;
mod binormal;
mod chernov_near_line;
mod circle_intersections;
mod common_practice;
mod distributions;
mod ellipse;
mod general_purpose;
mod gum;
mod hahn;
mod iso13528;
mod jcgm101;
mod jcgm106;
mod leys_mad;
mod newcombe;
mod nist_check_standard;
mod nist_mean;
mod published;
#[path = "../published/aiag.rs"]
mod published_aiag;
#[path = "../published/round_robin.rs"]
mod published_round_robin;
mod ray_trace;
mod round_robin;
mod station_map;
mod trend;

/// Fails unless `actual` is within `tolerance` of `expected`.
#[track_caller]
fn close(what: &str, actual: f64, expected: f64, tolerance: f64) {
    let off = (actual - expected).abs();
    assert!(off <= tolerance, "{what}: {actual} is {off:e} from {expected}, allowed {tolerance:e}");
}

/// Fails unless `actual` agrees with a figure printed to `decimals` places after the point.
#[track_caller]
fn printed(what: &str, actual: f64, expected: f64, decimals: i32) {
    // A whisker more than half a unit: the printed figure itself is not a binary number.
    close(what, actual, expected, 0.500_001 * 10f64.powi(-decimals));
}
