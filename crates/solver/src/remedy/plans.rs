//! Shim plans: which seat, where, how thick, and what it will do, by looking at every pair.
//!
//! A plan shims one channel or both, one stack position each. Its score is the worst window use over
//! the swing if one is given, else at its nearest crossing; infinite where the circles do not meet.
//! Plans inside the window come first, by channels shimmed, leaves, score and distance from
//! boresight; after them the others, by score.
//!
//! # Why the pruning cannot lose a plan
//! A plan's key is compared with the worst key kept of a full list. Channels and leaves are known
//! before the circles are met; score and distance are bounded from below, first by one channel at a time,
//! then by a look at the pair:
//!
//! - a crossing lies on both shifted circles, so |X| ≥ ρ = max over channels of ||c| − r|. All shares at
//!   a shared direction are proportional to |X|: over the swing the middle uses |X| cos ψ/boresight,
//!   and the split 2|X| sin ψ stands square to X, so its larger share is at least 2|X| |sin ψ|/√(A² + B²),
//!   A the larger side limit and B the dipvergence limit, reached where both shares are equal. So
//!   score ≥ ρ·max(cos/boresight, 2 sin/√(A² + B²));
//! - circles that plainly miss each other score infinity;
//! - elsewhere the crossing and its score have a plain closed form ([`super::glance`]), good to far less
//!   than the margin it is lowered by.
//!
//! The key grows with score and distance, and score > 1 only moves a plan to the second class, so a key
//! made of lower bounds is a lower bound of the key. A plan is passed over only when that bound is no
//! better than the worst plan kept: it could not have entered. Plans that may enter are scored by
//! [`meet`] and [`worst_over`].

use core::cmp::Ordering;

use crate::angle::rad_from_deg;
use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::remedy::glance::SharedUse;
use crate::remedy::key::RemedyOrder;
use crate::remedy::shim::ChannelShim;
use crate::swing::{SwingRange, worst_over};
use crate::tolerance::Window;

/// A plan and what it is predicted to give.
#[derive(Clone, Debug, PartialEq)]
pub struct ShimPlan {
    /// The shims; at least one.
    pub shims: PerChannel<Option<ChannelShim>>,
    /// The circles after it.
    pub circles: PerChannel<OffsetCircle>,
    /// The crossing that would be set; `None` where the circles still do not meet.
    pub crossing: Option<Direction>,
    /// Worst window use; infinite without a crossing.
    pub score: f64,
}

/// The best plans, best first, at most `most`.
///
/// `candidates` are each channel's shims, from [`shims_of`](crate::remedy::shim::shims_of); leaving a channel as it is always counts
/// among them, leaving both does not. Offer no plan while a crosshair runs against its ring: a wrong
/// flip in the station's map sends a shim the wrong way.
///
/// # Errors
/// [`Error::CircleNotFinite`].
pub fn best_plans(
    circles: PerChannel<OffsetCircle>,
    candidates: PerChannel<&[ChannelShim]>,
    window: &Window,
    range: Option<SwingRange>,
    most: usize,
) -> Result<Vec<ShimPlan>, Error> {
    // Refuses what is not finite before the search, which then cannot fail.
    meet(&circles.left, &circles.right, RELATION_TOLERANCE)?;
    let least_share = least_share_per_arcmin(window, range);
    let glance = SharedUse::new(window, range);
    let options = PerChannel::from_fn(|channel| options(&circles[channel], candidates[channel]));
    let mut kept: Vec<(RemedyOrder, usize, usize)> = Vec::new();
    for (i, left) in options.left.iter().enumerate() {
        for (j, right) in options.right.iter().enumerate() {
            let channels = usize::from(i > 0) + usize::from(j > 0);
            if channels == 0 {
                continue;
            }
            let leaves = left.leaves + right.leaves;
            // A whisker less, so that rounding of a bound passes nothing over.
            let at_least = |score: f64, away: f64| {
                RemedyOrder::new(channels, leaves, score * (1.0 - 1e-9), away * (1.0 - 1e-9))
            };
            let away = left.least_away.max(right.least_away);
            if cannot_enter(&kept, most, &at_least(away * least_share, away)) {
                continue;
            }
            let bound = if cannot_meet(&left.circle, &right.circle) {
                RemedyOrder::new(channels, leaves, f64::INFINITY, f64::INFINITY)
            } else if let Some(bound) = glance.at_least(&left.circle, &right.circle) {
                at_least(bound.score, bound.away)
            } else {
                at_least(0.0, 0.0)
            };
            if cannot_enter(&kept, most, &bound) {
                continue;
            }
            let (score, crossing) = scored(&left.circle, &right.circle, window, range);
            let away = crossing.map_or(f64::INFINITY, Direction::boresight_arcmin);
            let key = RemedyOrder::new(channels, leaves, score, away);
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
pub(crate) fn cannot_meet(a: &OffsetCircle, b: &OffsetCircle) -> bool {
    const SLACK: f64 = 1e-7;
    let between = b.centre - a.centre;
    let apart2 = between.dot(between);
    let sum = (a.radius_arcmin + b.radius_arcmin) * (1.0 + SLACK);
    let difference =
        (a.radius_arcmin - b.radius_arcmin).abs() - SLACK * a.radius_arcmin.max(b.radius_arcmin);
    apart2 > sum * sum || (difference > 0.0 && apart2 < difference * difference)
}

/// Whether a full list keeps nothing with such a key.
fn cannot_enter(kept: &[(RemedyOrder, usize, usize)], most: usize, key: &RemedyOrder) -> bool {
    kept.len() >= most && kept.last().is_none_or(|worst| key.compare(&worst.0) != Ordering::Less)
}

struct ChannelOption<'a> {
    shim: Option<&'a ChannelShim>,
    circle: OffsetCircle,
    leaves: usize,
    least_away: f64,
}

/// A channel as it is, and under each shim.
fn options<'a>(circle: &OffsetCircle, shims: &'a [ChannelShim]) -> Vec<ChannelOption<'a>> {
    let mut options = Vec::with_capacity(shims.len() + 1);
    for shim in core::iter::once(None).chain(shims.iter().map(Some)) {
        let shift = shim.map_or(Direction::BORESIGHT, |shim| shim.shift);
        let moved = OffsetCircle { centre: circle.centre + shift, ..*circle };
        options.push(ChannelOption {
            shim,
            circle: moved,
            leaves: shim.map_or(0, ChannelShim::leaves),
            least_away: moved.off_circle_arcmin(Direction::BORESIGHT).abs(),
        });
    }
    options
}

/// Score and crossing of a pair.
pub(crate) fn scored(
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
pub(crate) fn least_share_per_arcmin(window: &Window, range: Option<SwingRange>) -> f64 {
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
