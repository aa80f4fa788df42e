//! The mean of one sample, tested and with its interval.
//!
//! NIST/SEMATECH *e-Handbook of Statistical Methods*, 1.3.5.2 (confidence limits for the mean), the heat
//! flow meter data: 195 values, mean 9.261460, standard deviation 0.02278881, 95 % limits 9.258242 and
//! 9.264679; the t-test against 5 there gives t = 2611.284. The digits are from memory.

use solver::stats::sample::Sample;

#[test]
fn heat_flow_meter() {
    let sample = Sample { count: 195, mean: 9.261_460, deviation: Some(0.022_788_81) };
    let half = sample.half_width_of_mean(0.95).unwrap().unwrap();
    // Seven digits of mean and limits.
    assert!((sample.mean - half - 9.258_242).abs() < 2e-6, "{half}");
    assert!((sample.mean + half - 9.264_679).abs() < 2e-6, "{half}");
    let t = (sample.mean - 5.0) / sample.u_of_mean().unwrap();
    assert!((t - 2611.284).abs() < 0.05, "{t}");
    assert!(sample.mean_is(5.0).unwrap().unwrap() < 1e-100);
    // At its own edge the test gives just what the interval leaves out.
    let p = sample.mean_is(sample.mean + half).unwrap().unwrap();
    assert!((p - 0.05).abs() < 1e-9, "{p}");
}

#[test]
fn what_does_not_tell_has_no_p() {
    assert_eq!(Sample::of(&[1.0]).unwrap().mean_is(0.0).unwrap(), None);
    assert_eq!(Sample::of(&[1.0, 1.0]).unwrap().mean_is(0.0).unwrap(), None);
    assert!(Sample::of(&[1.0, 2.0]).unwrap().mean_is(f64::NAN).is_err());
}
