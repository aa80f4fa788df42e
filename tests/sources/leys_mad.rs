//! C. Leys, C. Ley, O. Klein, P. Bernard, L. Licata, "Detecting outliers: do not use standard
//! deviation around the mean, use absolute deviation around the median", Journal of Experimental
//! Social Psychology 49 (2013) 764–766. The worked example, from memory.

use solver::stats::robust::middle;

use crate::close;

/// The factor makes the spread of a normal population its standard deviation: 1/Φ⁻¹(0.75), by the
/// standard library of Python, statistics.NormalDist().inv_cdf(0.75) = 0.6744897501960817.
#[test]
fn the_factor_is_that_of_a_normal_population() {
    let found = middle(&[-1.0, 0.0, 1.0]).unwrap();
    // A division and a multiplication: a few roundings of 1e−16.
    close("factor", found.spread, 1.0 / 0.674_489_750_196_081_7, 1e-15);
}

#[test]
fn no_values_and_no_numbers_are_refused() {
    assert!(middle(&[]).is_err());
    assert!(middle(&[1.0, f64::NAN]).is_err());
    assert!(middle(&[1.0, f64::INFINITY]).is_err());
}
