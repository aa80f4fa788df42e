//! How a station stands on a day, and what a session copies in.

use record::checks::{Accepted, CheckBody, CheckPoint, CheckState, CheckTaken, LimitRule, ReadOn};
use record::{Channel, Error, Meaning as _, ReadingUnit, Station, StationMap, Withdrawn};

use crate::support::{Log, accepting, header, morning, taken, typed};

/// Twelve days that scatter by some hundredths of an arcminute about (1, −2) and (0.5, 0.25).
const DAYS: [[f64; 2]; 12] = [
    [0.02, -0.01],
    [-0.03, 0.03],
    [0.01, 0.02],
    [0.04, -0.02],
    [-0.02, 0.01],
    [0.00, -0.04],
    [0.03, 0.02],
    [-0.01, 0.00],
    [-0.04, -0.03],
    [0.02, 0.04],
    [0.00, 0.01],
    [-0.02, -0.03],
];

fn of(channel: Channel, x: f64, y: f64) -> CheckBody {
    CheckBody::Taken(CheckTaken { channel, ..taken(x, y) })
}

fn read_both(log: &mut Log, day: i64, [dx, dy]: [f64; 2]) {
    log.say(day, of(Channel::Left, 1.0 + dx, -2.0 + dy));
    log.say(day, of(Channel::Right, 0.5 + dy, 0.25 + dx));
}

/// Twelve days and limits drawn from them.
fn in_use() -> Log {
    let mut log = Log::begun(header());
    for (day, apart) in (0..).zip(DAYS) {
        read_both(&mut log, day, apart);
    }
    log.draw(11, |_| ());
    log
}

fn state(log: &Log, day: i64) -> CheckState {
    log.through_a_file().state_on(morning(day).date())
}

#[test]
fn a_new_file_counts_days_until_limits_can_be_drawn() {
    let mut log = Log::begun(header());
    let not_read = ReadOn::default();
    assert_eq!(state(&log, 0), CheckState::TooFew { days: 0, needed: 10, today: not_read });
    for (day, apart) in (0..).zip(&DAYS[..9]) {
        read_both(&mut log, day, *apart);
        // A second look on the same day is not another day.
        read_both(&mut log, day, *apart);
    }
    let CheckState::TooFew { days: 9, needed: 10, today } = state(&log, 9) else {
        panic!("{:?}", state(&log, 9))
    };
    assert_eq!((today.at, today.missing.len()), (None, 2));
    assert!(
        state(&log, 9).to_string().starts_with("not checked today: too few days for limits (9")
    );
    let limits = record::checks::CheckLimits::usual(vec![2, 3], "too soon");
    let refused = log.checks().admits(&CheckBody::Limits(limits)).unwrap_err().to_string();
    assert!(refused.contains("left has 1"), "{refused}");
    read_both(&mut log, 9, DAYS[9]);
    let today = ReadOn { at: Some(morning(9)), missing: Vec::new() };
    assert_eq!(state(&log, 9), CheckState::NoLimits { days: 10, today });
    assert_eq!(log.checks().daily_check(morning(9).date()), None);
}

/// A day on which the standard was read and nothing judges it is a day on which it was checked, in words
/// that pass nothing; half of it is not.
#[test]
fn what_nothing_judges_yet_was_checked_all_the_same() {
    let mut log = Log::begun(header());
    read_both(&mut log, 0, DAYS[0]);
    let on = |log: &Log, day: i64| log.checks().on(morning(day).date());
    assert!(on(&log, 1).unjudged.is_none());
    log.say(1, of(Channel::Left, 1.0, -2.0));
    assert!(
        state(&log, 1).to_string().starts_with("not checked yet today: still to be read: right")
    );
    assert!(on(&log, 1).unjudged.is_none(), "half of it is read");
    log.say(1, of(Channel::Right, 0.5, 0.25));
    let words = state(&log, 1).to_string();
    assert!(words.contains("cannot be judged yet: too few days for limits (2 of 10)"), "{words}");
    let told = on(&log, 1).unjudged.unwrap();
    assert_eq!(told.is_check_of("Bench 2"), Some(true), "{told:?}");
    assert_eq!(on(&log, 1).decided, None, "and passes nothing");
    assert!(!on(&log, 1).as_checked(Station::plain("Bench 2")).checked_on(morning(1).date()));
    // What was withdrawn was not read.
    log.say(1, CheckBody::Withdrawn(Withdrawn { reading: 5, reason: "bumped".into() }));
    assert!(on(&log, 1).unjudged.is_none());
}

/// Channel by channel: right after left on the first day, and left again after both; a standard that was
/// read through one channel on the days before has one.
#[test]
fn the_channels_take_turns() {
    use Channel::{Left, Right};
    let mut log = Log::begun(header());
    let today = morning(0).date();
    let mut order = Vec::new();
    log.say(0, of(Left, 1.0, -2.0));
    for _ in 0..5 {
        let next = log.checks().next_point(today).unwrap().channel;
        order.push(next);
        log.say(0, of(next, 1.0, -2.0));
    }
    assert_eq!(order, [Right, Left, Right, Left, Right]);
    assert_eq!(log.checks().next_point(morning(1).date()).unwrap().channel, Left);

    let mut one = Log::begun(header());
    for day in 0..2 {
        one.say(day, of(Right, 1.0, -2.0));
    }
    assert_eq!(one.checks().next_point(morning(1).date()).unwrap().channel, Right);
}

#[test]
fn a_day_is_in_control_once_every_point_is_read() {
    let mut log = in_use();
    let CheckState::NotChecked { missing, begun: false } = state(&log, 12) else {
        panic!("{:?}", state(&log, 12))
    };
    assert_eq!(missing.len(), 2);
    log.say(12, of(Channel::Left, 1.01, -2.01));
    let words = state(&log, 12).to_string();
    assert_eq!(words, "not checked yet today: still to be read: right");
    log.say(12, of(Channel::Right, 0.51, 0.24));
    assert_eq!(state(&log, 12), CheckState::InControl { at: morning(12) });
    let check = log.checks().daily_check(morning(12).date()).unwrap();
    assert!(check.passed && check.time == morning(12));
    let station = Station::plain("Bench 2");
    assert!(
        log.checks()
            .on(morning(12).date())
            .as_checked(station.clone())
            .checked_on(morning(12).date())
    );
    assert!(
        !log.checks()
            .on(morning(13).date())
            .as_checked(station.clone())
            .checked_on(morning(13).date())
    );
}

#[test]
fn a_jump_names_the_limit_it_breaks_and_fails_the_check() {
    let mut log = in_use();
    log.say(12, of(Channel::Left, 1.6, -2.0));
    let CheckState::Outside { findings, .. } = state(&log, 12) else { panic!("in control") };
    let rules: Vec<LimitRule> = findings.iter().map(|finding| finding.rule).collect();
    assert_eq!(rules, [LimitRule::Value, LimitRule::Step, LimitRule::Average]);
    let words = state(&log, 12).to_string();
    assert!(words.starts_with("outside: left, x: reads 1.60′, outside 0."), "{words}");
    // A check that passed earlier, by the station's own word, does not cover it.
    let mut station = Station::plain("Bench 2");
    station.checked =
        Some(record::DailyCheck { time: morning(12), passed: true, note: String::new() });
    assert!(
        !log.checks()
            .on(morning(12).date())
            .as_checked(station.clone())
            .checked_on(morning(12).date())
    );
}

#[test]
fn a_drift_is_seen_by_the_average_before_any_value_is_outside() {
    let mut log = in_use();
    // Two thirds of the way to the limit, day after day.
    let limits = log
        .checks()
        .chart(CheckPoint { channel: Channel::Left, ring_deg: None }, record::Axis::X)[0]
        .limits
        .unwrap();
    let drifted = limits.value.centre + 0.6 * (limits.value.high - limits.value.centre);
    let mut first = None;
    for day in 12..22 {
        log.say(day, of(Channel::Left, drifted, -2.0));
        if let CheckState::Outside { findings, .. } = state(&log, day) {
            assert!(
                findings.iter().all(|finding| finding.rule == LimitRule::Average),
                "{findings:?}"
            );
            first.get_or_insert(day);
        }
    }
    // z = 0.6 L (1 − 0.7ⁿ) passes L √(0.3/1.7) = 0.42 L at the fourth day.
    assert_eq!(first, Some(15));
}

#[test]
fn limits_stay_as_decided_when_readings_come_and_go() {
    let mut log = in_use();
    let point = CheckPoint { channel: Channel::Left, ring_deg: None };
    let limits = |log: &Log| log.checks().chart(point, record::Axis::X)[1].limits.unwrap();
    let decided = limits(&log);
    for day in 12..16 {
        read_both(&mut log, day, [0.08, -0.07]);
    }
    let gone = Withdrawn { reading: 2, reason: "bumped the bench".into() };
    log.say(16, CheckBody::Withdrawn(gone));
    assert_eq!(limits(&log), decided);
    assert_eq!(log.checks().withdrawn_from_limits(), [2]);
    // Drawn again, by decision, they move; the days before stay held against the old ones.
    log.draw(16, |_| ());
    read_both(&mut log, 17, [0.0, 0.0]);
    assert_eq!(log.checks().withdrawn_from_limits(), []);
    let days = log.checks().chart(point, record::Axis::X);
    assert_eq!(days[3].limits.unwrap(), decided);
    assert_ne!(days.last().unwrap().limits.unwrap(), decided);
}

#[test]
fn a_station_started_anew_is_judged_anew() {
    let mut log = in_use();
    log.say(12, CheckBody::StartedAnew("zeroed after the lamp was replaced".into()));
    let not_read = ReadOn::default();
    assert_eq!(state(&log, 12), CheckState::TooFew { days: 0, needed: 10, today: not_read });
    read_both(&mut log, 12, [0.7, 0.7]);
    let today = ReadOn { at: Some(morning(12)), missing: Vec::new() };
    assert_eq!(state(&log, 12), CheckState::TooFew { days: 1, needed: 10, today });
    let old = record::checks::CheckLimits::usual(vec![2, 3], "as before");
    let refused = log.checks().admits(&CheckBody::Limits(old)).unwrap_err();
    assert!(matches!(refused, Error::BeforeStartedAnew { seq: 2 }), "{refused}");
}

#[test]
fn the_accepted_value_is_held_too() {
    let point = CheckPoint { channel: Channel::Left, ring_deg: Some(480.0) };
    let accepted = Accepted { point, direction_arcmin: [1.5, -2.0], u_arcmin: 0.02 };
    let mut log =
        Log::begun(record::checks::CheckHeader { about: accepting(accepted), ..header() });
    let at_ring = |x: f64, y: f64| {
        // Ring 120° is ring 480°.
        CheckBody::Taken(CheckTaken { ring_deg: Some(typed("120")), ..taken(x, y) })
    };
    for (day, [dx, dy]) in (0..).zip(DAYS) {
        log.say(day, at_ring(1.0 + dx, -2.0 + dy));
    }
    log.draw(11, |_| ());
    log.say(12, at_ring(1.0, -2.0));
    let CheckState::Outside { findings, .. } = state(&log, 12) else { panic!("in control") };
    let found: Vec<(LimitRule, record::Axis)> = findings.iter().map(|f| (f.rule, f.axis)).collect();
    assert_eq!(found, [(LimitRule::Accepted, record::Axis::X)]);
}

#[test]
fn readings_go_through_the_map_they_were_typed_with() {
    let mut log = Log::begun(header());
    let turned = StationMap { flip_x: true, arcmin_per_division: [2.0, 3.0], ..StationMap::PLAIN };
    for (day, [dx, dy]) in (0..).zip(DAYS) {
        let divisions = CheckTaken {
            unit: ReadingUnit::Divisions,
            map: turned,
            ..taken(-(1.0 + dx) / 2.0, (-2.0 + dy) / 3.0)
        };
        // The graticule is replaced halfway: other divisions, the same directions.
        let body = if day % 2 == 0 { divisions } else { taken(1.0 + dx, -2.0 + dy) };
        log.say(day, CheckBody::Taken(body));
    }
    log.draw(11, |_| ());
    log.say(12, CheckBody::Taken(taken(1.0, -2.0)));
    assert_eq!(state(&log, 12), CheckState::InControl { at: morning(12) });
}
