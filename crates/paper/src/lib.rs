//! samepoint's pictures as display lists, drawn alike on screen and on paper.
//!
//! - [`scene`]: the field plot as items with roles, arcminutes and points, never colours;
//! - [`field`]: what is known of a unit → its scene;
//! - [`style`]: line, dash and marker of each role, so that left and right differ without colour;
//! - [`palette`], [`letters`]: the colours and faces of paper;
//! - [`ink`]: what goes on paper, in points; [`plate`]: a scene → ink; [`mod@svg`]: ink → SVG;
//! - [`words`]: numbers as everyone reads them: true minus signs, units, one decimal.

pub mod field;
pub mod ink;
pub mod letters;
pub mod palette;
pub mod plate;
pub mod scene;
pub mod style;
pub mod svg;
pub mod words;

pub use field::{Field, Mark, field_scene};
pub use scene::{Anchor, Extent, Item, ItemId, Role, Scene, Shape};
pub use svg::svg;
