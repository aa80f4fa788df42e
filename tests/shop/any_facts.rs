//! Whatever is said in whatever order: every fact has its line, and a supposition is a withdrawal that
//! nobody made.

use proptest::prelude::*;
use record::{
    Body, Channel, Countersigned, Fact, FactState, Frame, FrameRead, Note, Returned, Sealed,
    SessionSummary, Supposition, Withdrawn, conclude, fold, timeline, what_if,
};

use crate::support::*;

/// A whole job, then anything: undo and redo of any fact, withdrawals, readings, answers, notes.
fn anything() -> impl Strategy<Value = Vec<Body>> {
    let seq = 1..40_u64;
    let one = prop_oneof![
        seq.clone().prop_map(Body::Undo),
        seq.clone().prop_map(Body::Redo),
        seq.clone().prop_map(withdraw),
        (-40.0..40.0_f64).prop_map(|x| Body::Reading(confirm(
            if x > 0.0 { Channel::Left } else { Channel::Right },
            &format!("{x:.1}"),
            "3"
        ))),
        seq.clone().prop_map(|about| Body::Note(Note { text: "n".to_owned(), about: Some(about) })),
        seq.clone().prop_map(|signature| Body::Returned(Returned {
            signature,
            comment: "again".to_owned()
        })),
        seq.clone().prop_map(|seq| Body::Sealed(Sealed { seq, sshsig: "a seal".to_owned() })),
        seq.clone().prop_map(|reading| Body::Frame(Frame {
            reading,
            picture_sha256: "ab".repeat(32),
            background_sha256: None,
            read: FrameRead::Hand,
            crosshairs: Vec::new(),
        })),
        seq.prop_map(|signature| Body::Countersigned(Countersigned {
            signature,
            last_hash: String::new(),
            comment: String::new(),
            hands_sha256: None,
        })),
    ];
    (10..=30_usize, prop::collection::vec(one, 0..12)).prop_map(|(kept, more)| {
        let mut bodies = whole_job();
        bodies.truncate(kept);
        bodies.extend(more);
        bodies
    })
}

proptest! {
    #[test]
    fn every_fact_has_its_line(bodies in anything()) {
        let facts = facts_of(&bodies);
        let (lines, session) = (timeline(&facts), fold(&facts));
        prop_assert_eq!(lines.len(), facts.len());
        for (line, state) in lines.iter().zip(&session.timeline) {
            prop_assert_eq!(line.standing.counts(), *state == FactState::Live);
            prop_assert_eq!(line.standing.words().is_empty(), line.standing.counts());
            prop_assert!(!line.words.is_empty());
        }
        let _ = SessionSummary::of(String::new(), &session).troubles();
    }

    /// Leaving a reading out is what its withdrawal would come to, but for the fact.
    #[test]
    fn a_supposition_is_a_withdrawal_nobody_made(bodies in anything(), which in 0..20_usize) {
        let mut facts = facts_of(&bodies);
        let session = fold(&facts);
        let in_use: Vec<u64> =
            session.rounds.iter().flat_map(record::Round::in_use).map(|entry| entry.seq).collect();
        prop_assume!(!in_use.is_empty());
        let seq = in_use[which % in_use.len()];
        let mut supposing = Supposition::default();
        supposing.toggle(session.entry(seq).unwrap());
        let supposed = what_if(&session, &supposing).unwrap();
        let last = facts.last().unwrap().clone();
        let withdrawn = Body::Withdrawn(Withdrawn { reading: seq, reason: "supposed".to_owned() });
        facts.push(Fact { seq: last.seq + 1, body: withdrawn, ..last });
        let withdrawn = fold(&facts);
        prop_assert_eq!(&supposed.conclusion, &conclude(&withdrawn));
        for (supposed, round) in supposed.session.rounds.iter().zip(&withdrawn.rounds) {
            prop_assert_eq!(
                supposed.in_use().map(|entry| entry.seq).collect::<Vec<_>>(),
                round.in_use().map(|entry| entry.seq).collect::<Vec<_>>()
            );
        }
    }
}
