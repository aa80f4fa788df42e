//! How sure a setting of differences is: what the readings leave open, and random trials of what a
//! pair of ring angles will give.
//!
//! m at a pair of ring angles is linear in D, a and b, so its own uncertainty is exact; window use, |m| and
//! the ring angles at which the channels agree are not, and go through trials, as a setting of directions
//! does ([`crate::monte_carlo::setting`]).
//!
//! # Source
//! JCGM 101:2008, 5 and 7; Student's t where σ is estimated: 6.4.9.4. The pair to read next is where m is
//! known least, which is the pair that makes the determinant of the information largest: V. V. Fedorov,
//! *Theory of Optimal Experiments* (1972), theorem 2.2.1 and 2.5 (from memory).

use core::fmt;

use super::basis::C;
use crate::angle::{deg_from_rad, turn_deg};
use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::monte_carlo::{Source, quantile};
use crate::pointing::step_u_deg;
use crate::relative::{RelativeFit, RelativeSetting, RelativeSolution};
use crate::solve::SettingKind;
use crate::tolerance::Window;
use crate::uncertainty::COVERAGE;

/// Random trials, and where they start: the same readings give the same answer.
const TRIALS: usize = 20_000;
const SEED: u64 = 1;
/// A turn is told from none by this many of its standard uncertainties.
const TELLING: f64 = 3.0;
/// Pairs that are looked at for the next reading lie this far apart, degrees.
const GRID_DEG: u32 = 15;

/// What the readings do not settle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Open {
    /// The turn between the rings varied by no more than the rings are good to: their circles cannot be
    /// told apart.
    TurnedAlike {
        /// Root mean square of how far it varied, degrees.
        by_deg: f64,
    },
    /// One ring was turned by no more than it is good to.
    HardlyTurned {
        /// Which ring.
        channel: Channel,
        /// Root mean square of how far, degrees.
        by_deg: f64,
    },
    /// r < 2u(r): the readings leave the radius all but open.
    Radius {
        /// Whose.
        channel: Channel,
        /// r, arcminutes.
        radius_arcmin: f64,
        /// u(r), arcminutes.
        u_arcmin: f64,
    },
}

impl fmt::Display for Open {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TurnedAlike { by_deg } => write!(
                f,
                "both rings were turned alike, to within {by_deg:.1}°, so their two circles cannot be told \
                 apart"
            ),
            Self::HardlyTurned { channel, by_deg } => write!(
                f,
                "the {channel} ring was hardly turned, by {by_deg:.1}°, so its circle cannot be told from \
                 where the centres lie"
            ),
            Self::Radius { channel, radius_arcmin, u_arcmin } => write!(
                f,
                "the radius of the {channel} circle, {radius_arcmin:.1}′, is less than twice its standard \
                 uncertainty, {u_arcmin:.1}′"
            ),
        }
    }
}

/// What a pair of ring angles will give, from random trials of the fit and of setting the rings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RelativeSpread {
    /// 95 % of the trials use no more of the window's box than this; `None` without a window.
    pub use_95: Option<f64>,
    /// Share of the trials inside the box; `None` without a window.
    pub inside: Option<f64>,
    /// 95 % of the trials are misaligned by no more than this, arcminutes.
    pub misalignment_95_arcmin: f64,
    /// In 95 % of the trials each ring agrees with the other no farther than this from its target, degrees;
    /// `None` of a compromise, or where the circles do not meet in as many.
    pub ring_95_deg: PerChannel<Option<f64>>,
    /// Trials made.
    pub trials: usize,
    /// The seed.
    pub seed: u64,
}

/// How a setting stands against a window, as far as the readings can tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WindowStatus {
    /// The readings do not settle where both agree.
    Open,
    /// They do not fit their stated σ: nothing is judged.
    DoesNotFit,
    /// No window.
    NoWindow,
    /// Outside the box.
    Outside,
    /// Inside, but the chance of that is below 95 %, or not known.
    Unsure {
        /// The chance, where it is known.
        inside: Option<f64>,
    },
    /// Inside, at 95 % or more.
    Inside,
}

impl WindowStatus {
    /// Whether the setting may be called inside: not where being outside is the likelier.
    #[must_use]
    pub fn counts_as_inside(self) -> bool {
        match self {
            Self::Inside => true,
            Self::Unsure { inside } => inside.is_none_or(|share| share >= 0.5),
            Self::Open | Self::DoesNotFit | Self::NoWindow | Self::Outside => false,
        }
    }
}

/// How rings are read and set.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct RingScale {
    /// σθ of an angle that is read or set by the scale, degrees.
    pub(super) sigma_deg: f64,
    /// The least step a ring is read and set to, degrees.
    pub(super) step_deg: f64,
}

impl RingScale {
    /// Standard uncertainty of where a ring is that was set by its scale to a step, degrees.
    fn set_u_deg(self) -> f64 {
        self.sigma_deg.hypot(step_u_deg(self.step_deg))
    }
}

/// What the readings of a fit do not settle.
pub(super) fn open(fit: &RelativeFit, scale: RingScale) -> Vec<Open> {
    let turned = fit.turned_by_deg();
    let least_deg = TELLING * scale.set_u_deg();
    let mut found = Vec::new();
    for (channel, &by_deg) in turned.alone.iter() {
        if by_deg < least_deg {
            found.push(Open::HardlyTurned { channel, by_deg });
        }
    }
    if found.is_empty() && turned.between < least_deg * core::f64::consts::SQRT_2 {
        found.push(Open::TurnedAlike { by_deg: turned.between });
    }
    if found.is_empty() {
        for (channel, offset) in fit.offsets.iter() {
            if let Some(u_arcmin) = offset.radius_u_arcmin.filter(|_| offset.is_hardly_known()) {
                let radius_arcmin = offset.radius_arcmin;
                found.push(Open::Radius { channel, radius_arcmin, u_arcmin });
            }
        }
    }
    found
}

/// How far rings were turned over a round's readings, root mean square, degrees: by more than a quarter turn
/// and the like it says no more than "enough".
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RingTravel {
    pub(super) alone: PerChannel<f64>,
    pub(super) between: f64,
}

impl RelativeFit {
    fn turned_by_deg(&self) -> RingTravel {
        let [left, right, between] = self.spread_of_turns().map(deg_from_rad);
        RingTravel { alone: PerChannel { left, right }, between }
    }

    /// The pair of ring angles whose difference would tell most, on a grid of 15°: where m is known least.
    /// Among equals the one with the least turning from where the rings are, degrees.
    #[must_use]
    pub fn next_pair_deg(&self, now_deg: PerChannel<f64>) -> PerChannel<f64> {
        let mut best: Option<(f64, f64, PerChannel<f64>)> = None;
        for left in (0..360).step_by(GRID_DEG as usize) {
            for right in (0..360).step_by(GRID_DEG as usize) {
                let pair = PerChannel { left: f64::from(left), right: f64::from(right) };
                let open = self.share_at(pair);
                let turning: f64 =
                    Channel::BOTH.iter().map(|&c| turn_deg(now_deg[c], pair[c]).abs()).sum();
                let better = best.as_ref().is_none_or(|(most, least, _)| {
                    open > most * (1.0 + 1e-9) || (open >= most * (1.0 - 1e-9) && turning < *least)
                });
                if better {
                    best = Some((open, turning, pair));
                }
            }
        }
        best.map_or(now_deg, |(_, _, pair)| pair)
    }
}

impl RelativeSolution {
    /// Whether the readings settle where both agree well enough to recommend anything.
    #[must_use]
    pub fn is_determined(&self) -> bool {
        self.open.is_empty()
    }

    /// What a pair of ring angles, degrees, will give: each trial draws centres and offsets from what the fit
    /// leaves open and sets each ring off by what its scale and step leave. `None` without σ or spare
    /// readings, where readings do not fit their stated σ, or for angles that are no numbers.
    #[must_use]
    pub fn spread(
        &self,
        kind: SettingKind,
        ring_deg: PerChannel<f64>,
        window: Option<Window>,
    ) -> Option<RelativeSpread> {
        let holds = ring_deg.iter().all(|(_, deg)| deg.is_finite());
        let sigma_arcmin = self.fit.sigma_arcmin.filter(|_| holds && !self.fit.does_not_fit())?;
        let slip_deg = self.scale.set_u_deg();
        let mut source = Source::seeded(SEED);
        let (mut used, mut apart) = (Vec::with_capacity(TRIALS), Vec::with_capacity(TRIALS));
        let mut off = PerChannel::<Vec<f64>>::default();
        for _ in 0..TRIALS {
            let scale = self.fit.counted_freedom().map_or(1.0, |nu| source.student_scale(nu));
            let noise = [(); 3].map(|()| {
                let Direction { x_arcmin, y_arcmin } = source.direction(sigma_arcmin * scale);
                C::new(x_arcmin, y_arcmin)
            });
            let drawn = self.fit.disturbed(noise);
            let set_deg =
                PerChannel::from_fn(|channel| ring_deg[channel] + slip_deg * source.normal());
            let m = self.fit.of(&drawn, set_deg);
            apart.push(m.length_arcmin());
            used.extend(window.map(|window| window.use_of(m, Direction::BORESIGHT).worst()));
            if kind == SettingKind::Crossing {
                let moved = self.agreeing_near(&drawn, ring_deg);
                for channel in Channel::BOTH {
                    off[channel].push(moved[channel]);
                }
            }
        }
        for values in [&mut used, &mut apart, &mut off.left, &mut off.right] {
            values.sort_by(f64::total_cmp);
        }
        let inside =
            window.map(|_| used.partition_point(|&share| share <= 1.0) as f64 / TRIALS as f64);
        Some(RelativeSpread {
            use_95: quantile(&used, COVERAGE),
            inside,
            misalignment_95_arcmin: quantile(&apart, COVERAGE)?,
            ring_95_deg: off.map(|off| quantile(&off, COVERAGE).filter(|deg| deg.is_finite())),
            trials: TRIALS,
            seed: SEED,
        })
    }

    /// How a setting stands, with what the trials of it say.
    #[must_use]
    pub fn standing(&self, set: &RelativeSetting, spread: Option<&RelativeSpread>) -> WindowStatus {
        if self.fit.does_not_fit() {
            return WindowStatus::DoesNotFit;
        }
        if !self.is_determined() {
            return WindowStatus::Open;
        }
        let inside = spread.and_then(|spread| spread.inside);
        match set.window_use {
            None => WindowStatus::NoWindow,
            Some(used) if !used.is_inside() => WindowStatus::Outside,
            Some(_) if inside.is_some_and(|share| share >= COVERAGE) => WindowStatus::Inside,
            Some(_) => WindowStatus::Unsure { inside },
        }
    }

    /// How far from a pair of ring angles each ring stands where drawn circles agree, degrees: the nearer of
    /// two crossings; without any, endless.
    fn agreeing_near(&self, drawn: &[C; 3], ring_deg: PerChannel<f64>) -> PerChannel<f64> {
        let far = PerChannel { left: f64::INFINITY, right: f64::INFINITY };
        let circles = self.fit.circles_of(drawn);
        let Ok(met) = meet(&circles.left, &circles.right, RELATION_TOLERANCE) else { return far };
        met.crossings()
            .map(|crossing| {
                PerChannel::from_fn(|channel| {
                    circles[channel]
                        .ring_for(crossing.point)
                        .map_or(f64::INFINITY, |deg| turn_deg(ring_deg[channel], deg).abs())
                })
            })
            .min_by(|a, b| (a.left + a.right).total_cmp(&(b.left + b.right)))
            .unwrap_or(far)
    }
}
