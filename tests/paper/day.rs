//! What the report tells of the working day: receiving, handovers, a check that nothing judges yet.

use record::fact::{DayKind, DayNote, NotedPicture};
use record::fold::day::RECEIVED;
use record::{Body, Fact};

use crate::session::{DEMO, changed, report};

#[test]
fn receiving_and_handovers_are_told() {
    let hash = "0a".repeat(32);
    let account = changed(DEMO, |facts| {
        let last = facts.last().unwrap().clone();
        let caption = format!("{RECEIVED}left objective (from front.png)");
        let picture =
            NotedPicture { hash: hash.clone(), extension: "png".into(), caption, about: None };
        for (hand, body) in [
            ("KT", Body::Note(DayNote::said(DayKind::Condition, "scratched").note())),
            ("KT", Body::Note(DayNote::said(DayKind::Accessories, "case, strap").note())),
            ("KT", Body::Picture(picture)),
            ("KT", Body::Note(DayNote::handover("left ring logged", "log the right one").note())),
            ("MB", Body::Note(DayNote::read(last.seq + 4).note())),
        ] {
            facts.push(Fact { seq: 0, time: last.time, hand: hand.to_owned(), body });
        }
    });
    let report = report(&account);
    for words in ["Received", "Condition: scratched (", "Accessories: case, strap (", "front.png"] {
        report.says(words);
    }
    report.says("KT: Handover: done: left ring logged · next: log the right one");
    report.says("Handover read: what stands in fact");
    assert!(!report.text().contains("samepointnotes"), "in words, not as they are kept");
}

#[test]
fn a_check_that_nothing_judges_is_no_check_that_passed() {
    let account = changed(DEMO, |facts| {
        let last = facts.last().unwrap().clone();
        let mut name = String::new();
        for fact in facts.iter_mut() {
            if let Body::Station(station) = &mut fact.body {
                station.checked = None;
                name.clone_from(&station.name);
            }
        }
        let note = DayNote::checked(&name, "target plate: checked today").note();
        facts.push(Fact { seq: 0, time: last.time, hand: last.hand, body: Body::Note(note) });
    });
    report(&account).says("its check standard was read that day, and no limits judge it yet");
}
