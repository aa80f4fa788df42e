//! The list of units that wait: its words, what it must stand, and what it comes to on a day.

use record::journal::{JournalBody, Meaning as _, fold};
use record::units_waiting::{
    Moved, WaitingAbout, WaitingBody, WaitingFact, WaitingHeader, WaitingStep, WaitingUnit,
};
use record::{Error, Fact};

use crate::attacks::{reads_for_ever, stands_every_attack};
use crate::support::{HAND, kept, morning, real};

fn added(unit: &str, due: Option<&str>) -> WaitingBody {
    let (unit, due) = (unit.to_owned(), due.map(|due| due.parse().unwrap()));
    WaitingBody::Added(WaitingUnit { unit, due, ..WaitingUnit::default() })
}

fn moved(entry: u64, to: WaitingStep) -> WaitingBody {
    WaitingBody::Moved(Moved { entry, to })
}

fn facts(bodies: Vec<WaitingBody>) -> Vec<WaitingFact> {
    let header = WaitingHeader {
        format: 1,
        program: "samepoint 0.1.0".into(),
        name: "00112233445566778899aabbccddeeff".into(),
        continues: None,
        about: WaitingAbout {},
    };
    let said = bodies.into_iter().map(JournalBody::Said);
    let bodies = std::iter::once(JournalBody::Header(header)).chain(said);
    let fact = |(body, seq)| Fact { seq, time: morning(0), hand: HAND.into(), body };
    bodies.zip(1..).map(fact).collect()
}

/// Every word of the format.
fn every_fact() -> Vec<WaitingFact> {
    let whole = WaitingUnit {
        unit: "0200".into(),
        due: Some("2026-11-28".parse().unwrap()),
        purpose: "Harbour, J-12".into(),
        condition: "scratched".into(),
    };
    facts(vec![
        WaitingBody::Added(whole),
        added("0201", None),
        moved(2, WaitingStep::Begun("000000000000000000000000000000a1".into())),
        moved(2, WaitingStep::Interrupted("a tube is ordered".into())),
        moved(2, WaitingStep::Waits),
        moved(2, WaitingStep::Ready),
        moved(3, WaitingStep::TakenOff("entered by mistake".into())),
    ])
}

/// Kept for ever. Its lines were written by another program, hash chain and all.
#[test]
fn a_list_of_format_1_reads_for_ever_and_would_be_written_the_same() {
    let path = kept("waiting1/every-fact.samepoint-waiting");
    reads_for_ever(&path, 1, &every_fact(), PartialEq::eq);
}

#[test]
fn a_list_stands_every_attack() {
    stands_every_attack(&every_fact(), &real());
}

/// Overdue first and in words, then what is due soonest, then what nobody set a day for; what is ready is
/// overdue no more, and what is off the list is not on it.
#[test]
fn the_most_urgent_stands_first() {
    let mut bodies = vec![
        added("no day", None),
        added("soon", Some("2026-11-26")),
        added("late", Some("2026-11-20")),
        added("today", Some("2026-11-25")),
        added("later", Some("2026-11-10")),
        added("gone", Some("2026-11-01")),
        moved(7, WaitingStep::TakenOff("fetched".into())),
    ];
    let day = "2026-11-25".parse().unwrap();
    let list = |bodies: &[WaitingBody]| fold(&facts(bodies.to_vec()));
    let words = |bodies: &[WaitingBody]| -> Vec<String> {
        let list = list(bodies);
        list.on_list(day)
            .iter()
            .map(|unit| unit.words(day).split(" · ").next().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        words(&bodies),
        [
            "later: overdue by 15 days, 2026-11-10",
            "late: overdue by 5 days, 2026-11-20",
            "today: due today, 2026-11-25",
            "soon: due in 1 day, 2026-11-26",
            "no day: no day set",
        ]
    );
    assert_eq!(list(&bodies).words(day), "5 units wait: 2 overdue.");
    bodies.push(moved(6, WaitingStep::Ready));
    bodies.push(moved(4, WaitingStep::Interrupted("a tube is ordered".into())));
    assert_eq!(list(&bodies).words(day), "5 units wait: 1 overdue, 1 interrupted, 1 ready.");
    assert_eq!(fold::<WaitingBody>(&[]).words(day), "No unit waits.");
}

/// What says nothing is refused, and left aside where it stands in a file.
#[test]
fn what_makes_no_sense_is_left_aside() {
    let list = fold(&facts(vec![added("0200", None)]));
    for (body, refused) in [
        (added(" ", None), "the unit"),
        (moved(2, WaitingStep::TakenOff(String::new())), "the reason"),
        (moved(9, WaitingStep::Ready), "fact 9"),
    ] {
        let why = list.admits(&body).unwrap_err().to_string();
        assert!(why.contains(refused), "{why}");
        let left = fold(&facts(vec![added("0200", None), body]));
        assert_eq!((left.units.clone(), left.journal.ignored.len()), (list.units.clone(), 1));
    }
    let mut twice = every_fact();
    twice.push(Fact { seq: 9, ..twice[0].clone() });
    let why = fold(&twice).journal.ignored;
    assert_eq!(why, [(9, Error::HeaderOutOfPlace.to_string())]);
}
