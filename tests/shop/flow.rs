//! Why units fail, how long work takes, what waits, which leaves are used, and whether it gets better: worked by hand
//! on a few invented sessions, and by what is planted in the invented year (demo-data/README.md).

use std::num::NonZeroUsize;
use std::path::Path;

use record::review::State;
use record::shop::survey::reasons::FailReason;
use record::shop::survey::signed_as::{AnsweredAs, SignedAs};
use record::shop::survey::turnaround::WaitsFor;
use record::shop::survey::{SurveyOptions, survey_by};
use record::{SessionSummary, Survey, Verdict};
use solver::{Misalignment, Relation, WindowUse};

fn demo() -> Survey {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data");
    survey_by(&folder, &SurveyOptions::whole(NonZeroUsize::MIN)).unwrap().unwrap()
}

fn of(unit: &str, day: &str) -> SessionSummary {
    let day = Some(day.parse().unwrap());
    SessionSummary {
        file: format!("{unit}.samepoint"),
        session: unit.to_owned(),
        unit: unit.into(),
        begun: day,
        day,
        ..SessionSummary::default()
    }
}

fn failed(unit: &str, x_arcmin: f64, used: WindowUse, relation: Relation) -> SessionSummary {
    SessionSummary {
        verdict: Some(Verdict::Fail),
        misalignment: Some(Misalignment { x_arcmin, y_arcmin: 0.0 }),
        limits_used: Some(used),
        relation: Some(relation),
        ..of(unit, "2026-03-01")
    }
}

fn used(side_to_side: f64, up_and_down: f64, from_boresight: Option<f64>) -> WindowUse {
    WindowUse { side_to_side, up_and_down, from_boresight }
}

#[test]
fn each_failed_unit_stands_under_every_limit_it_went_beyond() {
    let sessions = vec![
        failed("A", 8.0, used(1.2, 0.5, Some(0.9)), Relation::Crossing),
        failed("B", -8.0, used(1.1, 1.4, None), Relation::Crossing),
        failed("C", 0.0, used(0.1, 0.2, Some(1.5)), Relation::Separate),
        failed("D", 0.0, used(0.99, 0.2, None), Relation::Crossing),
        SessionSummary {
            limits_used: None,
            ..failed("E", 0.0, used(0.0, 0.0, None), Relation::Crossing)
        },
        SessionSummary { verdict: Some(Verdict::Pass), ..of("F", "2026-03-01") },
        SessionSummary {
            practice: true,
            ..failed("G", 8.0, used(2.0, 0.5, None), Relation::Crossing)
        },
    ];
    let found = Survey { sessions: sessions.into(), ..Survey::default() }.why_failed();
    assert_eq!((found.failed, found.unmeasured), ([5, 6], 1));
    let points = |reason| -> Vec<(usize, f64)> {
        let by = found.by.iter().find(|by| by.reason == reason);
        by.map(|by| by.points.clone()).unwrap_or_default()
    };
    assert_eq!(points(FailReason::Divergence), [(0, 1.2)]);
    assert_eq!(points(FailReason::Convergence), [(1, 1.1)]);
    assert_eq!(points(FailReason::Dipvergence), [(1, 1.4)]);
    assert_eq!(points(FailReason::Boresight), [(2, 1.5)]);
    assert_eq!(points(FailReason::NoCrossing), [(2, 1.5)]);
    assert_eq!(points(FailReason::NotSure), [(3, 0.99)]);
    assert!(found.words()[0].starts_with("5 of 6 sessions that came to a verdict failed"));
    // In the invented year 0431 fails, whatever was signed.
    let survey = demo();
    let forged = survey.sessions.iter().position(|one| one.unit == "0431").unwrap();
    assert!(survey.why_failed().by.iter().any(|by| by.points.iter().any(|one| one.0 == forged)));
}

fn signed(unit: &str, begun: &str, day: &str) -> SessionSummary {
    let day = day.parse().unwrap();
    let (verdict, hand) = (Verdict::Pass, "KT".into());
    SessionSummary {
        state: State::Signed,
        signed_as: Some(SignedAs { verdict, hand, day, answered: None }),
        ..of(unit, begun)
    }
}

#[test]
fn what_waits_is_listed_by_how_long_and_what_took_how_long_is_told() {
    let returned = |unit: &str| {
        let mut one = signed(unit, "2026-03-01", "2026-03-02");
        one.state = State::Returned;
        let answered =
            AnsweredAs { agreed: false, hand: "SH".into(), day: "2026-03-05".parse().unwrap() };
        one.signed_as.as_mut().unwrap().answered = Some(answered);
        one
    };
    let mut done = signed("D", "2026-03-01", "2026-03-01");
    done.state = State::Countersigned;
    let sessions = vec![
        signed("A", "2026-03-01", "2026-03-04"),
        SessionSummary { state: State::Unsigned, ..of("B", "2026-02-20") },
        returned("C"),
        done,
    ];
    let survey = Survey { sessions: sessions.into(), ..Survey::default() };
    let waiting = survey.waiting();
    let told: Vec<(&str, WaitsFor)> =
        waiting.iter().map(|one| (one.unit.as_str(), one.waits_for)).collect();
    assert_eq!(
        told,
        [
            ("B", WaitsFor::Signature),
            ("A", WaitsFor::Countersignature),
            ("C", WaitsFor::SigningAnew)
        ]
    );
    let today = "2026-03-11".parse().unwrap();
    // 2026 is no leap year.
    assert_eq!(waiting[0].words(today), "B waits to be signed for 19 days, since 2026-02-20");
    assert_eq!(waiting[1].words(today), "A waits to be countersigned for 7 days, since 2026-03-04");
    assert_eq!(waiting[2].words(today), "C waits to be signed anew for 6 days, since 2026-03-05");
    let took = survey.turnaround();
    let days: Vec<i32> = took.points.iter().map(|point| point.2).collect();
    assert_eq!(days, [3, 1, 0]);
    assert_eq!(took.quantiles_days.unwrap()[0], 1.0);
    assert!(took.words().contains("half of 3 sessions took 1 day or less"), "{}", took.words());
}

#[test]
fn leaves_are_counted_by_thickness() {
    let mut first = of("A", "2026-03-01");
    first.leaves_used_mm = vec![0.05, 0.05, 0.1];
    let mut second = of("B", "2026-04-30");
    second.leaves_used_mm = vec![0.05];
    let found = Survey { sessions: vec![first, second].into(), ..Survey::default() }.leaves_used();
    let told: Vec<(f64, usize, Option<f64>)> =
        found.iter().map(|one| (one.leaf_mm, one.leaves, one.in_30_days)).collect();
    // 60 days from the first to the last.
    assert_eq!(told, [(0.05, 3, Some(1.5)), (0.1, 1, Some(0.5))]);
    assert_eq!(found[0].words(), "0.05 mm: 3 leaves in 2 sessions, about 1.5 in 30 days.");
    assert!(!demo().leaves_used().is_empty());
}

/// The share falls from 5 of 5 to 0 of 5: a trend; the same in another order is none. Distances that only rise, too.
/// Later visits of a unit are no new evidence.
#[test]
fn a_trend_is_shown_only_where_there_is_one() {
    let month = |month: i8, passes: usize| {
        (0..5).map(move |k| SessionSummary {
            verdict: Some(if k < passes { Verdict::Pass } else { Verdict::Fail }),
            rounds: 1,
            boresight_arcmin: Some(f64::from(month) + 0.01 * k as f64),
            ..of(&format!("{month} {k}"), &format!("2026-{month:02}-{:02}", 10 + k))
        })
    };
    let shop = |passes: [usize; 6]| Survey {
        sessions: (1_i8..).zip(passes).flat_map(|(at, passes)| month(at, passes)).collect(),
        ..Survey::default()
    };
    let falls = shop([5, 4, 3, 2, 1, 0]);
    assert!(falls.pass_trend().is_shown());
    assert!(
        falls.pass_trend().words.contains("falls (Cochran–Armitage z −"),
        "{}",
        falls.pass_trend().words
    );
    assert!(falls.boresight_trend().is_shown());
    assert!(
        falls
            .boresight_trend()
            .words
            .contains("farther from boresight as time goes on (Mann–Kendall")
    );
    let none = shop([3, 2, 3, 2, 3, 2]).pass_trend();
    assert!(!none.is_shown() && none.words.contains("is not shown"), "{}", none.words);
    let mut again = shop([3, 3, 3, 3, 3, 3]);
    let before = again.pass_trend();
    again.sessions.extend((0..9).map(|k| SessionSummary {
        verdict: Some(Verdict::Fail),
        ..of("1 0", &format!("2026-06-{:02}", 20 + k))
    }));
    assert_eq!(again.pass_trend(), before);
    assert_eq!(Survey::default().pass_trend().words, "Trend: 0 of 4 months needed to tell.");
    // What is planted in the invented year has no such trend; either way it is said.
    assert!(demo().pass_trend().words.starts_with("Trend: "));
    assert!(!demo().boresight_limits().is_empty());
}
