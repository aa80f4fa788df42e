//! samepoint: the bench application, window and command line.
//!
//! - [`cli`]: what needs no display;
//! - [`app`]: the window and its frame; [`mod@bench`]: one session from set-up to signature; [`places`]: where the hand
//!   is else; [`sheets`]: what stands in front; [`upkeep`]: check standards; [`waiting`]: facts that are not on disk;
//!   [`own_shop`]: beginning a shop, and what it keeps;
//! - [`views`]: what is known, made ready to look at; [`shell`]: what all of these stand on; [`launch`]: opening the window,
//!   [`first_frame`]: and showing it before anything is open;
//! - [`plot`]: the field plot; [`widgets`]: small things panels share; [`theme`]: every colour;
//! - [`ui_command`]: commands with their words and keys; [`cautions`]: what can hurt;
//! - [`services`]: what is asked of the world; [`dialogs`]: paths asked for; [`jobs`]: worker threads; [`preferences`];
//! - [`pictures`]: pictures of a station, read; [`frames`]: those that a program writes one after another;
//! - [`sealing`]: seals over what was signed, for window and command line;
//! - [`pedals`]: presses that a hand gave commands; [`speech`]: having a sentence spoken;
//! - [`report_file`]: a report put in its place; [`audit_pack`]: a period's reports and files in one folder; [`calibration_file`]: a calibration's sheet; [`signals`]: none ends the program where an error can be told;
//! - `programs`: others of this computer, found and started;
//! - [`crash`]: what is kept for the day something goes wrong.
//! - [`system_faces`]: faces of the system for characters that ours lack; `notices`: what the program is built from;
//! - [`testing`]: what tests and examples reach of it. To everybody else the program is `cli`, `launch` and `signals`.

pub(crate) mod app;
pub(crate) mod audit_pack;
pub(crate) mod bench;
pub(crate) mod calibration_file;
pub(crate) mod cautions;
pub mod cli;
pub(crate) mod crash;
pub(crate) mod dialogs;
pub(crate) mod first_frame;
pub(crate) mod frames;
pub(crate) mod jobs;
pub mod launch;
pub(crate) mod notices;
pub(crate) mod own_shop;
pub(crate) mod pedals;
pub(crate) mod pictures;
pub(crate) mod places;
pub(crate) mod plot;
pub(crate) mod preferences;
pub(crate) mod programs;
pub(crate) mod report_file;
pub(crate) mod sealing;
pub(crate) mod services;
pub(crate) mod sheets;
pub(crate) mod shell;
pub mod signals;
pub(crate) mod speech;
pub(crate) mod system_faces;
pub mod testing;
pub(crate) mod theme;
pub(crate) mod ui_command;
pub(crate) mod upkeep;
pub(crate) mod views;
pub(crate) mod waiting;
pub(crate) mod widgets;
