//! The bench: one session from set-up to signature. A folder a subject, each with its state, what it does
//! when asked, and (`ui`) what it looks like.
//!
//! - [`session`]: the open session: file, fold and what is shown of it; `closing`: whether a round closes;
//!   [`station_words`]: its station in words;
//! - [`set_up`]: how the job is set up; [`entry`]: what is typed and becomes a reading; [`blocks`]: many at once;
//!   `dioptre`: one as typed, at both;
//! - [`log`]: the readings and what they point at; [`field`]: the plot in the middle, [`views`]: what else can stand
//!   there; [`differences`]: a station that shows only the difference; [`guidance`]: where to turn each ring;
//! - [`remedy`]: what would help; [`confirm`]: confirm readings; [`signing`]: who answers for it;
//! - [`glance`]: bench mode, seen from two metres; [`day`]: the working day; [`practice_unit`]: an invented unit.

pub mod blocks;
pub mod closing;
pub mod confirm;
pub mod day;
pub mod differences;
mod dioptre;
pub mod entry;
pub mod field;
pub mod glance;
pub mod guidance;
pub mod log;
pub mod practice_unit;
pub mod remedy;
pub mod session;
pub mod set_up;
pub mod signing;
pub mod station_words;
pub mod views;
