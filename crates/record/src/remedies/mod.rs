//! What a session knows that remedies are worked out from: seats and optics of its housing, shims that
//! were tried, tubes that were swapped or turned.
//!
//! - [`tried`]: shims and what they did; [`tubes`]: what rounds with swapped or turned tubes tell;
//! - [`mod@taking`]: the facts that taking a remedy makes; [`by_hand`]: one of the hand's own;
//!   [`mod@compared`]: its prediction beside what was measured; [`words`]: what was done, in words.

pub mod by_hand;
pub mod compared;
pub mod taking;
pub mod tried;
pub mod tubes;
pub mod words;

use solver::optics::TubeImage;
use solver::remedy::rank::{Ranking, Situation, rank};
use solver::remedy::shim::{SeatLimits, ShimEffect, TriedShim};
use solver::remedy::swap::TubeFacts;
use solver::swing::SwingRange;
use solver::{CircleFit, PerChannel, Window};

use crate::fold::Session;
use crate::housing::{Housing, TubeKind};

pub use compared::{
    Compared, PredictedPlace, compared, compared_in, remedy_before, remedy_that_opened,
};
pub use taking::{taking, taking_own};
pub use tried::tried_shims;
pub use tubes::{TubeSplit, tube_facts, tube_split};
pub use words::{gives, said, shim};

/// What is known of a unit beside its circles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KnownOfUnit {
    /// Where its tubes can be shimmed.
    pub seat: Option<SeatLimits>,
    /// What a shim does: measured where at least three were, else by the model.
    pub effect: Option<ShimEffect>,
    /// Whether its tubes leave the image upright, which the model does not cover.
    pub straight_through: bool,
    /// What is known of its tubes' own offsets.
    pub tubes: TubeFacts,
}

impl KnownOfUnit {
    /// Of a housing alone.
    #[must_use]
    pub fn of_housing(housing: &Housing) -> Self {
        Self::with_tried(housing, &[])
    }

    /// Of a session. `elsewhere`: shims tried in other sessions of the same housing.
    #[must_use]
    pub fn of_session(session: &Session, elsewhere: &[TriedShim]) -> Self {
        let mut tried = elsewhere.to_vec();
        tried.extend(tried_shims(session));
        let known =
            session.housing().map(|housing| Self::with_tried(housing, &tried)).unwrap_or_default();
        Self { tubes: tube_facts(session), ..known }
    }

    fn with_tried(housing: &Housing, tried: &[TriedShim]) -> Self {
        let model = || housing.optics().ok().map(ShimEffect::Model);
        Self {
            seat: housing.shim_seat(),
            effect: ShimEffect::measured(tried).or_else(model),
            straight_through: housing.tube == TubeKind::StraightThrough,
            tubes: TubeFacts::default(),
        }
    }

    /// Every remedy that this allows, ranked.
    ///
    /// # Errors
    /// As [`rank`].
    pub fn ranked(
        &self,
        fits: PerChannel<&CircleFit>,
        window: &Window,
        swing: Option<SwingRange>,
    ) -> Result<Ranking, solver::Error> {
        let seat = self.seat.as_ref();
        rank(&Situation {
            fits,
            window,
            swing,
            seats: PerChannel { left: seat, right: seat },
            effect: self.effect,
            image: if self.straight_through {
                TubeImage::StraightThrough
            } else {
                TubeImage::Inverted
            },
            tubes: self.tubes,
        })
    }
}
