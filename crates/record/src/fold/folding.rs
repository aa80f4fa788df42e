//! The fold, fact by fact: what one more fact makes of a session is worked out from that fact, not
//! from all before it again.
//!
//! Undo names the latest live fact that can be undone, redo the one undone last; any other fact
//! ends redo. Undo reaches back to the latest signature, and no farther than the opening of the
//! first round: how the session was set up is put right by saying it anew. So what is undone is always
//! the last change there was, and each change that can be undone remembers how it was before.

use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::{Body, Fact, Seq};
use crate::fold::live::FactState;
use crate::fold::remark::Remark;
use crate::fold::session::Session;
use crate::fold::take::Change;
use crate::stamp::Stamp;

/// A session that grows as its facts do.
///
/// ```
/// use record::fold::{Folding, fold};
/// # let facts: Vec<record::Fact> = Vec::new();
/// let mut folding = Folding::new();
/// for known in 0..=facts.len() {
///     folding.advance(&facts[..known]);
///     assert_eq!(*folding.session(), fold(&facts[..known]));
/// }
/// ```
#[derive(Clone, Debug, Default)]
pub struct Folding {
    session: Session,
    undoable: Vec<Step>,
    redoable: Vec<Seq>,
    round_opened: bool,
    last_time: Option<Stamp>,
    /// What was noticed of undo and redo, of single facts and of the clock, each in order.
    out_of_turn: Vec<Remark>,
    noticed: Vec<Remark>,
    clock: Vec<Remark>,
}

/// A fact that undo may name, and how it was before.
#[derive(Clone, Debug)]
struct Step {
    seq: Seq,
    before: Change,
    /// How much had been noticed.
    noticed: usize,
}

impl Folding {
    /// Before the first fact.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes up what `facts` say beyond those taken up before, which they must begin with.
    pub fn advance(&mut self, facts: &[Fact]) {
        self.advance_to(facts, facts.len());
        self.notice();
    }

    /// The session as the facts so far make it.
    #[must_use]
    pub const fn session(&self) -> &Session {
        &self.session
    }

    /// The same, to keep.
    #[must_use]
    pub fn into_session(self) -> Session {
        self.session
    }

    /// Takes up the first `count` facts and leaves [`Session::remarks`] for later.
    pub(crate) fn advance_to(&mut self, facts: &[Fact], count: usize) {
        let seen = self.session.timeline.len();
        for fact in facts.get(seen..count).unwrap_or_default() {
            let state = self.one(fact, facts);
            self.session.timeline.push(state);
        }
        self.session.next_undo = self.undoable.last().map(|step| step.seq);
        self.session.next_redo = self.redoable.last().copied();
    }

    fn one(&mut self, fact: &Fact, facts: &[Fact]) -> FactState {
        if let Some(before) = self.last_time {
            self.clock.extend(Remark::on_clock(before, fact));
        }
        self.last_time = Some(fact.time);
        let in_turn = match &fact.body {
            Body::Undo(named) => self.undo(*named, fact.seq),
            Body::Redo(named) => self.redo(*named, facts),
            Body::Header(_) if !self.session.timeline.is_empty() => Err(Error::HeaderOutOfPlace),
            body => {
                self.redoable.clear();
                let state = self.take(fact);
                if !body.is_undoable()
                    || (!self.round_opened && matches!(body, Body::RoundOpened(_)))
                {
                    self.undoable.clear();
                }
                self.round_opened |= matches!(body, Body::RoundOpened(_));
                return state;
            }
        };
        match in_turn {
            Ok(()) => FactState::Live,
            Err(why) => {
                self.out_of_turn.push(Remark::Ignored { seq: fact.seq, why: why.to_string() });
                FactState::Ignored
            }
        }
    }

    fn take(&mut self, fact: &Fact) -> FactState {
        let fact = &*plain(fact);
        let noticed = self.noticed.len();
        let (before, taken) = self.session.take(fact, &mut self.noticed);
        self.undoable.push(Step { seq: fact.seq, before, noticed });
        match taken {
            Ok(()) => FactState::Live,
            Err(why) => {
                self.noticed.push(Remark::Ignored { seq: fact.seq, why: why.to_string() });
                FactState::Ignored
            }
        }
    }

    fn undo(&mut self, named: Seq, by: Seq) -> Result<(), Error> {
        let latest = self.undoable.last().map(|step| step.seq);
        let Some(step) = self.undoable.pop_if(|step| step.seq == named) else {
            return Err(Error::UndoOutOfTurn { named, latest });
        };
        self.session.take_back(step.before);
        self.noticed.truncate(step.noticed);
        self.redoable.push(named);
        self.session.stands(named, FactState::Undone { by });
        Ok(())
    }

    fn redo(&mut self, named: Seq, facts: &[Fact]) -> Result<(), Error> {
        let latest = self.redoable.last().copied();
        let fact = usize::try_from(named).ok().and_then(|seq| facts.get(seq.checked_sub(1)?));
        let (Some(fact), true) = (fact, latest == Some(named)) else {
            return Err(Error::RedoOutOfTurn { named, latest });
        };
        self.redoable.pop();
        let state = self.take(fact);
        self.session.stands(named, state);
        Ok(())
    }

    /// Says in the session what was noticed so far.
    fn notice(&mut self) {
        let all = [&self.out_of_turn, &self.noticed, &self.clock];
        self.session.remarks.clear();
        self.session.remarks.extend(all.into_iter().flatten().cloned());
        let of_rounds = self.session.remarks_on_rounds();
        self.session.remarks.extend(of_rounds);
    }
}

impl Session {
    /// Notes whether a fact holds.
    pub(super) fn stands(&mut self, seq: Seq, state: FactState) {
        let index = usize::try_from(seq).ok().and_then(|seq| seq.checked_sub(1));
        if let Some(held) = index.and_then(|index| self.timeline.get_mut(index)) {
            *held = state;
        }
    }
}
