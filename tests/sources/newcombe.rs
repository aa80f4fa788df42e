//! R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven
//! methods, Statistics in Medicine 17 (1998) 857–872, table I, method 3 (score without continuity
//! correction), 95 %. From memory; four decimals are printed.

use solver::stats::proportion::wilson;

/// Turning successes into failures turns the interval round: the method treats both alike.
#[test]
fn failures_mirror_successes() {
    for (successes, trials) in [(0, 1), (3, 7), (29, 30), (500, 1000)] {
        let (one, other) = (
            wilson(successes, trials, 0.95).unwrap(),
            wilson(trials - successes, trials, 0.95).unwrap(),
        );
        // A few roundings of numbers below 1.
        assert!((one.low - (1.0 - other.high)).abs() < 1e-14, "{one:?} {other:?}");
        assert!(one.low <= one.share() && one.share() <= one.high, "{one:?}");
    }
}

#[test]
fn what_is_no_share_is_refused() {
    for (successes, trials, confidence) in
        [(0, 0, 0.95), (3, 2, 0.95), (1, 2, 0.0), (1, 2, 1.0), (1, 2, f64::NAN)]
    {
        assert!(wilson(successes, trials, confidence).is_err(), "{successes}/{trials}");
    }
}
