//! Both channels of a unit and the bench it stands on, in the numbers that sliders move.

use solver::angle::{ARCMIN_PER_RAD, reduced_deg};
use solver::meet::{Meeting, RELATION_TOLERANCE, meet};
use solver::optics::{Lateral, Optics, Placement, ShimEnds};
use solver::setting::best_compromise;
use solver::swing::{Bridge, SwingRange, swung};
use solver::{
    Channel, Direction, OffsetCircle, PerChannel, Problem, Reading, Spread, Window, WindowUse,
    solve,
};

use crate::error::Error;
use crate::station::StationMap;

/// Where a bench that logs the model turns each ring.
const LOGGED_DEG: [f64; 6] = [0.0, 60.0, 120.0, 180.0, 240.0, 300.0];
/// The spread such a bench states, arcminutes.
const LOGGED_SIGMA_ARCMIN: f64 = 0.2;

/// A unit on a bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Model {
    /// Focal lengths of either channel.
    pub optics: Optics,
    /// Its two channels.
    pub channels: PerChannel<ModelChannel>,
    /// What it is held against.
    pub window: Window,
    /// How its pods move.
    pub bridge: Bridge,
    /// The interpupillary distance at which the rings are set, mm.
    pub set_at_ipd_mm: f64,
    /// Least and greatest interpupillary distance, mm.
    pub ipd_range_mm: [f64; 2],
}

/// One channel.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ModelChannel {
    /// Where its parts stand, without shims.
    pub placed: Placement,
    /// Decentre of the eyepiece's lens cell at ring zero.
    pub decentre: Lateral,
    /// Shims under its tube.
    pub shims: Vec<ModelShim>,
    /// How far the cell can lag behind its ring, degrees in all.
    pub ring_play_deg: f64,
    /// What the dioptre ring stands at, against zero, dioptres.
    pub dioptre: f64,
    /// How far the eye, or the station's own lens, stands off the eyepiece's axis.
    pub eye_off: Lateral,
    /// Whether the station's map of this channel has x the wrong way round.
    pub map_flipped: bool,
}

/// A shim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModelShim {
    /// Which ends it lies at.
    pub ends: ShimEnds,
    /// How thick, mm.
    pub thickness_mm: f64,
    /// Where, degrees clockwise from up, seen from the eye side.
    pub clock_deg: f64,
}

impl ModelChannel {
    /// Where its parts stand, shims and all: a shim pushes the tube away from its clock position.
    #[must_use]
    pub fn placed_on_shims(&self) -> Placement {
        let mut placed = self.placed;
        for shim in &self.shims {
            let pushed = -Lateral::toward_clock(shim.thickness_mm, shim.clock_deg);
            if matches!(shim.ends, ShimEnds::Front | ShimEnds::Both) {
                placed.tube_in = placed.tube_in + pushed;
            }
            if matches!(shim.ends, ShimEnds::Rear | ShimEnds::Both) {
                placed.tube_out = placed.tube_out + pushed;
            }
        }
        placed
    }

    /// What an eyepiece off its dioptre zero adds for an eye off its axis, arcminutes: h·D, Prentice's
    /// rule. Light that diverges (D < 0) comes from a near point, which an eye to the right sees to the
    /// left.
    #[must_use]
    pub fn dioptre_shift(&self) -> Direction {
        // Millimetres times dioptres are milliradians.
        let shift = |off_mm: f64| off_mm * self.dioptre / 1_000.0 * ARCMIN_PER_RAD;
        Direction::new(shift(self.eye_off.x_mm), shift(self.eye_off.y_mm))
    }
}

impl Model {
    /// The offset circles: small-angle, as the rings show them without play, dioptres at zero.
    #[must_use]
    pub fn circles(&self) -> PerChannel<OffsetCircle> {
        PerChannel::from_fn(|channel| {
            let made = &self.channels[channel];
            self.optics.eyepiece_circle(&made.placed_on_shims(), made.decentre)
        })
    }

    /// How they meet.
    ///
    /// # Errors
    /// [`Error::Solver`] for circles that are no numbers.
    pub fn meeting(&self) -> Result<Meeting, Error> {
        let PerChannel { left, right } = self.circles();
        Ok(meet(&left, &right, RELATION_TOLERANCE)?)
    }

    /// The place to set, as the bench recommends it: the nearest crossing where it is inside the window, else
    /// the best compromise.
    ///
    /// # Errors
    /// As [`meeting`](Self::meeting).
    pub fn place(&self) -> Result<PerChannel<Direction>, Error> {
        if let Some(near) = self.meeting()?.nearest() {
            let points = PerChannel { left: near.point, right: near.point };
            if self.used(points).is_inside() {
                return Ok(points);
            }
        }
        // As a bench finds it that sees the unit as it is: where many compromises are equally good, as between
        // circles of one centre, panel and plot take the same.
        let mut seen = self.clone();
        for channel in Channel::BOTH {
            let made = &mut seen.channels[channel];
            (made.dioptre, made.map_flipped, made.ring_play_deg) = (0.0, false, 0.0);
        }
        if let Ok(Ok(setting)) = solve(&seen.as_logged()?).map(|solution| solution.setting) {
            return Ok(setting.points);
        }
        let PerChannel { left, right } = self.circles();
        Ok(best_compromise(&left, &right, Some(&self.window))?.points)
    }

    /// The rings that set a place, degrees in [0, 360).
    #[must_use]
    pub fn rings_for(&self, place: PerChannel<Direction>) -> PerChannel<f64> {
        let circles = self.circles();
        PerChannel::from_fn(|channel| circles[channel].ring_for(place[channel]).unwrap_or(0.0))
    }

    /// The rings that set the place as a hand finds them who logs clockwise, degrees in [0, 360): half the
    /// play is in them.
    ///
    /// # Errors
    /// As [`meeting`](Self::meeting).
    pub fn rings_as_logged(&self) -> Result<PerChannel<f64>, Error> {
        let rings = self.rings_for(self.place()?);
        Ok(PerChannel::from_fn(|channel| {
            reduced_deg(rings[channel] + 0.5 * self.channels[channel].ring_play_deg)
        }))
    }

    /// What a bench without noise would log of it, six positions of each ring reached clockwise, as its
    /// station shows them: dioptre, play and a wrong flip are all in it.
    ///
    /// # Errors
    /// [`Error::Solver`] for a range of interpupillary distances the bridge cannot give.
    pub fn as_logged(&self) -> Result<Problem, Error> {
        let readings = PerChannel::from_fn(|channel| {
            let logged =
                LOGGED_DEG.map(|deg| Reading::at_ring(deg, self.shown(channel, deg, true)));
            logged.to_vec()
        });
        Ok(Problem {
            readings,
            spread: Spread { sigma_arcmin: Some(LOGGED_SIGMA_ARCMIN), ring_sigma_deg: 0.0 },
            window: Some(self.window),
            swing: Some(self.swing_range()?),
            ..Problem::default()
        })
    }

    /// How far the pods roll between the least and the greatest interpupillary distance.
    ///
    /// # Errors
    /// [`Error::Solver`] for a distance the bridge cannot give.
    pub fn swing_range(&self) -> Result<SwingRange, Error> {
        let [narrow_mm, wide_mm] = self.ipd_range_mm;
        let narrow = self.bridge.swing_deg(self.set_at_ipd_mm, narrow_mm)?;
        let wide = self.bridge.swing_deg(self.set_at_ipd_mm, wide_mm)?;
        Ok(SwingRange::new(narrow.min(wide), narrow.max(wide))?)
    }

    /// Where a channel points, exactly, with its ring at an angle reached clockwise or not. The cell
    /// lags by half the play.
    #[must_use]
    pub fn point(&self, channel: Channel, ring_deg: f64, clockwise: bool) -> Direction {
        let made = &self.channels[channel];
        let mut placed = made.placed_on_shims();
        placed.eyepiece = placed.eyepiece + made.cell_at(ring_deg, clockwise);
        self.optics.deviation(&placed, Direction::BORESIGHT) + made.dioptre_shift()
    }

    /// What the station shows of it: through its map, wrong flip and all.
    #[must_use]
    pub fn shown(&self, channel: Channel, ring_deg: f64, clockwise: bool) -> Direction {
        let point = self.point(channel, ring_deg, clockwise);
        let right = StationMap { flip_x: true, ..StationMap::PLAIN };
        let divisions = right.divisions_from_direction(point);
        let believed = StationMap { flip_x: !self.channels[channel].map_flipped, ..right };
        believed.direction_from_divisions(divisions)
    }

    /// Window use of two directions where the rings are set.
    #[must_use]
    pub fn used(&self, points: PerChannel<Direction>) -> WindowUse {
        self.window.used_by(points.left, points.right)
    }

    /// Window use of two directions at another interpupillary distance: the pods roll and carry them
    /// round.
    ///
    /// # Errors
    /// [`Error::Solver`] for a distance the bridge cannot give.
    pub fn used_at(&self, points: PerChannel<Direction>, ipd_mm: f64) -> Result<WindowUse, Error> {
        let swing_deg = self.bridge.swing_deg(self.set_at_ipd_mm, ipd_mm)?;
        Ok(self.used(swung(points, swing_deg)))
    }
}
