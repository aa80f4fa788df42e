//! Where to turn each ring.
//!
//! - [`targets`]: in words; [`use_words`]: slack and swing; [`aim_off`]: what locks are known to turn, looked up by
//!   `aiming`;
//! - [`compared`]: a remedy's prediction beside what was measured; [`ui`]: the panel.

pub mod aim_off;
pub(crate) mod aiming;
pub mod compared;
pub mod targets;
pub mod ui;
pub mod use_words;
