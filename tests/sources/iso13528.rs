//! E_n scores, ISO 13528:2022, 9.7: (x − X)/√(U² + U_X²), |E_n| ≤ 1 satisfactory (clause from memory).
//! No published example is to hand: the figures are worked by hand from Pythagorean triples, so they
//! are exact and the tolerance is a few roundings. Coverage factors: JCGM 100:2008, table G.2, column
//! of 95.45 %, two decimals (from memory).

use crate::{close, printed};
use solver::stats::agreement::{Measurement, agreement, coverage_factor};

const ROUNDING: f64 = 1e-14;

fn stated(value: [f64; 2], u: [f64; 2], both: f64) -> Measurement {
    let covariance = [[u[0] * u[0], both], [both, u[1] * u[1]]];
    Measurement { value, covariance, freedom: f64::INFINITY }
}

/// U = 2u: standard uncertainties 0.3 and 0.4 give 0.6 and 0.8, together 1; 2.5 and 6 give 13.
#[test]
fn two_measurements_worked_by_hand() {
    let first = stated([1.0, 20.0], [0.3, 2.5], 0.1);
    let second = stated([1.5, 7.0], [0.4, 6.0], -0.3);
    let found = agreement(&first, &second).unwrap();
    close("x", found.en[0].unwrap(), 0.5, ROUNDING);
    close("y", found.en[1].unwrap(), -1.0, ROUNDING);
    assert_eq!((found.difference, found.agrees()), ([0.5, -13.0], Some(true)));
    close("u x", found.u[0].standard, 0.5, ROUNDING);
    close("u y", found.u[1].standard, 6.5, ROUNDING);
    close("covariance", found.covariance[0][1], -0.2, ROUNDING);
    // The same, the other way round: only signs change.
    let back = agreement(&second, &first).unwrap();
    close("back", back.en[0].unwrap(), -0.5, ROUNDING);
    assert_eq!(
        agreement(&first, &stated([1.5, 6.9], [0.4, 6.0], 0.0)).unwrap().agrees(),
        Some(false)
    );
}

#[test]
fn few_readings_cost_coverage() {
    for (freedom, k) in
        [(1.0, 13.97), (2.0, 4.53), (5.0, 2.65), (10.0, 2.28), (20.0, 2.13), (50.0, 2.05)]
    {
        printed("k", coverage_factor(freedom).unwrap(), k, 2);
    }
    close("k", coverage_factor(f64::INFINITY).unwrap(), 2.0, 1e-12);
    // u = 1 with 10 degrees of freedom against one without uncertainty: E_n = 2.28…/k = 1 at x = k.
    let k = coverage_factor(10.0).unwrap();
    let seen = Measurement { freedom: 10.0, ..stated([k, 0.0], [1.0, 1.0], 0.0) };
    let found = agreement(&stated([0.0; 2], [0.0; 2], 0.0), &seen).unwrap();
    close("E_n", found.en[0].unwrap(), 1.0, ROUNDING);
    assert_eq!(found.u[0].freedom, 10.0);
}

#[test]
fn without_any_uncertainty_there_is_no_score() {
    let bare = stated([1.0, 2.0], [0.0; 2], 0.0);
    let found = agreement(&bare, &bare).unwrap();
    assert_eq!((found.en, found.agrees(), found.worst_en()), ([None, None], None, None));
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        let broken = Measurement { covariance: [[bad, 0.0], [0.0, 1.0]], ..bare };
        assert!(agreement(&bare, &broken).is_err(), "{bad}");
    }
}
