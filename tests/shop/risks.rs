//! What windows and rules would do to units like those signed so far.

use record::shop::survey::as_measured::AsMeasured;
use record::{
    Body, Exercise, Fact, Header, Session, SessionKind, SessionSummary, Stamp, Survey, Unit, fold,
};
use solver::decision::Rule;
use solver::global_risk::{MeasuredUnit, of_one};
use solver::{Direction, Misalignment, Window};

/// A signed unit, m_x by quantiles of a normal distribution with mean 5′ and spread √(6² + 1²)′,
/// measured to 1′.
fn signed(place: usize, of: usize, housing: &str, rule: Rule) -> SessionSummary {
    let z =
        |place: usize| solver::stats::quantile::normal((place as f64 + 0.5) / of as f64).unwrap();
    // Quantiles scatter a little less than the distribution; not so here.
    let squares = (0..of).map(|place| z(place).powi(2)).sum::<f64>() / (of as f64 - 1.0);
    let x = 5.0 + (37.0 / squares).sqrt() * z(place);
    SessionSummary {
        file: format!("{place}.samepoint"),
        unit: format!("unit {place}").into(),
        housing: housing.into(),
        window: "Shop window".into(),
        signed: true,
        as_measured: Some(AsMeasured {
            unit: MeasuredUnit {
                misalignment: Misalignment::new(x, 0.0),
                shared: Direction::BORESIGHT,
                misalignment_covariance: [[1.0, 0.0], [0.0, 1.0]],
                shared_covariance: [[0.25, 0.0], [0.0, 0.25]],
            },
            limits: Window::new(45.0, 14.0, 15.0, None).unwrap(),
            rule,
        }),
        ..SessionSummary::default()
    }
}

fn survey(sessions: Vec<SessionSummary>) -> Survey {
    Survey { sessions: sessions.into(), ..Survey::default() }.with_risks()
}

/// By hand, one limit alone matters: divergence of 14′, a process of 5′ ± 6′, measured to 1′; the masses are
/// JCGM 106:2012, 9.5 as checked against its figures. 0.002 is the module's own bound.
#[test]
fn risks_are_those_of_units_as_signed() {
    let sessions = (0..200).map(|place| signed(place, 200, "Heron B", Rule::Simple)).collect();
    let found = survey(sessions).risks;
    let [risk] = &found[..] else { panic!("{found:?}") };
    let [simple, guarded] = risk.risks.unwrap();
    for (found, guard) in [(simple, 0.0), (guarded, 1.644_853_627)] {
        let one = of_one([5.0, 6.0], 1.0, [-45.0, 14.0], [-45.0 + guard, 14.0 - guard]).unwrap();
        assert!((found.consumers - one.consumers).abs() < 0.002, "{found:?} {one:?}");
        assert!((found.producers - one.producers).abs() < 0.002, "{found:?} {one:?}");
    }
    // A guard takes the consumer's risk down and the producer's up.
    assert!(guarded.consumers < simple.consumers && guarded.producers > simple.producers);
    let words = risk.words();
    for part in
        ["Heron B, Shop window (simple rule)", "its 200 signed units", "Under the guarded rule"]
    {
        assert!(words.contains(part), "{words}");
    }
}

#[test]
fn too_few_units_are_said_to_be() {
    let some = |count| (0..count).map(move |place| signed(place, 40, "Heron B", Rule::Guarded));
    let found = survey(some(19).collect()).risks;
    assert_eq!((found[0].units, found[0].risks), (19, None));
    assert!(found[0].words().contains("19 signed units; 20 are needed"), "{}", found[0].words());
    assert!(survey(some(20).collect()).risks[0].risks.is_some());
    // A unit that came twice is one unit; who did not sign, practised or checked blind says nothing.
    let mut all: Vec<SessionSummary> = some(19).chain(some(19)).collect();
    let left_out: [fn(&mut SessionSummary); 3] = [
        |session| session.signed = false,
        |session| session.practice = true,
        |session| session.checks = Some("other.samepoint".to_owned()),
    ];
    for (place, change) in left_out.into_iter().enumerate() {
        let mut more = signed(20 + place, 40, "Heron B", Rule::Guarded);
        change(&mut more);
        all.push(more);
    }
    let found = survey(all).risks;
    assert_eq!((found.len(), found[0].units, found[0].risks), (1, 19, None));
}

/// Housings, windows and rules are kept apart.
#[test]
fn units_of_different_kinds_are_kept_apart() {
    let kinds = [("Heron B", Rule::Simple), ("Heron B", Rule::Guarded), ("Plover", Rule::Simple)];
    let of = |(housing, rule): (&'static str, Rule)| {
        (0..21).map(move |place| signed(place, 21, housing, rule))
    };
    let mut sessions: Vec<SessionSummary> = kinds.into_iter().flat_map(of).collect();
    for session in sessions.iter_mut().take(21) {
        let held = session.as_measured.as_mut().unwrap();
        held.limits = Window::new(45.0, 20.0, 15.0, None).unwrap();
    }
    let found = survey(sessions).risks;
    assert_eq!(found.len(), 3);
    assert!(found.iter().all(|risk| risk.units == 21 && risk.risks.is_some()));
    assert!(survey(Vec::new()).risks.is_empty());
}

/// A session of a housing under a window and rule that nobody used yet: its units are all that were signed
/// in that housing, whatever they were judged by; by hand as above, for 14′ of divergence or for 8′.
#[test]
fn a_supposed_window_is_held_against_units_as_made() {
    let mut sessions: Vec<SessionSummary> =
        (0..200).map(|place| signed(place, 200, "Heron B", Rule::Simple)).collect();
    sessions.extend((0..30).map(|place| signed(place, 30, "Plover", Rule::Simple)));
    for session in sessions.iter_mut().step_by(2) {
        session.window = "Another".into();
        session.as_measured.as_mut().unwrap().limits = Window::new(9.0, 9.0, 9.0, None).unwrap();
    }
    // Nobody named these: each is a unit of its own.
    for session in sessions.iter_mut().take(20) {
        session.unit = <_>::default();
    }
    let shop = survey(sessions);
    for divergence in [14.0, 8.0] {
        for (rule, guard) in [(Rule::Simple, 0.0), (Rule::Guarded, 1.644_853_627)] {
            let limits = Window::new(45.0, divergence, 15.0, None).unwrap();
            let found = shop.risk_for(&judged_by(limits, rule, "Heron B")).unwrap();
            assert_eq!((found.units, found.rule), (200, rule));
            let own = found.risks.unwrap()[0];
            let one =
                of_one([5.0, 6.0], 1.0, [-45.0, divergence], [-45.0 + guard, divergence - guard])
                    .unwrap();
            assert!((own.consumers - one.consumers).abs() < 0.002, "{own:?} {one:?}");
            assert!((own.producers - one.producers).abs() < 0.002, "{own:?} {one:?}");
            assert!(found.words().contains("its 200 signed units"), "{}", found.words());
        }
    }
    let limits = Window::new(45.0, 14.0, 15.0, None).unwrap();
    let found = shop.risk_for(&judged_by(limits, Rule::Simple, "Redshank")).unwrap();
    assert_eq!((found.units, found.risks), (0, None));
    assert!(found.words().contains("0 signed units; 20 are needed"), "{}", found.words());
    let mut practice = judged_by(limits, Rule::Simple, "Heron B");
    practice.header.as_mut().unwrap().kind = SessionKind::Practice(Exercise::default());
    assert_eq!(shop.risk_for(&practice), None);
    practice = judged_by(limits, Rule::Simple, "Heron B");
    practice.windows.clear();
    assert_eq!(shop.risk_for(&practice), None, "no window, nothing is judged");
}

fn judged_by(limits: Window, rule: Rule, housing: &str) -> Session {
    let window = record::NamedWindow {
        name: "Supposed".to_owned(),
        source: "none".to_owned(),
        limits,
        rule,
        far_point_share: None,
        note: String::new(),
    };
    let header = Header {
        format: record::fact::LATEST_FORMAT,
        program: "test".to_owned(),
        session: "0".repeat(32),
        kind: SessionKind::Real,
        continues: None,
    };
    let unit = Unit { name: "9".to_owned(), housing: housing.to_owned(), ..Unit::default() };
    let bodies = [Body::Header(header), Body::Window(window), Body::Unit(unit)];
    let time = Stamp::from_unix_milliseconds(1_795_867_200_000).unwrap();
    let facts =
        (1..).zip(bodies).map(|(seq, body)| Fact { seq, time, hand: "KT".to_owned(), body });
    fold(&facts.collect::<Vec<_>>())
}
