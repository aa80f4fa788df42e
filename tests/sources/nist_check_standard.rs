//! NIST/SEMATECH *e-Handbook of Statistical Methods*: the check standard of 2.6.2 (data file
//! MPC62.DAT, public domain; results from memory and recomputed with scipy 1.17), the EWMA of 6.3.2.4
//! (published), individuals of 6.3.2.2 (from memory).

use crate::published_nist::{DAYS, LIST};
use crate::{close, printed};
use solver::upkeep::check_standard::{Chart, ewma, precision};

#[test]
fn the_check_standard_of_2_6_2_agrees() {
    let values = DAYS.map(|day| day.0);
    let chart = Chart::from_baseline(&values).unwrap();
    printed("mean", chart.baseline.mean, 97.069_84, 5);
    printed("level-2 deviation", chart.baseline.deviation.unwrap(), 0.02680, 5);
    let limits = chart.individuals_from_deviation(3.0);
    printed("low", limits.low, 96.989_445_597, 9);
    printed("high", limits.high, 97.150_234_403, 9);
    assert!(values.iter().all(|&value| limits.hold(value)));

    let deviations = DAYS.map(|day| day.1);
    let (pooled, limit) = precision(&deviations, 5, 0.95).unwrap();
    printed("level-1 deviation", pooled, 0.06139, 5);
    printed("limit", limit, 0.092_831_297_107, 12);
    let beyond: Vec<usize> =
        (1..).zip(deviations).filter(|(_, s)| *s > limit).map(|(day, _)| day).collect();
    assert_eq!(beyond, [8, 20]);
}

#[test]
fn the_moving_average_of_6_3_2_4_agrees() {
    let published = [
        50.00, 50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36,
        49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    let chart = ewma(&LIST, 0.3, 50.0, 2.0539, 3.0).unwrap();
    assert_eq!(chart.averages.len(), published.len());
    for (average, published) in chart.averages.iter().zip(published) {
        printed("average", *average, published, 2);
    }
    printed("upper", chart.limits.high, 52.5884, 4);
    // Published 47.4115, cut rather than rounded.
    printed("lower", chart.limits.low, 47.411_568_261_873, 12);
    assert!(chart.averages.iter().all(|&average| chart.limits.hold(average)));
}

/// The last ten values of the same list, 6.3.2.2: mean 50.81, mean range 1.8778, limits 55.8041 and
/// 45.8159 with the ratio 1.128 (from memory); the exact ratio 2/√π moves them by 0.002.
#[test]
fn individuals_of_6_3_2_2_agree() {
    let chart = Chart::from_baseline(&LIST[10..]).unwrap();
    printed("mean", chart.baseline.mean, 50.81, 2);
    printed("mean range", chart.moving_range, 1.8778, 4);
    let limits = chart.individuals(3.0);
    close("upper", limits.high, 55.8041, 0.002);
    close("lower", limits.low, 45.8159, 0.002);
    // 3.267 is D4 for ranges of two, as every control-chart table prints it.
    printed("range", chart.moving_ranges(3.0).high / chart.moving_range, 3.267, 3);
}
