//! The field plot on screen: the only user of `egui_plot`.
//!
//! - [`field_plot`]: shows a scene, equal scale both ways, and says what a hand did on it;
//! - [`view`]: what it remembers between frames;
//! - [`paint`]: a display list → shapes; [`scene_item`]: as the plot library takes it; [`grid`];
//! - [`labels`]: words beside what is drawn, none over another;
//! - [`many`]: thousands of marks, as far as they can be told apart;
//! - [`hit`]: what lies under the pointer; [`grab`]: handles to try a setting by;
//! - [`measuring`]: from one item to another; [`off_screen`]: arrows to what is out of view.

mod field_plot;
mod grab;
mod grid;
mod hit;
mod labels;
mod many;
mod measuring;
mod off_screen;
mod paint;
mod scene_item;
mod view;

pub(crate) use field_plot::{FieldPlot, PlotAct, field_plot_ui};
pub(crate) use grab::Handle;
pub(crate) use view::FieldView;
