//! Every fact of a session as a line, in the order said: who, when, what, and what became of it.
//!
//! A line is worked out from the facts and stored nowhere. To step through a session, take the
//! [timeline](fn@timeline) and the [fold](crate::fold::fold_to) of its first facts: a fact that is
//! taken back or withdrawn later still stands then.
//!
//! - [`words`]: what facts say; [`readings`]: what readings say.

pub mod readings;
pub mod words;

use crate::fact::texts::plain_facts;
use crate::fact::{Body, Fact, Seq};
use crate::fold::{FactState, Remark, fold};
use crate::stamp::Stamp;

/// A line of a session's timeline.
#[derive(Clone, Debug, PartialEq)]
pub struct TimelineEntry {
    /// Its fact.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand.
    pub hand: String,
    /// The kind of fact in a few words.
    pub kind: &'static str,
    /// What it says, without a full stop.
    pub words: String,
    /// What became of it.
    pub standing: FactStatus,
    /// The round it belongs to, 1, 2, … as people count; `None` before the first was opened.
    pub round: Option<usize>,
}

/// What became of a fact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FactStatus {
    /// It holds.
    Live,
    /// It was taken back.
    Undone {
        /// By which fact.
        by: Seq,
    },
    /// A reading that was real and is left out.
    Withdrawn {
        /// By which fact.
        by: Seq,
        /// The reason given.
        reason: String,
    },
    /// It could not be taken at its word.
    Ignored {
        /// Why, and what to do.
        why: String,
    },
}

impl FactStatus {
    /// Whether what the fact says counts.
    #[must_use]
    pub const fn counts(&self) -> bool {
        matches!(self, Self::Live)
    }

    /// The words beside a fact that does not count; empty for one that does.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Live => String::new(),
            Self::Undone { by } => format!("taken back by fact {by}"),
            Self::Withdrawn { by, reason } => format!("withdrawn by fact {by}: {reason}"),
            Self::Ignored { why } => format!("left aside: {why}"),
        }
    }
}

/// A session's facts as lines, each with what became of it by the last of these facts.
///
/// To see how things stood after fact n, give the first n facts. The facts must be numbered from 1
/// in order, as a session file gives them.
#[must_use]
pub fn timeline(facts: &[Fact]) -> Vec<TimelineEntry> {
    let facts = &*plain_facts(facts);
    let session = fold(facts);
    let mut teller = words::Teller::new(facts);
    let mut round = 0;
    let mut lines = Vec::with_capacity(facts.len());
    for (index, fact) in facts.iter().enumerate() {
        let standing = match session.timeline.get(index) {
            None | Some(FactState::Live) => FactStatus::Live,
            Some(FactState::Undone { by }) => FactStatus::Undone { by: *by },
            Some(FactState::Withdrawn { by }) => {
                FactStatus::Withdrawn { by: *by, reason: reason_of(facts, *by) }
            }
            Some(FactState::Ignored) => {
                FactStatus::Ignored { why: why_of(&session.remarks, fact.seq) }
            }
        };
        if matches!(fact.body, Body::RoundOpened(_)) && standing.counts() {
            round += 1;
        }
        lines.push(TimelineEntry {
            seq: fact.seq,
            time: fact.time,
            hand: fact.hand.clone(),
            kind: fact.body.word(),
            words: teller.words(fact, standing.counts()),
            standing,
            round: (round > 0).then_some(round),
        });
    }
    lines
}

fn reason_of(facts: &[Fact], by: Seq) -> String {
    match fact_of(facts, by).map(|fact| &fact.body) {
        Some(Body::Withdrawn(withdrawn)) => withdrawn.reason.clone(),
        _ => String::new(),
    }
}

fn why_of(remarks: &[Remark], of: Seq) -> String {
    let why = remarks.iter().find_map(|remark| match remark {
        Remark::Ignored { seq, why } if *seq == of => Some(why.clone()),
        _ => None,
    });
    why.unwrap_or_default()
}

/// The fact of a number.
pub(super) fn fact_of(facts: &[Fact], seq: Seq) -> Option<&Fact> {
    let index = usize::try_from(seq).ok()?.checked_sub(1)?;
    facts.get(index)
}
