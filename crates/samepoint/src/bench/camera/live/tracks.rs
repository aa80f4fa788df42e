//! Which of two crosshairs in view moved: its ring is the one that is being turned.

use std::time::{Duration, Instant};

use crate::pictures::Placed;

/// A crosshair that moved by more than this has moved, standard uncertainties of both places; a choice of the
/// program's own, no source: of noise alone it happens once in 250,000 frames.
const MOVED_SIGMA: f64 = 5.0;

/// And by this at least, pixels: whatever shakes the bench shakes the camera.
const MOVED_PX: f64 = 0.5;

/// The other has stayed if it moved by at most this share of it; as [`super::super::choosing`] tells places apart.
const STAYED: f64 = 0.25;

/// A single crosshair this near to where one of two was seen last may be that one, pixels; several times what a hand at
/// the bench shakes it by. A choice of the program's own, no source.
const NEAR_PX: f64 = 3.0;

/// After so long alone one of two has been capped, unless a sweep goes on.
const CAPPED: Duration = Duration::from_secs(3);

/// Where the crosshairs in view were when the hand turned to a ring, and are now. Where two were in view, a frame that
/// shows one may show either: the other may be hidden, cut by the edge, or too faint for a moment.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tracks {
    pair: Option<[Track; 2]>,
    /// Frames in a row that showed one, and since when.
    alone: Option<(u32, Instant)>,
    /// Whether the one of the last frame may be the one that stayed.
    doubted: bool,
}

/// Whose a frame's crosshairs are, as far as those before it tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TrackTold {
    /// The one at this place is the ring's that is turned.
    This(usize),
    /// One is in view of two, and which cannot be told.
    Doubted,
    /// They tell nothing.
    Nothing,
}

#[derive(Clone, Copy, Debug)]
struct Track {
    first: Placed,
    last: Placed,
    /// Its place among the crosshairs of the frame.
    place: usize,
    moved: bool,
}

impl Track {
    const fn begun(at: Placed, place: usize) -> Self {
        Self { first: at, last: at, place, moved: false }
    }

    fn distance_px(&self) -> f64 {
        apart_px(&self.first, &self.last)
    }

    fn follow(&mut self, at: Placed, place: usize) {
        (self.last, self.place) = (at, place);
        let variance = |placed: &Placed| {
            let [xx, _, yy] = placed.crosshair.covariance_px2;
            xx + yy
        };
        let sigma = (variance(&self.first) + variance(&at)).sqrt();
        self.moved |= self.distance_px() > MOVED_PX.max(MOVED_SIGMA * sigma);
    }
}

fn apart_px(one: &Placed, other: &Placed) -> f64 {
    let ([x, y], [u, v]) = (one.crosshair.px, other.crosshair.px);
    (x - u).hypot(y - v)
}

impl Tracks {
    /// Begins anew: the hand turned to another ring.
    pub(crate) fn forget(&mut self) {
        *self = Self::default();
    }

    /// Follows the crosshairs of a frame; `sweeps`: one that is alone is never taken for the only one again.
    pub(crate) fn follow(&mut self, seen: &[Placed], sweeps: bool) {
        let &[one, two] = seen else {
            if let &[one] = seen {
                self.follow_one(one, sweeps);
            }
            return;
        };
        (self.alone, self.doubted) = (None, false);
        let Some([a, b]) = &mut self.pair else {
            self.pair = Some([Track::begun(one, 0), Track::begun(two, 1)]);
            return;
        };
        let straight = apart_px(&a.last, &one) + apart_px(&b.last, &two);
        let crossed = apart_px(&a.last, &two) + apart_px(&b.last, &one);
        // Where either would do, which is which was lost.
        if straight.min(crossed) > 0.5 * straight.max(crossed) {
            self.pair = Some([Track::begun(one, 0), Track::begun(two, 1)]);
        } else if straight < crossed {
            a.follow(one, 0);
            b.follow(two, 1);
        } else {
            a.follow(two, 1);
            b.follow(one, 0);
        }
    }

    fn follow_one(&mut self, one: Placed, sweeps: bool) {
        let (count, since) = self.alone.unwrap_or((0, Instant::now()));
        self.alone = Some((count.saturating_add(1), since));
        if !sweeps && since.elapsed() > CAPPED {
            self.pair = None;
        }
        let moved = self.moved_track();
        self.doubted = self.pair.as_ref().is_some_and(|pair| {
            pair.iter()
                .enumerate()
                .any(|(track, it)| Some(track) != moved && apart_px(&it.last, &one) <= NEAR_PX)
        });
        if let (Some(pair), Some(moved), false) = (&mut self.pair, moved, self.doubted)
            && let Some(track) = pair.get_mut(moved)
        {
            track.follow(one, 0);
        }
    }

    /// How many frames in a row showed one crosshair alone.
    pub(crate) fn alone(&self) -> u32 {
        self.alone.map_or(0, |(count, _)| count)
    }

    /// What is told of the last frame that was followed.
    pub(crate) fn told(&self) -> TrackTold {
        match self.alone {
            Some(_) if self.doubted => TrackTold::Doubted,
            Some(_) => TrackTold::Nothing,
            None => self.moved().map_or(TrackTold::Nothing, TrackTold::This),
        }
    }

    /// The place among the crosshairs of the last frame of the only one that moved; `None` where none or both did.
    fn moved(&self) -> Option<usize> {
        let track = self.moved_track()?;
        self.pair.as_ref()?.get(track).map(|track| track.place)
    }

    /// Which of both moved.
    fn moved_track(&self) -> Option<usize> {
        let [a, b] = self.pair.as_ref()?;
        let stayed = |this: &Track, other: &Track| {
            other.moved && this.distance_px() <= STAYED * other.distance_px()
        };
        match (stayed(b, a), stayed(a, b)) {
            (true, false) => Some(0),
            (false, true) => Some(1),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> Placed {
        let crosshair = reader::Crosshair {
            px: [x, y],
            covariance_px2: [4e-4, 0.0, 4e-4],
            roll_deg: 0.0,
            contrast_to_noise: 10.0,
            width_px: 3.0,
        };
        let there = reader::camera::InDivisions {
            divisions: [x, y],
            covariance_divisions2: [4e-4, 0.0, 4e-4],
            map_included: true,
        };
        Placed { crosshair, there }
    }

    #[test]
    fn the_one_that_moved_is_told_whichever_is_stronger() {
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0), at(200.0, 120.0)], true);
        assert_eq!(tracks.moved(), None);
        tracks.follow(&[at(100.05, 100.0), at(200.03, 120.0)], true);
        assert_eq!(tracks.moved(), None, "noise");
        tracks.follow(&[at(203.0, 121.0), at(100.0, 100.1)], true);
        assert_eq!(tracks.moved(), Some(0));
        tracks.follow(&[at(100.0, 100.1), at(206.0, 123.0)], true);
        assert_eq!(tracks.moved(), Some(1));
        // The hand turned to the other ring.
        tracks.forget();
        tracks.follow(&[at(100.0, 100.1), at(206.0, 123.0)], true);
        assert_eq!(tracks.moved(), None);
        tracks.follow(&[at(104.0, 100.1), at(206.0, 123.0)], true);
        assert_eq!(tracks.moved(), Some(0));
    }

    /// The one that stayed is not taken for the one that is turned while that is out of sight.
    #[test]
    fn one_of_two_is_not_the_rings_where_the_other_was() {
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0)], true);
        assert_eq!((tracks.told(), tracks.alone()), (TrackTold::Nothing, 1));
        tracks.follow(&[at(100.0, 100.0), at(200.0, 120.0)], true);
        tracks.follow(&[at(200.0, 120.0)], true);
        assert_eq!(tracks.told(), TrackTold::Doubted, "neither has moved");
        tracks.follow(&[at(100.0, 100.0), at(206.0, 123.0)], true);
        assert_eq!(tracks.told(), TrackTold::This(1));
        tracks.follow(&[at(100.2, 100.0)], true);
        assert_eq!(tracks.told(), TrackTold::Doubted, "the one that stayed");
        tracks.follow(&[at(212.0, 128.0)], true);
        assert_eq!(tracks.told(), TrackTold::Nothing, "the one that moves");
        tracks.follow(&[at(218.0, 134.0), at(100.0, 100.0)], true);
        assert_eq!(tracks.told(), TrackTold::This(0));
        // It runs over the other: either.
        tracks.follow(&[at(101.0, 101.0)], true);
        assert_eq!(tracks.told(), TrackTold::Doubted);
    }

    #[test]
    fn both_moving_one_lost_or_swapped_tell_nothing() {
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0), at(200.0, 120.0)], true);
        tracks.follow(&[at(104.0, 100.0), at(204.0, 120.0)], true);
        assert_eq!(tracks.moved(), None, "the bench was pushed");
        tracks.follow(&[at(104.0, 100.0)], true);
        tracks.follow(&[at(104.0, 100.0), at(214.0, 120.0)], true);
        assert_eq!(tracks.moved(), None, "one was lost meanwhile");
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0), at(110.0, 100.0)], true);
        tracks.follow(&[at(105.0, 100.0), at(105.0, 108.0)], true);
        assert_eq!(tracks.moved(), None, "which is which cannot be told");
    }
}
