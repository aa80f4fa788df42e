//! A consensus and each result against it: M. G. Cox, “The evaluation of key comparison data”, Metrologia 39
//! (2002), procedure A, and ISO 13528:2022, 9.7 (both from memory). No published example is to hand: the
//! figures are recomputed by general libraries that carry the correlation themselves
//! (`tests/published/round_robin.py`); what they share with ours is the arithmetic of doubles.

use crate::close;
use crate::published_round_robin::CASES;
use solver::stats::agreement::{Measurement, agreement};
use solver::stats::consensus::consensus;
use solver::uncertainty::Uncertainty;

const STATED: f64 = f64::INFINITY;

fn u(standard: f64) -> Uncertainty {
    Uncertainty { standard, freedom: STATED }
}

#[test]
fn means_and_differences_are_as_general_libraries_have_them() {
    assert_eq!(CASES.len(), 6);
    for case in CASES {
        let results: Vec<(f64, Uncertainty)> =
            case.each.iter().map(|(value, own, ..)| (*value, u(*own))).collect();
        let found = consensus(&results).unwrap();
        close("mean", found.value, case.mean, 1e-12);
        close("u", found.u.standard, case.u, 1e-12);
        close("χ²", found.chi_squared, case.chi_squared, 1e-9 * (1.0 + case.chi_squared));
        close("p", found.p_value, case.p_value, 1e-9);
        assert_eq!(found.u.freedom, STATED);
        let mut shares = 0.0;
        for (each, (_, own, difference, of_difference)) in found.each.iter().zip(case.each) {
            close("difference", each.difference, *difference, 1e-12);
            close("u of it", each.u, *of_difference, 1e-12);
            // u of the difference is the root of own² − mean²: the correlation.
            close("by hand", each.u, (own * own - case.u * case.u).sqrt(), 1e-9);
            // The score against all others, with which there is no correlation, is that against the mean.
            close("E_n", each.en, difference / (2.0 * of_difference), 1e-9);
            shares += each.share;
        }
        close("shares", shares, 1.0, 1e-12);
    }
}

/// Of two it is what two are to each other, also where uncertainties are estimated.
#[test]
fn of_two_it_is_their_agreement() {
    for freedom in [STATED, 12.0, 3.0] {
        let results = [
            (1.0, Uncertainty { standard: 0.3, freedom }),
            (1.9, Uncertainty { standard: 0.4, freedom }),
        ];
        let [first, second] = results.map(|(value, u)| Measurement {
            value: [value, 0.0],
            covariance: [[u.standard * u.standard, 0.0], [0.0, 1.0]],
            freedom,
        });
        let both = agreement(&first, &second).unwrap();
        let found = consensus(&results).unwrap();
        close("second", found.each[1].en, both.en[0].unwrap(), 1e-12);
        close("first", found.each[0].en, -both.en[0].unwrap(), 1e-12);
    }
}

/// One that states a tiny uncertainty draws the mean to itself, and the test of all says that they scatter.
#[test]
fn one_that_outweighs_all_is_still_held_against_the_others() {
    let found = consensus(&[(5.0, u(1e-9)), (0.0, u(0.5)), (0.2, u(0.5))]).unwrap();
    close("mean", found.value, 5.0, 1e-9);
    assert!(found.scatters(0.05));
    // The mean of the others is 0.1 with u = 0.5/√2: U = √0.5.
    close("E_n", found.each[0].en, 4.9 / 0.5_f64.sqrt(), 1e-6);
    assert!(!consensus(&[(5.0, u(0.5)), (5.1, u(0.5))]).unwrap().scatters(0.05));
}

#[test]
fn nothing_is_made_of_what_cannot_be_compared() {
    assert!(consensus(&[]).is_err() && consensus(&[(1.0, u(1.0))]).is_err());
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e-200, 1e200] {
        assert!(consensus(&[(1.0, u(bad)), (1.0, u(1.0))]).is_err(), "{bad}");
    }
    for bad in [f64::NAN, f64::INFINITY, 1e200] {
        assert!(consensus(&[(bad, u(1.0)), (1.0, u(1.0))]).is_err(), "{bad}");
    }
    for freedom in [f64::NAN, 0.0, -1.0] {
        let few = Uncertainty { standard: 1.0, freedom };
        assert!(consensus(&[(1.0, few), (1.0, u(1.0))]).is_err(), "{freedom}");
    }
    // As far apart as doubles allow it here.
    for (a, b) in [(1e-50, 1e50), (1e50, 1e-50)] {
        let found = consensus(&[(1e100, u(a)), (-1e100, u(b))]);
        assert!(found.is_err() || found.unwrap().each.iter().all(|one| one.en.is_finite()));
    }
}
