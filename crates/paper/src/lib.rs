//! samepoint's pictures as display lists, drawn alike on screen and on paper.
//!
//! - [`scene`]: the field plot as items with roles, arcminutes and points, never colours;
//! - [`field`]: what is known of a unit → its scene;
//! - [`style`]: line, dash and marker of each role, so that left and right differ without colour;
//! - [`words`]: numbers as everyone reads them: true minus signs, units, one decimal.

pub mod field;
pub mod scene;
pub mod style;
pub mod words;

pub use field::{Field, Mark, field_scene};
pub use scene::{Anchor, Extent, Item, ItemId, Role, Scene, Shape};
