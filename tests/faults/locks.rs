//! What tightening a lock does, told from readings before and after, and what to aim off for.

use record::{
    Body, Channel, Exercise, Fact, Lock, LockAdvice, Reading, RealDisk, Session, SessionKind, Shop,
    fold, lock_shifts, turned_by_locks_deg,
};
use solver::{Direction, OffsetCircle, PerChannel, Phase, Sense};

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

/// A shop of units, each of a name and with what tightening did to its left ring, degrees clockwise.
fn shop_of(units: &[(&str, f64)]) -> (tempfile::TempDir, Shop) {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let sessions = folder.path().join("sessions");
    for (index, (unit, turned_deg)) in units.iter().enumerate() {
        let facts = named(tightened(*turned_deg), unit, index);
        std::fs::write(sessions.join(format!("{index}.samepoint")), lines_of(&facts)).unwrap();
    }
    let shop = Shop::load(folder.path()).unwrap();
    (folder, shop)
}

fn named(mut facts: Vec<Fact>, name: &str, index: usize) -> Vec<Fact> {
    for fact in &mut facts {
        match &mut fact.body {
            Body::Header(header) => header.session = format!("{index:032x}"),
            Body::Unit(unit) => unit.name = name.to_owned(),
            _ => {}
        }
    }
    facts
}

fn advice(shop: &Shop, except: &str) -> LockAdvice {
    let except = shop.folder.join("sessions").join(except);
    shop.locks_of("Heron B", &except, &RealDisk).unwrap()
}

const AT_120: PerChannel<Option<f64>> = PerChannel { left: Some(120.0), right: None };

/// A clear turn is advised, with its test and what the next one will do; a copy, a damaged file, practice and
/// the session on the bench have no part in it.
#[test]
fn a_shop_tells_what_to_aim_off_for() {
    let (_folder, shop) = shop_of(&[("1", 1.0), ("2", 1.5), ("3", 2.0), ("4", 40.0)]);
    let sessions = shop.folder.join("sessions");
    let copy = std::fs::read(sessions.join("1.samepoint")).unwrap();
    std::fs::write(sessions.join("1 copy.samepoint"), &copy).unwrap();
    std::fs::write(sessions.join("broken.samepoint"), b"not a session").unwrap();
    let cut = lines_of(&named(tightened(30.0), "5", 5));
    std::fs::write(sessions.join("cut.samepoint"), &cut[..cut.len() - 9]).unwrap();
    let mut practice = named(tightened(30.0), "6", 6);
    if let Body::Header(header) = &mut practice[0].body {
        header.kind = SessionKind::Practice(Exercise { name: "1".to_owned(), seed: 1 });
    }
    std::fs::write(sessions.join("practice.samepoint"), lines_of(&practice)).unwrap();
    let found = advice(&shop, "3.samepoint");
    let left = found.turns.left.as_ref().unwrap();
    assert_eq!((left.points.len(), left.later_visits, found.turns.right.is_none()), (3, 0, true));
    // Readings typed to 0.1′ on a circle of 30′ move its fitted centre by about 0.03′, or 0.06°,
    // as seen from the rim; typing to 0.001′ adds 0.002°.
    assert!((left.sample.mean - 1.5).abs() < 0.1, "{left:?}");
    // By hand: mean 1.5, s 0.5, t = 1.5/(0.5/√3) = 5.196 with 2 degrees of freedom: p 0.0351.
    assert!((left.corrected_p.unwrap() - 0.035).abs() < 0.01 && left.turns(), "{left:?}");
    let words = found.words(&AT_120, 0.5);
    assert_eq!(words.len(), 2);
    assert!(words[0].starts_with("Tightening turns the left ring of this housing 1."), "{words:?}");
    assert!(
        words[0].contains("° clockwise ± 1.") && words[0].contains("3 units, t-test"),
        "{words:?}"
    );
    // t 4.303 of 2 degrees of freedom: the next within 4.303 · 0.5 · √(4/3) = 2.48.
    // 120 − 1.5 = 118.5, in the ring's own step of half a degree.
    assert!(
        words[0].contains("To end at 120.0°, set it to 118.5°") && words[0].contains("within 2."),
        "{words:?}"
    );
    // In whole degrees 118° or 119°, whichever the last digits make it: half a degree more.
    let whole = &found.words(&AT_120, 1.0)[0];
    assert!(
        whole.contains("To end at 120°, set it to 118°") || whole.contains("set it to 119°"),
        "{whole}"
    );
    assert!(whole.contains("within 2.9°") || whole.contains("within 3.0°"), "{whole}");
    // 1.5° is no turn of a ring that goes in tens.
    let coarse = &found.words(&AT_120, 10.0)[0];
    assert!(coarse.contains("less than the ring's step: set it to 120°"), "{coarse}");
    assert!(words[1].contains("right ring of this housing is not known"), "{words:?}");
    let turned = turned_by_locks_deg(&fold(&tightened(0.75)));
    assert!((turned.left.unwrap() - 0.75).abs() < 0.1 && turned.right.is_none());
}

/// Where no test shows a turn, none is advised: not of units that turn both ways, not of one unit seen
/// often, not of one unit.
#[test]
fn no_aim_off_without_a_test_that_shows_it() {
    let told = |units: &[(&str, f64)]| {
        let (_folder, shop) = shop_of(units);
        let found = advice(&shop, "none.samepoint");
        let said = found.words(&AT_120, 0.5).join(" ");
        assert!(!said.contains("set it to"), "{said}");
        said
    };
    // Median 0.9, but t = 0.6/(1.5/2) = 0.8: p about 0.5.
    let said = told(&[("1", 1.6), ("2", 1.0), ("3", 0.8), ("4", -1.6)]);
    assert!(said.contains("It is not shown that tightening turns the left ring"), "{said}");
    assert!(said.contains("± ") && said.contains("in 4 units (t-test, p 0."), "{said}");
    // The same unit, back again: one unit.
    let said = told(&[("1", 1.0), ("1", 1.01), ("1", 1.02), ("1", 1.0)]);
    assert!(said.contains("in 1 unit of 2 needed to tell"), "{said}");
    let said = told(&[]);
    assert!(said.contains("not known: 2 units read before and after it are needed"), "{said}");
}

/// The correction is for every housing and side of the shop, as on its chart: what would be shown of one
/// housing alone is not where many were looked at.
#[test]
fn advice_is_corrected_for_every_housing() {
    let units = [("1", 1.0), ("2", 1.5), ("3", 2.0)];
    let (_folder, shop) = shop_of(&units);
    assert!(advice(&shop, "none").turns.left.unwrap().turns());
    let sessions = shop.folder.join("sessions");
    for (index, (name, turned)) in [("a", 0.3), ("b", -0.2), ("c", 0.1)].into_iter().enumerate() {
        let mut facts = named(tightened(turned), name, 10 + index);
        for fact in &mut facts {
            match &mut fact.body {
                Body::Unit(unit) => unit.housing = "Plover".to_owned(),
                Body::Housing(housing) => housing.name = "Plover".to_owned(),
                _ => {}
            }
        }
        std::fs::write(sessions.join(format!("{name}.samepoint")), lines_of(&facts)).unwrap();
    }
    let found = advice(&shop, "none").turns.left.unwrap();
    // Twice 0.035.
    assert!(!found.turns() && (found.corrected_p.unwrap() - 0.07).abs() < 0.02, "{found:?}");
}
