//! What tightening a lock does, told from readings before and after, and what to aim off for.

use record::{
    Body, Channel, Fact, Lock, Reading, RealDisk, Session, Shop, aim_off, fold, lock_shifts,
    turned_by_locks_deg,
};
use solver::{Direction, OffsetCircle, Phase, Sense};

use crate::flips::lines_of;
use crate::support::*;

fn read(lock: Lock, channel: Channel, x: &str, y: &str) -> Body {
    Body::Reading(Reading { lock: Some(lock), ..confirm(channel, x, y) })
}

fn shift(session: &Session, channel: Channel) -> Option<Direction> {
    lock_shifts(session, session.round().unwrap())[channel].map(|shift| shift.shift())
}

#[test]
fn the_shift_is_of_the_last_tightening_without_a_reseating() {
    let mut bodies = beginning();
    let folded = |bodies: &[Body]| fold(&facts_of(bodies));
    bodies.push(read(Lock::Before, Channel::Left, "10", "0"));
    bodies.push(read(Lock::Before, Channel::Left, "10.5", "0"));
    assert_eq!(shift(&folded(&bodies), Channel::Left), None, "nothing after");
    bodies.push(read(Lock::After, Channel::Left, "10.75", "-0.5"));
    bodies.push(read(Lock::After, Channel::Right, "1", "1"));
    // Means 10.25 and 10.75: exact in binary.
    assert_eq!(shift(&folded(&bodies), Channel::Left), Some(Direction::new(0.5, -0.5)));
    assert_eq!(shift(&folded(&bodies), Channel::Right), None, "nothing before");
    // A reseating ends it, whichever channel is read first.
    let Body::Reading(mut reseated) = read(Lock::After, Channel::Right, "1", "1") else { panic!() };
    reseated.reseated = true;
    bodies.push(Body::Reading(reseated));
    bodies.push(read(Lock::After, Channel::Left, "40", "0"));
    assert_eq!(shift(&folded(&bodies), Channel::Left), Some(Direction::new(0.5, -0.5)));
    // Opened and tightened again: the last time counts.
    bodies.push(read(Lock::Before, Channel::Left, "20", "0"));
    bodies.push(read(Lock::After, Channel::Left, "21", "0"));
    assert_eq!(shift(&folded(&bodies), Channel::Left), Some(Direction::new(1.0, 0.0)));
    // A ring turned since: nothing is known.
    bodies.push(log(Channel::Left, "0", "30", "0"));
    assert_eq!(shift(&folded(&bodies), Channel::Left), None);
}

/// 1° round a circle, clockwise as the user sees it: +1° of a ring it runs with, −1° against.
#[test]
fn the_shift_is_a_turn_of_the_ring() {
    let centre = Direction::new(5.0, -2.0);
    let found = record::LockShift {
        before: centre + Direction::polar(30.0, 0.5),
        after: centre + Direction::polar(30.0, 0.5 - 1.0_f64.to_radians()),
        readings: [1, 1],
    };
    for (sense, expected) in [(None, 1.0), (Some(Sense::With), 1.0), (Some(Sense::Against), -1.0)] {
        let phase = sense.map(|sense| Phase { zero_deg: 20.0, sense });
        let circle = OffsetCircle { centre, radius_arcmin: 30.0, phase };
        let turned_deg = found.turned_deg(&circle).unwrap();
        // Angles of points 30′ out in doubles: 1e-13 degrees.
        assert!((turned_deg - expected).abs() < 1e-11, "{sense:?}: {turned_deg}");
    }
}

/// A session whose left lock turns its ring by some degrees: the circle of [`logged`] has centre
/// (10, 4) and radius 30, typed to a thousandth of an arcminute.
fn tightened(turned_deg: f64) -> Vec<Fact> {
    let mut bodies = beginning();
    bodies.extend(logged());
    for (lock, angle_deg) in [(Lock::Before, 100.0), (Lock::After, 100.0 - turned_deg)] {
        let at = Direction::new(10.0, 4.0) + Direction::polar(30.0, f64::to_radians(angle_deg));
        let (x, y) = (format!("{:.3}", at.x_arcmin), format!("{:.3}", at.y_arcmin));
        bodies.push(read(lock, Channel::Left, &x, &y));
    }
    facts_of(&bodies)
}

/// Three sessions of the housing and more: the median turn is offered, and one wild one moves it
/// little.
#[test]
fn a_shop_tells_what_to_aim_off_for() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let sessions = folder.path().join("sessions");
    for (name, turned_deg) in [("a", 1.0), ("b", 1.5), ("c", 40.0), ("d", 1.25)] {
        let path = sessions.join(name).with_extension("samepoint");
        let mut facts = tightened(turned_deg);
        if let Body::Header(header) = &mut facts[0].body {
            header.session = format!("{}{name}", "0".repeat(31));
        }
        std::fs::write(path, lines_of(&facts)).unwrap();
        if name == "c" {
            // A copy of a session counts once.
            std::fs::write(sessions.join("c copy.samepoint"), lines_of(&facts)).unwrap();
        }
    }
    std::fs::write(sessions.join("broken.samepoint"), b"not a session").unwrap();
    std::fs::write(sessions.join("other.samepoint"), lines_of(&facts_of(&beginning()))).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let except = sessions.join("d.samepoint");
    let found = shop.locks_of("Heron B", &except, &RealDisk).unwrap();
    assert_eq!((found.left.len(), found.right.len()), (3, 0));
    let aim = aim_off(&found.left).unwrap();
    // Readings typed to 0.1′ on a circle of 30′ move its fitted centre by about 0.03′, or 0.06°,
    // as seen from the rim; typing to 0.001′ adds 0.002°.
    assert!((aim.median - 1.5).abs() < 0.1, "{aim:?}");
    assert!((aim.spread - 1.4826 * 0.5).abs() < 0.2, "{aim:?}");
    assert_eq!(aim_off(&found.left[..2]), None, "two sessions are too few");
    assert!(shop.locks_of("Plover", &except, &RealDisk).unwrap().left.is_empty());
    let turned = turned_by_locks_deg(&fold(&tightened(0.75)));
    assert!((turned.left.unwrap() - 0.75).abs() < 0.1 && turned.right.is_none());
}
