//! The channel's optics and the whole path from readings to a circle against rays traced by an
//! open optics library (*optiland* 0.6.3), thin lenses of f = 25 mm around an inverting relay.
//!
//! The library gives the slope of the ray that travels toward the eye; what the eye sees lies
//! the other way, so every traced angle changes sign here. Its frame, x right and y up seen
//! against the light, is the eye side's.

use crate::close;
use solver::angle::ARCMIN_PER_RAD;
use solver::fit::{Reading, SenseChoice, Spread, fit_circle};
use solver::optics::{Lateral, Optics, Placement, TubeImage};
use solver::{Channel, Direction, Sense};

/// Traced angles are printed to eight decimals.
const PRINTED: f64 = 0.51e-8;
const FOCAL_MM: f64 = 25.0;

fn optics() -> Optics {
    Optics::new(FOCAL_MM, FOCAL_MM, TubeImage::Inverted).unwrap()
}

/// Cell decentred by 0.08 mm, turned counter-clockwise from +x in steps of 30°; relay displaced by
/// (0.03, −0.02) mm. Slope of the traced ray, arcminutes.
const TRACED: [(f64, f64, f64); 12] = [
    (0.0, 2.750_196_83, 5.500_390_14),
    (30.0, 1.276_371_00, 11.000_752_12),
    (60.0, -2.750_196_83, 15.027_262_43),
    (90.0, -8.250_576_41, 16.501_057_77),
    (120.0, -13.750_913_75, 15.027_262_43),
    (150.0, -17.777_397_10, 11.000_752_12),
    (180.0, -19.251_180_68, 5.500_390_14),
    (210.0, -17.777_397_10, 0.0),
    (240.0, -13.750_913_75, -4.026_566_64),
    (270.0, -8.250_576_41, -5.500_390_14),
    (300.0, -2.750_196_83, -4.026_566_64),
    (330.0, 1.276_371_00, 0.0),
];

fn relay_displaced() -> Placement {
    let end = Lateral::new(0.03, -0.02);
    Placement { tube_in: end, tube_out: end, ..Placement::default() }
}

#[test]
fn every_traced_direction_is_the_models() {
    for (turned_deg, x, y) in TRACED {
        let eyepiece = Lateral::new(0.08, 0.0).turned_clockwise(-turned_deg);
        let placed = Placement { eyepiece, ..relay_displaced() };
        let seen = optics().deviation(&placed, Direction::BORESIGHT);
        close("x", seen.x_arcmin, -x, PRINTED);
        close("y", seen.y_arcmin, -y, PRINTED);
    }
}

#[test]
fn the_circle_fitted_to_traced_directions_is_the_eyepieces() {
    // A ring turns clockwise as its angle grows.
    let readings =
        TRACED.map(|(turned_deg, x, y)| Reading::at_ring(-turned_deg, Direction::new(-x, -y)));
    let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto).unwrap();
    let model = optics().eyepiece_circle(&relay_displaced(), Lateral::new(0.08, 0.0));

    // The small-angle model takes tan X for X; X − atan X < X³/3, and no sum of the parts is
    // farther from the axis than 0.06 + 0.08 mm in x and 0.04 + 0.08 mm in y. With angles at equal
    // steps, centre and radius are means over the readings, so they are off by no more than one
    // reading can be.
    let cubic = |mm: f64| (mm / FOCAL_MM).powi(3) / 3.0 * ARCMIN_PER_RAD;
    let small_angle = cubic(0.14).hypot(cubic(0.12)) + PRINTED;
    close("centre x", fit.circle.centre.x_arcmin, model.centre.x_arcmin, small_angle);
    close("centre y", fit.circle.centre.y_arcmin, model.centre.y_arcmin, small_angle);
    close("radius", fit.circle.radius_arcmin, model.radius_arcmin, small_angle);
    assert!(fit.rms_arcmin < small_angle);

    let (fitted, expected) = (fit.circle.phase.unwrap(), model.phase.unwrap());
    assert_eq!(fitted.sense, Sense::With);
    assert_eq!(expected.zero_deg, 180.0);
    let along_arcmin = (fitted.zero_deg - 180.0).to_radians() * model.radius_arcmin;
    close("phase, along the circle", along_arcmin, 0.0, small_angle);
    // The paraxial figures printed with the trace.
    close("centre x", model.centre.x_arcmin, 8.250_592_249_883_855, 1e-13);
    close("centre y", model.centre.y_arcmin, -5.500_394_833_255_903, 1e-13);
    close("radius", model.radius_arcmin, 11.000_789_666_511_807, 1e-13);
}

/// An angle-free fit of the same directions has the same circle.
#[test]
fn without_ring_angles_the_circle_is_the_same() {
    let readings = TRACED.map(|(_, x, y)| Reading::without_ring(Direction::new(-x, -y)));
    let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto).unwrap();
    // A circle fit printed with the trace, by linear least squares on squared distances; the
    // two estimators differ by terms of second order in residuals of 2e-4 over a radius of 11.
    close("centre x", fit.circle.centre.x_arcmin, 8.250_513_05, 1e-8);
    close("centre y", fit.circle.centre.y_arcmin, -5.500_347_9, 5.1e-8);
    close("radius", fit.circle.radius_arcmin, 11.000_715_742_376_824, 1e-8);
    assert!(fit.circle.phase.is_none());
}

#[test]
fn sensitivities_of_objective_relay_and_eyepiece_are_the_traced_ones() {
    let moved = Lateral::new(0.1, 0.0);
    let none = Placement::default();
    for (what, placed, traced) in [
        ("relay", Placement { tube_in: moved, tube_out: moved, ..none }, -27.501_387_48),
        ("objective", Placement { objective: moved, ..none }, 13.750_913_75),
        ("eyepiece", Placement { eyepiece: moved, ..none }, 13.750_913_75),
        (
            "all together",
            Placement {
                objective: moved,
                tube_in: moved,
                tube_out: moved,
                eyepiece: moved,
                ..none
            },
            0.0,
        ),
        ("none", none, 0.0),
    ] {
        close(what, optics().deviation(&placed, Direction::BORESIGHT).x_arcmin, -traced, PRINTED);
    }
}
