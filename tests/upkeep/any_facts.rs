//! Facts in any order, sensible or not: nothing panics, nothing is lost, a file gives them back.

use proptest::prelude::*;
use record::Channel;
use record::checks::{CheckBody, CheckLimits, CheckTaken, SpreadFrom};
use record::{Axis, JournalBody, Withdrawn};

use crate::support::{Log, header, morning, taken, typed};

fn any_body() -> impl Strategy<Value = JournalBody<CheckBody>> {
    let reading = (any::<bool>(), prop::option::of(-400.0..400.0_f64), -3.0..3.0_f64);
    let limits = (prop::collection::vec(0..60_u64, 0..40), -1.0..4.0_f64, -0.5..1.5_f64);
    let said = prop_oneof![
        20 => reading.prop_map(|(left, ring, x)| CheckBody::Taken(CheckTaken {
            channel: if left { Channel::Left } else { Channel::Right },
            ring_deg: ring.filter(|deg| *deg > 0.0).map(|deg| typed(&format!("{}", deg.round()))),
            ..taken(x, -x)
        })),
        2 => (0..60_u64).prop_map(|reading| {
            CheckBody::Withdrawn(Withdrawn { reading, reason: "storm".into() })
        }),
        3 => limits.prop_map(|(from, factor, weight)| CheckBody::Limits(CheckLimits {
            factor,
            weight,
            scatter_share: weight.abs(),
            spread: SpreadFrom::Deviation,
            ..CheckLimits::usual(from, "")
        })),
        1 => ".{0,3}".prop_map(CheckBody::StartedAnew),
    ]
    .prop_map(JournalBody::Said);
    prop_oneof![29 => said, 1 => Just(JournalBody::Header(header()))]
}

proptest! {
    #[test]
    fn a_storm_of_facts_folds(bodies in prop::collection::vec((0..14_i64, any_body()), 0..60)) {
        let mut log = Log::begun(header());
        for (day, body) in bodies {
            log.add(day, body);
        }
        // Only the first line of a file is a header; elsewhere the fold leaves it aside.
        let checks = log.checks();
        let headers = log.facts.iter().filter(|fact| matches!(fact.body, JournalBody::Header(_)));
        prop_assert!(checks.journal.ignored.len() + 1 >= headers.count());
        let kept = checks.readings.len() + checks.limits.len() + checks.anew.len();
        let withdrawn = checks.readings.iter().filter(|held| held.withdrawn.is_some()).count();
        prop_assert_eq!(kept + withdrawn + checks.journal.ignored.len() + 1, log.facts.len());
        for day in 0..14 {
            let state = checks.state_on(morning(day).date());
            prop_assert!(!state.to_string().is_empty());
            let check = checks.daily_check(morning(day).date());
            prop_assert_eq!(check.is_some_and(|check| check.passed), state.is_in_control());
        }
        for point in checks.points() {
            for axis in Axis::BOTH {
                let days = checks.chart(point, axis);
                prop_assert_eq!(days.len(), checks.days(point).len());
                prop_assert!(days.iter().all(|day| day.value.is_finite()));
            }
        }
    }
}
