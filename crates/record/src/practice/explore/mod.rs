//! The optics opened up: a unit in millimetres, what it shows, and presets that each teach one thing.
//!
//! - [`model`]: both channels and their bench, in the numbers that sliders move;
//! - [`section`]: one channel cut open, and the ray through it;
//! - [`preset`]: name, question and millimetres; [`answer`]: the answer, from the numbers as they stand;
//!   [`derivation`]: formula, numbers put in, result.

pub mod answer;
pub mod derivation;
pub mod model;
pub mod preset;
pub mod section;

pub use answer::{AnswerFigure, ExploreAnswer};
pub use derivation::DerivationLine;
pub use model::{Model, ModelChannel, ModelShim};
pub use preset::Preset;
pub use section::{Plane, Section};
