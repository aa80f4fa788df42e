//! What a station that wandered means for the units that were left on it.
//!
//! A check standard tells when a station's zero left its limits. Between its last good check and the next
//! one nobody knows where it pointed when a unit was read, but the checks on either side tell about where:
//! what was read there can be corrected by that, with its uncertainty, and judged again. Nothing in a
//! session is changed by it.
//!
//! - [`mod@spells`]: when a station's zero was outside its limits, and how far off; [`corrected`]: a session
//!   as it would be.

pub mod corrected;
pub mod spells;

pub use corrected::{Recall, Would, recall};
pub use spells::{Spell, ZeroAt, spells};
