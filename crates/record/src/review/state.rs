//! How a session stands, in one word that is the same on screen, on paper, in JSON and in tables.

use core::fmt;

use super::Follows;
use crate::fact::{is_nobody, same_hand};
use crate::fold::{AnswerKind, Session, Signature, SignatureState, SupervisorAnswer};

/// How a session stands. What weighs more comes later: the last that holds is the state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// Nobody signed.
    #[default]
    Unsigned,
    /// Signed, and nobody else answered.
    Signed,
    /// Signed, and another hand agreed.
    Countersigned,
    /// Facts were added that the signature does not speak for.
    Outdated,
    /// A supervisor sent it back. That stands until it is signed anew, or the same hand thinks better of
    /// it: facts added since are the work it asked for.
    Returned,
    /// What was signed, chosen or countersigned is not what the facts give.
    DoesNotFollow,
    /// Its file is damaged, or its end is missing.
    Damaged,
}

impl State {
    /// Every state, the one that weighs least first.
    pub const EVERY: [Self; 7] = [
        Self::Unsigned,
        Self::Signed,
        Self::Countersigned,
        Self::Outdated,
        Self::Returned,
        Self::DoesNotFollow,
        Self::Damaged,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unsigned => "unsigned",
            Self::Signed => "signed",
            Self::Countersigned => "countersigned",
            Self::Outdated => "outdated",
            Self::Returned => "returned",
            Self::DoesNotFollow => "does not follow",
            Self::Damaged => "damaged",
        }
    }

    /// How a session's signature stands by its facts alone; never [`DoesNotFollow`](Self::DoesNotFollow)
    /// or [`Damaged`](Self::Damaged).
    #[must_use]
    pub fn of_signature(session: &Session) -> Self {
        let SignatureState::Signed(signature) = session.signature() else {
            return Self::Unsigned;
        };
        if signature.is_returned() {
            Self::Returned
        } else if signature.outdated {
            Self::Outdated
        } else if signature.answer.as_ref().is_some_and(|answer| by_another(signature, answer)) {
            Self::Countersigned
        } else {
            Self::Signed
        }
    }

    /// How a session stands, all told.
    ///
    /// `whole`: whether its file is, to the end. `line_found`: whether the line that it was
    /// countersigned with is in it, as
    /// [`Account::countersigned_line_found`](super::Account::countersigned_line_found) says.
    #[must_use]
    pub fn of(session: &Session, follows: &Follows, whole: bool, line_found: Option<bool>) -> Self {
        if !whole {
            Self::Damaged
        } else if matches!(follows, Follows::No(_)) || line_found == Some(false) {
            Self::DoesNotFollow
        } else {
            Self::of_signature(session)
        }
    }

    /// Whether a supervisor's answer is waited for.
    #[must_use]
    pub const fn waits(self) -> bool {
        matches!(self, Self::Signed)
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Whether an answer agrees, and is another hand's than the signature.
fn by_another(signature: &Signature, answer: &SupervisorAnswer) -> bool {
    matches!(answer.kind, AnswerKind::Countersigned(_))
        && !is_nobody(&answer.hand)
        && !same_hand(&answer.hand, &signature.hand)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::{Countersigned, Returned, Signed, Verdict};
    use crate::stamp::Stamp;
    use crate::window::Rule;

    fn time() -> Stamp {
        Stamp::from_unix_milliseconds(0).unwrap_or_else(|| unreachable!("a time"))
    }

    fn signed(outdated: bool, answer: Option<(&str, AnswerKind)>) -> Session {
        let signed = Signed {
            round: 2,
            verdict: Verdict::Pass,
            rule: Rule::Simple,
            program: "samepoint 0.1.0".to_owned(),
            window: None,
            station: None,
            rests_on: vec![],
            numbers: vec![],
            statement: String::new(),
        };
        let answer = answer.map(|(hand, kind)| SupervisorAnswer {
            seq: 9,
            time: time(),
            hand: hand.to_owned(),
            kind,
        });
        let hand = "RV".to_owned();
        let signature = Signature { seq: 8, time: time(), hand, signed, outdated, answer };
        let mut session = Session::default();
        session.signatures.push(signature);
        session
    }

    fn agreed() -> AnswerKind {
        let (last_hash, comment) = (String::new(), String::new());
        AnswerKind::Countersigned(Countersigned {
            signature: 8,
            last_hash,
            comment,
            hands_sha256: None,
        })
    }

    fn back() -> AnswerKind {
        AnswerKind::Returned(Returned { signature: 8, comment: "again".to_owned() })
    }

    /// What weighs more hides what weighs less, whatever else holds.
    #[test]
    fn the_heaviest_state_that_holds_is_the_state() {
        let yes = Follows::WHOLLY;
        let no = Follows::No(vec![]);
        for (session, by_facts) in [
            (Session::default(), State::Unsigned),
            (signed(false, None), State::Signed),
            (signed(false, Some(("SH", agreed()))), State::Countersigned),
            (signed(false, Some(("r. v.", agreed()))), State::Signed),
            (signed(false, Some(("\u{200b}", agreed()))), State::Signed),
            (signed(true, None), State::Outdated),
            (signed(true, Some(("SH", agreed()))), State::Outdated),
            (signed(false, Some(("SH", back()))), State::Returned),
            (signed(true, Some(("SH", back()))), State::Returned),
        ] {
            assert_eq!(State::of_signature(&session), by_facts);
            for (follows, whole, line_found, state) in [
                (&yes, true, Some(true), by_facts),
                (&yes, true, None, by_facts),
                (&Follows::NothingStored, true, None, by_facts),
                (&yes, true, Some(false), State::DoesNotFollow),
                (&no, true, None, State::DoesNotFollow),
                (&no, false, Some(false), State::Damaged),
                (&yes, false, None, State::Damaged),
            ] {
                assert_eq!(State::of(&session, follows, whole, line_found), state);
            }
        }
        assert!(State::EVERY.is_sorted(), "the order of weight is the order of the words");
    }
}
