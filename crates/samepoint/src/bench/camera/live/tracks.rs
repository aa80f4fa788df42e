//! Which of two crosshairs in view moved: its ring is the one that is being turned.

use crate::pictures::Placed;

/// A crosshair that moved by more than this has moved, standard uncertainties of both places; a choice of the
/// program's own, no source: of noise alone it happens once in 250,000 frames.
const MOVED_SIGMA: f64 = 5.0;

/// And by this at least, pixels: whatever shakes the bench shakes the camera.
const MOVED_PX: f64 = 0.5;

/// The other has stayed if it moved by at most this share of it; as [`super::super::choosing`] tells places apart.
const STAYED: f64 = 0.25;

/// Where the crosshairs in view were when the hand turned to a ring, and are now.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tracks {
    pair: Option<[Track; 2]>,
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
        self.pair = None;
    }

    /// Follows the crosshairs of a frame.
    pub(crate) fn follow(&mut self, seen: &[Placed]) {
        let &[one, two] = seen else {
            self.pair = None;
            return;
        };
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

    /// The place among the crosshairs of the last frame of the only one that moved; `None` where none or both did.
    pub(crate) fn moved(&self) -> Option<usize> {
        let [a, b] = self.pair.as_ref()?;
        let stayed = |this: &Track, other: &Track| {
            other.moved && this.distance_px() <= STAYED * other.distance_px()
        };
        match (stayed(b, a), stayed(a, b)) {
            (true, false) => Some(a.place),
            (false, true) => Some(b.place),
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
        tracks.follow(&[at(100.0, 100.0), at(200.0, 120.0)]);
        assert_eq!(tracks.moved(), None);
        tracks.follow(&[at(100.05, 100.0), at(200.03, 120.0)]);
        assert_eq!(tracks.moved(), None, "noise");
        tracks.follow(&[at(203.0, 121.0), at(100.0, 100.1)]);
        assert_eq!(tracks.moved(), Some(0));
        tracks.follow(&[at(100.0, 100.1), at(206.0, 123.0)]);
        assert_eq!(tracks.moved(), Some(1));
        // The hand turned to the other ring.
        tracks.forget();
        tracks.follow(&[at(100.0, 100.1), at(206.0, 123.0)]);
        assert_eq!(tracks.moved(), None);
        tracks.follow(&[at(104.0, 100.1), at(206.0, 123.0)]);
        assert_eq!(tracks.moved(), Some(0));
    }

    #[test]
    fn both_moving_one_lost_or_swapped_tell_nothing() {
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0), at(200.0, 120.0)]);
        tracks.follow(&[at(104.0, 100.0), at(204.0, 120.0)]);
        assert_eq!(tracks.moved(), None, "the bench was pushed");
        tracks.follow(&[at(104.0, 100.0)]);
        tracks.follow(&[at(104.0, 100.0), at(214.0, 120.0)]);
        assert_eq!(tracks.moved(), None, "one was lost meanwhile");
        let mut tracks = Tracks::default();
        tracks.follow(&[at(100.0, 100.0), at(110.0, 100.0)]);
        tracks.follow(&[at(105.0, 100.0), at(105.0, 108.0)]);
        assert_eq!(tracks.moved(), None, "which is which cannot be told");
    }
}
