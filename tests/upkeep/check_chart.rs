//! NIST/SEMATECH *e-Handbook of Statistical Methods* through the check file: the check standard of
//! 2.6.2 (data file MPC62.DAT, public domain; results from memory and recomputed with scipy 1.17), the
//! moving average of 6.3.2.4 (published), individuals of 6.3.2.2 (from memory). The numbers stand in
//! for arcminutes.

use record::Axis;
use record::checks::{ChartedDay, CheckBody, CheckPoint, LimitRule, SpreadFrom};
use solver::Channel;
use solver::published::statistics::{NIST_DAYS as DAYS, NIST_LIST as LIST};

use crate::support::{Log, header, printed, taken};

const LEFT: CheckPoint = CheckPoint { channel: Channel::Left, ring_deg: None };

fn found(days: &[ChartedDay], rule: LimitRule) -> Vec<usize> {
    let broken = |day: &ChartedDay| day.findings.iter().any(|finding| finding.rule == rule);
    (1..).zip(days).filter(|(_, day)| broken(day)).map(|(number, _)| number).collect()
}

#[test]
fn the_check_standard_of_2_6_2_comes_out_of_the_file() {
    let mut log = Log::begun(header());
    for (day, (value, deviation)) in (0..).zip(DAYS) {
        // Six readings with this mean and this standard deviation: three to either side.
        let apart = deviation * (5.0_f64 / 6.0).sqrt();
        for side in [1.0, -1.0, 1.0, -1.0, 1.0, -1.0] {
            let read = value + side * apart;
            log.say(day, CheckBody::Taken(taken(read, -read)));
        }
    }
    log.draw(25, |limits| {
        limits.spread = SpreadFrom::Deviation;
        limits.scatter_share = 0.95;
    });
    let checks = log.through_a_file();
    assert_eq!(checks.journal.ignored, []);
    for (axis, sign) in [(Axis::X, 1.0), (Axis::Y, -1.0)] {
        let days = checks.chart(LEFT, axis);
        assert_eq!(days.len(), 25);
        let limits = days[0].limits.unwrap();
        // Printed figures; readings are typed to 12 decimals, 1e-12 in a limit's last place.
        printed("mean", sign * limits.value.centre, 97.069_84, 5);
        let mut edges = [sign * limits.value.low, sign * limits.value.high];
        edges.sort_by(f64::total_cmp);
        printed("low", edges[0], 96.989_445_597, 9);
        printed("high", edges[1], 97.150_234_403, 9);
        let (scatter, readings) = limits.scatter.unwrap();
        assert_eq!(readings, 6);
        printed("scatter", scatter, 0.092_831_297_107, 11);
        assert_eq!(found(&days, LimitRule::Value), [0_usize; 0]);
        assert_eq!(found(&days, LimitRule::Scatter), [8, 20]);
    }
}

#[test]
fn the_moving_average_of_6_3_2_4_comes_out_of_the_file() {
    let published = [
        50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
        50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    let mut log = Log::begun(header());
    // The handbook takes target 50 and deviation 2.0539 from past data: ten days that have them.
    let apart = 2.0539 * (9.0_f64 / 10.0).sqrt();
    for (day, side) in (0..10).zip([1.0, -1.0].into_iter().cycle()) {
        let read = 50.0 + side * apart;
        log.say(day, CheckBody::Taken(taken(read, -read)));
    }
    log.draw(10, |limits| limits.spread = SpreadFrom::Deviation);
    for (day, value) in (10..).zip(LIST) {
        log.say(day, CheckBody::Taken(taken(value, -value)));
    }
    let days = log.through_a_file().chart(LEFT, Axis::X);
    assert!(days[..10].iter().all(|day| day.average.is_none()));
    for (day, published) in days[10..].iter().zip(published) {
        printed("average", day.average.unwrap(), published, 2);
    }
    let limits = days[29].limits.unwrap().average;
    printed("upper", limits.high, 52.5884, 4);
    // Published 47.4115, cut rather than rounded.
    printed("lower", limits.low, 47.411_568_261_873, 9);
    assert_eq!(found(&days, LimitRule::Average), [0_usize; 0]);
}

/// The last ten of that list: mean 50.81, mean range 1.8778, limits 55.8041 and 45.8159 with the
/// ratio 1.128; the exact ratio 2/√π moves them by 0.002.
#[test]
fn individuals_of_6_3_2_2_come_out_of_the_file() {
    let mut log = Log::begun(header());
    for (day, value) in (0..).zip(&LIST[10..]) {
        log.say(day, CheckBody::Taken(taken(*value, -value)));
    }
    log.draw(10, |_| ());
    let days = log.through_a_file().chart(LEFT, Axis::X);
    let limits = days[0].limits.unwrap();
    printed("mean", limits.value.centre, 50.81, 2);
    assert!((limits.value.high - 55.8041).abs() < 0.002, "{limits:?}");
    assert!((limits.value.low - 45.8159).abs() < 0.002, "{limits:?}");
    // 3.267 is D4 for ranges of two, as every control-chart table prints it.
    printed("step", limits.step.high / 1.877_777_777_778, 3.267, 3);
    assert_eq!(limits.scatter, None, "one reading a day has no scatter");
}
