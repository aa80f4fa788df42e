//! R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven
//! methods, Statistics in Medicine 17 (1998) 857–872, table I, method 3 (score without continuity
//! correction), 95 %. From memory; four decimals are printed.

use solver::stats::proportion::wilson;

#[test]
fn score_intervals_of_table_i() {
    for (successes, trials, low, high) in [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ] {
        let found = wilson(successes, trials, 0.95).unwrap();
        // Half a unit of the last printed digit.
        assert!((found.low - low).abs() <= 0.000_05, "{successes}/{trials}: {found:?}");
        assert!((found.high - high).abs() <= 0.000_05, "{successes}/{trials}: {found:?}");
    }
}

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
