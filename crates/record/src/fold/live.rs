//! Which facts still hold: undo and redo worked out.
//!
//! Undo names the latest live fact that can be undone, redo the one undone last; any other fact
//! ends redo. Undo reaches back to the latest signature, and no farther than the opening of the
//! first round: how the session was set up is put right by saying it anew.

use crate::error::Error;
use crate::fact::{Body, Fact, Seq};
use crate::fold::remark::Remark;

/// Whether a fact still holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FactState {
    /// It does.
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
    },
    /// It could not be taken at its word; a remark says why.
    Ignored,
}

/// The states of all facts, and what can be undone and redone after the last.
#[derive(Clone, Debug, Default)]
pub(super) struct Live {
    pub(super) states: Vec<FactState>,
    pub(super) remarks: Vec<Remark>,
    undoable: Vec<Seq>,
    redoable: Vec<Seq>,
}

impl Live {
    pub(super) fn of(facts: &[Fact]) -> Self {
        let mut live = Self::default();
        let mut round_open = false;
        for (index, fact) in facts.iter().enumerate() {
            let state = match &fact.body {
                Body::Undo(named) => live.undo(*named, fact.seq),
                Body::Redo(named) => live.redo(*named),
                Body::Header(_) if index > 0 => Err(Error::HeaderOutOfPlace),
                body => {
                    live.redoable.clear();
                    if body.is_undoable() {
                        live.undoable.push(fact.seq);
                    } else {
                        live.undoable.clear();
                    }
                    if !round_open && matches!(body, Body::RoundOpened(_)) {
                        round_open = true;
                        live.undoable.clear();
                    }
                    Ok(())
                }
            };
            live.states.push(match state {
                Ok(()) => FactState::Live,
                Err(why) => {
                    live.remarks.push(Remark::Ignored { seq: fact.seq, why: why.to_string() });
                    FactState::Ignored
                }
            });
        }
        live
    }

    /// What undo may name now.
    pub(super) fn next_undo(&self) -> Option<Seq> {
        self.undoable.last().copied()
    }

    /// What redo may name now.
    pub(super) fn next_redo(&self) -> Option<Seq> {
        self.redoable.last().copied()
    }

    fn undo(&mut self, named: Seq, by: Seq) -> Result<(), Error> {
        let latest = self.next_undo();
        if latest != Some(named) {
            return Err(Error::UndoOutOfTurn { named, latest });
        }
        self.undoable.pop();
        self.redoable.push(named);
        self.set(named, FactState::Undone { by });
        Ok(())
    }

    fn redo(&mut self, named: Seq) -> Result<(), Error> {
        let latest = self.next_redo();
        if latest != Some(named) {
            return Err(Error::RedoOutOfTurn { named, latest });
        }
        self.redoable.pop();
        self.undoable.push(named);
        self.set(named, FactState::Live);
        Ok(())
    }

    pub(super) fn set(&mut self, seq: Seq, state: FactState) {
        let index = usize::try_from(seq).ok().and_then(|seq| seq.checked_sub(1));
        if let Some(held) = index.and_then(|index| self.states.get_mut(index)) {
            *held = state;
        }
    }
}
