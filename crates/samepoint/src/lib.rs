//! samepoint: the bench application, window and command line.
//!
//! - [`cli`]: what needs no display;
//! - [`app`]: the window's state, its commands, its frame; [`panels`]: one screen area per file;
//! - [`plot`]: the field plot; [`widgets`]: small things panels share; [`theme`]: every colour;
//! - [`ui_command`]: commands with their words and keys; [`cautions`]: what can hurt;
//! - [`services`]: what is asked of the world; [`dialogs`]: paths asked for; [`jobs`]: worker threads; [`preferences`];
//! - [`sealing`]: seals over what was signed, for window and command line;
//! - [`report_file`]: a report put in its place; [`signals`]: none ends the program where an error can be told;
//! - [`crash`]: what is kept for the day something goes wrong; [`mod@bench`]: opening the window.

pub mod app;
pub mod bench;
pub mod cautions;
pub mod cli;
pub mod crash;
pub mod dialogs;
pub mod jobs;
mod notices;
pub mod panels;
pub mod plot;
pub mod preferences;
pub mod report_file;
pub mod sealing;
pub mod services;
pub mod signals;
pub mod theme;
pub mod ui_command;
pub mod widgets;
