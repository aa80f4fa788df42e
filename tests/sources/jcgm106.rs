//! Deciding with uncertainty: JCGM 106:2012 examples (inputs from memory), ILAC-G8:09/2019 guard bands,
//! with figures recomputed from the normal distribution (scipy 1.17).

use crate::{close, printed};
use solver::decision::{
    Confirmation, Covariance, Prospect, ReadingSpread, Reference, Rule, Verdict, judge,
};
use solver::global_risk::{MeasuredUnit, Produced, of_one};
use solver::{Direction, Misalignment, PerChannel, Window};

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

/// The window's risk, where one limit alone matters, is that of one quantity.
#[test]
fn the_windows_risk_is_that_of_one_axis_where_one_alone_matters() {
    // 400 units: quantiles of a normal distribution of m_x, mean 4′ and spread 7′, measured to 1.5′.
    let (mean, spread, u) = (4.0, 7.0_f64, 1.5);
    let total = spread.hypot(u);
    let units: Vec<MeasuredUnit> = (0..400)
        .map(|place| {
            let share = (f64::from(place) + 0.5) / 400.0;
            let x = mean + total * solver::stats::quantile::normal(share).unwrap();
            MeasuredUnit {
                misalignment: Misalignment::new(x, 0.0),
                shared: Direction::BORESIGHT,
                misalignment_covariance: [[u * u, 0.0], [0.0, 0.01]],
                shared_covariance: [[0.01, 0.0], [0.0, 0.01]],
            }
        })
        .collect();
    let produced = Produced::seen(&units).unwrap();
    let ([x, _], [[xx, _], _]) = produced.misalignment();
    // Quantiles at the middle of 400 shares have a little less spread than the distribution.
    assert!((x - mean).abs() < 1e-9 && (xx.sqrt() - spread).abs() < 0.05, "{x} {}", xx.sqrt());
    for limit in [None, Some(40.0)] {
        let window = Window::new(45.0, 12.0, 15.0, limit).unwrap();
        for (rule, guard) in [(Rule::Simple, 0.0), (Rule::Guarded, 1.644_853_627 * u)] {
            let found = produced.risk(&window, rule).unwrap();
            let acceptance = [-45.0 + guard, 12.0 - guard];
            let one = of_one([x, xx.sqrt()], u, [-45.0, 12.0], acceptance).unwrap();
            // What the module promises.
            close("consumer's", found.consumers, one.consumers, 0.002);
            close("producer's", found.producers, one.producers, 0.002);
            close("passed", found.passed, one.passed, 0.002);
            close("inside", found.inside, one.inside, 0.002);
        }
    }
    let why = Produced::seen(&units[..19]).unwrap_err().to_string();
    assert!(why.contains("19") && why.contains("20"), "{why}");
}
