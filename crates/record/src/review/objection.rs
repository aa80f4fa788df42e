//! Why a session is not clear: what keeps a review from exit code 0, in sentences.

use core::fmt;

use super::{Account, Chain, Follows};
use crate::fact::{Body, Fact, Seq, Verdict, is_nobody, same_hand};
use crate::fold::{AnswerKind, FactState, Session, Signature, SignatureState, SupervisorAnswer};

/// Something that keeps a session from being clear.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Objection {
    /// The file is damaged, or its end is missing.
    Damaged,
    /// What was signed or chosen does not follow.
    DoesNotFollow,
    /// It was countersigned with a last line that is not in the file.
    WrittenAnew,
    /// The shop shows that something signed is gone or was rewritten: by its ledger, or by another file
    /// of the same session.
    ShopContradicts,
    /// Another file of the session goes on where this one ends.
    GoesOnElsewhere,
    /// Whether it follows cannot be told.
    CannotTell,
    /// The readings give no verdict.
    NoVerdict,
    /// The readings give another verdict than a pass.
    Not(Verdict),
    /// Nobody signed.
    Unsigned,
    /// A supervisor sent it back.
    Returned {
        /// Who.
        by: String,
    },
    /// Facts were added that the signature does not speak for.
    Outdated,
    /// Something was said after the signature that is no answer to it: a note, or what was undone again.
    SaidAfter(SaidAfter),
    /// It was countersigned by the hand that signed.
    CountersignedBySigner {
        /// Whose.
        hand: String,
    },
    /// It was countersigned without a hand.
    CountersignedByNobody,
    /// Who signed or answered had no authority, or a seal is missing or does not hold.
    NotAnswerable {
        /// In words.
        why: String,
    },
    /// The countersignature does not name the last line it was given for, so it could be for another
    /// file.
    CountersignedWithoutLine,
}

/// What was said after a signature that is no answer to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidAfter {
    /// The first such fact.
    pub first: Seq,
    /// What kind it is, in words.
    pub what: &'static str,
    /// How many there are.
    pub count: usize,
}

impl SaidAfter {
    /// What was said after the signature in force, or before it is answered: everything but the live
    /// answers to it and the seals of both. What was undone was said all the same.
    pub(super) fn of(facts: &[Fact], session: &Session) -> Option<Self> {
        let SignatureState::Signed(signature) = session.signature() else { return None };
        let after = facts.iter().zip(&session.timeline).filter(|(fact, state)| {
            let answered = match &fact.body {
                Body::Countersigned(answer) => Some(answer.signature),
                Body::Returned(answer) => Some(answer.signature),
                _ => None,
            };
            let answers = answered == Some(signature.seq) && **state == FactState::Live;
            // What was left aside sealed nothing.
            let seals = matches!(fact.body, Body::Sealed(_)) && **state == FactState::Live;
            fact.seq > signature.seq && !answers && !seals
        });
        let mut after = after.map(|(fact, _)| fact);
        let first = after.next()?;
        Some(Self { first: first.seq, what: first.body.word(), count: 1 + after.count() })
    }
}

impl Objection {
    /// The exit code it gives: 3 where the record cannot be relied on, else 1.
    #[must_use]
    pub const fn exit_code(&self) -> u8 {
        match self {
            Self::Damaged | Self::DoesNotFollow | Self::WrittenAnew | Self::ShopContradicts => 3,
            _ => 1,
        }
    }

    /// Whether it is about how the session was signed and answered, and not already said where these are
    /// told.
    pub(super) const fn is_about_signing(&self) -> bool {
        matches!(
            self,
            Self::SaidAfter(_)
                | Self::CountersignedBySigner { .. }
                | Self::CountersignedByNobody
                | Self::NotAnswerable { .. }
                | Self::CountersignedWithoutLine
        )
    }

    /// All that keeps a session from being clear, what weighs most first.
    pub(super) fn of(account: &Account) -> Vec<Self> {
        let mut found = Vec::new();
        if account.chain != Chain::Intact {
            found.push(Self::Damaged);
        }
        match &account.follows {
            Follows::No(_) => found.push(Self::DoesNotFollow),
            Follows::CannotTell(_) => found.push(Self::CannotTell),
            Follows::Yes { .. } | Follows::NothingStored => {}
        }
        if account.countersigned_line_found == Some(false) {
            found.push(Self::WrittenAnew);
        }
        if account.beside_contradicts() {
            found.push(Self::ShopContradicts);
        }
        if account.goes_on_elsewhere() {
            found.push(Self::GoesOnElsewhere);
        }
        match account.verdict() {
            Some(Verdict::Pass) => {}
            Some(verdict) => found.push(Self::Not(verdict)),
            None => found.push(Self::NoVerdict),
        }
        match account.signature() {
            None => found.push(Self::Unsigned),
            Some(signature) => found.extend(Self::to_signature(signature)),
        }
        let not_answerable = account.answerable.objections().into_iter();
        found.extend(not_answerable.map(|why| Self::NotAnswerable { why }));
        found.extend(account.said_after.clone().map(Self::SaidAfter));
        found
    }

    fn to_signature(signature: &Signature) -> Vec<Self> {
        let mut found = Vec::new();
        if signature.outdated {
            found.push(Self::Outdated);
        }
        match &signature.answer {
            Some(SupervisorAnswer { hand, kind: AnswerKind::Returned(_), .. }) => {
                found.push(Self::Returned { by: hand.clone() });
            }
            Some(SupervisorAnswer { hand, kind: AnswerKind::Countersigned(agreed), .. }) => {
                if is_nobody(hand) {
                    found.push(Self::CountersignedByNobody);
                } else if same_hand(hand, &signature.hand) {
                    found.push(Self::CountersignedBySigner { hand: hand.clone() });
                }
                if agreed.last_hash.trim().is_empty() {
                    found.push(Self::CountersignedWithoutLine);
                }
            }
            None => {}
        }
        found
    }
}

impl fmt::Display for Objection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged => f.write_str("the file is damaged, or its end is missing"),
            Self::DoesNotFollow => f.write_str("what was signed or chosen does not follow"),
            Self::WrittenAnew => {
                f.write_str("the file was written anew since it was countersigned")
            }
            Self::ShopContradicts => f.write_str(
                "the shop's ledger, or another file of this session, shows that something signed is gone or \
                 was rewritten",
            ),
            Self::GoesOnElsewhere => {
                f.write_str("another file of this session goes on where this one ends")
            }
            Self::CannotTell => f.write_str("whether the verdict follows cannot be told"),
            Self::NoVerdict => f.write_str("the readings give no verdict"),
            Self::Not(verdict) => write!(f, "the readings give “{}”", verdict.word()),
            Self::Unsigned => f.write_str("nobody signed"),
            Self::Returned { by } => write!(f, "it was returned by {by}"),
            Self::Outdated => f.write_str("facts were added since the signature"),
            Self::SaidAfter(SaidAfter { first, what, count: 1 }) => {
                write!(f, "fact {first} ({what}) was said after the signature")
            }
            Self::SaidAfter(SaidAfter { first, what, count }) => write!(
                f,
                "{count} facts, the first of them fact {first} ({what}), were said after the signature"
            ),
            Self::CountersignedBySigner { hand } => {
                write!(f, "it was countersigned by {hand}, the same hand that had signed")
            }
            Self::CountersignedByNobody => f.write_str("the countersignature names no hand"),
            Self::NotAnswerable { why } => f.write_str(why),
            Self::CountersignedWithoutLine => {
                f.write_str("the countersignature does not name the last line it was given for")
            }
        }
    }
}
