//! Station maps against general libraries: weighted least squares by scipy, a similarity by scikit-image.
//!
//! Source: `station_map.py` beside this file, with the libraries' versions and on the day that
//! `tests/data/station_map/elsewhere.toml` names.

use std::fs;
use std::path::Path;

use solver::Direction;
use solver::upkeep::station_map::{Flips, FoundMap, KnownDeviation, MapProblem, Scales, find_map};
use toml::{Table, Value};

use crate::close;

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|one| one.as_float().unwrap()).collect()
}

fn pairs(value: &Value) -> Vec<[f64; 2]> {
    value.as_array().unwrap().iter().map(|pair| numbers(pair).try_into().unwrap()).collect()
}

fn cases() -> Vec<Value> {
    let file =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/station_map/elsewhere.toml");
    let kept: Table = fs::read_to_string(file).unwrap().parse().unwrap();
    kept["case"].as_array().unwrap().clone()
}

fn found(case: &Value, weighted: bool) -> FoundMap {
    let flips: Vec<bool> =
        case["flips"].as_array().unwrap().iter().map(|flip| flip.as_bool().unwrap()).collect();
    let readings: Vec<[[f64; 2]; 1]> =
        pairs(&case["read_divisions"]).into_iter().map(|read| [read]).collect();
    let deviations: Vec<KnownDeviation<'_>> = pairs(&case["known_arcmin"])
        .into_iter()
        .zip(numbers(&case["u_arcmin"]))
        .zip(&readings)
        .map(|(([x, y], u_arcmin), readings)| KnownDeviation {
            direction: Direction::new(x, y),
            u_arcmin: if weighted { u_arcmin } else { 0.0 },
            readings,
        })
        .collect();
    find_map(&MapProblem {
        flips: Flips { x: flips[0], y: flips[1] },
        deviations: &deviations,
        sigma_divisions: Some(case["sigma_divisions"].as_float().unwrap()),
        scales: if case["each_axis"].as_bool().unwrap() { Scales::Each } else { Scales::One },
    })
    .unwrap()
}

/// `scipy.optimize.least_squares` with weights held; both iterate, so 1e-7 of a number is asked for, and of its
/// uncertainty, whose Jacobian is taken by differences there, 1e-6.
#[test]
fn weighted_maps_are_those_of_general_least_squares() {
    for case in cases() {
        let found = found(&case, true);
        let [x, y] = found.arcmin_per_division;
        let [zero_x, zero_y] = found.boresight_divisions;
        let expected = numbers(&case["map"]);
        for (ours, theirs) in [found.rotation_deg, x, y, zero_x, zero_y].into_iter().zip(expected) {
            close("the map", ours, theirs, 1e-7 * theirs.abs().max(1.0));
        }
        let covariance = found.covariance.unwrap();
        let places: &[usize] =
            if found.scales == Scales::One { &[0, 1, 3, 4] } else { &[0, 1, 2, 3, 4] };
        // There the scale's own uncertainty is that of arcminutes per division, as here.
        for (place, theirs) in places.iter().zip(numbers(&case["u"])) {
            close("its uncertainty", covariance[*place][*place].sqrt(), theirs, 1e-6 * theirs);
        }
        let consistency = case["consistency"].as_float().unwrap();
        close("its χ² probability", found.consistency.unwrap(), consistency, 1e-6);
    }
}

/// `skimage.transform.SimilarityTransform`, which weighs all alike and knows no reflection.
#[test]
fn maps_of_one_scale_are_similarities() {
    for case in cases().iter().filter(|case| !case["each_axis"].as_bool().unwrap()) {
        let found = found(case, false);
        let [zero_x, zero_y] = found.boresight_divisions;
        let ours = [found.rotation_deg, found.arcmin_per_division[0], zero_x, zero_y];
        for (ours, theirs) in ours.into_iter().zip(numbers(&case["similarity"])) {
            close("the similarity", ours, theirs, 1e-10 * theirs.abs().max(1.0));
        }
    }
}
