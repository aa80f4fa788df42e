//! How things stood after a fact, or would stand.

use record::fact::{Fact, Seq};
use record::{Derived, ReadingUnit, Session, WhatIf, fold_back_to};

use crate::views::differences::DifferenceView;
use crate::views::log::AtHand;
use crate::views::overlay::Overlay;
use crate::views::picture;
use crate::views::round::RoundView;

/// How things stand, worked out.
pub struct ReviewStage {
    /// What the facts come to.
    pub state: Session,
    /// The open round's picture.
    pub picture: RoundView,
    /// The same where only the difference is read.
    pub differences: Option<DifferenceView>,
    /// The verdict of the readings so far, in a sentence.
    pub verdict: String,
    /// Whether it is only supposed.
    pub supposed: bool,
}

impl ReviewStage {
    /// After a fact.
    #[must_use]
    pub fn after(facts: &[Fact], seq: Seq) -> Self {
        Self::of(fold_back_to(facts, seq), false)
    }

    /// As it would be.
    #[must_use]
    pub fn supposed(found: WhatIf) -> Self {
        Self::of(found.session, true)
    }

    /// A session laid beside it is a ghost of the picture.
    pub fn lay_beside(&mut self, ghost: Option<paper::Ghost>) {
        let aside = Overlay { considered: ghost, ..Overlay::of(&Derived::of(&self.state)) };
        let (state, at_hand) = (&self.state, AtHand::of(&self.state));
        (self.picture, self.differences) =
            picture(state, &at_hand, unit(state), None, &aside, Some(&self.picture));
    }

    fn of(state: Session, supposed: bool) -> Self {
        let account = Derived::of(&state);
        let aside = Overlay::of(&account);
        let at_hand = AtHand::of(&state);
        let (picture, differences) = picture(&state, &at_hand, unit(&state), None, &aside, None);
        let verdict = match account.conclusion() {
            Ok(conclusion) => format!("Confirm readings give “{}”.", conclusion.verdict.word()),
            Err(why) => format!("No verdict: {why}."),
        };
        Self { state, picture, differences, verdict, supposed }
    }
}

fn unit(state: &Session) -> ReadingUnit {
    state.station().map_or(ReadingUnit::Arcmin, |station| station.usual_unit)
}
