//! Every fact is a line; what is taken back, withdrawn or left aside says so, and by what.

use record::{Body, Channel, FactState, FactStatus, Note, TimelineEntry, fold, fold_to, timeline};

use crate::support::*;

fn note(text: &str) -> Body {
    Body::Note(Note { text: text.to_owned(), about: None })
}

fn line(lines: &[TimelineEntry], seq: usize) -> &TimelineEntry {
    &lines[seq - 1]
}

/// The beginning has 7 facts; then a reading mistyped (8), withdrawn (9), read again (10), a note
/// (11) taken back (12), put back (13), taken back again (14).
fn told() -> Vec<record::Fact> {
    let mut bodies = beginning();
    bodies.push(log(Channel::Left, "0", "38.1", "-14.4"));
    bodies.push(withdraw(8));
    bodies.push(log(Channel::Left, "0", "38.1", "14.4"));
    bodies.push(note("lamp flickers"));
    bodies.extend([Body::Undo(11), Body::Redo(11), Body::Undo(11)]);
    facts_of(&bodies)
}

#[test]
fn every_fact_is_a_line_in_order() {
    let facts = told();
    let lines = timeline(&facts);
    assert_eq!(lines.len(), facts.len());
    for (line, fact) in lines.iter().zip(&facts) {
        assert_eq!((line.seq, line.time, line.hand.as_str()), (fact.seq, fact.time, HAND));
        assert_eq!(line.kind, fact.body.word());
        assert!(!line.words.is_empty() && !line.words.ends_with('.'), "{line:?}");
        assert_eq!(line.round, (fact.seq >= ROUND).then_some(1), "{line:?}");
    }
}

#[test]
fn what_became_of_a_fact_is_said_with_its_reason() {
    let facts = told();
    let lines = timeline(&facts);
    assert_eq!(
        line(&lines, 8).standing,
        FactStatus::Withdrawn { by: 9, reason: "misread".to_owned() }
    );
    assert_eq!(line(&lines, 8).standing.words(), "withdrawn by fact 9: misread");
    assert_eq!(line(&lines, 10).standing, FactStatus::Live);
    assert_eq!(line(&lines, 11).standing.words(), "taken back by fact 14");
    assert!(line(&lines, 9).words.starts_with("reading 8 (left, log, 38.1′, −14.4′): misread"));
    assert_eq!(line(&lines, 12).words, "fact 11 taken back (note)");
    // As the fold has it, fact by fact.
    for (line, state) in lines.iter().zip(&fold(&facts).timeline) {
        assert_eq!(line.standing.counts(), *state == FactState::Live, "{line:?}");
    }
}

/// Stepping through: after fact 8 the reading still stands, after 9 it does not; the note stands
/// after 11 and 13.
#[test]
fn earlier_states_are_as_they_were() {
    let facts = told();
    let counts_after =
        |count: usize, seq: usize| line(&timeline(&facts[..count]), seq).standing.counts();
    assert!(counts_after(8, 8) && !counts_after(9, 8));
    assert!(counts_after(11, 11) && !counts_after(12, 11) && counts_after(13, 11));
    assert_eq!(fold_to(&facts, 8).readings_in_use(), 1);
    assert_eq!(fold_to(&facts, 9).readings_in_use(), 0);
}

/// A fact that makes no sense is left aside, and the line says why.
#[test]
fn a_fact_left_aside_says_why() {
    let mut bodies = beginning();
    bodies.push(withdraw(3));
    bodies.push(Body::Undo(2));
    let lines = timeline(&facts_of(&bodies));
    for seq in [8, 9] {
        let standing = &line(&lines, seq).standing;
        assert!(matches!(standing, FactStatus::Ignored { why } if !why.is_empty()), "{standing:?}");
        assert!(standing.words().starts_with("left aside: "));
    }
    assert!(timeline(&[]).is_empty());
}

/// By hand: 2′ a division and boresight at 0 on the left; what a whole job says, in the words of
/// the house.
#[test]
fn a_whole_job_reads_as_it_happened() {
    let lines = timeline(&facts_of(&whole_job()));
    let said: Vec<&str> = lines.iter().map(|line| line.words.as_str()).collect();
    for evidence in [
        "begun with samepoint 0.1.0",
        "job J-12; interpupillary distance 64 mm",
        "Bench 2, read in divisions; standard uncertainty of a reading 0.25′; calibrated to \
         2027-03-04; check of 2026-11-25 passed",
        "Shop window, simple rule: convergence 45.0′, divergence 20.0′, dipvergence 15.0′, boresight \
         40.0′",
        "0147, housing Heron B; left tube T-31, eyepiece E-7; right tube T-44, turned by 180°",
        "round 1, first round",
        "left, as found, ring 200°, typed 3 div, −4 div, which is 6.0′, −8.0′; turned clockwise",
        "left, log, ring 0°, typed 38.2′, 14.3′; turned clockwise",
        "left, confirm, ring not read, typed −14.3′, 21.6′; turned clockwise; lock tight; reseated",
        "signature 29 countersigned: agreed",
    ] {
        assert!(said.contains(&evidence), "{evidence:?} is missing from\n{}", said.join("\n"));
    }
    let setting = lines.iter().find(|line| line.kind == "setting chosen").unwrap();
    assert!(setting.words.starts_with("nearest crossing, left ring "), "{}", setting.words);
    let signed = lines.iter().find(|line| line.kind == "signed").unwrap();
    assert!(
        signed.words.starts_with("“pass” by the simple rule, on 5 readings"),
        "{}",
        signed.words
    );
}
