//! The fold: from facts to the session they make. Pure, total, and the only meaning facts have.
//!
//! - [`session`]: what comes out; [`round`]: rounds; [`readings`]: what was read in one ([`entry`]), and what is kept of it;
//!   [`signature`]: who answers;
//! - [`folding`]: fact by fact, undo and redo; `take`: what one fact changes, and back;
//!   [`live`]: whether a fact still holds; `noticed`: what is seen only over many facts;
//! - [`admit`]: what may be said next; [`remark`]: what was noticed; [`day`]: handovers, receiving, rest.
//! - `anew`: the fold as it is defined, over all facts at once, which tests hold the quick one against.

pub mod admit;
#[cfg(test)]
mod anew;
pub mod day;
pub mod entry;
pub mod folding;
pub mod live;
mod noticed;
pub mod readings;
pub mod remark;
pub mod round;
pub mod session;
pub mod signature;
mod take;

pub use day::{Handover, RESTED_MINUTES, Received, Rested};
pub use entry::{Entry, Value, Withdrawal};
pub use folding::Folding;
pub use live::FactState;
pub use readings::Readings;
pub use remark::Remark;
pub use round::{ApproachUsed, Closure, RingAt, Round};
pub use session::Session;
pub use signature::{AnswerKind, Signature, SignatureState, SupervisorAnswer};

use crate::fact::{Body, Fact, Seq};

/// What the facts come to.
///
/// Total: facts that cannot be taken at their word are left aside with a remark. The facts must be
/// numbered from 1 in order, as a session file gives them. Time and memory grow as their number.
#[must_use]
pub fn fold(facts: &[Fact]) -> Session {
    let mut folding = Folding::new();
    folding.advance(facts);
    folding.into_session()
}

/// Replay: what the facts up to and with `seq` come to.
#[must_use]
pub fn fold_to(facts: &[Fact], seq: Seq) -> Session {
    let count = usize::try_from(seq).unwrap_or(usize::MAX).min(facts.len());
    fold(facts.get(..count).unwrap_or_default())
}

/// The same for looking back: what stands behind is known, so an examination that was signed since withholds
/// nothing any more.
#[must_use]
pub fn fold_back_to(facts: &[Fact], seq: Seq) -> Session {
    let mut session = fold_to(facts, seq);
    let is_later = |fact: &&Fact| fact.seq > seq;
    session.signed_later = session.withholds()
        && facts.iter().filter(is_later).any(|fact| matches!(fact.body, Body::Signed(_)));
    session
}
