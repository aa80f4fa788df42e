//! Pictures of the station on the bench: one that is dropped or opened is read by a worker and fills the entry
//! row; nothing is logged before the hand's Enter.
//!
//! - [`looking`]: from a file to crosshairs, or why not; [`choosing`]: whose crosshair is whose;
//! - [`filling`]: what stands in the row of it; [`acting`]: what the hand asks; [`evidence`]: the facts by which a
//!   reading names its picture;
//! - [`live`]: frames of a camera that runs.

pub(crate) mod acting;
pub(crate) mod choosing;
pub(crate) mod evidence;
pub(crate) mod filling;
pub(crate) mod live;
pub(crate) mod looking;

use std::path::PathBuf;

use crate::jobs::{Job, Work};
use filling::Filled;
use live::Live;
use live::sweep::Sweep;
use looking::{Background, NoLook, PictureRead};

/// What the bench knows of pictures.
pub(crate) struct BenchCamera {
    /// The picture being read.
    reading: Job<Result<PictureRead, NoLook>>,
    /// What stood in the row when that began, and which session was open.
    asked: Option<RowAsked>,
    /// The picture read last, until a reading rests on it.
    seen: Option<PictureRead>,
    /// What the row was filled with from it.
    filled: Option<Filled>,
    /// The picture named last, read or refused.
    named: Option<PathBuf>,
    /// The picture with the lamp off that is subtracted from those that follow.
    background: Option<Background>,
    /// What is said of it at the glass, a sentence each.
    pub(crate) told: Vec<String>,
    /// The camera that runs, if one does.
    pub(crate) live: Live,
    /// The sweep that goes on.
    sweep: Option<Sweep>,
    /// Whether bench mode shows how far to go until they meet.
    pub(crate) meeting: bool,
}

/// What stood there when a picture was asked for.
struct RowAsked {
    name: String,
    session: PathBuf,
    typed: [String; 2],
}

impl Default for BenchCamera {
    fn default() -> Self {
        Self {
            reading: Job::idle(Work::Picture),
            asked: None,
            seen: None,
            filled: None,
            named: None,
            background: None,
            told: Vec::new(),
            live: Live::default(),
            sweep: None,
            meeting: false,
        }
    }
}
