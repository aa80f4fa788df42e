//! Deciding with uncertainty: JCGM 106:2012 examples (inputs from memory), ILAC-G8:09/2019 guard bands,
//! with figures recomputed from the normal distribution (scipy 1.17).

use crate::{close, printed};
use solver::decision::{
    Confirmation, Covariance, Prospect, ReadingSpread, Reference, Rule, Verdict, judge,
};
use solver::{Direction, PerChannel, Window};

/// One reading of each channel, m = (x, 0), the right one's x with a standard uncertainty; what lies
/// along y is known exactly.
fn one_axis(x: f64, u: f64) -> Confirmation {
    Confirmation {
        readings: PerChannel {
            left: vec![Direction::BORESIGHT],
            right: vec![Direction::new(x, 0.0)],
        },
        // Both channels have half the variance of the difference.
        spread: ReadingSpread::Stated([[0.5 * u * u, 0.0], [0.0, 0.0]]),
        reference: Reference::default(),
    }
}

fn in_box(x: f64, u: f64, low: f64, high: f64) -> f64 {
    let window = Window::new(-low, high, 1.0, None).unwrap();
    judge(&one_axis(x, u), &window, Rule::Guarded).unwrap().unwrap().in_box
}

/// JCGM 106, 7.4: a one-sided lower limit, a one-sided upper limit, an interval.
#[test]
fn conformance_probabilities_agree() {
    // Breakdown voltage −5.47, u 0.05, at most −5.40; from a zero at −6, far from the other side.
    let found = in_box(0.53, 0.05, -60.0, 0.60);
    printed("upper limit", found, 0.92, 2);
    close("upper limit", found, 0.919_243_340_766, 1e-12);
    // Strength 509.7, u 8.6, at least 490; from a zero at 500.
    let found = in_box(9.7, 8.6, -10.0, 9_000.0);
    printed("lower limit", found, 0.99, 2);
    close("lower limit", found, 0.989_009_547_385, 1e-12);
    // Viscosity 13.6, u 1.8, in [12.5, 16.3]; from a zero at 14.
    let found = in_box(-0.4, 1.8, -1.5, 2.3);
    printed("interval", found, 0.66, 2);
    close("interval", found, 0.662_629_786_495, 1e-12);
}

/// ILAC-G8:09/2019, 4.2: the chance of being beyond the limit, read at the acceptance limit a guard
/// band w inside it.
#[test]
fn guard_bands_leave_the_stated_risk() {
    for (factor, risk) in [
        (0.0, 0.5),
        (1.644_853_626_951_472_7, 0.05),
        (1.959_963_984_540_054, 0.025),
        (2.0, 0.022_750_131_948),
        (3.0, 0.001_349_898_032),
    ] {
        let found = 1.0 - in_box(20.0 - 0.5 * factor, 0.5, -4_500.0, 20.0);
        close("risk", found, risk, 1e-12);
    }
}

/// ISO 14253-1:2017 (from memory): proved inside at 95 % when 1.65 u inside the limit.
#[test]
fn the_guarded_rule_turns_at_the_guard_band() {
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let judged = |x, rule| judge(&one_axis(x, 1.0), &window, rule).unwrap().unwrap();
    for (x, verdict) in [
        (18.35, Verdict::Pass),
        (18.36, Verdict::Undecided),
        (21.64, Verdict::Undecided),
        (21.65, Verdict::Fail),
    ] {
        assert_eq!(judged(x, Rule::Guarded).verdict, verdict, "at {x}");
    }
    assert_eq!(judged(20.0, Rule::Simple).verdict, Verdict::Pass);
    assert_eq!(judged(20.01, Rule::Simple).verdict, Verdict::Fail);
    printed("guard", judged(0.0, Rule::Guarded).guard_arcmin[0], 1.645, 3);
}

/// More readings shrink the readings' part as 1/n: at 19′ of 20′ with u = 1′, 1.645/√n ≤ 1 first
/// holds for n = 3, two more.
#[test]
fn the_number_of_readings_that_settles_it_is_plain_arithmetic() {
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let judged = judge(&one_axis(19.0, 1.0), &window, Rule::Guarded).unwrap().unwrap();
    assert_eq!(judged.verdict, Verdict::Undecided);
    assert_eq!(judged.prospect, Some(Prospect::MoreReadings(2)));

    let with_reference = |x: f64, own: f64| {
        let half: Covariance = [[0.5 * own * own, 0.0], [0.0, 0.0]];
        let reference =
            Reference { own: PerChannel { left: half, right: half }, ..Reference::default() };
        let confirmation = Confirmation { reference, ..one_axis(x, 1.0) };
        judge(&confirmation, &window, Rule::Guarded).unwrap().unwrap().prospect
    };
    // A reference of 1′ alone needs 1.645′ of room.
    assert_eq!(with_reference(19.0, 1.0), Some(Prospect::MoreReadingsWillNotHelp));
    // One of 17′: 95 % of it spans ±33′, and the window is 65′ wide: not even its middle passes.
    assert_eq!(with_reference(0.0, 17.0), Some(Prospect::BenchCannotDecide));
}

/// Seen scatter widens to Student's t. By symmetry a mean on the limit has half its mass inside; and
/// with n = 3 there is one degree of freedom, whose distribution is Cauchy's:
/// P = 1/2 + atan(z)/π.
#[test]
fn scatter_of_three_readings_is_cauchys() {
    let window = Window::new(4.0e6, 20.0, 15.0, None).unwrap();
    let readings = PerChannel {
        left: vec![Direction::BORESIGHT; 3],
        right: [-1.0, 0.0, 1.0].map(|off| Direction::new(18.0 + off, 0.0)).to_vec(),
    };
    let confirmation =
        Confirmation { readings, spread: ReadingSpread::Observed, reference: Reference::default() };
    let judged = judge(&confirmation, &window, Rule::Guarded).unwrap().unwrap();
    assert_eq!(judged.freedom, 1.0);
    // Σ(x − x̄)²/(n − 2)/n = 2/3.
    let z = 2.0 / (2.0f64 / 3.0).sqrt();
    let expected = 0.5 + z.atan() / core::f64::consts::PI;
    // The quadrature's 1e-9, and a Cauchy tail of 1e-7 beyond the far side at −4·10⁶.
    close("mass", judged.in_box, expected, 2e-7);
}

#[test]
fn a_channel_without_readings_is_not_measured() {
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let mut confirmation = one_axis(0.0, 1.0);
    confirmation.readings.left.clear();
    assert_eq!(judge(&confirmation, &window, Rule::Guarded).unwrap(), None);
}
