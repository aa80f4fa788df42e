//! A station's map found from known deviations: how its numbers run, are turned and scaled, and what is read
//! at boresight; p = M (g − g₀), flips first, then the turn, then the scale.
//!
//! - [`known`]: what was shown and what was read; [`found`]: the map with its uncertainty and what speaks
//!   against it; [`gap`]: what is missing where no map can be told;
//! - [`mod@fit`]: from the one to the other.

pub mod fit;
pub mod found;
pub mod gap;
pub mod known;

pub use fit::find_map;
pub use found::{FoundMap, MapFinding, MapResidual};
pub use gap::MapGap;
pub use known::{Flips, KnownDeviation, MapProblem, Scales};
