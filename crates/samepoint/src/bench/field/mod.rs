//! The field plot in the middle of the bench.
//!
//! - [`ui`]: the plot with its line of explanation; [`tools`]: fit, measure, copy, save;
//! - [`trying`]: trying and choosing a setting, the picture as a file or a `clip`.

pub(crate) mod clip;
pub(crate) mod tools;
pub(crate) mod trying;
pub(crate) mod ui;
