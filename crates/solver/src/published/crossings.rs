//! Where two circles cross.

use super::{Case, Figure, close, printed};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};

/// All of them.
pub const CASES: &[Case] = &[
    Case {
        what: "two circles of a course's program text",
        source: "University of Maryland Baltimore County, circle_circle_c.out; further digits recomputed \
                 with mpmath 1.4",
        work: of_a_course,
    },
    Case {
        what: "two equal circles of 5",
        source: "Manual of a school mathematics program, Intersection of two circles; exact",
        work: of_a_manual,
    },
    Case {
        what: "two equal circles side by side",
        source: "Input of a public web page on circle intersections; recomputed with mpmath 1.4",
        work: side_by_side,
    },
    Case {
        what: "area common to two unit discs 0.8079455… apart",
        source: "E. W. Weisstein, Circle–Circle Intersection, MathWorld: half of each disc's own",
        work: half_overlap,
    },
];

/// The crossing points of two circles (x, y, radius) from high to low.
fn points(a: (f64, f64, f64), b: (f64, f64, f64)) -> Result<[[f64; 2]; 2], Error> {
    let circle = |(x, y, r): (f64, f64, f64)| OffsetCircle::unphased(Direction::new(x, y), r);
    let met = meet(&circle(a), &circle(b), RELATION_TOLERANCE)?;
    let mut found = met.crossings().map(|at| [at.point.x_arcmin, at.point.y_arcmin]);
    let [one, other] = [found.next(), found.next()].map(|at| at.unwrap_or([f64::NAN; 2]));
    Ok(if one[1] < other[1] { [other, one] } else { [one, other] })
}

fn of_a_course() -> Result<Vec<Figure>, Error> {
    let [upper, lower] = points((-0.1, -0.2, 2.0), (2.0, 1.0, 2.1))?;
    Ok(vec![
        printed("upper x", upper[0], 0.055_856, 6),
        printed("upper y", upper[1], 1.793_918, 6),
        printed("lower x", lower[0], 1.696_964, 6),
        printed("lower y", lower[1], -1.078_021, 6),
        printed("upper x", upper[0], 0.055_856_411_282, 12),
        printed("upper y", upper[1], 1.793_917_946_923_2, 13),
        printed("lower x", lower[0], 1.696_964_101_538_5, 13),
        printed("lower y", lower[1], -1.078_020_511_025_7, 13),
    ])
}

fn of_a_manual() -> Result<Vec<Figure>, Error> {
    let [upper, lower] = points((5.0, 5.0, 5.0), (0.0, 0.0, 5.0))?;
    // 1e-12 of the larger radius is what the crossing promises.
    Ok(vec![
        close("upper x", upper[0], 0.0, 5e-12),
        close("upper y", upper[1], 5.0, 5e-12),
        close("lower x", lower[0], 5.0, 5e-12),
        close("lower y", lower[1], 0.0, 5e-12),
    ])
}

fn side_by_side() -> Result<Vec<Figure>, Error> {
    let [upper, lower] = points((200.0, 500.0, 200.0), (300.0, 500.0, 200.0))?;
    Ok(vec![
        printed("upper x", upper[0], 250.0, 11),
        printed("upper y", upper[1], 693.649_167_310_37, 11),
        printed("lower x", lower[0], 250.0, 11),
        printed("lower y", lower[1], 306.350_832_689_63, 11),
    ])
}

fn half_overlap() -> Result<Vec<Figure>, Error> {
    let d = 0.807_945_506_599_034_4;
    let [[along, half_chord], _] = points((0.0, 0.0, 1.0), (d, 0.0, 1.0))?;
    // Each of two equal segments: sector minus triangle.
    let lens = 2.0 * (half_chord.atan2(along) - along * half_chord);
    // The lens shrinks by the chord, 1.83, for each unit of distance: rounding of d and of the
    // crossing, 1e-12 each at most.
    Ok(vec![close("area", lens, core::f64::consts::FRAC_PI_2, 4e-12)])
}
