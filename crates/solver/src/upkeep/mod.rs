//! Keeping the bench honest.
//!
//! - [`check_standard`]: the check standard's chart, individuals and moving range, and EWMA;
//! - [`gauge_study`]: repeatability and reproducibility, by ANOVA and by average-and-range;
//! - [`calibration`]: whether a station is in calibration, from dates handed in as day numbers;
//! - [`station_map`]: a station's map found from known deviations.

pub mod calibration;
pub mod check_standard;
pub mod gauge_study;
pub mod station_map;
