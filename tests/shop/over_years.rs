//! A unit over the years, in the invented shop: what is planted (demo-data/README.md) is what its page tells.

use std::num::NonZeroUsize;
use std::path::Path;

use record::shop::survey::visits::NotCompared;
use record::shop::survey::{SurveyOptions, survey_by};
use record::{RealDisk, SessionSummary, Survey};

fn demo() -> Survey {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data");
    survey_by(&folder, &SurveyOptions::whole(NonZeroUsize::MIN)).unwrap().unwrap()
}

/// 0409 came back after a knock: its right channel moved by 3.0′, −2.0′ and nothing else. 0330 came back untouched
/// to a bench that wanders: both channels seem to have moved alike.
#[test]
fn what_moved_between_two_visits_is_told_with_its_uncertainty() {
    let survey = demo();
    let history = survey.unit_files("0409").unwrap().read(&RealDisk);
    assert_eq!(history.visits.len(), 2);
    let [first, second] = &history.visits[..] else { panic!() };
    assert!(first.summary.day < second.summary.day && first.since.is_none());
    let since = second.since.as_ref().unwrap();
    // From 2026-01-26 to 2026-11-10, counted by a calendar.
    assert_eq!(since.days, Some(288));
    let moved = since.kept.unwrap().misalignment;
    assert_eq!(moved.agrees(), Some(false));
    for (found, (planted, u)) in moved.difference.iter().zip([3.0, -2.0].iter().zip(moved.u)) {
        // Three standard uncertainties: by chance in a quarter of a hundredth of such visits.
        assert!((found - planted).abs() < 3.0 * u.standard, "{found} {planted} {u:?}");
    }
    assert!(since.words.join(" ").contains("It moved between the visits by more than"));
    assert!(
        history
            .words("2026-11-25".parse().unwrap())
            .contains("2 visits, last on 2026-11-10, 15 days ago")
    );

    let history = survey.unit_files("0330").unwrap().read(&RealDisk);
    let change = history.visits[1].since.as_ref().unwrap().kept.unwrap();
    assert_eq!(change.misalignment.agrees(), Some(true), "both moved alike");
    assert_eq!(change.shared.agrees(), Some(false));
    assert!(survey.unit_files("no such unit").is_none());
}

/// Parts and remedies stand at each visit; a unit of one visit has nothing to be held against.
#[test]
fn what_was_done_stands_at_each_visit() {
    let survey = demo();
    let shimmed = survey.sessions.iter().find(|one| !one.leaves_used_mm.is_empty()).unwrap();
    let history = survey.unit_files(&shimmed.unit).unwrap().read(&RealDisk);
    let visit = history.visits.iter().find(|visit| visit.summary.file == shimmed.file).unwrap();
    assert!(visit.done.iter().any(|done| done.contains("shimmed by")), "{:?}", visit.done);
    assert!(visit.built[0].starts_with("Left tube ") && visit.built[1].starts_with("Right tube "));
    let tube = &shimmed.tubes.left;
    assert!(visit.built[0].contains(tube.as_str()));
    let once = history.visits.first().unwrap();
    assert!(once.since.is_none());
    assert_eq!(NotCompared::NotFound.to_string(), "it was not read as found");
}

fn visit(unit: &str, begun: &str, day: &str) -> SessionSummary {
    SessionSummary {
        file: format!("{day} {unit}.samepoint"),
        session: format!("{unit} {begun}"),
        unit: unit.into(),
        housing: "Heron B".into(),
        begun: Some(begun.parse().unwrap()),
        day: Some(day.parse().unwrap()),
        ..SessionSummary::default()
    }
}

/// Of four units one came back, after 100 days counted by a calendar; sessions of one stay count once, practice and
/// blind checks not at all. The interval is Wilson's (1 of 4: 0.0456 to 0.6994 by hand from Newcombe 1998, method 3).
#[test]
fn units_that_come_back_are_counted_by_their_visits() {
    let practice = SessionSummary { practice: true, ..visit("P", "2026-01-01", "2026-01-01") };
    let blind =
        SessionSummary { checks: Some("x".to_owned()), ..visit("A", "2026-05-01", "2026-05-01") };
    let sessions = vec![
        visit("A", "2026-01-10", "2026-01-11"),
        // The day on which it went on.
        visit("A", "2026-01-11", "2026-01-11"),
        visit("A", "2026-04-21", "2026-04-22"),
        visit("B", "2026-02-01", "2026-02-01"),
        visit("C", "2026-03-01", "2026-03-01"),
        visit("D", "2026-03-02", "2026-03-02"),
        practice,
        blind,
    ];
    let found = Survey { sessions: sessions.into(), ..Survey::default() }.returning();
    let share = found.came_back.unwrap();
    assert_eq!((share.successes, share.trials), (1, 4));
    assert!((share.low - 0.0456).abs() < 1e-3 && (share.high - 0.6994).abs() < 1e-3, "{share:?}");
    assert_eq!(found.between_days.unwrap().median, 100.0);
    let first = &found.units[0];
    assert_eq!((first.unit.as_str(), first.sessions.len(), first.before_days), ("A", 2, Some(100)));
    let words = first.words("2026-05-02".parse().unwrap());
    assert!(
        words.contains("2 visits · last on 2026-04-22, 10 days ago, 100 days after"),
        "{words}"
    );
    assert!(found.words()[0].starts_with("1 of 4 units came back at least once, 25 %"));
    assert_eq!(Survey::default().returning().words(), ["No session names its unit yet."]);
}
