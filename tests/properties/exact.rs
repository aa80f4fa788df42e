//! Exact data give exact circles.

use crate::given::{circle, readings_of, round_angles, without_rings};
use proptest::prelude::*;
use solver::fit::{Reading, SenseBasis, SenseChoice, Spread, fit_circle};
use solver::{Channel, Direction, OffsetCircle, Sense};

/// Coordinates up to 300′ are rounded to 6e-14′, ring angles up to 720° to 2e-15 rad or 2e-13′ on
/// a radius of 100′; a round that covers its circle does not multiply that by more than ten.
const ROUNDING_ARCMIN: f64 = 3e-12;

fn same(fitted: &OffsetCircle, given: &OffsetCircle) -> Result<(), TestCaseError> {
    prop_assert!(fitted.centre.distance_arcmin(given.centre) < ROUNDING_ARCMIN);
    prop_assert!((fitted.radius_arcmin - given.radius_arcmin).abs() < ROUNDING_ARCMIN);
    if let (Some(fitted), Some(known)) = (fitted.phase, given.phase) {
        prop_assert_eq!(fitted.sense, known.sense);
        let off_deg = solver::angle::turn_deg(known.zero_deg, fitted.zero_deg);
        prop_assert!(off_deg.to_radians().abs() * given.radius_arcmin < ROUNDING_ARCMIN);
    }
    Ok(())
}

proptest! {
    #[test]
    fn readings_with_angles_give_their_circle(given in circle(), angles in round_angles(3..=24)) {
        let readings = readings_of(&given, &angles, &[(0.0, 0.0)]);
        let fit =
            fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto).unwrap();
        same(&fit.circle, &given)?;
        let found = matches!(fit.sense_basis, Some(SenseBasis::Found { .. }));
        prop_assert!(found, "sense {:?}", fit.sense_basis);
    }

    #[test]
    fn two_angles_are_enough_when_the_sense_is_given(
        given in circle(),
        first_deg in 0.0..360.0,
        apart_deg in 30.0..330.0,
    ) {
        let angles = [first_deg, first_deg + apart_deg];
        let readings = readings_of(&given, &angles, &[(0.0, 0.0)]);
        let sense = SenseChoice::Given(given.phase.unwrap().sense);
        let fit = fit_circle(Channel::Left, &readings, Spread::default(), sense).unwrap();
        prop_assert_eq!(fit.degrees_of_freedom, 0);
        // Half a chord over the sine of half the angle apart: 1/sin 15° ≈ 4 times the rounding.
        prop_assert!(fit.circle.centre.distance_arcmin(given.centre) < 4.0 * ROUNDING_ARCMIN);
    }

    #[test]
    fn without_angles_the_circle_is_the_same(given in circle(), angles in round_angles(4..=24)) {
        let readings = readings_of(&given, &angles, &[(0.0, 0.0)]);
        let free = without_rings(&readings);
        let fit = fit_circle(Channel::Right, &free, Spread::default(), SenseChoice::Auto).unwrap();
        same(&fit.circle, &given)?;
        prop_assert!(fit.circle.phase.is_none() && fit.sense_basis.is_none());
    }

    #[test]
    fn a_mix_gives_the_same_circle_too(
        given in circle(),
        angles in round_angles(6..=24),
        sigma_arcmin in 0.05..1.0,
        ring_sigma_deg in 0.0..2.0,
    ) {
        let mut readings = readings_of(&given, &angles, &[(0.0, 0.0)]);
        for reading in readings.iter_mut().step_by(2) {
            reading.ring_deg = None;
        }
        let spread = Spread { sigma_arcmin: Some(sigma_arcmin), ring_sigma_deg };
        let sense = SenseChoice::Given(given.phase.unwrap().sense);
        let fit = fit_circle(Channel::Right, &readings, spread, sense).unwrap();
        same(&fit.circle, &given)?;
    }
}

/// Readings evenly round the ring have a best fit of radius zero under the other sense, which is no
/// offset circle: Σ exp(2iθ) = 0. They tell which way round all the same.
///
/// By hand, radius 25′ at 0°, 90°, 180°, 270°: *with*, the circle leaves nothing over (or the 0.1′ they
/// were rounded to); *against*, the best is the point in the middle, which leaves 25′ of each.
#[test]
fn readings_a_quarter_turn_apart_tell_which_way_round() {
    let at = |x: f64, y: f64, ring_deg: f64| Reading {
        direction: Direction::new(x, y),
        ring_deg: Some(ring_deg),
    };
    // Clockwise rings: with the ring the crosshair runs clockwise, from right to low to left to high.
    let with = [(30.0, 7.0), (5.0, -18.0), (-20.0, 7.0), (5.0, 32.0)];
    let against = [(30.0, 7.0), (5.0, 32.0), (-20.0, 7.0), (5.0, -18.0)];
    let rounded = [(30.1, 7.0), (5.0, -18.0), (-19.9, 7.1), (5.1, 32.0)];
    let sigmas = [None, Some(0.1)];
    for (places, sense) in [(with, Sense::With), (against, Sense::Against), (rounded, Sense::With)]
    {
        for sigma_arcmin in sigmas {
            for ring_sigma_deg in [0.0, 0.2] {
                if sigma_arcmin.is_none() && ring_sigma_deg > 0.0 {
                    continue;
                }
                let spread = Spread { sigma_arcmin, ring_sigma_deg };
                let readings: Vec<Reading> = (0..4)
                    .map(|place| at(places[place].0, places[place].1, 90.0 * place as f64))
                    .collect();
                let fit = fit_circle(Channel::Left, &readings, spread, SenseChoice::Auto).unwrap();
                assert_eq!(fit.circle.phase.map(|phase| phase.sense), Some(sense), "{spread:?}");
                let Some(SenseBasis::Found { difference }) = fit.sense_basis else {
                    panic!("{:?}, {spread:?}, {places:?}", fit.sense_basis)
                };
                // Δχ² = 4·25²/σ², less what the rounding leaves over; n ln of a ratio of 1e5 or more.
                let least = sigma_arcmin.map_or(8.0 * 1e4_f64.ln(), |s| 3.9 * 625.0 / (s * s));
                assert!(difference > least, "{difference} {least}");
            }
        }
    }
    // A crosshair that hardly moves, by less than its uncertainty, tells nothing: what the optics give is
    // assumed, and without any offset that way that is said.
    let faint = |side: f64| {
        let readings: Vec<Reading> = [(0.1, 0.0), (0.0, -0.1), (-0.1, 0.0), (0.0, 0.1)]
            .into_iter()
            .enumerate()
            .map(|(place, (x, y))| at(x, side * y, 90.0 * place as f64))
            .collect();
        let spread = Spread { sigma_arcmin: Some(0.5), ring_sigma_deg: 0.0 };
        fit_circle(Channel::Left, &readings, spread, SenseChoice::Auto)
    };
    let assumed = faint(1.0).unwrap();
    assert_eq!(assumed.sense_basis, Some(SenseBasis::Assumed));
    assert!(assumed.arc_too_short());
    match faint(-1.0) {
        Ok(fit) => assert!(fit.arc_too_short() && fit.sense_basis == Some(SenseBasis::Assumed)),
        Err(error) => assert!(matches!(error, solver::Error::NoOffset { .. }), "{error}"),
    }
}
