//! What a pair of circles is worth: how much of the window their nearest crossing uses, and the fewest
//! leaves that bring it inside.
//!
//! As for shim plans, a unit is inside where its circles meet and their crossing nearest boresight is inside,
//! over the swing if there is one. A compromise of circles that do not meet is not planned for.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::error::Error;
use crate::remedy::glance::SharedUse;
use crate::remedy::plans::{cannot_meet, least_share_per_arcmin, scored};
use crate::remedy::shim::{ChannelShim, shims_of};
use crate::shelf::model::ShelfHousing;
use crate::swing::SwingRange;
use crate::tolerance::Window;

/// A window over a swing, ready to be asked many times.
pub(super) struct WindowJudge {
    window: Window,
    swing: Option<SwingRange>,
    glance: SharedUse,
    least_share: f64,
}

/// The fewest leaves and the least use with them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Worth {
    pub(super) leaves: usize,
    pub(super) window_use: f64,
    /// Which of the housing's shims on each side.
    pub(super) shims: PerChannel<Option<usize>>,
}

impl WindowJudge {
    pub(super) fn new(window: Window, swing: Option<SwingRange>) -> Self {
        let glance = SharedUse::new(&window, swing);
        Self { window, swing, glance, least_share: least_share_per_arcmin(&window, swing) }
    }

    /// A lower bound of the use of any unit that one of these circles is part of.
    pub(super) fn least_use(&self, circle: &OffsetCircle) -> f64 {
        circle.off_circle_arcmin(crate::direction::Direction::BORESIGHT).abs()
            * self.least_share
            * (1.0 - 1e-9)
    }

    /// The use of a pair as it is, if it is inside.
    pub(super) fn bare(&self, left: &OffsetCircle, right: &OffsetCircle) -> Option<f64> {
        self.below(left, right, 1.0)
    }

    /// The use, where it is no more than a limit.
    pub(super) fn below(
        &self,
        left: &OffsetCircle,
        right: &OffsetCircle,
        limit: f64,
    ) -> Option<f64> {
        if cannot_meet(left, right)
            || self.glance.at_least(left, right).is_some_and(|least| least.score > limit)
        {
            return None;
        }
        let (score, _) = scored(left, right, &self.window, self.swing);
        (score <= limit).then_some(score)
    }

    /// The fewest leaves of a housing's shims that bring a pair inside, and the least use with so many.
    /// What it looked at is taken off `left_to_look_at`.
    pub(super) fn shimmed(
        &self,
        left: &OffsetCircle,
        right: &OffsetCircle,
        shims: &ShimStock,
        left_to_look_at: &mut usize,
    ) -> Option<Worth> {
        let sides = [self.side(left, shims), self.side(right, shims)];
        *left_to_look_at = left_to_look_at.saturating_sub(1 + 2 * shims.shims.len());
        for leaves in 1..=shims.most_leaves {
            let mut best: Option<(f64, [Option<usize>; 2])> = None;
            for on_left in 0..=leaves {
                let (Some(lefts), Some(rights)) =
                    (sides[0].get(on_left), sides[1].get(leaves - on_left))
                else {
                    continue;
                };
                let looks = lefts.len().saturating_mul(rights.len());
                *left_to_look_at = left_to_look_at.saturating_sub(looks);
                for (i, left) in lefts {
                    for (j, right) in rights {
                        let limit = best.map_or(1.0, |(least, _)| least);
                        if let Some(found) = self.below(left, right, limit)
                            && best.is_none_or(|(least, _)| found < least)
                        {
                            best = Some((found, [*i, *j]));
                        }
                    }
                }
            }
            if let Some((window_use, [left, right])) = best {
                return Some(Worth { leaves, window_use, shims: PerChannel { left, right } });
            }
        }
        None
    }

    /// A circle as it is and under each shim, by leaves, where it could still be part of a unit inside.
    fn side(
        &self,
        circle: &OffsetCircle,
        shims: &ShimStock,
    ) -> Vec<Vec<(Option<usize>, OffsetCircle)>> {
        let mut by_leaves = vec![Vec::new(); shims.most_leaves + 1];
        if self.least_use(circle) <= 1.0 {
            by_leaves[0].push((None, *circle));
        }
        for (index, shim) in shims.shims.iter().enumerate() {
            let moved = OffsetCircle { centre: circle.centre + shim.shift, ..*circle };
            if self.least_use(&moved) <= 1.0
                && let Some(list) = by_leaves.get_mut(shim.leaves())
            {
                list.push((Some(index), moved));
            }
        }
        by_leaves
    }
}

/// The shims that a housing's seats take, of few enough leaves.
pub(super) struct ShimStock {
    pub(super) shims: Vec<ChannelShim>,
    most_leaves: usize,
}

impl ShimStock {
    /// # Errors
    /// As [`shims_of`].
    pub(super) fn of(housing: &ShelfHousing, most_leaves: usize) -> Result<Self, Error> {
        let mut shims = match (&housing.seat, &housing.effect) {
            (Some(seat), Some(effect)) => shims_of(seat, effect)?,
            _ => Vec::new(),
        };
        shims.retain(|shim| (1..=most_leaves).contains(&shim.leaves()));
        Ok(Self { shims, most_leaves })
    }
}
