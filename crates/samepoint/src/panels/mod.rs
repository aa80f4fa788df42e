//! One screen area per file. Panels read the picture and push actions; none changes anything
//! but its own text fields.

pub mod bottom_bar;
pub mod callouts;
pub mod central;
pub mod checklist;
mod clock_face;
pub mod compared;
pub mod confirm;
mod confirm_chart;
pub mod day;
pub mod difference_table;
pub mod entry_row;
pub mod glance;
pub mod guidance;
pub mod log_table;
pub mod places;
pub mod plot_tools;
pub mod remedy;
pub mod sheets;
pub mod top_bar;
pub mod views;

/// On the button that logs what is typed, where the last field is y.
pub const Y_FIELD_TIP: &str = "Enter in the y field does it too.";
