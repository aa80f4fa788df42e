//! Tubes, housings and eyepieces by name: what is known of each, and which go together best.
//!
//! - [`stock`]: what lies on the shelf, `shelf.ron`; `wire`: its words;
//! - [`seen`]: what one session tells of the parts in it; [`mod@gather`]: all that counts of a shop's sessions;
//! - [`known`]: the split of bores and tubes, the radii of eyepieces;
//! - [`matching`]: the plan; [`told`]: it in words; [`words`]: what is not known, and what reading would tell;
//! - [`page`]: every part by itself; [`table`]: the plan, a line a unit;
//! - [`foretold`]: what was predicted of units that were built since, beside what was measured.

pub mod foretold;
pub mod gather;
pub mod known;
pub mod matching;
pub mod page;
pub mod seen;
pub mod stock;
pub mod table;
pub mod told;
pub(crate) mod wire;
pub mod words;

pub use foretold::Foretold;
pub use matching::{Matched, Matching, match_shelf, match_shelf_while};
pub use stock::{SHELF_FILE, Stock, StockEyepiece, StockHousing, StockTube};
