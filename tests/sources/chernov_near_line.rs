//! N. Chernov, *Circular and Linear Regression*, CRC (2010), section 5.13: five points, nearly
//! a line, whose best circle has a radius of 3283 while Taubin's start lies on the other side.
//! They must never pass for a circle one could set a ring by.

use crate::{close, fit_points, printed};
use solver::fit::Reading;
use solver::{
    Channel, Direction, NoSetting, OffsetCircle, PerChannel, Phase, Problem, Sense, solve,
};

const POINTS: [(f64, f64); 5] =
    [(0.0, 2.0), (1.0, -1.001), (-1.0, -1.001), (10.0, 0.001), (-10.0, 0.001)];

#[test]
fn the_best_circle_is_found_although_the_start_is_on_the_wrong_side() {
    let fit = fit_points(&POINTS).unwrap();
    printed("centre y", fit.circle.centre.y_arcmin, -3283.3, 1);
    printed("radius", fit.circle.radius_arcmin, 3283.3, 1);
    printed("rms", fit.rms_arcmin, 1.095_79, 5);
    close("centre x", fit.circle.centre.x_arcmin, 0.0, 0.05);
}

#[test]
fn it_is_marked_and_no_setting_is_recommended_from_it() {
    assert!(fit_points(&POINTS).unwrap().arc_too_short());
    let doubtful = POINTS.map(|(x, y)| Reading::without_ring(Direction::new(x, y)));
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
