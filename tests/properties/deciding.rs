//! What a judgement carries beside its verdict, worked out by hand from the definitions:
//! sums of variances with round numbers in them.

use solver::decision::{
    Confirmation, Covariance, GUARD_FACTOR, Prospect, ReadingSpread, Reference, Rule, Verdict,
    judge,
};
use solver::{Channel, Direction, Error, PerChannel, Window};

/// A handful of operations on numbers of order one.
const ROUNDING: f64 = 1e-13;

fn along_x(values: &[f64]) -> Vec<Direction> {
    values.iter().map(|&x| Direction::new(x, 0.0)).collect()
}

fn wide() -> Window {
    Window::new(1_000.0, 1_000.0, 1_000.0, None).unwrap()
}

#[track_caller]
fn same(found: Covariance, wanted: Covariance) {
    for (found, wanted) in found.iter().flatten().zip(wanted.iter().flatten()) {
        assert!((found - wanted).abs() < ROUNDING, "{found} is not {wanted}");
    }
}

/// Four readings left, sixteen right, of stated variances 1 and 4, and a station whose reference
/// differs from channel to channel.
#[test]
fn covariances_are_the_sums_that_they_are_defined_as() {
    let confirmation = Confirmation {
        readings: PerChannel { left: along_x(&[0.0; 4]), right: along_x(&[1.0; 16]) },
        spread: ReadingSpread::Stated([[1.0, 0.0], [0.0, 4.0]]),
        reference: Reference {
            own: PerChannel { left: [[0.25, 0.0], [0.0, 0.0]], right: [[0.09, 0.0], [0.0, 0.16]] },
            common: [[0.5, 0.0], [0.0, 0.5]],
        },
    };
    let judged = judge(&confirmation, &wide(), Rule::Guarded).unwrap().unwrap();
    // U_L: 1/4 + 0.25 and 4/4; U_R: 1/16 + 0.09 and 4/16 + 0.16.
    // U_m = U_L + U_R; U_b = U_m/4 + common; Cov(m, b) = (U_R − U_L)/2.
    same(judged.misalignment_covariance, [[0.6525, 0.0], [0.0, 1.41]]);
    same(judged.shared_covariance, [[0.663_125, 0.0], [0.0, 0.8525]]);
    same(judged.cross_covariance, [[-0.173_75, 0.0], [0.0, -0.295]]);
    // Less the reference: 1/4 + 1/16 and 4/4 + 4/16, and a quarter of those.
    let (misalignment, shared) = judged.without_reference(&confirmation.reference);
    same(misalignment, [[0.3125, 0.0], [0.0, 1.25]]);
    same(shared, [[0.078_125, 0.0], [0.0, 0.3125]]);
    // The guard band: 1.645 standard uncertainties, which are √0.6525 and √1.41.
    for (found, variance) in judged.guard_arcmin.into_iter().zip([0.6525_f64, 1.41]) {
        assert!((found - GUARD_FACTOR * variance.sqrt()).abs() < ROUNDING, "{found}");
    }
    assert_eq!(judged.freedom, f64::INFINITY, "stated, not seen");
}

/// Five readings left with a sum of squares of 4, nine right with one of 32, all along x: variances of
/// the means (4/3)/5 = 4/15 and (32/7)/9 = 32/63 with 3 and 7 degrees of freedom, so by Welch and
/// Satterthwaite (JCGM 100:2008, G.4.1) (4/15 + 32/63)²/((4/15)²/3 + (32/63)²/7).
#[test]
fn freedom_is_each_channels_own_combined() {
    let confirmation = Confirmation {
        readings: PerChannel {
            left: along_x(&[1.0, -1.0, 1.0, -1.0, 0.0]),
            right: along_x(&[2.0, -2.0, 2.0, -2.0, 2.0, -2.0, 2.0, -2.0, 0.0]),
        },
        spread: ReadingSpread::Observed,
        reference: Reference::default(),
    };
    let judged = judge(&confirmation, &wide(), Rule::Guarded).unwrap().unwrap();
    let (left, right) = (4.0 / 15.0, 32.0 / 63.0_f64);
    let freedom = (left + right).powi(2) / (left * left / 3.0 + right * right / 7.0);
    assert!((judged.freedom - freedom).abs() < 1e-12, "{} is not {freedom}", judged.freedom);
    same(judged.misalignment_covariance, [[left + right, 0.0], [0.0, 0.0]]);
}

/// A spread can be seen in three readings of a channel; the simple rule does not ask for one.
#[test]
fn a_spread_is_not_seen_in_two_readings() {
    for channel in Channel::BOTH {
        let mut readings =
            PerChannel { left: along_x(&[0.0, 1.0, 2.0]), right: along_x(&[1.0; 4]) };
        let confirmation = |readings: &PerChannel<Vec<Direction>>| Confirmation {
            readings: readings.clone(),
            spread: ReadingSpread::Observed,
            reference: Reference::default(),
        };
        let judged = judge(&confirmation(&readings), &wide(), Rule::Guarded);
        assert_eq!(judged.unwrap().unwrap().verdict, Verdict::Pass);
        readings[channel].truncate(2);
        let refused = judge(&confirmation(&readings), &wide(), Rule::Guarded);
        assert!(matches!(refused, Err(Error::TooFew { found: 2, needed: 3, .. })), "{refused:?}");
        let judged = judge(&confirmation(&readings), &wide(), Rule::Simple);
        assert_eq!(judged.unwrap().unwrap().verdict, Verdict::Pass);
    }
}

/// P = P_m + P_b − 1, and no less than nothing.
#[test]
fn the_lower_bound_is_of_both_chances() {
    let judged = |boresight: f64| {
        let confirmation = Confirmation {
            readings: PerChannel { left: along_x(&[0.0]), right: along_x(&[1.0]) },
            spread: ReadingSpread::Stated([[1.0, 0.0], [0.0, 1.0]]),
            reference: Reference::default(),
        };
        let window = Window::new(2.0, 2.0, 2.0, Some(boresight)).unwrap();
        judge(&confirmation, &window, Rule::Guarded).unwrap().unwrap()
    };
    let some = judged(1.5);
    assert!(some.in_box < 0.9 && some.in_boresight < 0.9, "neither is sure");
    let bound = some.in_box + some.in_boresight - 1.0;
    assert!(bound > 0.1 && (some.inside_at_least() - bound).abs() < ROUNDING, "{bound}");
    let none = judged(0.1);
    assert!(none.in_box + none.in_boresight < 1.0);
    assert_eq!(none.inside_at_least(), 0.0);
}

/// The words that screen, paper and file share.
#[test]
fn rules_and_verdicts_have_their_words() {
    assert_eq!([Rule::Simple, Rule::Guarded].map(Rule::word), ["simple", "guarded"]);
    let verdicts = [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured];
    assert_eq!(verdicts.map(Verdict::word), ["pass", "fail", "undecided", "not measured"]);
}

/// What would settle a verdict is told in words, one reading as one.
#[test]
fn prospects_have_their_words() {
    for (prospect, words) in [
        (Prospect::MoreReadings(1), "one more reading of each channel would settle it"),
        (Prospect::MoreReadings(7), "7 more readings of each channel would settle it"),
        (Prospect::BenchCannotDecide, "this bench cannot decide this window"),
        (Prospect::MoreReadingsWillNotHelp, "more readings will not help"),
    ] {
        assert_eq!(prospect.sentence(), words);
    }
}
