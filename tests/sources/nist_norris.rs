//! NIST Statistical Reference Datasets, *Norris* (linear least squares, lower difficulty): certified
//! values, which the line must meet to 12 of their 15 digits (the data have up to 4, x reaches 1000,
//! so double precision loses about three).

use crate::close;
use solver::stats::line::Line;

const X: [f64; 36] = [
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
    999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
];
const Y: [f64; 36] = [
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
    668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
    998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
];

#[test]
fn certified_values_are_met() {
    let line = Line::through(&X, &Y).unwrap();
    let covariance = line.covariance().unwrap();
    for (what, actual, certified) in [
        ("B0", line.intercept, -0.262_323_073_774_029),
        ("B1", line.slope, 1.002_116_818_020_45),
        ("sd of B0", covariance[0][0].sqrt(), 0.232_818_234_301_152),
        ("sd of B1", covariance[1][1].sqrt(), 0.429_796_848_199_937e-3),
        ("residual sd", line.deviation.unwrap(), 0.884_796_396_144_373),
    ] {
        close(what, actual, certified, 1e-12 * certified.abs());
    }
}
