//! What properties are tried on.

use proptest::prelude::*;
use solver::fit::Reading;
use solver::{Direction, OffsetCircle, Phase, Sense};

/// An offset circle as benches meet them, with a phase.
pub(crate) fn circle() -> impl Strategy<Value = OffsetCircle> {
    (-150.0..150.0, -150.0..150.0, 5.0..100.0, 0.0..360.0, any::<bool>()).prop_map(
        |(x, y, radius_arcmin, zero_deg, with)| OffsetCircle {
            centre: Direction::new(x, y),
            radius_arcmin,
            phase: Some(Phase { zero_deg, sense: if with { Sense::With } else { Sense::Against } }),
        },
    )
}

/// Ring angles of one round: `count` of them, at most half a step from equal steps all the way
/// round, so that they cover the circle well.
pub(crate) fn round_angles(
    count: impl Into<proptest::sample::SizeRange>,
) -> impl Strategy<Value = Vec<f64>> {
    (0.0..360.0, prop::collection::vec(-0.25..0.25, count)).prop_map(|(start, shakes)| {
        let step = 360.0 / shakes.len() as f64;
        shakes.iter().enumerate().map(|(k, shake)| start + (k as f64 + shake) * step).collect()
    })
}

/// Readings of a circle at ring angles, each off by what `errors` says (cycled).
pub(crate) fn readings_of(
    circle: &OffsetCircle,
    angles: &[f64],
    errors: &[(f64, f64)],
) -> Vec<Reading> {
    angles
        .iter()
        .zip(errors.iter().cycle())
        .map(|(&ring_deg, &(x, y))| {
            Reading::at_ring(ring_deg, circle.at_ring(ring_deg).unwrap() + Direction::new(x, y))
        })
        .collect()
}

/// Errors of readings, arcminutes.
pub(crate) fn errors(largest: f64) -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((-largest..largest, -largest..largest), 3..=24)
}

/// The same readings without their ring angles.
pub(crate) fn without_rings(readings: &[Reading]) -> Vec<Reading> {
    readings.iter().map(|reading| Reading::without_ring(reading.direction)).collect()
}

/// Any float at all: any bits, and, so that the far end of the code is reached as well,
/// ordinary numbers, round ones that repeat, and the awkward ones.
pub(crate) fn any_float() -> impl Strategy<Value = f64> {
    prop_oneof![
        2 => any::<u64>().prop_map(f64::from_bits),
        6 => -100.0..100.0,
        6 => (-3..=3_i8).prop_map(f64::from),
        2 => (-12..=12_i8).prop_map(|thirty| f64::from(thirty) * 30.0),
        2 => prop::sample::select(vec![
            0.0, -0.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN,
            f64::MIN_POSITIVE, 5e-324, f64::EPSILON, 1e-9, 1e154, 1e-154, 1e15, 3000.0, 360.0,
        ]),
    ]
}

/// A direction of any floats.
pub(crate) fn any_direction() -> impl Strategy<Value = Direction> {
    (any_float(), any_float()).prop_map(|(x, y)| Direction::new(x, y))
}

/// Readings of any floats.
pub(crate) fn any_readings() -> impl Strategy<Value = Vec<Reading>> {
    prop::collection::vec(
        (any_direction(), prop::option::of(any_float()))
            .prop_map(|(direction, ring_deg)| Reading { direction, ring_deg }),
        0..10,
    )
}

/// A circle of any floats.
pub(crate) fn any_circle() -> impl Strategy<Value = OffsetCircle> {
    (any_direction(), any_float(), prop::option::of((any_float(), any::<bool>()))).prop_map(
        |(centre, radius_arcmin, phase)| OffsetCircle {
            centre,
            radius_arcmin,
            phase: phase.map(|(zero_deg, with)| Phase {
                zero_deg,
                sense: if with { Sense::With } else { Sense::Against },
            }),
        },
    )
}
