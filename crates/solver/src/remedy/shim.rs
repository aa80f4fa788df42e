//! Shim plans: which seat, where, how thick, and what it will do, by looking at every pair.
//!
//! A plan shims one channel or both, one stack position each. Its score is the worst window use over
//! the swing if one is given, else at its nearest crossing; infinite where the circles do not meet.
//! Plans inside the window come first, by channels shimmed, leaves, score and distance from
//! boresight; after them the others, by score.
//!
//! # Why the pruning cannot lose a plan
//! A plan's key is compared with the worst key kept. Channels and leaves are known before the circles
//! are met; score and distance are bounded from below: a crossing lies on both shifted circles, so
//! |X| ≥ ρ = max over channels of ||c| − r|. All shares at a shared direction are proportional to
//! |X|: over the swing the middle uses |X| cos ψ/boresight, and the split 2|X| sin ψ stands square to X,
//! so its larger share is at least 2|X| |sin ψ|/√(A² + B²), A the larger side limit and B the
//! dipvergence limit, reached where both shares are equal. So score ≥ ρ·max(cos/boresight,
//! 2 sin/√(A² + B²)); and it is infinite where the circles plainly miss each other. The key grows with score and distance and only grows when score > 1 moves a
//! plan to the second class, so a key made of lower bounds is a lower bound of the key. A plan is passed over
//! only when that bound is no better than the worst plan kept of a full list: it could not have
//! entered.

use core::cmp::Ordering;

use crate::angle::rad_from_deg;
use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::optics::{Lateral, Optics, ShimEnds};
use crate::swing::{SwingRange, worst_over};
use crate::tolerance::Window;

/// What a housing's tube seats take.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Clock positions, degrees clockwise from up, seen from the eye side.
    pub clocks_deg: Vec<f64>,
    /// Ends at which a shim may lie.
    pub ends: Vec<ShimEnds>,
    /// Leaves in stock, mm; each may be used more than once.
    pub leaves_mm: Vec<f64>,
    /// Largest stack, mm.
    pub largest_mm: f64,
}

/// What a shim does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShimEffect {
    /// As the optics say.
    Model(Optics),
    /// As measured on this housing: arcminutes per millimetre of one stack.
    Measured {
        /// The effect.
        arcmin_per_mm: f64,
        /// Its standard uncertainty.
        u_arcmin_per_mm: f64,
    },
}

/// A shim that was tried, and by how much it moved the line of sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TriedShim {
    /// Where along the tube.
    pub ends: ShimEnds,
    /// How thick, mm.
    pub thickness_mm: f64,
    /// Clock position, degrees.
    pub clock_deg: f64,
    /// What it did.
    pub shift: Direction,
}

impl ShimEffect {
    /// The effect measured on a housing, by least squares; `None` for fewer than three shims, or when it is
    /// not known to better than 20 %.
    #[must_use]
    pub fn measured(tried: &[TriedShim]) -> Option<Self> {
        if tried.len() < 3 {
            return None;
        }
        let pushed = |shim: &TriedShim| {
            let mm = -Lateral::toward_clock(shim.thickness_mm, shim.clock_deg)
                * shim.ends.count() as f64;
            Direction::new(mm.x_mm, mm.y_mm)
        };
        let squares: f64 = tried.iter().map(|shim| pushed(shim).dot(pushed(shim))).sum();
        let product: f64 = tried.iter().map(|shim| pushed(shim).dot(shim.shift)).sum();
        let arcmin_per_mm = product / squares;
        let rest: f64 = tried
            .iter()
            .map(|shim| {
                let off = shim.shift - pushed(shim) * arcmin_per_mm;
                off.dot(off)
            })
            .sum();
        let u_arcmin_per_mm = (rest / (2 * tried.len() - 1) as f64 / squares).sqrt();
        (arcmin_per_mm > 0.0 && u_arcmin_per_mm < 0.2 * arcmin_per_mm)
            .then_some(Self::Measured { arcmin_per_mm, u_arcmin_per_mm })
    }

    /// The shift of the line of sight by a shim.
    #[must_use]
    pub fn shift(&self, ends: ShimEnds, thickness_mm: f64, clock_deg: f64) -> Direction {
        match self {
            Self::Model(optics) => optics.shim_shift(ends, thickness_mm, clock_deg),
            Self::Measured { arcmin_per_mm, .. } => {
                let mm = -Lateral::toward_clock(thickness_mm, clock_deg);
                Direction::new(mm.x_mm, mm.y_mm) * (arcmin_per_mm * ends.count() as f64)
            }
        }
    }
}

/// One channel's shim.
#[derive(Clone, Debug, PartialEq)]
pub struct Shim {
    /// Clock position, degrees clockwise from up, seen from the eye side.
    pub clock_deg: f64,
    /// Where along the tube.
    pub ends: ShimEnds,
    /// The leaves of one stack, thickest first, mm.
    pub leaves_mm: Vec<f64>,
    /// What it does to the line of sight.
    pub shift: Direction,
}

impl Shim {
    /// Height of a stack, mm.
    #[must_use]
    pub fn thickness_mm(&self) -> f64 {
        self.leaves_mm.iter().sum()
    }

    /// Leaves used in all.
    #[must_use]
    pub fn leaves(&self) -> usize {
        self.leaves_mm.len() * self.ends.count()
    }
}

/// A plan and what it is predicted to give.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimPlan {
    /// The shims; at least one.
    pub shims: PerChannel<Option<Shim>>,
    /// The circles after it.
    pub circles: PerChannel<OffsetCircle>,
    /// The crossing that would be set; `None` where the circles still do not meet.
    pub crossing: Option<Direction>,
    /// Worst window use; infinite without a crossing.
    pub score: f64,
}

/// Every shim a seat takes, fewest leaves first.
///
/// # Errors
/// [`Error::OutOfRange`] for a leaf or stack that is not above 0 and at most 10 mm, or a clock position that
/// is no number. Heights are worked in whole micrometres.
pub fn shims_of(seat: &Seat, effect: &ShimEffect) -> Result<Vec<Shim>, Error> {
    for &clock in &seat.clocks_deg {
        Error::check(clock.is_finite(), "a clock position in degrees", clock, "a number")?;
    }
    let micrometres = |what, mm: f64| {
        Error::check((0.001..=10.0).contains(&mm), what, mm, "from 0.001 to 10")?;
        Ok((mm * 1000.0).round() as usize)
    };
    let largest = micrometres("the largest stack in mm", seat.largest_mm)?;
    let mut leaves = Vec::new();
    for &leaf in &seat.leaves_mm {
        leaves.push(micrometres("a leaf in mm", leaf)?);
    }
    leaves.sort_unstable_by(|a, b| b.cmp(a));
    leaves.dedup();
    // Fewest leaves for each height, and the thickest leaf that such a stack may start with.
    let mut fewest: Vec<Option<(usize, usize)>> = vec![None; largest + 1];
    for height in 1..=largest {
        for &leaf in leaves.iter().filter(|&&leaf| leaf <= height) {
            let rest = if leaf == height { Some(0) } else { fewest[height - leaf].map(|f| f.0) };
            if let Some(rest) = rest
                && fewest[height].is_none_or(|(count, _)| rest + 1 < count)
            {
                fewest[height] = Some((rest + 1, leaf));
            }
        }
    }
    let mut shims = Vec::new();
    for height in 1..=largest {
        let mut leaves_mm = Vec::new();
        let mut left = height;
        while let Some((_, leaf)) = fewest[left] {
            leaves_mm.push(leaf as f64 / 1000.0);
            left -= leaf;
        }
        if leaves_mm.is_empty() {
            continue;
        }
        for &ends in &seat.ends {
            for &clock_deg in &seat.clocks_deg {
                let shift = effect.shift(ends, height as f64 / 1000.0, clock_deg);
                shims.push(Shim { clock_deg, ends, leaves_mm: leaves_mm.clone(), shift });
            }
        }
    }
    shims.sort_by_key(Shim::leaves);
    Ok(shims)
}

/// What plans are ranked by.
#[derive(Clone, Copy, Debug)]
struct Key {
    outside: bool,
    channels: usize,
    leaves: usize,
    score: f64,
    away: f64,
}

impl Key {
    fn compare(&self, other: &Self) -> Ordering {
        let effort = (self.channels, self.leaves).cmp(&(other.channels, other.leaves));
        let score = self.score.total_cmp(&other.score);
        self.outside
            .cmp(&other.outside)
            .then(if self.outside { score.then(effort) } else { effort.then(score) })
            .then(self.away.total_cmp(&other.away))
    }
}

/// The best plans, best first, at most `most`.
///
/// `candidates` are each channel's shims, from [`shims_of`]; leaving a channel as it is always counts
/// among them, leaving both does not. Offer no plan while a crosshair runs against its ring: a wrong
/// flip in the station's map sends a shim the wrong way.
///
/// # Errors
/// [`Error::CircleNotFinite`].
pub fn best_plans(
    circles: PerChannel<OffsetCircle>,
    candidates: PerChannel<&[Shim]>,
    window: &Window,
    range: Option<SwingRange>,
    most: usize,
) -> Result<Vec<ShimPlan>, Error> {
    // Refuses what is not finite before the search, which then cannot fail.
    meet(&circles.left, &circles.right, RELATION_TOLERANCE)?;
    let least_share = least_share_per_arcmin(window, range);
    let options = PerChannel::from_fn(|channel| options(&circles[channel], candidates[channel]));
    let mut kept: Vec<(Key, usize, usize)> = Vec::new();
    for (i, left) in options.left.iter().enumerate() {
        for (j, right) in options.right.iter().enumerate() {
            let channels = usize::from(i > 0) + usize::from(j > 0);
            if channels == 0 {
                continue;
            }
            let leaves = left.leaves + right.leaves;
            let away = left.least_away.max(right.least_away);
            let score = away * least_share;
            // A whisker inside, so that rounding of the bound passes nothing over.
            let (away, score) = if cannot_meet(&left.circle, &right.circle) {
                (f64::INFINITY, f64::INFINITY)
            } else {
                (away * (1.0 - 1e-9), score * (1.0 - 1e-9))
            };
            let bound = Key { outside: score > 1.0, channels, leaves, score, away };
            if cannot_enter(&kept, most, &bound) {
                continue;
            }
            let (score, crossing) = scored(&left.circle, &right.circle, window, range);
            let away = crossing.map_or(f64::INFINITY, Direction::boresight_arcmin);
            let inside = score <= 1.0;
            let key = Key { outside: !inside, channels, leaves, score, away };
            if !cannot_enter(&kept, most, &key) {
                let place = kept.partition_point(|held| held.0.compare(&key) != Ordering::Greater);
                kept.insert(place, (key, i, j));
                kept.truncate(most);
            }
        }
    }
    Ok(kept
        .into_iter()
        .filter_map(|(key, i, j)| {
            let (left, right) = (options.left.get(i)?, options.right.get(j)?);
            let (_, crossing) = scored(&left.circle, &right.circle, window, range);
            Some(ShimPlan {
                shims: PerChannel { left: left.shim.cloned(), right: right.shim.cloned() },
                circles: PerChannel { left: left.circle, right: right.circle },
                crossing,
                score: key.score,
            })
        })
        .collect())
}

/// Whether two circles plainly miss each other, well beyond the tolerance of touching.
fn cannot_meet(a: &OffsetCircle, b: &OffsetCircle) -> bool {
    const SLACK: f64 = 1e-7;
    let between = b.centre - a.centre;
    let apart2 = between.dot(between);
    let sum = (a.radius_arcmin + b.radius_arcmin) * (1.0 + SLACK);
    let difference =
        (a.radius_arcmin - b.radius_arcmin).abs() - SLACK * a.radius_arcmin.max(b.radius_arcmin);
    apart2 > sum * sum || (difference > 0.0 && apart2 < difference * difference)
}

fn cannot_enter(kept: &[(Key, usize, usize)], most: usize, key: &Key) -> bool {
    kept.len() >= most && kept.last().is_none_or(|worst| key.compare(&worst.0) != Ordering::Less)
}

struct ChannelOption<'a> {
    shim: Option<&'a Shim>,
    circle: OffsetCircle,
    leaves: usize,
    least_away: f64,
}

/// A channel as it is, and under each shim.
fn options<'a>(circle: &OffsetCircle, shims: &'a [Shim]) -> Vec<ChannelOption<'a>> {
    let mut options = Vec::with_capacity(shims.len() + 1);
    for shim in core::iter::once(None).chain(shims.iter().map(Some)) {
        let shift = shim.map_or(Direction::BORESIGHT, |shim| shim.shift);
        let moved = OffsetCircle { centre: circle.centre + shift, ..*circle };
        options.push(ChannelOption {
            shim,
            circle: moved,
            leaves: shim.map_or(0, Shim::leaves),
            least_away: moved.off_circle_arcmin(Direction::BORESIGHT).abs(),
        });
    }
    options
}

/// Score and crossing of a pair.
fn scored(
    left: &OffsetCircle,
    right: &OffsetCircle,
    window: &Window,
    range: Option<SwingRange>,
) -> (f64, Option<Direction>) {
    let bare = |circle: &OffsetCircle| OffsetCircle { phase: None, ..*circle };
    let met = meet(&bare(left), &bare(right), RELATION_TOLERANCE);
    let Some(point) = met.ok().and_then(|met| met.nearest().map(|crossing| crossing.point)) else {
        return (f64::INFINITY, None);
    };
    let used = match range {
        Some(range) => worst_over(PerChannel { left: point, right: point }, window, range).used,
        None => window.used_by(point, point),
    };
    (used.worst(), Some(point))
}

/// A lower bound of window use per arcminute of a shared direction (see the module).
fn least_share_per_arcmin(window: &Window, range: Option<SwingRange>) -> f64 {
    let ends = range.map_or([0.0, 0.0], |range| [range.low_deg(), range.high_deg()]);
    let [low, high] = ends.map(rad_from_deg);
    // The ends alone: fewer swings looked at can only lower the bound.
    let sin = low.sin().abs().max(high.sin().abs());
    let cos = low.cos().abs().max(high.cos().abs());
    let side = window.convergence_arcmin().max(window.divergence_arcmin());
    let by_split = 2.0 * sin / side.hypot(window.dipvergence_arcmin());
    let by_boresight = window.boresight_arcmin().map_or(0.0, |limit| cos / limit);
    by_split.max(by_boresight)
}

/// The sentence for hands: "Right tube, full length, 0.10 mm at clock 130°, seen from the eye side:
/// toward the nose, low."
#[must_use]
pub fn sentence(channel: Channel, shim: &Shim) -> String {
    let name = match channel {
        Channel::Left => "Left",
        Channel::Right => "Right",
    };
    let ends = match shim.ends {
        ShimEnds::Both => "full length",
        ShimEnds::Front => "front end only",
        ShimEnds::Rear => "rear end only",
    };
    let at = Lateral::toward_clock(1.0, shim.clock_deg);
    // From the eye side the nose is to the right of the left tube.
    let nose = match channel {
        Channel::Left => at.x_mm,
        Channel::Right => -at.x_mm,
    };
    // Parts under a tenth (6°) are not worth a word.
    let side = if nose > 0.1 {
        "toward the nose"
    } else if nose < -0.1 {
        "away from the nose"
    } else {
        ""
    };
    let height = if at.y_mm > 0.1 {
        "high"
    } else if at.y_mm < -0.1 {
        "low"
    } else {
        ""
    };
    let comma = if side.is_empty() || height.is_empty() { "" } else { ", " };
    format!(
        "{name} tube, {ends}, {:.2} mm at clock {:.0}°, seen from the eye side: {side}{comma}{height}.",
        shim.thickness_mm(),
        shim.clock_deg,
    )
}
