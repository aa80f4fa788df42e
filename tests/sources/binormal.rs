//! Mass of a bivariate normal in boxes and discs against mpmath 1.4 (25 digits, by adaptive
//! quadrature) and, where scipy 1.17 has it, against `multivariate_normal.cdf` and `ncx2.cdf`,
//! which agree with those digits to 1e-15.

use crate::close;
use solver::stats::binormal::Binormal;

#[test]
fn boxes_agree() {
    for (mean, covariance, low, high, mass) in [
        ([0.0, 0.0], [[1.0, 0.5], [0.5, 1.0]], [0.0, 0.0], [50.0, 50.0], 1.0 / 3.0),
        ([1.0, -2.0], [[4.0, 1.5], [1.5, 9.0]], [-1.0, -5.0], [3.0, 2.0], 0.519_194_631_167_844_6),
        (
            [0.5, 0.25],
            [[1.0, -0.96], [-0.96, 1.0]],
            [-1.0, -1.0],
            [1.0, 0.5],
            0.290_213_120_212_712_4,
        ),
        (
            [0.5, 0.25],
            [[1.0, 0.999], [0.999, 1.0]],
            [-1.0, -1.0],
            [1.0, 0.5],
            0.493_056_551_970_917_3,
        ),
        (
            [12.0, -3.0],
            [[25.0, -8.0], [-8.0, 16.0]],
            [-45.0, -15.0],
            [20.0, 15.0],
            0.944_357_433_910_799_6,
        ),
    ] {
        let found = Binormal::new(mean, covariance).unwrap().mass_in_box(low, high);
        close("box", found, mass, 1e-14);
    }
}

/// Without correlation a box is a product of two intervals; with correlation 1 it is one.
#[test]
fn the_limits_of_correlation_are_exact() {
    let normal = |z| solver::stats::quantile::normal_probability(z).unwrap();
    let free = Binormal::new([0.0, 0.0], [[1.0, 0.0], [0.0, 4.0]]).unwrap();
    let expected = (normal(1.0) - normal(-1.0)) * (normal(1.5) - normal(-0.5));
    close("free", free.mass_in_box([-1.0, -1.0], [1.0, 3.0]), expected, 1e-15);
    let tied = Binormal::new([0.0, 0.0], [[1.0, 1.0], [1.0, 1.0]]).unwrap();
    close("tied", tied.mass_in_box([-1.0, -2.0], [2.0, 0.5]), normal(0.5) - normal(-1.0), 1e-15);
    let point = Binormal::new([3.0, 4.0], [[0.0, 0.0], [0.0, 0.0]]).unwrap();
    assert_eq!(point.mass_in_box([3.0, 0.0], [3.0, 5.0]), 1.0);
    assert_eq!(point.mass_in_disc(5.0), 1.0);
    assert_eq!(point.mass_in_disc(4.99), 0.0);
}

#[test]
fn discs_agree() {
    for (mean, covariance, radius, mass) in [
        ([0.0, 0.0], [[1.0, 0.0], [0.0, 1.0]], 1.0, 1.0 - f64::exp(-0.5)),
        ([3.0, 4.0], [[4.0, 0.0], [0.0, 4.0]], 6.0, 0.623_010_143_396_658_4),
        ([3.0, -2.0], [[9.0, 2.5], [2.5, 1.0]], 5.0, 0.696_214_855_795_090_3),
        ([10.0, 0.0], [[0.01, 0.0], [0.0, 4.0]], 10.0, 0.213_252_711_147_987_3),
        ([0.5, 0.5], [[1e-4, 0.0], [0.0, 25.0]], 3.0, 0.443_907_630_085_659_5),
    ] {
        let found = Binormal::new(mean, covariance).unwrap().mass_in_disc(radius);
        close("disc", found, mass, 1e-12);
    }
}
