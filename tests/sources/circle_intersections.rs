//! Circles that touch or miss each other, exactly (crossings: [`solver::published::crossings`]).

use solver::meet::{Meeting, RELATION_TOLERANCE, meet};
use solver::{Direction, OffsetCircle, Relation};

fn meeting(a: (f64, f64, f64), b: (f64, f64, f64)) -> Meeting {
    let circle = |(x, y, r): (f64, f64, f64)| OffsetCircle::unphased(Direction::new(x, y), r);
    meet(&circle(a), &circle(b), RELATION_TOLERANCE).unwrap()
}

/// The crossing points from high to low.
fn points(met: &Meeting) -> Vec<(f64, f64)> {
    let mut points: Vec<_> =
        met.crossings().map(|c| (c.point.x_arcmin, c.point.y_arcmin)).collect();
    points.sort_by(|a, b| b.1.total_cmp(&a.1));
    points
}

/// Elementary geometry; exact.
#[test]
fn touching_and_missing_circles_are_told_apart() {
    let tangent = meeting((0.0, 0.0, 2.0), (5.0, 0.0, 3.0));
    assert_eq!(tangent.relation, Relation::Tangent);
    assert_eq!(points(&tangent), [(2.0, 0.0)]);

    let inside = meeting((0.0, 0.0, 5.0), (2.0, 0.0, 3.0));
    assert_eq!(inside.relation, Relation::Tangent);
    assert_eq!(points(&inside), [(5.0, 0.0)]);

    let apart = meeting((0.0, 0.0, 3.0), (9.0, 0.0, 4.0));
    assert_eq!((apart.relation, apart.gap_arcmin), (Relation::Separate, 2.0));

    let nested = meeting((0.0, 0.0, 9.0), (2.0, 0.0, 4.0));
    assert_eq!((nested.relation, nested.gap_arcmin), (Relation::Contained, 3.0));

    let concentric = meeting((1.0, 1.0, 9.0), (1.0, 1.0, 4.0));
    assert_eq!((concentric.relation, concentric.gap_arcmin), (Relation::Concentric, 5.0));

    assert_eq!(meeting((1.0, 1.0, 9.0), (1.0, 1.0, 9.0)).relation, Relation::Coincident);
}
