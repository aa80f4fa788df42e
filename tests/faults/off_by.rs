//! Each confirm reading beside what was predicted of it.
//!
//! Source of the uncertainties: for n readings evenly round a circle, each with an angle, the four
//! parameters of x = c + a cos θ ± b sin θ are orthogonal, so a predicted direction has the variance
//! σ² (1/n + 1/n) each axis (N. R. Draper, H. Smith, *Applied Regression Analysis*, 3rd ed. (1998), chapter 5,
//! from memory); a reading of its own adds σ².

use record::conclusion::on_circle::LOCK_U_ARCMIN;
use record::{
    Body, Channel, Lock, OffBy, Purpose, Reading, ReadingUnit, Session, SwingStop, off_by,
};

use crate::support::*;

/// Of the right circle of [`logged`]: σ of the station, readings, radius.
const SIGMA_ARCMIN: f64 = 0.25;
const READINGS: f64 = 6.0;
const RADIUS_ARCMIN: f64 = 26.0;

/// Where the right crosshair stands at a ring angle, moved outwards.
fn right(ring_deg: f64, outwards: f64) -> [f64; 2] {
    let angle = (140.0 - ring_deg).to_radians();
    let r = RADIUS_ARCMIN + outwards;
    [-6.0 + r * angle.cos(), -3.0 + r * angle.sin()]
}

fn read(ring: Option<&str>, [x, y]: [f64; 2], lock: Lock, stop: Option<SwingStop>) -> Body {
    let (x, y) = (format!("{x:.2}"), format!("{y:.2}"));
    let seen = direction(Channel::Right, ring, &x, &y, ReadingUnit::Arcmin);
    Body::Reading(Reading {
        lock: Some(lock),
        swing_stop: stop,
        ..Reading::direction(ROUND, Purpose::Confirm, seen)
    })
}

/// Logged, with a housing whose wide stop its hinge can reach.
fn session(more: Vec<Body>) -> Session {
    let mut bodies = beginning();
    for body in &mut bodies {
        if let Body::Housing(housing) = body {
            housing.ipd_range_mm = Some([54.0, 66.0]);
        }
    }
    bodies.extend(logged());
    bodies.extend(more);
    record::fold(&facts_of(&bodies))
}

fn told(session: &Session) -> Vec<OffBy> {
    let problem = session.problem(ROUND).unwrap();
    off_by(session, &solver::solve(&problem).unwrap())
}

/// A reading 8.5′ off its own circle is told of, with its uncertainty; one that lies on it is not.
#[test]
fn a_reading_off_its_own_circle_is_told() {
    for (lock, lock_u) in [(Lock::Before, 0.0), (Lock::After, LOCK_U_ARCMIN)] {
        let found = told(&session(vec![
            read(Some("30"), right(30.0, 8.5), lock, None),
            read(Some("30"), right(30.0, 0.0), lock, None),
        ]));
        let [off, on] = found.as_slice() else { panic!("{found:?}") };
        let across = off.across.unwrap();
        // A twentieth of an arcminute: readings of the circle are typed in tenths.
        assert!((across.off_arcmin - 8.5).abs() < 0.05, "{across:?}");
        let u = (SIGMA_ARCMIN.powi(2) * (1.0 + 2.0 / READINGS) + lock_u * lock_u).sqrt();
        assert!((across.u.standard - u).abs() < 1e-9, "{across:?} {u}");
        assert!(off.is_off_circle() && !off.is_off_setting(), "{off:?}");
        assert!((off.off.boresight_arcmin() - 8.5).abs() < 0.05, "{off:?}");
        assert!(!on.is_off_circle() && on.off.boresight_arcmin() < 0.05, "{on:?}");
    }
}

/// Along the circle the step of the ring counts too; a ring that stands 10° elsewhere is told with the
/// lock open, and nobody is accused where a lock may have dragged it.
#[test]
fn a_ring_elsewhere_is_told_with_the_lock_open_only() {
    for (lock, expected) in [(Lock::Before, true), (Lock::After, false)] {
        let found = told(&session(vec![read(Some("30"), right(40.0, 0.0), lock, None)]));
        let along = found[0].along.unwrap();
        let arc = -RADIUS_ARCMIN * 10.0_f64.to_radians();
        assert!((along.off_arcmin - arc).abs() < 0.06, "{along:?} {arc}");
        // Evenly within a step of 1°: JCGM 100:2008, 4.3.7.
        let step = RADIUS_ARCMIN * (1.0 / 12.0_f64.sqrt()).to_radians();
        let u = (SIGMA_ARCMIN.powi(2) * (1.0 + 2.0 / READINGS) + step * step).sqrt();
        assert!((along.u.standard - u).abs() < 0.001, "{along:?} {u}");
        assert_eq!((found[0].is_off_setting(), found[0].is_off_circle()), (expected, false));
    }
}

/// At a stop the pod has rolled, and the prediction with it: cos β = (ipd − spread)/(2 arm), the right
/// pod by −(β₀ − β).
#[test]
fn a_stop_is_held_against_the_swung_prediction() {
    let swing = f64::acos((64.0 - 24.0) / 42.0) - f64::acos((66.0 - 24.0) / 42.0);
    let [x, y] = right(30.0, 0.0);
    let (sin, cos) = (-swing).sin_cos();
    let swung = [x * cos - y * sin, x * sin + y * cos];
    let wide = Some(SwingStop::Wide);
    let found = told(&session(vec![
        read(Some("30"), swung, Lock::After, wide),
        read(Some("30"), [x, y], Lock::After, wide),
    ]));
    let apart = |k: usize| found[k].off.boresight_arcmin();
    assert!(apart(0) < 0.05, "{:?}", found[0]);
    let chord = 2.0 * x.hypot(y) * (swing / 2.0).sin();
    assert!((apart(1) - chord).abs() < 0.05, "{:?} {chord}", found[1]);
    assert!(!found[0].is_off_circle(), "{:?}", found[0]);
}

/// Where the swing is not known nothing is predicted at a stop; without a ring angle the setting is.
#[test]
fn what_is_not_known_is_not_predicted() {
    let mut bodies = beginning();
    bodies.extend(logged());
    let wide = Some(SwingStop::Wide);
    bodies.push(read(None, [-14.2, 21.6], Lock::After, wide));
    bodies.push(read(None, [-14.2, 21.6], Lock::After, None));
    // The hinge of this housing cannot reach its wide stop.
    let found = told(&record::fold(&facts_of(&bodies)));
    assert_eq!(found.len(), 1, "{found:?}");
    // The circles cross near (−14.2, 21.6): DESIGN's circles, met by hand to 0.1′; half a step of the
    // ring is 0.3′ there.
    assert!(found[0].off.boresight_arcmin() < 0.45, "{found:?}");
    // Readings before the ring was logged again are of a ring that stood elsewhere.
    bodies.push(log(Channel::Right, "0", "-25.9", "13.7"));
    assert!(told(&record::fold(&facts_of(&bodies))).is_empty());
}

/// A crosshair read with the pods at a stop is not where it is where the unit was set up.
#[test]
fn a_stop_does_not_say_where_a_ring_is() {
    let stop = |stop| read(None, [5.0, 5.0], Lock::After, stop);
    let session = session(vec![stop(Some(SwingStop::Wide)), stop(Some(SwingStop::Narrow))]);
    let place = session.round().unwrap().place(Channel::Right).unwrap();
    assert_eq!(place.ring_deg, Some(300.0), "the last one logged");
}
