//! Frames of a camera that runs: read one after another by a worker, shown at the glass, in the entry row until the
//! hand's Enter.
//!
//! The row holds the newest frame's reading while nothing else was typed there. In a frame of the window that brings
//! a press, a click or a letter it is left as it was drawn, so that Enter logs what the hand saw, with the frame it
//! was read in; a frame without a reading leaves it for half a second, then it is emptied. After Enter it rests for a
//! second, so that no place is logged twice by a held key.
//!
//! - [`eyes`]: what a worker sees in a frame; [`running`]: the program, its workers, how they end; [`over`]: why;
//! - [`tracks`]: which of two crosshairs moved; [`acting`]: started, frozen, ended; [`following`]: what stands in the row;
//! - [`sweep`]: places logged as a ring turns, [`sweeping`]: as the hand has it; [`meeting`]: how far to go until they meet;
//! - [`invented`]: an invented unit before an invented camera;
//! - [`glass`]: what is drawn at the glass, [`glass_ui`]: it drawn; [`command_ui`]: which program.

pub(crate) mod acting;
pub(crate) mod command_ui;
pub(crate) mod eyes;
pub(crate) mod following;
pub(crate) mod glass;
pub(crate) mod glass_ui;
pub(crate) mod invented;
pub(crate) mod meeting;
pub(crate) mod over;
pub(crate) mod running;
pub(crate) mod sweep;
pub(crate) mod sweeping;
pub(crate) mod tracks;

use std::sync::Arc;
use std::time::{Duration, Instant};

use solver::Channel;

use super::filling::Filled;
use super::looking::{Background, NoLook};
use crate::bench::entry::EntryRow;
use crate::frames::frame::VideoFrame;
use crate::pictures::Seeing;
use eyes::{LiveFrame, STALE};
use over::Over;
use running::RunningCamera;
use tracks::Tracks;

/// After a reading was logged the row waits so long for the next.
const RESTS: Duration = Duration::from_secs(1);

/// The camera that runs, if one does, and what was seen of it last.
#[derive(Default)]
pub(crate) struct Live {
    running: Option<RunningCamera>,
    /// The newest frame; the one that was frozen.
    now: Option<Arc<LiveFrame>>,
    /// Frames before this one show what is there no more.
    first: u64,
    frozen: bool,
    /// An invented camera and its map, while one runs.
    invented: Option<Seeing>,
    /// Why it runs no more.
    over: Option<Over>,
    tracks: Tracks,
    /// The channel whose ring was turned when that began.
    turned: Option<Channel>,
    /// Whether what stands in the row was put there from a frame, and when last.
    follows: Option<Instant>,
    rests_until: Option<Instant>,
    /// What the glass shows of it.
    shown: Option<glass::FrameTexture>,
}

impl Live {
    /// Whether a camera runs.
    pub(crate) const fn is_running(&self) -> bool {
        self.running.is_some()
    }

    /// Whether there is something to be seen or said of one.
    pub(crate) const fn is_there(&self) -> bool {
        self.running.is_some() || self.over.is_some() || self.now.is_some()
    }

    /// The newest frame, where it is new enough, or frozen.
    pub(crate) fn current(&self) -> Option<&Arc<LiveFrame>> {
        let stays = self.frozen || self.films_invented();
        self.now.as_ref().filter(|now| {
            now.frame.number >= self.first && (stays || now.frame.at.elapsed() <= STALE)
        })
    }

    /// Whether an invented unit is filmed: what was seen of it holds until it is turned.
    fn films_invented(&self) -> bool {
        self.running.as_ref().is_some_and(|running| running.stage().is_some())
    }

    /// What is said where a frame is read through another map than the one before it, or through none any more.
    fn is_read_otherwise(&self, newest: &LiveFrame) -> Option<String> {
        let before = self.now.as_ref()?;
        let name = &newest.seeing.camera.name;
        let is_without =
            |frame: &LiveFrame| frame.found.as_ref().is_err_and(NoLook::is_without_map);
        if is_without(newest) {
            let why = newest.found.as_ref().err()?;
            return (!is_without(before)).then(|| format!("Frames are not read any more: {why}."));
        }
        let is_another = before.seeing.camera != newest.seeing.camera;
        is_another.then(|| {
            format!(
                "The camera map “{name}” was changed: frames are read through what it is now. What was read before it \
                 left the row."
            )
        })
    }

    /// Whether an invented camera has not filmed yet what stands before it now.
    fn looks_again(&self) -> bool {
        self.films_invented() && self.now.as_ref().is_none_or(|now| now.frame.number < self.first)
    }

    /// How long until what is shown of a camera that runs no more is too old; `None` where it is, or stays.
    pub(crate) fn grows_old_in(&self) -> Option<Duration> {
        let now = self.now.as_ref().filter(|_| !self.frozen && self.running.is_none())?;
        // A little later, so that it is old by then.
        let left = (STALE + Duration::from_millis(20)).checked_sub(now.frame.at.elapsed())?;
        (!left.is_zero()).then_some(left)
    }

    /// Whether what stands in the row is what a frame put there.
    pub(crate) fn is_followed(&self, row: &EntryRow, filled: Option<&Filled>) -> bool {
        self.follows.is_some() && filled.is_some_and(|filled| filled.stands_in(row))
    }

    /// A reading was logged: the row waits, and nothing is frozen any more.
    pub(crate) fn logged(&mut self) {
        if self.is_running() {
            self.follows = None;
            self.rests_until = Some(Instant::now() + RESTS);
        }
        self.frozen = false;
    }

    /// The frame that is seen now, to be subtracted from those that follow.
    pub(crate) fn frame_to_subtract(&self) -> Option<Arc<VideoFrame>> {
        self.running.as_ref()?;
        self.current().map(|now| now.frame.clone())
    }

    /// What is subtracted from the frames that follow.
    pub(crate) fn subtract(&self, background: Option<Background>) {
        if let Some(running) = &self.running {
            running.subtract(background);
        }
    }
}
