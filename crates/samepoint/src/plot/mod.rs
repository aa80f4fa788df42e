//! The field plot on screen: the only user of `egui_plot`.
//!
//! - [`field_plot`]: shows a scene, equal scale both ways, and says what was pressed;
//! - [`paint`]: a display list → shapes.

mod field_plot;
mod paint;

pub use field_plot::{FieldView, field_plot_ui};
