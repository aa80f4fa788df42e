//! The fold: what a session means, and that undo, redo and withdrawal mean what people expect.

use proptest::prelude::*;
use record::{
    Approach, ApproachUsed, Body, Channel, Countersigned, Error, FactState, Purpose, ReadingUnit,
    Remark, Returned, RingNumbering, RoundOpened, RoundReason, Rule, Seq, Session, SignatureState,
    Signed, Value, Verdict, fold, fold_to,
};

use crate::support::*;

fn folded(bodies: &[Body]) -> Session {
    fold(&facts_of(bodies))
}

fn signed() -> Body {
    Body::Signed(Signed {
        round: ROUND,
        verdict: Verdict::NotMeasured,
        rule: Rule::Simple,
        program: "samepoint 0.1.0".to_owned(),
        window: Some(4),
        station: Some(3),
        rests_on: vec![],
        numbers: vec![],
        statement: String::new(),
    })
}

#[test]
fn readings_go_through_the_map_of_their_own_channel() {
    let mut bodies = beginning();
    for channel in Channel::BOTH {
        let read = direction(channel, Some("−30"), "4,5", "2", ReadingUnit::Divisions);
        bodies.push(reading(Purpose::Log, read));
    }
    let session = folded(&bodies);
    let round = session.round().unwrap();
    let values: Vec<Option<Value>> = round.readings.iter().map(|entry| entry.value).collect();
    let value = |channel, x, y| {
        let direction = solver::Direction::new(x, y);
        Some(Value::Direction { channel, ring_deg: Some(330.0), direction })
    };
    // By hand from `support::station`: left 2 × (4.5, 2); right −2 × (4.5 − 1), 2.5 × (2 + 1).
    assert_eq!(values, [value(Channel::Left, 9.0, 4.0), value(Channel::Right, -7.0, 7.5)]);
    assert_eq!(round.readings[0].reading.ring_deg(Channel::Left).unwrap().text(), "−30");
}

#[test]
fn the_round_solves_to_the_circles_it_was_made_from() {
    let mut bodies = beginning();
    bodies.extend(logged());
    let session = folded(&bodies);
    let problem = session.problem(ROUND).unwrap();
    assert_eq!(problem.window, Some(window().limits));
    assert_eq!(problem.spread.sigma_arcmin, Some(0.25));
    let solution = solver::solve(&problem).unwrap();
    for (channel, centre, radius) in
        [(Channel::Left, (10.0, 4.0), 30.0), (Channel::Right, (-6.0, -3.0), 26.0)]
    {
        let circle = solution.fits[channel].as_ref().unwrap().circle;
        // Six readings rounded to 0.1′ each move centre and radius by less than 0.05′.
        assert!((circle.centre.x_arcmin - centre.0).abs() < 0.05);
        assert!((circle.centre.y_arcmin - centre.1).abs() < 0.05);
        assert!((circle.radius_arcmin - radius).abs() < 0.05);
    }
    assert_eq!(session.problem_entries(ROUND).left, (8..14).collect::<Vec<Seq>>());
    assert!(session.problem(999).is_none());
}

#[test]
fn as_found_and_confirm_readings_are_kept_but_not_fitted() {
    let mut bodies = beginning();
    for purpose in [Purpose::AsFound, Purpose::Log, Purpose::Confirm] {
        let read = direction(Channel::Left, None, "1", "2", ReadingUnit::Arcmin);
        bodies.push(reading(purpose, read));
    }
    let session = folded(&bodies);
    assert_eq!(session.readings_in_use(), 3);
    assert_eq!(session.problem_entries(ROUND).left, [9]);
    // The last reading says where the crosshair is; the ring it does not say.
    let place = session.round().unwrap().place(Channel::Left).unwrap();
    assert_eq!((place.seq, place.ring_deg), (10, None));
    assert!(session.round().unwrap().place(Channel::Right).is_none());
}

#[test]
fn a_round_closes_on_its_first_position() {
    let mut bodies = beginning();
    for (ring, x) in [("10", "1.0"), ("10", "1.1"), ("130", "5"), ("370", "1.4")] {
        bodies.push(log(Channel::Left, ring, x, "0"));
    }
    let session = folded(&bodies[..bodies.len() - 2]);
    assert!(session.round().unwrap().closure(Channel::Left).is_none(), "a repeat closes nothing");
    let session = folded(&bodies);
    let closure = session.round().unwrap().closure(Channel::Left).unwrap();
    assert_eq!((closure.first, closure.last), (8, 11));
    // 1.4 − 1.0, one rounding each.
    assert!((closure.difference.x_arcmin - 0.4).abs() < 1e-15);
    // χ² of two degrees of freedom exceeds 5.991 in 5 % of cases (NIST/SEMATECH e-Handbook of
    // Statistical Methods, table 1.3.6.7.4): d²/(2σ²) = 5.991. Three digits are printed.
    let d_arcmin = closure.difference.boresight_arcmin();
    let sigma_arcmin = d_arcmin / (2.0_f64 * 5.991).sqrt();
    assert!((closure.chance(sigma_arcmin).unwrap() - 0.05).abs() < 5e-5);
    assert_eq!(closure.chance(0.0), None);
}

#[test]
fn approaches_from_both_sides_are_remarked() {
    let mut bodies = beginning();
    bodies.push(log(Channel::Left, "0", "1", "1"));
    let mut counter = direction(Channel::Left, Some("60"), "2", "2", ReadingUnit::Arcmin);
    counter.approach = Approach::Counter;
    bodies.push(reading(Purpose::Log, counter));
    let session = folded(&bodies);
    assert_eq!(session.round().unwrap().approach(Channel::Left), ApproachUsed::Mixed);
    assert_eq!(session.round().unwrap().approach(Channel::Right), ApproachUsed::NotNoted);
    let mixed = Remark::MixedApproaches { round: ROUND, channel: Channel::Left };
    assert_eq!(session.remarks, [mixed]);
}

/// A log reading that names the set-up's own interpupillary distance is one of the set-up position, and is
/// fitted; at another it is not, and that is said.
#[test]
fn readings_at_the_set_ups_own_distance_are_fitted() {
    let at = |mm: &str, ring: &str| {
        let body = log(Channel::Left, ring, "1", "1");
        let Body::Reading(mut read) = body else { panic!("{body:?}") };
        read.ipd_mm = Some(typed(mm));
        Body::Reading(read)
    };
    let mut bodies = beginning();
    bodies.extend([at("64.0", "0"), at("64", "60"), at("58", "120"), at("70", "180")]);
    let session = folded(&bodies);
    let fitted: Vec<_> = session.round().unwrap().fitted(Channel::Left).collect();
    assert_eq!(fitted.len(), 2);
    let first = fitted[1].seq + 1;
    let (round, channel) = (ROUND, Channel::Left);
    assert_eq!(session.remarks, [Remark::NotAtSetUp { round, channel, seq: first, count: 2 }]);
    assert!(session.remarks[0].to_string().contains("another interpupillary distance"));
}

#[test]
fn rounds_are_never_mixed() {
    let mut bodies = beginning();
    bodies.extend(logged());
    bodies.push(Body::RoundOpened(RoundOpened {
        why: RoundReason::Reseated,
        note: "put back".to_owned(),
    }));
    let session = folded(&bodies);
    assert_eq!((session.rounds.len(), session.round().unwrap().number), (2, 2));
    assert!(session.problem(20).unwrap().readings.left.is_empty());
    assert!(
        session.round().unwrap().place(Channel::Left).is_none(),
        "nobody knows after reseating"
    );
    let late = log(Channel::Left, "0", "1", "1");
    assert!(matches!(session.admits(&late), Err(Error::NotTheOpenRound { named: 7, open: 20 })));
}

#[test]
fn undo_stops_at_the_first_round_and_at_a_signature() {
    let mut bodies = beginning();
    assert_eq!(folded(&bodies).undo(), None, "set-up is put right by saying it anew");
    bodies.push(Body::Window(window()));
    assert_eq!(folded(&bodies).undo(), Some(8), "a window chosen later can be taken back");
    bodies.push(log(Channel::Left, "0", "1", "1"));
    bodies.push(Body::Undo(9));
    let session = folded(&bodies);
    assert_eq!((session.undo(), session.redo()), (Some(8), Some(9)));
    assert_eq!(session.timeline[8], FactState::Undone { by: 10 });
    bodies.push(signed());
    let session = folded(&bodies);
    assert_eq!((session.undo(), session.redo()), (None, None));
}

#[test]
fn undo_out_of_turn_is_refused_and_left_aside() {
    let mut bodies = beginning();
    bodies.push(log(Channel::Left, "0", "1", "1"));
    bodies.push(log(Channel::Left, "60", "2", "2"));
    let session = folded(&bodies);
    assert!(matches!(
        session.admits(&Body::Undo(8)),
        Err(Error::UndoOutOfTurn { named: 8, latest: Some(9) })
    ));
    session.admits(&Body::Undo(9)).unwrap();
    assert!(session.admits(&Body::Redo(9)).is_err());
    bodies.push(Body::Undo(8));
    let session = folded(&bodies);
    assert_eq!(session.readings_in_use(), 2);
    assert_eq!(session.timeline[9], FactState::Ignored);
    assert!(matches!(session.remarks[..], [Remark::Ignored { seq: 10, .. }]));
}

#[test]
fn a_withdrawn_reading_is_out_with_its_reason_until_that_is_undone() {
    let mut bodies = beginning();
    bodies.push(log(Channel::Left, "0", "1", "1"));
    bodies.push(withdraw(8));
    let session = folded(&bodies);
    assert_eq!(session.readings_in_use(), 0);
    assert_eq!(session.timeline[7], FactState::Withdrawn { by: 9 });
    assert_eq!(session.entry(8).unwrap().withdrawn.as_ref().unwrap().reason, "misread");
    assert!(matches!(session.admits(&withdraw(8)), Err(Error::NotAReadingInUse { seq: 8 })));
    assert!(session.admits(&withdraw(3)).is_err(), "a station is no reading");
    bodies.push(Body::Undo(9));
    let session = folded(&bodies);
    assert_eq!(session.readings_in_use(), 1);
    assert_eq!(session.timeline[7], FactState::Live);
}

#[test]
fn a_signature_is_outdated_by_new_readings_and_answered_by_name() {
    let mut bodies = beginning();
    bodies.push(signed());
    let answer = |signature| {
        Body::Countersigned(Countersigned {
            signature,
            last_hash: String::new(),
            comment: String::new(),
            hands_sha256: None,
        })
    };
    let session = folded(&bodies);
    session.admits(&answer(8)).unwrap();
    assert!(matches!(session.admits(&answer(7)), Err(Error::NotTheSignature { seq: 7 })));
    bodies.push(log(Channel::Left, "0", "1", "1"));
    let session = folded(&bodies);
    let SignatureState::Signed(signature) = session.signature() else { panic!("signed") };
    assert!(signature.outdated && signature.answer.is_none());
    assert!(matches!(session.admits(&answer(8)), Err(Error::SignatureOutdated)));
    bodies.push(Body::Undo(9));
    let session = folded(&bodies);
    let SignatureState::Signed(signature) = session.signature() else { panic!("signed") };
    assert!(!signature.outdated, "the reading that outdated it is taken back");
    bodies.push(Body::Returned(Returned { signature: 8, comment: "read once more".to_owned() }));
    let session = folded(&bodies);
    let SignatureState::Signed(signature) = session.signature() else { panic!("signed") };
    assert_eq!(signature.answer.as_ref().unwrap().seq, 11);
}

#[test]
fn what_cannot_be_read_is_refused_before_it_is_a_fact() {
    let session = folded(&beginning());
    let far = log(Channel::Left, "0", "3001", "0");
    assert!(matches!(session.admits(&far), Err(Error::BeyondField { .. })));
    // 1501 divisions of 2′ each.
    let far = direction(Channel::Left, None, "1501", "0", ReadingUnit::Divisions);
    assert!(matches!(session.admits(&reading(Purpose::Log, far)), Err(Error::BeyondField { .. })));
    let no_station = folded(&[Body::Header(header()), beginning().remove(6)]);
    let Body::Reading(mut read) =
        reading(Purpose::Log, direction(Channel::Left, None, "1", "1", ReadingUnit::Divisions))
    else {
        panic!("a reading");
    };
    read.round = 2;
    assert!(matches!(no_station.admits(&Body::Reading(read.clone())), Err(Error::NoStation)));
    read.reseated = true;
    assert!(matches!(no_station.admits(&Body::Reading(read)), Err(Error::ReseatedInRound)));
    assert!(matches!(fold(&[]).admits(&log(Channel::Left, "0", "1", "1")), Err(Error::NoRound)));
}

#[test]
fn a_clock_that_steps_back_is_remarked_and_changes_nothing() {
    let mut facts = facts_of(&beginning());
    facts[4].time = stamp(-7200);
    let session = fold(&facts);
    assert!(matches!(
        session.remarks[..],
        [Remark::ClockSteppedBack { seq: 5, milliseconds: 7_203_000 }]
    ));
    assert_eq!(session.rounds, fold(&facts_of(&beginning())).rounds);
}

#[test]
fn a_station_or_unit_changed_within_a_round_is_remarked() {
    let mut bodies = beginning();
    bodies.push(log(Channel::Left, "0", "1", "1"));
    // Checked again, or said in more words, nothing has changed.
    let (mut same_station, mut same_unit) = (station(), unit());
    same_station.note = "checked again".to_owned();
    same_unit.eyepieces.left.ring = RingNumbering::Counter;
    let mut said_again = bodies.clone();
    said_again.extend([Body::Station(same_station), Body::Unit(same_unit)]);
    said_again.push(log(Channel::Left, "60", "1", "1"));
    assert!(folded(&said_again).remarks.is_empty(), "{:?}", folded(&said_again).remarks);

    let (mut other_station, mut other_unit) = (station(), unit());
    other_station.map.left.flip_x = !other_station.map.left.flip_x;
    other_unit.tubes.left.serial = "another".to_owned();
    bodies.extend([Body::Station(other_station), Body::Unit(other_unit)]);
    bodies.push(log(Channel::Left, "60", "1", "1"));
    let remarks = folded(&bodies).remarks;
    assert!(remarks.contains(&Remark::StationChanged { round: ROUND, seq: 11 }));
    assert!(remarks.contains(&Remark::UnitChanged { round: ROUND, seq: 11 }));
}

/// One move of a hand; numbers choose among what there is.
#[derive(Clone, Debug)]
enum Move {
    Read(u8),
    Withdraw(usize),
    Undo,
    Redo,
    Sign,
    Note,
}

fn moves() -> impl Strategy<Value = Vec<Move>> {
    let one = prop_oneof![
        4 => (0_u8..=60).prop_map(Move::Read),
        2 => any::<usize>().prop_map(Move::Withdraw),
        4 => Just(Move::Undo),
        3 => Just(Move::Redo),
        1 => Just(Move::Sign),
        1 => Just(Move::Note),
    ];
    prop::collection::vec(one, 0..60)
}

/// The naive model: whole snapshots of the table, as people think of undo.
#[derive(Default)]
struct Table {
    in_use: Vec<Seq>,
    past: Vec<Vec<Seq>>,
    future: Vec<Vec<Seq>>,
}

impl Table {
    fn change(&mut self, change: impl FnOnce(&mut Vec<Seq>)) {
        self.past.push(self.in_use.clone());
        self.future.clear();
        change(&mut self.in_use);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn storms_of_undo_redo_and_withdraw_equal_snapshots(moves in moves()) {
        let mut bodies = beginning();
        let mut table = Table::default();
        let mut snapshots = Vec::new();
        for made in moves {
            let session = folded(&bodies);
            let seq = bodies.len() as Seq + 1;
            match made {
                Move::Read(x) => {
                    bodies.push(log(Channel::Left, "0", &x.to_string(), "0"));
                    table.change(|in_use| in_use.push(seq));
                }
                Move::Withdraw(which) => {
                    if table.in_use.is_empty() { continue; }
                    let which = which % table.in_use.len();
                    bodies.push(withdraw(table.in_use[which]));
                    table.change(|in_use| { in_use.remove(which); });
                }
                Move::Undo => {
                    prop_assert_eq!(session.undo().is_some(), !table.past.is_empty());
                    let Some(named) = session.undo() else { continue };
                    bodies.push(Body::Undo(named));
                    let before = table.past.pop().unwrap();
                    table.future.push(std::mem::replace(&mut table.in_use, before));
                }
                Move::Redo => {
                    prop_assert_eq!(session.redo().is_some(), !table.future.is_empty());
                    let Some(named) = session.redo() else { continue };
                    bodies.push(Body::Redo(named));
                    let after = table.future.pop().unwrap();
                    table.past.push(std::mem::replace(&mut table.in_use, after));
                }
                Move::Sign => {
                    bodies.push(signed());
                    table.past.clear();
                    table.future.clear();
                }
                Move::Note => {
                    bodies.push(Body::Note(record::Note { text: "a".to_owned(), about: None }));
                    table.change(|_| ());
                }
            }
            prop_assert!(session.admits(bodies.last().unwrap()).is_ok());
            let session = folded(&bodies);
            let in_use: Vec<Seq> =
                session.round().unwrap().in_use().map(|entry| entry.seq).collect();
            prop_assert_eq!(&in_use, &table.in_use);
            prop_assert!(session.remarks.is_empty());
            snapshots.push((seq, session));
        }
        // Replay: at any seq the fold is what the screen showed then.
        let facts = facts_of(&bodies);
        for (seq, session) in snapshots {
            prop_assert_eq!(&fold_to(&facts, seq), &session);
        }
    }

    #[test]
    fn no_run_of_facts_makes_the_fold_fail(
        picks in prop::collection::vec((0_usize..40, 0_u64..30), 0..40)
    ) {
        let kinds = crate::formats::one_of_each_of_2();
        let bodies: Vec<Body> = picks
            .into_iter()
            .map(|(kind, seq)| match kind % (kinds.len() + 3) {
                n if n == kinds.len() => Body::Undo(seq),
                n if n == kinds.len() + 1 => Body::Redo(seq),
                n if n == kinds.len() + 2 => withdraw(seq),
                n => kinds[n].clone(),
            })
            .collect();
        let session = folded(&bodies);
        prop_assert_eq!(session.timeline.len(), bodies.len());
        for round in &session.rounds {
            let _ = solver::solve(&session.problem(round.id).unwrap());
        }
    }
}
