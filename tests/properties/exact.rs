//! Exact data give exact circles.

use crate::given::{circle, readings_of, round_angles, without_rings};
use proptest::prelude::*;
use solver::fit::{SenseBasis, SenseChoice, Spread, fit_circle};
use solver::{Channel, OffsetCircle};

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
