//! The calibration list.

use record::checks::{CheckBody, Checks};
use record::{Calibration, DailyCheck, Station, due_list};
use solver::upkeep::calibration::CalibrationState as State;

use crate::support::{Log, header, morning, taken};

/// A station calibrated a year before its last day, counted from 2026-11-20; checked on a day.
fn station(name: &str, last_day: Option<i64>, checked: Option<(i64, bool)>) -> Station {
    Station {
        calibration: last_day.map(|day| Calibration {
            certificate: "C".into(),
            done: Some(morning(19 + day - 365).date()),
            due: morning(19 + day).date(),
        }),
        checked: checked.map(|(day, passed)| DailyCheck {
            time: morning(19 + day),
            passed,
            note: String::new(),
        }),
        ..Station::plain(name)
    }
}

fn today() -> jiff::civil::Date {
    let today = morning(19).date();
    assert_eq!(today.to_string(), "2026-11-20");
    today
}

#[test]
fn the_most_urgent_comes_first() {
    let stations = [
        station("far ahead", Some(200), Some((0, true))),
        station("not checked", Some(5), Some((-1, true))),
        station("checked", Some(5), Some((0, true))),
        station("never calibrated", None, Some((0, true))),
        station("long overdue", Some(-40), Some((0, true))),
        station("overdue", Some(-1), Some((0, true))),
        station("failed", Some(300), Some((0, false))),
    ];
    let list = due_list(stations.iter().map(|station| (station, None)), today(), 30);
    let names: Vec<&str> = list.iter().map(|due| due.station.as_str()).collect();
    assert_eq!(
        names,
        [
            "failed",
            "long overdue",
            "overdue",
            "never calibrated",
            "not checked",
            "checked",
            "far ahead"
        ]
    );
    let fit: Vec<&str> =
        list.iter().filter(|due| due.is_fit()).map(|due| due.station.as_str()).collect();
    assert_eq!(fit, ["checked", "far ahead"]);
}

#[test]
fn days_are_counted_and_said() {
    let said = |station: &Station| {
        let list = due_list([(station, None)], today(), 30);
        (list[0].calibration, list[0].to_string())
    };
    let (state, words) = said(&station("Bench 2", Some(-12), Some((-1, true))));
    assert_eq!(state, Some(State::Overdue { days: 12 }));
    assert_eq!(
        words,
        "Bench 2: calibration overdue by 12 days, since 2026-11-08; not checked today; read the check \
         standard"
    );
    let (state, words) = said(&station("Bench 2", Some(0), Some((0, true))));
    assert_eq!(state, Some(State::DueSoon { days_left: 0 }));
    assert_eq!(
        words,
        "Bench 2: calibration due: 2026-11-20, today, is its last day; checked today"
    );
    assert_eq!(said(&station("a", Some(1), None)).0, Some(State::DueSoon { days_left: 1 }));
    assert_eq!(said(&station("a", Some(31), None)).0, Some(State::InDate { days_left: 31 }));
    assert_eq!(said(&station("a", Some(370), None)).0, Some(State::NotYet { days: 5 }));
    assert_eq!(said(&station("a", None, None)).0, None);
    // The last day alone is enough, however far away.
    let mut undated = station("a", Some(500), None);
    undated.calibration.as_mut().unwrap().done = None;
    assert_eq!(said(&undated).0, Some(State::InDate { days_left: 500 }));
    // Done after it ended: overdue, not lost.
    let mut reversed = station("a", Some(-3), None);
    reversed.calibration.as_mut().unwrap().done = Some(morning(18).date());
    assert_eq!(said(&reversed).0, Some(State::Overdue { days: 3 }));
}

#[test]
fn a_check_file_speaks_before_the_stations_own_entry() {
    let mut log = Log::begun(header());
    for (day, side) in (0..10).zip([0.1, -0.1].into_iter().cycle()) {
        log.say(day, CheckBody::Taken(taken(side, -side)));
    }
    log.draw(10, |_| ());
    log.say(19, CheckBody::Taken(taken(3.0, 0.0)));
    let checks: Checks = log.checks();
    let passed = station("Bench 2", Some(100), Some((0, true)));
    let list = due_list([(&passed, Some(&checks))], today(), 30);
    assert!(!list[0].is_fit());
    assert!(list[0].check_words().starts_with("outside: left, x: reads 3.00′"), "{}", list[0]);
}
