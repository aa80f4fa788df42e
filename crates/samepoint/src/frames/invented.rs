//! Frames of a camera that is not there: the crosshair of an invented unit through a tube's noise.
//!
//! A frame shows no more than an eye at the glass sees: the crosshair where this look shows it, and nothing of what is
//! behind that look.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use reader::simulate::{Scene, Shown};
use solver::monte_carlo::Source;

use super::frame::{Luma, VideoFrame};
use super::latest::Latest;

/// From frame to frame, where nothing changed.
const TICK: Duration = Duration::from_millis(150);

/// The value of a full pixel.
const WHITE: f64 = 255.0;

/// What stands before the camera. Clones are the same.
#[derive(Clone, Debug, Default)]
pub(crate) struct InventedStage(Arc<StageHeld>);

#[derive(Debug, Default)]
struct StageHeld {
    inside: Mutex<StageInside>,
    changed: Condvar,
}

/// A crosshair before the camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct InventedCrosshair {
    /// Where, pixels.
    pub(crate) px: [f64; 2],
    /// Counter-clockwise, degrees.
    pub(crate) roll_deg: f64,
}

#[derive(Debug, Default)]
struct StageInside {
    crosshair: Option<InventedCrosshair>,
    /// Frames that were taken so far.
    taken: u64,
    /// Whether it is another than in the last of them.
    is_new: bool,
}

impl InventedStage {
    fn inside(&self) -> MutexGuard<'_, StageInside> {
        self.0.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Stands a crosshair there from now on; the number of the first frame that shows it, where another stood there.
    pub(crate) fn stand(&self, crosshair: Option<InventedCrosshair>) -> Option<u64> {
        let mut inside = self.inside();
        if inside.crosshair == crosshair {
            return None;
        }
        (inside.crosshair, inside.is_new) = (crosshair, true);
        self.0.changed.notify_all();
        Some(inside.taken + 1)
    }

    /// The number of the next frame and what it shows: at once where that is new, else after a while.
    fn next(&self) -> (u64, Option<InventedCrosshair>) {
        let mut inside = self.inside();
        if !inside.is_new {
            let waited = self.0.changed.wait_timeout(inside, TICK);
            inside = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        inside.is_new = false;
        inside.taken += 1;
        (inside.taken, inside.crosshair)
    }

    /// Films it until nobody takes frames any more.
    pub(crate) fn film(&self, size: [usize; 2], frames: &Latest<VideoFrame>) {
        while !frames.is_closed() {
            let (number, crosshair) = self.next();
            frames.put(frame(number, size, crosshair));
        }
    }
}

fn frame(number: u64, size: [usize; 2], crosshair: Option<InventedCrosshair>) -> VideoFrame {
    let mut scene = Scene::even(size, 40.0);
    (scene.read_noise, scene.photon_gain, scene.vignetting) = (2.0, 0.2, 0.3);
    scene.honeycomb = Some((17.0, 0.03));
    scene.flashes = (0.0005, 12.0);
    scene.full_scale = Some(WHITE);
    if let Some(InventedCrosshair { px, roll_deg }) = crosshair {
        scene.crosshairs.push(Shown { roll_deg, ..Shown::plain(px, 90.0, 3.0, 70.0) });
    }
    // Whole numbers from 0 to white.
    let pixels = scene.rendered(&mut Source::seeded(number));
    let luma = Luma::Eight(pixels.into_iter().map(|pixel| pixel as u8).collect());
    VideoFrame { number, at: Instant::now(), size, luma, full_scale: WHITE as f32 }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn each_frame_shows_what_stood_there_when_it_was_taken() {
        let stage = InventedStage::default();
        let at = |x: f64| Some(InventedCrosshair { px: [x, 50.0], roll_deg: 0.0 });
        assert_eq!(stage.stand(at(30.0)), Some(1));
        assert_eq!((stage.next(), stage.next()), ((1, at(30.0)), (2, at(30.0))));
        assert_eq!(stage.stand(at(30.0)), None);
        assert_eq!(stage.stand(at(31.0)), Some(3));
        assert_eq!(stage.next(), (3, at(31.0)));
        assert_eq!((stage.stand(None), stage.next()), (Some(4), (4, None)));
    }
}
