//! One ranked list of every remedy, cheapest first, each with what it is predicted to give.
//!
//! Remedies that get inside the window come first, by channels touched, parts handled (leaves of
//! shims, eyepieces, tubes), score and distance of the crossing from boresight; where none does, by
//! score. Shims that do the same at the front and at the rear end are one remedy. The score is the worst window use over the swing if one is given, else the use at the nearest
//! crossing; infinite without one. Where none gets inside, what is told of a remedy is a compromise if
//! that uses less than its crossing does, by the same measure. One remedy at a time: a swap and shims together are a second
//! round's matter, once the first has been measured.
//!
//! A caution belongs beside every list: open a unit only as its maintenance manual directs.

use core::fmt;

use crate::channel::{Channel, PerChannel};
use crate::circle::{OffsetCircle, Sense};
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::CircleFit;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::optics::{ShimEnds, TubeImage};
use crate::remedy::key::RemedyOrder;
use crate::remedy::plans::best_plans;
use crate::remedy::predicted::{PredictedCircle, Prediction, UseJudge};
use crate::remedy::shim::{ChannelShim, SeatLimits, ShimEffect, shims_of, without_twins};
use crate::remedy::swap::{self, TubeFacts};
use crate::remedy::words;
use crate::swing::SwingRange;
use crate::tolerance::Window;

/// Said of a housing without seat data.
pub const NO_SEAT: &str = "the housing does not say where shims can go";

/// Shim plans kept for the list, and remedies for which a compromise is worked out.
pub const MOST_PLANS: usize = 10;

/// What is known when remedies are looked for.
#[derive(Clone, Copy, Debug)]
pub struct Situation<'a> {
    /// Both fitted circles.
    pub fits: PerChannel<&'a CircleFit>,
    /// The tolerance window.
    pub window: &'a Window,
    /// How far the pods swing from where the readings were taken, if known.
    pub swing: Option<SwingRange>,
    /// Where each tube can be shimmed; `None`: not known, or not at all.
    pub seats: PerChannel<Option<&'a SeatLimits>>,
    /// What a shim does, if known.
    pub effect: Option<ShimEffect>,
    /// What the tubes do to the image: the model holds only where they invert it.
    pub image: TubeImage,
    /// What is known of the tubes' own offsets.
    pub tubes: TubeFacts,
}

/// A kind of remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RemedyKind {
    /// Shims in one seat or both.
    Shims,
    /// Shims in this channel's seat.
    ShimsIn(Channel),
    /// Eyepieces swapped between pods.
    EyepieceSwap,
    /// Tubes swapped between pods.
    TubeSwap,
    /// A tube turned half way round in its seat.
    TubeTurn(Channel),
}

impl RemedyKind {
    /// What it is called where it is not offered: “No shims under the left tube: …”.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Shims => "shims",
            Self::ShimsIn(Channel::Left) => "shims under the left tube",
            Self::ShimsIn(Channel::Right) => "shims under the right tube",
            Self::EyepieceSwap => "swap of eyepieces",
            Self::TubeSwap => "swap of tubes",
            Self::TubeTurn(Channel::Left) => "turning of the left tube",
            Self::TubeTurn(Channel::Right) => "turning of the right tube",
        }
    }
}

/// Why a kind of remedy is not offered.
#[derive(Clone, Debug, PartialEq)]
pub enum NotOffered {
    /// The crosshair runs against its ring.
    AgainstRing(Channel),
    /// The readings cover too short an arc.
    ArcTooShort(Channel),
    /// Nothing is said of where shims can go.
    NoSeat,
    /// What a shim does is not known.
    NoShimEffect,
    /// The model does not hold, and no effect was measured.
    StraightThrough,
    /// The seat makes no sense.
    Seat(Error),
    /// The tubes' own offsets are not known.
    OffsetsUnknown,
}

impl fmt::Display for NotOffered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AgainstRing(channel) => write!(
                f,
                "the {channel} crosshair runs against its ring, so a flip in the station's map or the \
                 ring's numbering is wrong, and a wrong flip sends a remedy the wrong way; find out \
                 which first"
            ),
            Self::ArcTooShort(channel) => {
                write!(f, "the {channel} readings cover too short an arc to trust the circle")
            }
            Self::NoSeat => f.write_str(NO_SEAT),
            Self::NoShimEffect => {
                f.write_str("what a shim does in this housing is neither modelled nor measured")
            }
            Self::StraightThrough => Error::StraightThroughTube.fmt(f),
            Self::Seat(error) => error.fmt(f),
            Self::OffsetsUnknown => f.write_str(
                "the tubes' own offsets are not known; a round with tubes swapped or turned tells them",
            ),
        }
    }
}

/// A kind of remedy that is not offered, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyRefusal {
    /// What.
    pub kind: RemedyKind,
    /// Why not.
    pub why: NotOffered,
}

/// What to do.
#[derive(Clone, Debug, PartialEq)]
pub enum RemedyAction {
    /// Shim one tube or both.
    Shims(PerChannel<Option<ChannelShim>>),
    /// Swap the eyepieces.
    EyepieceSwap,
    /// Swap the tubes.
    TubeSwap,
    /// Turn a tube half way round.
    TubeTurn(Channel),
}

impl RemedyAction {
    /// Channels touched.
    #[must_use]
    pub fn channels(&self) -> usize {
        match self {
            Self::Shims(shims) => shims.iter().filter(|(_, shim)| shim.is_some()).count(),
            Self::EyepieceSwap | Self::TubeSwap => 2,
            Self::TubeTurn(_) => 1,
        }
    }

    /// Leaves, eyepieces or tubes handled.
    #[must_use]
    pub fn parts(&self) -> usize {
        match self {
            Self::Shims(shims) => {
                shims.iter().filter_map(|(_, s)| s.as_ref().map(ChannelShim::leaves)).sum()
            }
            Self::EyepieceSwap | Self::TubeSwap => 2,
            Self::TubeTurn(_) => 1,
        }
    }

    /// Whether a shim of it may go at either end.
    #[must_use]
    pub fn has_a_choice_of_ends(&self) -> bool {
        matches!(self, Self::Shims(shims)
            if shims.iter().any(|(_, shim)| shim.as_ref().is_some_and(|shim| shim.either_end)))
    }

    /// The same with every shim that may go at either end at this one.
    #[must_use]
    pub fn at_end(&self, ends: ShimEnds) -> Self {
        let mut action = self.clone();
        if let Self::Shims(shims) = &mut action {
            for channel in Channel::BOTH {
                if let Some(shim) = shims[channel].as_mut().filter(|shim| shim.either_end) {
                    (shim.ends, shim.either_end) = (ends, false);
                }
            }
        }
        action
    }

    /// The sentence for hands, one for each tube touched.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        match self {
            Self::Shims(shims) => shims
                .iter()
                .filter_map(|(channel, s)| s.as_ref().map(|shim| words::sentence(channel, shim)))
                .collect(),
            Self::EyepieceSwap => vec![
                "Swap the eyepieces between the pods. Where their rings then stand is not known until \
                 read."
                    .to_owned(),
            ],
            Self::TubeSwap => {
                vec!["Swap the tubes between the pods, each the same way up as it sits now.".to_owned()]
            }
            Self::TubeTurn(channel) => {
                vec![format!("Turn the {channel} tube half way round (180°) in its seat.")]
            }
        }
    }
}

/// A remedy and what it is predicted to give.
#[derive(Clone, Debug, PartialEq)]
pub struct RankedRemedy {
    /// What to do.
    pub action: RemedyAction,
    /// What that will give.
    pub predicted: Prediction,
}

impl RankedRemedy {
    fn key(&self) -> RemedyOrder {
        let Self { action, predicted } = self;
        RemedyOrder::new(
            action.channels(),
            action.parts(),
            predicted.score,
            predicted.away_arcmin(),
        )
    }
}

/// Every remedy, ranked, beside doing nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// What the unit gives as it is: not a remedy.
    pub baseline: Prediction,
    /// Kinds that are not offered.
    pub refused: Vec<RemedyRefusal>,
    /// Best first.
    pub remedies: Vec<RankedRemedy>,
}

/// Ranks every remedy that what is known allows.
///
/// Up to [`MOST_PLANS`] shim plans are listed, and where no remedy gets inside, the compromise is worked
/// out for as many remedies as that.
///
/// # Errors
/// [`Error::CircleNotFinite`]. What rules out one kind of remedy is in [`Ranking::refused`].
///
/// # Accuracy
/// Predictions are small-angle. Covariances add the measured shim effect's uncertainty, or that of the
/// tubes' offsets, taken as independent of the fits; the optical model has no uncertainty of its own.
pub fn rank(situation: &Situation<'_>) -> Result<Ranking, Error> {
    let fits = situation.fits;
    let judge = UseJudge { window: situation.window, swing: situation.swing };
    meet(&fits.left.circle, &fits.right.circle, RELATION_TOLERANCE)?;
    let known = fits.map(PredictedCircle::of_fit);
    let mut baseline = Prediction::new(known, Vec::new(), judge);
    if baseline.score > 1.0 {
        baseline.compromise(judge)?;
    }
    let mut ranking = Ranking { baseline, refused: Vec::new(), remedies: Vec::new() };
    if let Some(channel) = Channel::BOTH.into_iter().find(|&ch| fits[ch].arc_too_short()) {
        for kind in [RemedyKind::Shims, RemedyKind::EyepieceSwap, RemedyKind::TubeSwap]
            .into_iter()
            .chain(Channel::BOTH.map(RemedyKind::TubeTurn))
        {
            ranking.refused.push(RemedyRefusal { kind, why: NotOffered::ArcTooShort(channel) });
        }
        return Ok(ranking);
    }
    let traded = swap::eyepieces_swapped(bare(known));
    let swapped = PerChannel::from_fn(|channel| {
        known[channel].with_eyepiece_of(&known[channel.other()], traded[channel])
    });
    let predicted = Prediction::new(swapped, Vec::new(), judge);
    ranking.remedies.push(RankedRemedy { action: RemedyAction::EyepieceSwap, predicted });
    // What moves a centre the way the optics say goes astray under a wrong flip.
    let against = Channel::BOTH.into_iter().find(|&channel| {
        fits[channel].circle.phase.is_some_and(|phase| phase.sense == Sense::Against)
    });
    if let Some(channel) = against {
        for kind in [RemedyKind::Shims, RemedyKind::TubeSwap]
            .into_iter()
            .chain(Channel::BOTH.map(RemedyKind::TubeTurn))
        {
            ranking.refused.push(RemedyRefusal { kind, why: NotOffered::AgainstRing(channel) });
        }
    } else {
        add_tubes(situation, known, judge, &mut ranking);
        add_shims(situation, known, judge, &mut ranking)?;
    }
    // Stable: what ties stays in the order above.
    ranking.remedies.sort_by(|a, b| a.key().compare(&b.key()));
    if ranking.remedies.first().is_none_or(|first| first.key().outside) {
        for remedy in ranking.remedies.iter_mut().take(MOST_PLANS) {
            remedy.predicted.compromise(judge)?;
        }
    }
    Ok(ranking)
}

fn bare(known: PerChannel<PredictedCircle>) -> PerChannel<OffsetCircle> {
    known.map(|predicted| predicted.circle)
}

fn add_tubes(
    situation: &Situation<'_>,
    known: PerChannel<PredictedCircle>,
    judge: UseJudge<'_>,
    ranking: &mut Ranking,
) {
    // Two independent errors, one for each axis.
    let axes =
        |u_arcmin: [f64; 2]| [Direction::new(u_arcmin[0], 0.0), Direction::new(0.0, u_arcmin[1])];
    match situation.tubes.right_less_left {
        Some(difference) => {
            let offsets = PerChannel { left: Direction::BORESIGHT, right: difference.value };
            let traded = swap::tubes_swapped(bare(known), offsets);
            let circles = PerChannel::from_fn(|channel| known[channel].moved_to(traded[channel]));
            let together = axes(difference.u_arcmin)
                .map(|step| PerChannel { left: step, right: step * -1.0 })
                .to_vec();
            let predicted = Prediction::new(circles, together, judge);
            ranking.remedies.push(RankedRemedy { action: RemedyAction::TubeSwap, predicted });
        }
        None => {
            ranking.refused.push(RemedyRefusal {
                kind: RemedyKind::TubeSwap,
                why: NotOffered::OffsetsUnknown,
            });
        }
    }
    for channel in Channel::BOTH {
        let Some(offset) = situation.tubes.offsets[channel] else {
            let kind = RemedyKind::TubeTurn(channel);
            ranking.refused.push(RemedyRefusal { kind, why: NotOffered::OffsetsUnknown });
            continue;
        };
        let mut circles = known;
        let turned = swap::tube_turned(known[channel].circle, offset.value);
        circles[channel] = known[channel].moved_to(turned);
        let together = axes(offset.u_arcmin)
            .map(|step| {
                let mut both = PerChannel::<Direction>::default();
                both[channel] = step * -2.0;
                both
            })
            .to_vec();
        let predicted = Prediction::new(circles, together, judge);
        ranking.remedies.push(RankedRemedy { action: RemedyAction::TubeTurn(channel), predicted });
    }
}

fn add_shims(
    situation: &Situation<'_>,
    known: PerChannel<PredictedCircle>,
    judge: UseJudge<'_>,
    ranking: &mut Ranking,
) -> Result<(), Error> {
    let mut refuse = |kind, why| ranking.refused.push(RemedyRefusal { kind, why });
    let straight = situation.image == TubeImage::StraightThrough;
    let effect = match situation.effect {
        Some(ShimEffect::Model(_)) | None if straight => {
            refuse(RemedyKind::Shims, NotOffered::StraightThrough);
            return Ok(());
        }
        None => {
            refuse(RemedyKind::Shims, NotOffered::NoShimEffect);
            return Ok(());
        }
        Some(effect) => effect,
    };
    if situation.seats.iter().all(|(_, seat)| seat.is_none()) {
        refuse(RemedyKind::Shims, NotOffered::NoSeat);
        return Ok(());
    }
    let candidates = PerChannel::from_fn(|channel| match situation.seats[channel] {
        None => {
            refuse(RemedyKind::ShimsIn(channel), NotOffered::NoSeat);
            Vec::new()
        }
        Some(seat) => shims_of(seat, &effect).map(without_twins).unwrap_or_else(|error| {
            refuse(RemedyKind::ShimsIn(channel), NotOffered::Seat(error));
            Vec::new()
        }),
    });
    let slices = PerChannel { left: &candidates.left[..], right: &candidates.right[..] };
    let plans = best_plans(bare(known), slices, judge.window, judge.swing, MOST_PLANS)?;
    for plan in plans {
        let shift = |channel: Channel| {
            plan.shims[channel].as_ref().map_or(Direction::BORESIGHT, |shim| shim.shift)
        };
        let moved = PerChannel::from_fn(|channel| known[channel].moved_to(plan.circles[channel]));
        // One effect for both channels: an error of it moves both centres, each along its shift.
        let relative = effect.relative_u();
        let together = if relative > 0.0 {
            vec![PerChannel::from_fn(|channel| shift(channel) * relative)]
        } else {
            Vec::new()
        };
        let predicted = Prediction::new(moved, together, judge);
        ranking.remedies.push(RankedRemedy { action: RemedyAction::Shims(plan.shims), predicted });
    }
    Ok(())
}
