//! A session as it would be: worked out as if the facts said so, and the facts are as they were.

use std::collections::BTreeSet;

use record::{
    Body, Error, NamedWindow, NoConclusion, Rule, Supposition, Verdict, Withdrawn, conclude, fold,
    what_if,
};

use crate::support::*;

fn out(readings: &[u64]) -> Supposition {
    Supposition { out: BTreeSet::from_iter(readings.iter().copied()), ..Supposition::default() }
}

/// The confirm readings of the whole job are facts 24 to 28: left, right, left, right, left.
#[test]
fn a_reading_left_out_is_as_if_it_were_withdrawn() {
    let mut bodies = whole_job();
    bodies.truncate(28);
    let session = fold(&facts_of(&bodies));
    let supposed = what_if(&session, &out(&[24])).unwrap();
    bodies.push(Body::Withdrawn(Withdrawn { reading: 24, reason: "supposed".to_owned() }));
    let withdrawn = conclude(&fold(&facts_of(&bodies))).unwrap();
    assert_eq!(supposed.conclusion.as_ref().unwrap(), &withdrawn);
    // By hand: left x (−14.5 − 14.3)/2 = −14.4, right x −14.0: m_x = 0.4.
    let measured = supposed.conclusion.unwrap().measured.unwrap();
    assert!((measured.misalignment.x_arcmin - 0.4).abs() < 1e-14);
    assert_eq!(supposed.rounds[0].withdrawn, 1);
    // A log reading left out moves the circle as its withdrawal does.
    let supposed = what_if(&session, &out(&[10])).unwrap();
    assert_eq!(supposed.session.problem(ROUND).unwrap().readings.left.len(), 6);
    assert_eq!(session.problem(ROUND).unwrap().readings.left.len(), 7);
}

#[test]
fn a_withdrawn_reading_can_be_counted_again() {
    let mut bodies = whole_job();
    bodies.truncate(28);
    let whole = conclude(&fold(&facts_of(&bodies))).unwrap();
    bodies.push(withdraw(25));
    let session = fold(&facts_of(&bodies));
    let supposing = Supposition { back: BTreeSet::from([25]), ..Supposition::default() };
    let supposed = what_if(&session, &supposing).unwrap();
    assert_eq!(supposed.conclusion.unwrap(), whole);
    // A tick takes out what counts, counts what is out, and takes itself back.
    let mut ticked = Supposition::default();
    ticked.toggle(session.entry(25).unwrap());
    assert_eq!(ticked, supposing);
    ticked.toggle(session.entry(24).unwrap());
    assert_eq!(ticked.out, BTreeSet::from([24]));
    ticked.toggle(session.entry(24).unwrap());
    ticked.toggle(session.entry(25).unwrap());
    assert!(ticked.is_nothing());
}

/// m_x is 1/3′: a divergence limit of 0.2′ is not kept by the means, whatever their uncertainty; the
/// guarded rule with σ = 0.25′ cannot be sure of 0.5′.
#[test]
fn another_window_and_another_rule() {
    let session = fold(&facts_of(&whole_job()));
    let tight = |divergence: f64| NamedWindow {
        name: "Tight".to_owned(),
        limits: solver::Window::new(45.0, divergence, 15.0, None).unwrap(),
        ..window()
    };
    let verdict = |window: Option<NamedWindow>, rule: Option<Rule>| {
        let supposing = Supposition { window, rule, ..Supposition::default() };
        what_if(&session, &supposing).unwrap().conclusion.unwrap().verdict
    };
    assert_eq!(verdict(None, None), Verdict::Pass);
    assert_eq!(verdict(Some(tight(0.2)), None), Verdict::Fail);
    assert_eq!(verdict(Some(tight(0.5)), None), Verdict::Pass);
    assert_eq!(verdict(Some(tight(0.5)), Some(Rule::Guarded)), Verdict::Undecided);
    assert_eq!(verdict(None, Some(Rule::Guarded)), Verdict::Pass);
    let supposing = Supposition { window: Some(tight(0.2)), ..Supposition::default() };
    let supposed = what_if(&session, &supposing).unwrap();
    let words = supposed.words(&conclude(&session));
    assert!(
        words.starts_with("If the window were Tight, the verdict would be fail instead of pass."),
        "{words}"
    );
    assert!(words.contains("The misalignment would be 0.3′, 0.3′"), "{words}");
}

#[test]
fn a_window_can_be_supposed_where_none_was_chosen() {
    let mut bodies = whole_job();
    bodies.truncate(28);
    bodies.remove(3);
    for body in &mut bodies {
        if let Body::Reading(reading) = body {
            reading.round = ROUND - 1;
        }
    }
    bodies.retain(|body| !matches!(body, Body::SettingChosen(_)));
    let session = fold(&facts_of(&bodies));
    assert_eq!(conclude(&session), Err(NoConclusion::NoWindow));
    let supposing = Supposition { window: Some(window()), ..Supposition::default() };
    let supposed = what_if(&session, &supposing).unwrap();
    assert_eq!(supposed.conclusion.as_ref().unwrap().verdict, Verdict::Pass);
    assert!(supposed.words(&conclude(&session)).contains("pass instead of no verdict"));
}

/// A signature was not given for what is supposed; a supposition that makes no sense is refused;
/// what was given is untouched.
#[test]
fn nothing_supposed_is_ever_signed_or_stored() {
    let session = fold(&facts_of(&whole_job()));
    let before = session.clone();
    assert!(!session.signatures[0].outdated);
    assert!(what_if(&session, &out(&[24])).unwrap().session.signatures[0].outdated);
    assert!(!what_if(&session, &out(&[])).unwrap().session.signatures[0].outdated);
    for seq in [3, 99] {
        let refused = what_if(&session, &out(&[seq])).unwrap_err();
        assert!(matches!(refused, Error::NotAReadingInUse { .. }), "{refused}");
    }
    let counted_twice = Supposition { back: BTreeSet::from([24]), ..Supposition::default() };
    assert!(what_if(&session, &counted_twice).is_err());
    assert_eq!(session, before);
}
