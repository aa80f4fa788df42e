//! Frames that a program of this user's writes: from its standard output to grey values, the newest only.
//!
//! - [`command`]: the program and its arguments as typed; [`program`]: started, listened to, ended;
//! - [`yuv4mpeg`]: the stream it writes; [`frame`]: one of its frames; [`refusal`]: why there are none;
//! - [`invented`]: frames of an invented unit, that no program writes;
//! - [`latest`]: where the newest waits for whoever is next, and those before it are forgotten.

pub(crate) mod command;
pub(crate) mod frame;
pub(crate) mod invented;
pub(crate) mod latest;
pub(crate) mod program;
pub(crate) mod refusal;
pub(crate) mod yuv4mpeg;
