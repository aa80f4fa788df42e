//! The bench: one session from set-up to signature. A folder a subject, each with its state, what it does
//! when asked, and (`ui`) what it looks like.
//!
//! - [`session`]: the open session: file, fold and what is shown of it; `closing`: whether a round closes;
//!   [`station_words`]: its station in words;
//! - [`set_up`]: how the job is set up; [`entry`]: what is typed and becomes a reading; [`blocks`]: many at once;
//!   `dioptre`: one as typed, at both; [`camera`]: read in a picture of the station;
//! - [`log`]: the readings and what they point at; [`field`]: the plot in the middle, [`views`]: what else can stand
//!   there; [`differences`]: a station that shows only the difference; [`guidance`]: where to turn each ring;
//! - [`remedy`]: what would help; [`confirm`]: confirm readings; [`signing`]: who answers for it;
//! - [`glance`]: bench mode, seen from two metres; [`day`]: the working day; [`practice_unit`]: an invented unit.

pub(crate) mod blocks;
pub(crate) mod camera;
pub(crate) mod closing;
pub(crate) mod confirm;
pub(crate) mod day;
pub(crate) mod differences;
mod dioptre;
pub(crate) mod entry;
pub(crate) mod field;
pub(crate) mod glance;
pub(crate) mod guidance;
pub(crate) mod log;
pub(crate) mod practice_unit;
pub(crate) mod remedy;
pub(crate) mod session;
pub(crate) mod set_up;
pub(crate) mod signing;
pub(crate) mod station_words;
pub(crate) mod views;
