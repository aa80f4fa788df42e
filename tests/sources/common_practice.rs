//! Common practice of the trade, no source: of two crossing points, the one nearer boresight is
//! the one to keep.

use solver::meet::{RELATION_TOLERANCE, meet};
use solver::{Direction, OffsetCircle};

#[test]
fn of_two_crossings_the_nearer_to_boresight_is_kept() {
    // Circles on the x axis: the crossings mirror each other there, so both lifted by 10′ the
    // lower one is nearer.
    let left = OffsetCircle::unphased(Direction::new(-20.0, 10.0), 30.0);
    let right = OffsetCircle::unphased(Direction::new(20.0, 10.0), 30.0);
    let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
    let nearest = met.nearest().unwrap();
    assert!(nearest.point.y_arcmin < 0.0);
    let distances: Vec<f64> = met.crossings().map(|c| c.boresight_arcmin).collect();
    assert!(distances[0] < distances[1]);
    assert_eq!(distances[0], nearest.boresight_arcmin);
}
