//! Published circle–circle intersections. Further digits recomputed with mpmath 1.4 (40 digits).

use crate::{close, printed};
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

/// Worked output published with a program text, Univ. of Maryland Baltimore County,
/// `circle_circle_c.out`.
#[test]
fn the_worked_output_of_a_university_course_agrees() {
    let met = meeting((-0.1, -0.2, 2.0), (2.0, 1.0, 2.1));
    assert_eq!(met.relation, Relation::Crossing);
    let found = points(&met);
    printed("upper x", found[0].0, 0.055_856, 6);
    printed("upper y", found[0].1, 1.793_918, 6);
    printed("lower x", found[1].0, 1.696_964, 6);
    printed("lower y", found[1].1, -1.078_021, 6);
    printed("upper x", found[0].0, 0.055_856_411_282, 12);
    printed("upper y", found[0].1, 1.793_917_946_923_2, 13);
    printed("lower x", found[1].0, 1.696_964_101_538_5, 13);
    printed("lower y", found[1].1, -1.078_020_511_025_7, 13);
}

/// Example in the manual of a school mathematics program, "Intersection of two circles"; exact.
#[test]
fn a_manuals_exact_example_agrees() {
    let met = meeting((5.0, 5.0, 5.0), (0.0, 0.0, 5.0));
    let found = points(&met);
    // 1e-12 of the larger radius is what the crossing promises.
    close("x", found[0].0, 0.0, 5e-12);
    close("y", found[0].1, 5.0, 5e-12);
    close("x", found[1].0, 5.0, 5e-12);
    close("y", found[1].1, 0.0, 5e-12);
}

/// Inputs from a public web page on circle intersections; results recomputed.
#[test]
fn two_equal_circles_side_by_side_agree() {
    let found = points(&meeting((200.0, 500.0, 200.0), (300.0, 500.0, 200.0)));
    printed("upper x", found[0].0, 250.0, 11);
    printed("upper y", found[0].1, 693.649_167_310_37, 11);
    printed("lower x", found[1].0, 250.0, 11);
    printed("lower y", found[1].1, 306.350_832_689_63, 11);
}

/// E. W. Weisstein, *Circle–Circle Intersection*, MathWorld: the distance at which two unit discs
/// overlap by half of each one's area, 0.8079455…
#[test]
fn two_unit_discs_overlap_by_half_at_the_published_distance() {
    let d = 0.807_945_506_599_034_4;
    let found = points(&meeting((0.0, 0.0, 1.0), (d, 0.0, 1.0)));
    let (half_chord, along) = (found[0].1, found[0].0);
    // Each of two equal segments: sector minus triangle.
    let lens = 2.0 * (half_chord.atan2(along) - along * half_chord);
    // The lens shrinks by the chord, 1.83, for each unit of distance: rounding of d and of the
    // crossing, 1e-12 each at most.
    close("lens area", lens, core::f64::consts::FRAC_PI_2, 4e-12);
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
