//! What a judgement carries beside its verdict, worked out by hand from the definitions:
//! sums of variances with round numbers in them.

use solver::decision::{
    Circumstances, Confirmation, Covariance, GUARD_FACTOR, Prospect, ReadingSpread, Reference,
    Rule, Verdict, judge, judge_known,
};
use solver::monte_carlo::Source;
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
        (
            Prospect::MoreSeatings(1),
            "seating it once more and reading both channels would settle it",
        ),
        (
            Prospect::MoreSeatings(3),
            "seating it 3 more times and reading both channels would settle it",
        ),
        (Prospect::BenchCannotDecide, "this bench cannot decide this window"),
        (Prospect::MoreReadingsWillNotHelp, "more readings will not help"),
    ] {
        assert_eq!(prospect.sentence(), words);
    }
}

/// Seatings of three, one and one readings: the mean is one of seatings, its variance S²/3 with 2 degrees of freedom.
#[test]
fn seatings_are_what_scatters() {
    let confirmation = Confirmation {
        readings: PerChannel {
            left: along_x(&[0.0, 0.3, -0.3, 1.0, -1.0]),
            right: along_x(&[1.0, 1.0, 1.0, 3.0, 2.0]),
        },
        spread: ReadingSpread::Stated([[0.01, 0.0], [0.0, 0.01]]),
        reference: Reference {
            own: PerChannel { left: [[0.25, 0.0], [0.0, 0.0]], right: [[0.09, 0.0], [0.0, 0.16]] },
            common: [[0.5, 0.0], [0.0, 0.5]],
        },
    };
    let seating_of = PerChannel { left: vec![0, 0, 0, 4, 7], right: vec![0, 0, 0, 4, 7] };
    let known = Circumstances { seating_of, ..Circumstances::default() };
    let judged = judge_known(&confirmation, &known, &wide(), Rule::Guarded).unwrap().unwrap();
    // Left 0, 1, −1 and right 1, 3, 2: m is 1, 2, 3 and b is 0.5, 2, 0.5.
    assert_eq!((judged.seatings, judged.freedom), (3, 2.0));
    assert!((judged.misalignment.x_arcmin - 2.0).abs() < ROUNDING);
    assert!((judged.shared.x_arcmin - 1.0).abs() < ROUNDING);
    // S² of m is 1, of b 0.75, Cov 0 (−1·−0.5 + 0·1 + 1·−0.5 = 0). Along y nothing scatters, so the
    // stated 0.01 stands: each channel's mean of means has 0.01·(1/3 + 1 + 1)/9.
    let y = 0.01 * (1.0 / 3.0 + 2.0) / 9.0;
    same(judged.misalignment_covariance, [[1.0 / 3.0 + 0.34, 0.0], [0.0, 2.0 * y + 0.16]]);
    same(judged.shared_covariance, [[0.25 + 0.085 + 0.5, 0.0], [0.0, 0.5 * y + 0.04 + 0.5]]);
    same(judged.cross_covariance, [[-0.08, 0.0], [0.0, 0.08]]);
    // Student's t of one-sided 95 % with 2 degrees of freedom: 2.920 (published tables).
    let guard = judged.guard_arcmin[0] / (1.0 / 3.0 + 0.34_f64).sqrt();
    assert!((guard - 2.920).abs() < 5e-4, "{guard}");

    // The last seating read through one channel only goes with the one before it; one whole seating is none.
    let half = Circumstances {
        seating_of: PerChannel { left: vec![0, 0, 0, 4, 7], right: vec![0, 0, 0, 4, 4] },
        ..Circumstances::default()
    };
    let judged = judge_known(&confirmation, &half, &wide(), Rule::Guarded).unwrap().unwrap();
    // m: 1 and 2.5 − 0.
    assert_eq!((judged.seatings, judged.freedom), (2, 1.0));
    assert!((judged.misalignment.x_arcmin - 1.75).abs() < ROUNDING);
    for seating_of in [
        PerChannel { left: vec![0; 5], right: vec![1; 5] },
        PerChannel { left: vec![], right: vec![3; 5] },
    ] {
        let known = Circumstances { seating_of, ..Circumstances::default() };
        let found = judge_known(&confirmation, &known, &wide(), Rule::Guarded).unwrap();
        assert_eq!(found, judge(&confirmation, &wide(), Rule::Guarded).unwrap());
        assert_eq!(found.unwrap().seatings, 1);
    }
}

/// A unit exactly on a limit passes the guarded rule in no more than 5 %, however its seatings scatter
/// and whichever way both channels move. Of 600 units 5 % is 30, standard deviation 5.3; three of those.
#[test]
fn guarded_keeps_its_five_percent_over_seatings() {
    const UNITS: usize = 600;
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let mut passed_flat = 0;
    for (seatings, seating_arcmin, together) in
        [(2, 0.0, 0.0), (2, 0.5, 0.0), (3, 0.5, 1.0), (3, 1.0, -1.0), (4, 0.2, -1.0), (5, 0.5, 0.0)]
    {
        let mut source = Source::seeded(5);
        let mut passed = 0;
        for unit in 0..UNITS {
            let limit =
                if unit % 2 == 0 { Direction::new(20.0, 3.0) } else { Direction::new(2.0, 15.0) };
            let mut readings: PerChannel<Vec<Direction>> = PerChannel::default();
            let mut seating_of: PerChannel<Vec<usize>> = PerChannel::default();
            for seating in 0..seatings {
                let left = source.direction(seating_arcmin);
                let apart = source.direction(seating_arcmin);
                let off = PerChannel { left, right: left * together + apart };
                for _ in 0..if seating == 0 { 3 } else { 1 } {
                    for (channel, half) in [(Channel::Left, -0.5), (Channel::Right, 0.5)] {
                        readings[channel].push(limit * half + off[channel] + source.direction(0.3));
                        seating_of[channel].push(seating);
                    }
                }
            }
            let spread = ReadingSpread::Stated([[0.09, 0.0], [0.0, 0.09]]);
            let confirmation = Confirmation { readings, spread, reference: Reference::default() };
            let known = Circumstances { seating_of, ..Circumstances::default() };
            let verdict = |judged: Result<Option<solver::decision::Judgement>, Error>| {
                judged.unwrap().unwrap().verdict
            };
            let seated = verdict(judge_known(&confirmation, &known, &window, Rule::Guarded));
            let flat = verdict(judge(&confirmation, &window, Rule::Guarded));
            passed += usize::from(seated == Verdict::Pass);
            passed_flat += usize::from(seating_arcmin == 0.5 && flat == Verdict::Pass);
        }
        assert!(passed <= 46, "{seatings} seatings, {seating_arcmin}′: {passed} of {UNITS}");
    }
    // As one seating, of which nothing is known, three such kinds let far more through.
    assert!(passed_flat > 3 * 60, "{passed_flat}");
}

/// Readings all alike are off by up to half the graticule's step, all by the same: step²/12 a channel
/// (JCGM 100:2008, F.2.2.1), however many there are. Where they scatter, their scatter has it in.
#[test]
fn readings_alike_are_not_certain() {
    let judged = |x: &[f64], step: f64| {
        let confirmation = Confirmation {
            readings: PerChannel { left: along_x(x), right: along_x(x) },
            spread: ReadingSpread::Observed,
            reference: Reference::default(),
        };
        let step_arcmin = PerChannel { left: step, right: step };
        let known = Circumstances { step_arcmin, ..Circumstances::default() };
        judge_known(&confirmation, &known, &wide(), Rule::Guarded).unwrap().unwrap()
    };
    let each = 2.0 * 0.25 / 12.0;
    same(judged(&[3.0; 5], 0.5).misalignment_covariance, [[each, 0.0], [0.0, each]]);
    same(judged(&[3.1; 7], 0.5).misalignment_covariance, [[each, 0.0], [0.0, each]]);
    same(judged(&[3.0; 5], 0.0).misalignment_covariance, [[0.0, 0.0], [0.0, 0.0]]);
    // A sum of squares of 4 in five: (4/3)/5 a channel, far more than 0.25/12.
    let seen = judged(&[1.0, -1.0, 1.0, -1.0, 0.0], 0.5).misalignment_covariance[0][0];
    assert!((seen - 8.0 / 15.0).abs() < ROUNDING, "{seen}");
}
