//! A unit on the bench: its first facts, its rings as found and as read, remedies and all.

use record::practice::{BuiltCell, Grade, PracticeUnit, Series};
use record::remedies::by_hand::{ByHand, Done, NotTaken};
use record::{
    Approach, Body, Caveat, Fact, Header, Lock, PerChannel, SessionKind, ShimEnds, Stamp, conclude,
    fold,
};

use crate::hands::Play;

#[test]
fn every_opening_is_taken_at_its_word() {
    for &grade in Series::First.grades() {
        let unit = PracticeUnit::of_series(Series::First, grade, 3).unwrap();
        let now = "2026-11-25T09:00:00.000+00:00".parse().unwrap();
        let header = Body::Header(Header {
            format: record::LATEST_FORMAT,
            program: "samepoint 0.1.0".to_owned(),
            session: "0".repeat(32),
            kind: SessionKind::Practice(unit.exercise()),
            continues: None,
        });
        let bodies = std::iter::once(header).chain(unit.opening(now).unwrap());
        let facts: Vec<Fact> = bodies
            .zip(1..)
            .map(|(body, seq)| Fact { seq, time: now, hand: "KT".to_owned(), body })
            .collect();
        let session = fold(&facts);
        assert!(session.remarks.is_empty(), "{:?}", session.remarks);
        assert!(session.round().is_some() && session.window().is_some());
        assert_eq!(session.unit().unwrap().name, unit.exercise().name);
        // Nothing is read yet: the rings stand as they came.
        assert_eq!(unit.cells(&session), unit.as_found());
        assert_eq!(&unit.built(&session), unit.as_made());
    }
}

#[test]
fn rings_are_found_anywhere_at_whole_degrees_and_tight() {
    let found =
        |number| PracticeUnit::of_series(Series::First, Grade::First, number).unwrap().as_found();
    let first = found(1);
    assert_eq!(first, found(1));
    assert_ne!(first, found(2));
    let mut quarters = [0; 4];
    for number in 1..=40 {
        let PerChannel { left, right } = found(number);
        for cell in [left, right] {
            assert!((0.0..360.0).contains(&cell.ring_deg) && cell.ring_deg.fract() == 0.0);
            assert!(cell.locked);
            quarters[(cell.ring_deg / 90.0) as usize] += 1;
        }
    }
    // 80 draws, a quarter each: 20 ± 4; 8 is three standard deviations away.
    assert!(quarters.iter().all(|count| *count >= 8), "{quarters:?}");
}

#[test]
fn rings_stand_where_they_were_read_and_remedies_are_built_in() {
    let unit = PracticeUnit::of_series(Series::First, Grade::Third, 1).unwrap();
    let mut play = Play::begun(&unit).unwrap();
    let rings = PerChannel { left: 41.0, right: 300.0 };
    play.confirm(rings, Lock::Before, 1).unwrap();
    let cell = |ring_deg, locked| BuiltCell { ring_deg, approach: Approach::Clockwise, locked };
    let cells = unit.cells(&play.session());
    assert_eq!(cells, PerChannel { left: cell(41.0, false), right: cell(300.0, false) });
    play.confirm(rings, Lock::After, 1).unwrap();
    assert!(unit.cells(&play.session()).left.locked);
    if let Some(remedy) = unit.reach().remedy.clone() {
        play.remedy(remedy.clone()).unwrap();
        assert_eq!(unit.built(&play.session()), unit.as_made().after(&remedy));
    }
}

/// An invented bench is not checked anew on the day a session is gone on with; a real one is.
#[test]
fn gone_on_with_another_day_its_bench_still_reads_right() {
    let unit = PracticeUnit::of_series(Series::First, Grade::First, 1).unwrap();
    let mut play = Play::begun(&unit).unwrap();
    let opening = play.facts.len();
    play.confirm(PerChannel { left: 41.0, right: 300.0 }, Lock::After, 3).unwrap();
    for fact in &mut play.facts[opening..] {
        let day_later = fact.time.unix_milliseconds() + 24 * 3600 * 1000;
        fact.time = Stamp::from_unix_milliseconds(day_later).unwrap();
    }
    let not_checked = |facts: &[Fact]| {
        let caveats = conclude(&fold(facts)).unwrap().caveats;
        caveats.iter().any(|caveat| matches!(caveat, Caveat::NotChecked { .. }))
    };
    assert!(!not_checked(&play.facts));
    if let Body::Header(header) = &mut play.facts[0].body {
        header.kind = SessionKind::Real;
    }
    assert!(not_checked(&play.facts), "a real bench was not checked that day");
}

/// What is no part of an invented unit cannot be done to it by hand either: a leaf that is not in stock would score
/// as a remedy that nobody on the shelf has.
#[test]
fn an_invented_unit_takes_only_what_its_shelf_has() {
    let unit = PracticeUnit::invented(Grade::Third, 1).unwrap();
    let session = fold(&Play::begun(&unit).unwrap().facts);
    let shim = |clock: &str, leaves: &str, ends| ByHand {
        done: Done::Shim,
        clock: clock.to_owned(),
        leaves: leaves.to_owned(),
        ends,
        ..ByHand::default()
    };
    let turned =
        |deg: &str| ByHand { done: Done::TurnTube, turned: deg.to_owned(), ..ByHand::default() };
    let of = |done| ByHand { done, note: "as noted".to_owned(), ..ByHand::default() };
    // Clocks by 45°, leaves of 0.05 and 0.02 up to 0.10 mm, at the front or at both ends.
    for taken in [
        shim("135", "0.05 + 0.02", ShimEnds::Both),
        shim("0", "0.02", ShimEnds::Front),
        turned("180"),
        turned("-180"),
        of(Done::SwapTubes),
        of(Done::SwapEyepieces),
    ] {
        assert!(taken.facts(&session).is_ok(), "{taken:?}");
    }
    for refused in [
        shim("135", "0.033", ShimEnds::Both),
        shim("130", "0.05", ShimEnds::Both),
        shim("135", "0.05", ShimEnds::Rear),
        shim("135", "0.05 + 0.05 + 0.02", ShimEnds::Both),
        turned("90"),
        of(Done::ReplaceTube),
        of(Done::ReplaceEyepiece),
        of(Done::Other),
    ] {
        assert_eq!(refused.facts(&session), Err(NotTaken::NotOnTheShelf), "{refused:?}");
    }
}
