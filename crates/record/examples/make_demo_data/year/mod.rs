//! A year of the invented shop: sixty sessions on several benches by several hands, with troubles to
//! find, each of them told in the README.
//!
//! - [`truth`]: what is true of housings, benches and hands, and of each unit;
//! - [`plan`]: which unit comes when, to whom, on which bench, and what goes wrong;
//! - [`log`]: a session as it is said, fact by fact; [`job`]: how a job goes;
//! - [`special`]: the blind check, the bench that shows only the difference, the forged file and the
//!   damaged one;
//! - [`checks`]: the benches' check standards; [`study`]: how well the hands repeat;
//! - [`second_shop`]: a shop that a unit was sent to, with two benches of its own;
//! - [`shelf`]: stations, housings and the window that the year needs.

pub(crate) mod checks;
mod job;
mod log;
mod plan;
pub(crate) mod second_shop;
pub(crate) mod shelf;
mod special;
pub(crate) mod study;
pub(crate) mod truth;

use record::Error;
use solver::{Direction, OffsetCircle};

use plan::told;
pub(crate) use second_shop::SecondShop;

/// One session of the year: its file, its story, what is true of it.
pub(crate) struct Told {
    pub(crate) file: String,
    pub(crate) story: String,
    /// The circles before anything was done, without what the bench adds.
    pub(crate) left: OffsetCircle,
    pub(crate) right: OffsetCircle,
    /// What the bench adds to every direction.
    pub(crate) zero: Direction,
    pub(crate) bytes: Vec<u8>,
}

/// Every session of the year, in the order of the files' names; and the second shop.
pub(crate) fn sessions() -> Result<(Vec<Told>, SecondShop), Error> {
    let (mut sessions, second) = told()?;
    sessions.sort_by(|a, b| a.file.cmp(&b.file));
    Ok((sessions, second))
}
