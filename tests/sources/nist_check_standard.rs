//! NIST/SEMATECH *e-Handbook of Statistical Methods*: the check standard of 2.6.2 (data file
//! MPC62.DAT, public domain; results from memory and recomputed with scipy 1.17), the EWMA of 6.3.2.4
//! (published), individuals of 6.3.2.2 (from memory).

use crate::{close, printed};
use solver::published::statistics::{NIST_DAYS as DAYS, NIST_LIST as LIST};
use solver::upkeep::check_standard::{ControlChart, ewma, precision};

/// 2.6.2: no day is beyond the limits of its check value, days 8 and 20 beyond the limit of precision.
#[test]
fn the_days_beyond_the_limits_are_those_of_2_6_2() {
    let values = DAYS.map(|day| day.0);
    let limits = ControlChart::from_baseline(&values).unwrap().individuals_from_deviation(3.0);
    assert!(values.iter().all(|&value| limits.hold(value)));
    let deviations = DAYS.map(|day| day.1);
    let (_, limit) = precision(&deviations, 5, 0.95).unwrap();
    let beyond: Vec<usize> =
        (1..).zip(deviations).filter(|(_, s)| *s > limit).map(|(day, _)| day).collect();
    assert_eq!(beyond, [8, 20]);
}

/// 6.3.2.4: every average is within the limits.
#[test]
fn the_moving_average_of_6_3_2_4_stays_inside() {
    let chart = ewma(&LIST, 0.3, 50.0, 2.0539, 3.0).unwrap();
    assert_eq!(chart.averages.len(), 21);
    assert!(chart.averages.iter().all(|&average| chart.limits.hold(average)));
}

/// The last ten values of the same list, 6.3.2.2: mean 50.81, mean range 1.8778, limits 55.8041 and
/// 45.8159 with the ratio 1.128 (from memory); the exact ratio 2/√π moves them by 0.002.
#[test]
fn individuals_of_6_3_2_2_agree() {
    let chart = ControlChart::from_baseline(&LIST[10..]).unwrap();
    printed("mean", chart.baseline.mean, 50.81, 2);
    printed("mean range", chart.moving_range, 1.8778, 4);
    let limits = chart.individuals(3.0);
    close("upper", limits.high, 55.8041, 0.002);
    close("lower", limits.low, 45.8159, 0.002);
    // 3.267 is D4 for ranges of two, as every control-chart table prints it.
    printed("range", chart.moving_ranges(3.0).high / chart.moving_range, 3.267, 3);
}
