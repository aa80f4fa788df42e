//! Where to turn each ring, on screen.
//!
//! - [`ui`]: the panel; [`compared`]: a remedy's prediction beside what was measured;
//! - [`aim_off`]: what locks are known to turn, looked up by `aiming`.

pub(crate) mod aim_off;
pub(crate) mod aiming;
pub(crate) mod compared;
pub(crate) mod ui;
