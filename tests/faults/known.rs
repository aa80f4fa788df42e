//! What a session knows that remedies are worked out from: shims that were tried, tubes told apart.

use record::remedies::{KnownOfUnit, tried_shims, tube_facts};
use record::{
    Body, Channel, DirectionReading, Purpose, Reading, ReadingUnit, Remedy, RemedyTaken,
    RoundOpened, RoundReason, Seq, Session, Shim, ShimEnds, ShimUnder, Unit, fold,
};
use solver::remedy::shim::ShimEffect;
use solver::{Direction, OffsetCircle, Phase, Sense};

use crate::support::*;

/// Six readings of a circle of radius 30′ about `centre`, exact to the digits typed.
fn round_of(bodies: &mut Vec<Body>, round: Seq, channel: Channel, centre: Direction) {
    let phase = Some(Phase { zero_deg: 10.0, sense: Sense::With });
    let circle = OffsetCircle { centre, radius_arcmin: 30.0, phase };
    for step in 0..6 {
        let ring_deg = 60.0 * f64::from(step);
        let at = circle.at_ring(ring_deg).unwrap();
        let (x, y) = (format!("{:.9}", at.x_arcmin), format!("{:.9}", at.y_arcmin));
        let read: DirectionReading =
            direction(channel, Some(&ring_deg.to_string()), &x, &y, ReadingUnit::Arcmin);
        bodies.push(Body::Reading(Reading::direction(round, Purpose::Log, read)));
    }
}

fn next_round(bodies: &mut Vec<Body>, remedy: Remedy, unit: Unit) -> Seq {
    let taken = RemedyTaken { round: ROUND, remedy, prediction: None, note: String::new() };
    bodies.push(Body::RemedyTaken(taken));
    bodies.push(Body::RoundOpened(RoundOpened { why: RoundReason::Remedy, note: String::new() }));
    let round = bodies.len() as Seq;
    // A unit told within a round is the unit of that round.
    bodies.push(Body::Unit(unit));
    round
}

fn folded(bodies: &[Body]) -> Session {
    fold(&facts_of(bodies))
}

#[test]
fn a_shim_that_was_measured_is_known() {
    let mut bodies = beginning();
    round_of(&mut bodies, ROUND, Channel::Left, Direction::new(-3.0, 4.0));
    round_of(&mut bodies, ROUND, Channel::Right, Direction::new(7.0, 1.0));
    assert_eq!(tried_shims(&folded(&bodies)), [], "nothing was tried");
    let shim = Shim { clock_deg: 90.0, leaves_mm: vec![0.10, 0.05], ends: ShimEnds::Both };
    let under = ShimUnder { channel: Channel::Left, shim: shim.clone() };
    let mut shimmed = unit();
    shimmed.shims.left.push(shim);
    let round = next_round(&mut bodies, Remedy::Shim(vec![under]), shimmed);
    round_of(&mut bodies, round, Channel::Left, Direction::new(-23.0, 4.5));
    round_of(&mut bodies, round, Channel::Right, Direction::new(7.0, 1.0));
    let tried = tried_shims(&folded(&bodies));
    assert_eq!(tried.len(), 1);
    let one = tried[0];
    assert_eq!((one.ends, one.clock_deg), (ShimEnds::Both, 90.0));
    assert!((one.thickness_mm - 0.15).abs() < 1e-15);
    // Typed to 1e-9′.
    assert!(one.shift.distance_arcmin(Direction::new(-20.0, 0.5)) < 1e-8, "{one:?}");
    // One shim is no effect measured: the model still holds. Three are.
    let known = KnownOfUnit::of_session(&folded(&bodies), &[]);
    assert!(matches!(known.effect, Some(ShimEffect::Model(_))));
    let known = KnownOfUnit::of_session(&folded(&bodies), &[one, one]);
    assert!(matches!(known.effect, Some(ShimEffect::Measured { .. })), "{known:?}");
}

/// The split: t_R − t_L of the tubes as they first sat is
/// ((c_L2 − c_L1) + (c_R1 − c_R2))/2, and no tube's own offset is told.
#[test]
fn traded_tubes_are_told_apart_and_no_more() {
    let mut bodies = beginning();
    let (left, right) = (Direction::new(-3.0, 4.0), Direction::new(7.0, 1.0));
    round_of(&mut bodies, ROUND, Channel::Left, left);
    round_of(&mut bodies, ROUND, Channel::Right, right);
    assert_eq!(tube_facts(&folded(&bodies)).right_less_left, None, "one round tells nothing");
    let mut traded = unit();
    std::mem::swap(&mut traded.tubes.left, &mut traded.tubes.right);
    let round = next_round(&mut bodies, Remedy::SwapTubes, traded);
    // The right tube's offset is greater by (2, −6).
    let difference = Direction::new(2.0, -6.0);
    round_of(&mut bodies, round, Channel::Left, left + difference);
    round_of(&mut bodies, round, Channel::Right, right - difference);
    let facts = tube_facts(&folded(&bodies));
    // As they sit now: the tube that was left is right.
    let found = facts.right_less_left.unwrap().value;
    assert!(found.distance_arcmin(difference * -1.0) < 1e-8, "{found:?}");
    assert_eq!((facts.offsets.left, facts.offsets.right), (None, None));
    // A shim put in since moves a centre too: rounds before it do not count.
    let mut shimmed = folded(&bodies).unit().unwrap().clone();
    let shim = Shim { clock_deg: 0.0, leaves_mm: vec![0.05], ends: ShimEnds::Front };
    shimmed.shims.left.push(shim);
    let round = next_round(&mut bodies, Remedy::Other, shimmed);
    round_of(&mut bodies, round, Channel::Left, left);
    round_of(&mut bodies, round, Channel::Right, right);
    assert_eq!(tube_facts(&folded(&bodies)).right_less_left, None);
}
