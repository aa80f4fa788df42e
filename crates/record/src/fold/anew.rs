//! The fold as it is defined: which facts hold is worked out over all of them first, then those that
//! hold are taken in order. Slow for one fact more, and so only what [`Folding`] is compared with.

#![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

use proptest::prelude::*;
use solver::Channel;

use super::{FactState, Folding, Remark, Session, fold, fold_to};
use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::*;
use crate::number::Typed;
use crate::stamp::Stamp;
use crate::station::{ReadingUnit, Station};
use crate::unit::Unit;

#[derive(Default)]
struct LiveFacts {
    states: Vec<FactState>,
    remarks: Vec<Remark>,
    undoable: Vec<Seq>,
    redoable: Vec<Seq>,
}

impl LiveFacts {
    fn of(facts: &[Fact]) -> Self {
        let mut live = Self::default();
        let mut round_open = false;
        for (index, fact) in facts.iter().enumerate() {
            let state = match &fact.body {
                Body::Undo(named) if live.undoable.last() == Some(named) => {
                    live.undoable.pop();
                    live.redoable.push(*named);
                    live.states[*named as usize - 1] = FactState::Undone { by: fact.seq };
                    Ok(())
                }
                Body::Undo(named) => {
                    let latest = live.undoable.last().copied();
                    Err(Error::UndoOutOfTurn { named: *named, latest })
                }
                Body::Redo(named) if live.redoable.last() == Some(named) => {
                    live.redoable.pop();
                    live.undoable.push(*named);
                    live.states[*named as usize - 1] = FactState::Live;
                    Ok(())
                }
                Body::Redo(named) => {
                    let latest = live.redoable.last().copied();
                    Err(Error::RedoOutOfTurn { named: *named, latest })
                }
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
}

fn anew(facts: &[Fact]) -> Session {
    let live = LiveFacts::of(facts);
    let mut session = Session { timeline: live.states.clone(), ..Session::default() };
    let mut remarks = live.remarks;
    for fact in facts {
        if live.states[fact.seq as usize - 1] == FactState::Live {
            let fact = &*plain(fact);
            let (_, taken) = session.take(fact, &mut remarks);
            if let Err(why) = taken {
                session.stands(fact.seq, FactState::Ignored);
                remarks.push(Remark::Ignored { seq: fact.seq, why: why.to_string() });
            }
        }
    }
    session.next_undo = live.undoable.last().copied();
    session.next_redo = live.redoable.last().copied();
    let pairs = facts.iter().zip(facts.iter().skip(1));
    remarks.extend(pairs.filter_map(|(before, after)| Remark::on_clock(before.time, after)));
    remarks.extend(session.remarks_on_rounds());
    session.remarks = remarks;
    session
}

fn body(kind: u8, pick: u64, latest: u64) -> Body {
    let text = pick.to_string();
    // Most often what was said just before, so that undo and redo are in turn.
    let named = if pick.is_multiple_of(3) { pick % 12 } else { latest.saturating_sub(pick % 3) };
    match kind % 24 {
        0 => Body::Header(Header {
            format: 2,
            program: text.clone(),
            session: text,
            kind: SessionKind::Real,
            continues: None,
        }),
        1 | 2 => Body::RoundOpened(RoundOpened { why: RoundReason::Other, note: text }),
        3 => {
            let mut station = Station::plain(&text);
            station.map.left.arcmin_per_division = [1.0 + pick as f64 * 1e300, 1.0];
            Body::Station(station)
        }
        4 => Body::Unit(Unit { name: text, ..Unit::default() }),
        5..=8 => Body::Undo(named),
        9 | 10 => Body::Redo(named),
        11 => Body::Withdrawn(Withdrawn { reading: named, reason: text }),
        12 => Body::Note(Note { text, about: Some(pick) }),
        13 => Body::Note(Note {
            text: format!("samepoint notes, end set aside: {pick}"),
            about: None,
        }),
        14 => Body::LookingTest(LookingTest {
            distance_m: None,
            result: LookingResult::Double,
            observer: String::new(),
            note: text,
        }),
        15 => Body::Precondition(Precondition {
            item: [PreconditionItem::LampLow, PreconditionItem::Other("o".into())]
                [pick as usize % 2]
                .clone(),
            done: pick.is_multiple_of(4),
            note: text,
        }),
        16 => Body::Setup(Setup { job: text, ..Setup::default() }),
        17 => Body::Returned(Returned { signature: named, comment: text }),
        18 => Body::Signed(Signed {
            round: named,
            verdict: Verdict::Fail,
            rule: crate::window::Rule::Simple,
            program: text,
            window: None,
            station: None,
            rests_on: vec![],
            numbers: vec![],
            statement: String::new(),
        }),
        _ => {
            let typed = |value: u64| Typed::parse(&value.to_string()).unwrap();
            Body::Reading(Reading::direction(
                pick % 5,
                [Purpose::AsFound, Purpose::Log, Purpose::Confirm][pick as usize % 3],
                DirectionReading {
                    channel: Channel::BOTH[pick as usize % 2],
                    ring_deg: Some(typed(pick * 37)),
                    x: typed(pick),
                    y: typed(pick * pick % 91),
                    unit: ReadingUnit::Divisions,
                    approach: [Approach::Clockwise, Approach::Counter][pick as usize % 2],
                },
            ))
        }
    }
}

fn facts() -> impl Strategy<Value = Vec<Fact>> {
    prop::collection::vec((any::<u8>(), 0..40_u64), 0..60).prop_map(|picks| {
        (1..)
            .zip(picks)
            .map(|(seq, (kind, pick))| {
                let time = Stamp::from_unix_milliseconds(1_700_000_000_000 + 1000 * pick as i64);
                let kind = if seq == 1 {
                    0
                } else if seq < 4 {
                    kind % 5
                } else {
                    kind
                };
                let body = body(kind, pick, seq - 1);
                Fact { seq, time: time.unwrap(), hand: String::new(), body }
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    /// Fact by fact comes to the same as all anew, at every fact on the way.
    #[test]
    fn one_fact_more_is_folding_anew(facts in facts(), at_once in 1..9_usize) {
        let mut folding = Folding::new();
        for count in (0..=facts.len()).step_by(at_once) {
            folding.advance(&facts[..count]);
            prop_assert_eq!(folding.session(), &anew(&facts[..count]));
        }
        prop_assert_eq!(&fold(&facts), &anew(&facts));
        let half = facts.len() as u64 / 2;
        prop_assert_eq!(fold_to(&facts, half), fold(&facts[..half as usize]));
    }
}
