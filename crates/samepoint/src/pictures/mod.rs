//! Pictures of a station, for window and command line alike.
//!
//! - [`mod@file`]: from a file to grey values; [`refusal`]: why not; [`seeing`]: from them to crosshairs in divisions,
//!   and reading again what a session rests on; [`small`]: those of confirm readings, for its report; [`head`]: the
//!   one of a shop's papers.

pub(crate) mod file;
pub(crate) mod head;
pub(crate) mod refusal;
pub(crate) mod seeing;
pub(crate) mod small;

pub(crate) use seeing::{PictureReader, Placed, Seeing};
