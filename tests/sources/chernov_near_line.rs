//! N. Chernov, *Circular and Linear Regression*, CRC (2010), section 5.13: five points, nearly
//! a line, whose best circle has a radius of 3283 while Taubin's start lies on the other side.
//! They must never pass for a circle one could set a ring by.

use solver::fit::Reading;
use solver::published::fits::{CHERNOV, PRATT, fit_points};
use solver::{
    Channel, Direction, NoSetting, OffsetCircle, PerChannel, Phase, Problem, Sense, solve,
};

/// Pratt's four points on a shallow arc, u(r) = 121, are marked too; so is no circle that is well known.
#[test]
fn too_short_an_arc_is_marked() {
    assert!(fit_points(&PRATT).unwrap().arc_too_short());
    assert!(!fit_points(&solver::published::fits::COOPE).unwrap().arc_too_short());
}

#[test]
fn it_is_marked_and_no_setting_is_recommended_from_it() {
    assert!(fit_points(&CHERNOV).unwrap().arc_too_short());
    let doubtful = CHERNOV.map(|(x, y)| Reading::without_ring(Direction::new(x, y)));
    let sound = OffsetCircle {
        phase: Some(Phase { zero_deg: 30.0, sense: Sense::With }),
        ..OffsetCircle::unphased(Direction::BORESIGHT, 30.0)
    };
    let sound = [0.0, 90.0, 180.0, 270.0]
        .map(|ring_deg| Reading::at_ring(ring_deg, sound.at_ring(ring_deg).unwrap()));
    let solution = solve(&Problem {
        readings: PerChannel { left: doubtful.to_vec(), right: sound.to_vec() },
        ..Problem::default()
    })
    .unwrap();
    assert_eq!(solution.setting, Err(NoSetting::ArcTooShort(Channel::Left)));
}
