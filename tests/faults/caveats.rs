//! What limits a verdict is said, and no more than that.

use record::{
    Adjustment, Body, Caveat, Channel, DirectionReading, LookingResult, LookingTest, Reading,
    Verdict,
};

use crate::support::*;

/// Readings of both channels, one of them reseated, and a look far enough away: nothing to say
/// but what `change` adds.
fn careful(change: impl Fn(&mut Reading)) -> Vec<Body> {
    let mut bodies = beginning();
    let Body::Housing(housing) = &mut bodies[4] else { panic!("a housing") };
    housing.adjustment = Adjustment::Slide;
    for reseated in [false, true] {
        for channel in Channel::BOTH {
            let mut reading = confirm(channel, "0", "0");
            reading.reseated = reseated;
            change(&mut reading);
            bodies.push(Body::Reading(reading));
        }
    }
    bodies.push(looked(LookingResult::Fused, Some("200")));
    bodies
}

fn looked(result: LookingResult, distance: Option<&str>) -> Body {
    let (observer, note) = (String::new(), String::new());
    Body::LookingTest(LookingTest { distance_m: distance.map(typed), result, observer, note })
}

fn caveats(bodies: &[Body]) -> Vec<Caveat> {
    concluded(bodies).caveats
}

fn sentences(bodies: &[Body]) -> Vec<String> {
    caveats(bodies).iter().map(ToString::to_string).collect()
}

#[test]
fn careful_work_leaves_nothing_to_say() {
    assert_eq!(caveats(&careful(|_| ())), vec![]);
    assert_eq!(concluded(&careful(|_| ())).verdict_words(), "pass");
}

#[test]
fn what_was_not_noted_or_not_done_is_said() {
    let said = |change: &dyn Fn(&mut Reading)| sentences(&careful(change)).join(". ");
    assert_eq!(said(&|reading| reading.reseated = false), "seating repeatability not included");
    assert_eq!(
        said(&|reading| reading.lock = None),
        "nobody noted whether the locks were tightened for 4 readings"
    );
    assert_eq!(
        said(&|reading| {
            if reading.channel() == Some(Channel::Left) {
                reading.dioptre = None;
            } else {
                reading.dioptre = Some(typed("−0.25"));
            }
        }),
        "nobody noted that the left dioptre was re-zeroed. the right dioptre stood at −0.25, not at \
         zero"
    );
    let at_ring = |reading: &mut Reading| {
        let record::Seen::Direction(DirectionReading { ring_deg, .. }) = &mut reading.seen else {
            panic!("a direction")
        };
        *ring_deg = Some(typed(if reading.reseated { "359" } else { "1" }));
    };
    assert_eq!(
        said(&at_ring),
        "the ring angles noted for the left channel differ by 2.0°. the ring angles noted for the \
         right channel differ by 2.0°"
    );
}

/// A station that cannot be shown to read right marks the verdict in words; it forbids nothing.
#[test]
fn the_station_marks_the_verdict_until_it_is_resolved() {
    let marked = |change: &dyn Fn(&mut record::Station)| {
        let mut bodies = careful(|_| ());
        let Body::Station(station) = &mut bodies[2] else { panic!("a station") };
        change(station);
        let conclusion = concluded(&bodies);
        assert_eq!(conclusion.verdict, Verdict::Pass);
        assert_eq!(conclusion.marks().count(), conclusion.caveats.len());
        conclusion.verdict_words()
    };
    let due = |station: &mut record::Station, day: &str| {
        station.calibration.as_mut().unwrap().due = day.parse().unwrap();
    };
    assert_eq!(marked(&|station| due(station, "2026-11-25")), "pass", "the last day still holds");
    assert_eq!(
        marked(&|station| due(station, "2026-11-24")),
        "pass, marked: the station's calibration ran out on 2026-11-24"
    );
    assert_eq!(
        marked(&|station| station.calibration = None),
        "pass, marked: the station states no calibration"
    );
    assert_eq!(
        marked(&|station| station.checked.as_mut().unwrap().passed = false),
        "pass, marked: the station failed its check on 2026-11-25"
    );
    assert_eq!(
        marked(&|station| station.checked.as_mut().unwrap().time = stamp(-86_400)),
        "pass, marked: the station was not checked on 2026-11-25"
    );
    // Resolved: the station stated anew, checked that day.
    let mut bodies = careful(|_| ());
    let Body::Station(old) = &mut bodies[2] else { panic!("a station") };
    old.checked = None;
    assert_eq!(caveats(&bodies).len(), 1);
    bodies.push(Body::Station(station()));
    assert_eq!(caveats(&bodies), vec![]);
    assert_eq!(caveats(&bodies[..8]), vec![], "nothing measured, nothing to limit");
}

#[test]
fn stops_not_read_and_half_read_are_named() {
    let mut bodies = careful(|_| ());
    let Body::Housing(swinging) = &mut bodies[4] else { panic!("a housing") };
    *swinging = housing();
    assert_eq!(sentences(&bodies), ["not read at the narrow stop", "not read at the wide stop"]);
    let mut narrow = confirm(Channel::Left, "100", "0");
    narrow.swing_stop = Some(record::SwingStop::Narrow);
    bodies.push(Body::Reading(narrow));
    assert_eq!(
        sentences(&bodies),
        [
            "not judged at the narrow stop: the right channel was not read there",
            "not read at the wide stop"
        ]
    );
    assert_eq!(concluded(&bodies).verdict, Verdict::Pass);
    assert_eq!(concluded(&bodies).rests_on.len(), 4, "it rests on what was judged");
}

/// By hand: 4 readings of 0′ but one of 3′ about its mean: 2·1.5² = 4.5 over 0.25² = 72 for 4 degrees
/// of freedom, whose 1 % point is 13.28 (any χ² table).
#[test]
fn scatter_beyond_what_is_stated_is_said() {
    let mut bodies = careful(|_| ());
    let Body::Reading(last) = &mut bodies[10] else { panic!("a reading") };
    *last = Reading { reseated: true, ..confirm(Channel::Right, "3", "0") };
    // √(4.5/4) = 1.06.
    assert_eq!(sentences(&bodies), ["the readings scatter by 1.06′, the station states 0.25′"]);
}

/// Double stays double for the setting it was seen with: a later look that fuses passes nothing.
#[test]
fn fused_never_turns_anything_into_a_pass() {
    let mut bodies = careful(|_| ());
    bodies.push(looked(LookingResult::Double, Some("200")));
    assert_eq!(concluded(&bodies).verdict, Verdict::Undecided);
    bodies.push(looked(LookingResult::Fused, Some("200")));
    assert_eq!(concluded(&bodies).verdict, Verdict::Undecided);
    assert_eq!(sentences(&bodies), ["the looking test showed double"]);
    // Set and locked anew, read anew: another setting, not looked through yet.
    for lock in [record::Lock::Before, record::Lock::After] {
        for channel in Channel::BOTH {
            let reading = Reading { lock: Some(lock), ..confirm(channel, "0", "0") };
            bodies.push(Body::Reading(reading));
        }
    }
    assert_eq!(concluded(&bodies).verdict, Verdict::Pass);
    assert!(caveats(&bodies).contains(&Caveat::NotLookedThrough));
}

/// 64 mm and a tenth of 45′: 0.064/(2 tan 2.25′) = 48.89 m.
#[test]
fn a_point_too_near_is_said() {
    for (distance, said) in [
        (Some("200"), None),
        (Some("48.9"), None),
        (Some("48.8"), Some("the looking test was at 48.8 m, nearer than the 49 m needed")),
        (Some("30"), Some("the looking test was at 30 m, nearer than the 49 m needed")),
        (None, Some("nobody noted how far the point of the looking test was; 49 m are needed")),
    ] {
        let mut bodies = careful(|_| ());
        *bodies.last_mut().unwrap() = looked(LookingResult::Fused, distance);
        assert_eq!(sentences(&bodies).first().map(String::as_str), said, "{distance:?}");
    }
}
