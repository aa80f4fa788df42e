//! Turning, moving, mirroring and swapping the readings does the same to the answer.

use crate::given::{circle, errors, readings_of, round_angles};
use proptest::prelude::*;
use solver::fit::Reading;
use solver::{
    Channel, Direction, OffsetCircle, PerChannel, Phase, Problem, Sense, Solution, solve,
};

/// Coordinates up to 600′ are rounded to 1e-13; a well-covered circle multiplies that by a few.
const ROUNDING_ARCMIN: f64 = 5e-12;

fn problem() -> impl Strategy<Value = Problem> {
    let side = || {
        (circle(), round_angles(5..=16), errors(0.5))
            .prop_map(|(circle, angles, errors)| readings_of(&circle, &angles, &errors))
    };
    (side(), side()).prop_map(|(left, right)| Problem {
        readings: PerChannel { left, right },
        ..Problem::default()
    })
}

fn with_directions(problem: &Problem, change: impl Fn(Direction) -> Direction) -> Problem {
    let changed = |readings: Vec<Reading>| -> Vec<Reading> {
        readings
            .into_iter()
            .map(|reading| Reading { direction: change(reading.direction), ..reading })
            .collect()
    };
    Problem { readings: problem.readings.clone().map(changed), ..problem.clone() }
}

/// Each channel's circle must be the other solution's, changed; and so the set of crossings.
fn same_after(
    before: &Solution,
    after: &Solution,
    change: impl Fn(Direction) -> Direction,
    change_phase: impl Fn(Phase) -> Phase,
) -> Result<(), TestCaseError> {
    for channel in Channel::BOTH {
        let fit = before.fits[channel].as_ref().unwrap();
        let after = after.fits[channel].as_ref().unwrap();
        prop_assert!(
            after.circle.centre.distance_arcmin(change(fit.circle.centre)) < ROUNDING_ARCMIN
        );
        let OffsetCircle { radius_arcmin, phase, .. } = fit.circle;
        prop_assert!((after.circle.radius_arcmin - radius_arcmin).abs() < ROUNDING_ARCMIN);
        let (expected, found) = (change_phase(phase.unwrap()), after.circle.phase.unwrap());
        prop_assert_eq!(found.sense, expected.sense);
        let off_deg = solver::angle::turn_deg(expected.zero_deg, found.zero_deg);
        prop_assert!(off_deg.to_radians().abs() * radius_arcmin < ROUNDING_ARCMIN);
    }
    let (before, after) = (before.meeting.unwrap(), after.meeting.unwrap());
    prop_assert_eq!(before.relation, after.relation);
    for crossing in before.crossings() {
        let expected = change(crossing.point);
        let nearest = after
            .crossings()
            .map(|crossing| crossing.point.distance_arcmin(expected))
            .fold(f64::INFINITY, f64::min);
        // Near grazing a crossing moves by the root of what moves the circles: √(r × rounding).
        prop_assert!(nearest < 1e-4, "crossing moved by {}", nearest);
    }
    Ok(())
}

proptest! {
    #[test]
    fn rotation_carries_through(problem in problem(), turned_deg in 0.0..360.0) {
        let turned_rad = f64::to_radians(turned_deg);
        let turn = |direction: Direction| direction.rotated(turned_rad);
        let (before, after) =
            (solve(&problem).unwrap(), solve(&with_directions(&problem, turn)).unwrap());
        same_after(&before, &after, turn, |phase| Phase {
            zero_deg: phase.zero_deg + turned_deg,
            ..phase
        })?;
        // About boresight nothing else changes: the same setting is recommended.
        if let (Ok(before), Ok(after)) = (before.setting, after.setting) {
            prop_assert!((before.boresight_arcmin - after.boresight_arcmin).abs() < 1e-4);
        }
    }

    #[test]
    fn translation_carries_through(
        problem in problem(),
        x_arcmin in -300.0..300.0,
        y_arcmin in -300.0..300.0,
    ) {
        let shift = |direction: Direction| direction + Direction::new(x_arcmin, y_arcmin);
        let (before, after) =
            (solve(&problem).unwrap(), solve(&with_directions(&problem, shift)).unwrap());
        same_after(&before, &after, shift, |phase| phase)?;
    }

    #[test]
    fn a_mirror_turns_the_sense_round(problem in problem()) {
        let mirror = |direction: Direction| Direction::new(-direction.x_arcmin, direction.y_arcmin);
        let (before, after) =
            (solve(&problem).unwrap(), solve(&with_directions(&problem, mirror)).unwrap());
        same_after(&before, &after, mirror, |phase| Phase {
            zero_deg: 180.0 - phase.zero_deg,
            sense: match phase.sense {
                Sense::With => Sense::Against,
                Sense::Against => Sense::With,
            },
        })?;
    }

    #[test]
    fn swapping_the_channels_swaps_the_answer(problem in problem()) {
        let swapped = Problem {
            readings: problem.readings.clone().swapped(),
            sense: problem.sense.swapped(),
            ..problem.clone()
        };
        let (before, after) = (solve(&problem).unwrap(), solve(&swapped).unwrap());
        // Each fit sees the same readings, so it is the same to the bit.
        prop_assert_eq!(&before.fits.left, &after.fits.right);
        prop_assert_eq!(&before.fits.right, &after.fits.left);
        let (before, after) = (before.meeting.unwrap(), after.meeting.unwrap());
        prop_assert_eq!(before.relation, after.relation);
        for (a, b) in before.crossings().zip(after.crossings()) {
            prop_assert!(a.point.distance_arcmin(b.point) < 1e-4);
        }
    }

    /// The order of logging does not matter.
    #[test]
    fn the_order_of_readings_does_not_matter(problem in problem()) {
        let mut reversed = problem.clone();
        reversed.readings.left.reverse();
        reversed.readings.right.reverse();
        let (before, after) = (solve(&problem).unwrap(), solve(&reversed).unwrap());
        same_after(&before, &after, |direction| direction, |phase| phase)?;
    }
}
