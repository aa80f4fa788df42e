//! samepoint: the bench application, window and command line.
//!
//! - [`cli`]: what needs no display;
//! - [`app`]: the window and its frame; [`mod@bench`]: one session from set-up to signature; [`places`]: where the hand
//!   is else; [`sheets`]: what stands in front; [`upkeep`]: check standards; [`waiting`]: facts that are not on disk;
//! - [`views`]: what is known, made ready to look at; [`shell`]: what all of these stand on; [`launch`]: opening the window;
//! - [`plot`]: the field plot; [`widgets`]: small things panels share; [`theme`]: every colour;
//! - [`ui_command`]: commands with their words and keys; [`cautions`]: what can hurt;
//! - [`services`]: what is asked of the world; [`dialogs`]: paths asked for; [`jobs`]: worker threads; [`preferences`];
//! - [`sealing`]: seals over what was signed, for window and command line;
//! - [`pedals`]: presses that a hand gave commands; [`speech`]: having a sentence spoken;
//! - [`report_file`]: a report put in its place; [`signals`]: none ends the program where an error can be told;
//! - [`crash`]: what is kept for the day something goes wrong.
//! - `notices`: what the program is built from.

pub mod app;
pub mod bench;
pub mod cautions;
pub mod cli;
pub mod crash;
pub mod dialogs;
pub mod jobs;
pub mod launch;
pub(crate) mod notices;
pub mod pedals;
pub mod places;
pub mod plot;
pub mod preferences;
pub mod report_file;
pub mod sealing;
pub mod services;
pub mod sheets;
pub mod shell;
pub mod signals;
pub mod speech;
pub mod theme;
pub mod ui_command;
pub mod upkeep;
pub mod views;
pub mod waiting;
pub mod widgets;
