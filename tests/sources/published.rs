//! Every figure that the program checks itself by.

use solver::published::{Case, Figure, cases, tally};

#[test]
fn every_published_figure_is_met() {
    for case in cases() {
        let (figures, agrees) = case.worked().unwrap();
        assert!(!figures.is_empty(), "{}: no figures", case.what);
        for figure in figures {
            let Figure { what, expected, got, allowed } = figure;
            let off = (got - expected).abs();
            assert!(
                figure.agrees(),
                "{}, {what}: {got} is {off:e} from {expected}, allowed {allowed:e} ({})",
                case.what,
                case.source
            );
        }
        assert!(agrees);
    }
    let (all, agreeing) = tally();
    assert_eq!(all, agreeing);
    assert!(all >= 24, "{all} cases");
}

/// A figure that is missed, is no number, or a case without figures never agrees.
#[test]
fn what_is_missed_is_seen() {
    let figure = |got| Figure { what: "a half", expected: 0.5, got, allowed: 1e-3 };
    assert!(figure(0.5009).agrees());
    for got in [0.502, f64::NAN, f64::INFINITY] {
        assert!(!figure(got).agrees(), "{got}");
    }
    let case = |work| Case { what: "a half", source: "arithmetic", work };
    assert!(!case(|| Ok(Vec::new())).worked().unwrap().1);
    let missed =
        case(|| Ok(vec![Figure { what: "a half", expected: 0.5, got: 0.4, allowed: 1e-3 }]));
    assert!(!missed.worked().unwrap().1);
}

/// Sources are named, and no two cases are one.
#[test]
fn every_case_names_its_source() {
    let mut seen = std::collections::BTreeSet::new();
    for case in cases() {
        assert!(case.source.len() > 20 && !case.what.is_empty(), "{case:?}");
        assert!(seen.insert(case.what), "twice: {}", case.what);
    }
}
