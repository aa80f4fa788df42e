//! Mass of a bivariate normal in boxes and discs where it is exact (elsewhere:
//! [`solver::published::statistics`]).

use crate::close;
use solver::stats::binormal::Binormal;

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
