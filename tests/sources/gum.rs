//! JCGM 100:2008 (GUM), annex H. Data of H.2 and H.3 as shipped with open uncertainty calculators;
//! figures printed in the GUM, more digits recomputed with mpmath (30 digits).

use crate::{close, printed};
use nalgebra::{DMatrix, DVector};
use solver::stats::anova::one_way;
use solver::stats::correlated::Estimates;
use solver::stats::line::LineFit;
use solver::stats::sample::Sample;

/// H.2: resistance, reactance and impedance from voltage, current and phase read together.
#[test]
fn h2_keeps_the_correlations_of_simultaneous_readings() {
    let volts = [5.007, 4.994, 5.005, 4.990, 4.999];
    let milliamps = [19.663, 19.639, 19.640, 19.685, 19.678];
    let amps = milliamps.map(|i| i / 1000.0);
    let radians = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
    let read = Estimates::means_of(&[&volts, &amps, &radians]).unwrap();
    printed("u(V)", read.u(0), 0.0032, 4);
    printed("u(I), mA", read.u(1) * 1e3, 0.0095, 4);
    printed("u(φ)", read.u(2), 0.00075, 5);
    printed("r(V, I)", read.correlation(0, 1), -0.36, 2);
    printed("r(V, φ)", read.correlation(0, 2), 0.86, 2);
    printed("r(I, φ)", read.correlation(1, 2), -0.65, 2);

    let (v, i, phi) = (read.values[0], read.values[1], read.values[2]);
    let (sin, cos) = phi.sin_cos();
    #[rustfmt::skip]
    let sensitivities = DMatrix::from_row_slice(3, 3, &[
        cos / i, -v * cos / (i * i), -v * sin / i,
        sin / i, -v * sin / (i * i), v * cos / i,
        1.0 / i, -v / (i * i), 0.0,
    ]);
    let values = DVector::from_vec(vec![v * cos / i, v * sin / i, v / i]);
    let found = read.propagated(values, &sensitivities).unwrap();
    printed("R", found.values[0], 127.732, 3);
    printed("X", found.values[1], 219.847, 3);
    printed("Z", found.values[2], 254.260, 3);
    printed("u(R)", found.u(0), 0.071, 3);
    printed("u(Z)", found.u(2), 0.236, 3);
    printed("r(R, X)", found.correlation(0, 1), -0.588, 3);
    printed("r(R, Z)", found.correlation(0, 2), -0.485, 3);
    printed("r(X, Z)", found.correlation(1, 2), 0.993, 3);
    // Recomputed. The GUM prints u(X) = 0.295 from rounded inputs; unrounded it is 0.2956.
    printed("u(X)", found.u(1), 0.295_581_677_359, 11);
    printed("u(R)", found.u(0), 0.071_071_407_397, 11);
    printed("r(R, X)", found.correlation(0, 1), -0.588_429_784_423, 10);
}

/// H.3: the calibration line of a thermometer.
#[test]
fn h3_fits_a_line_and_its_band() {
    let celsius =
        [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let x = celsius.map(|t| t - 20.0);
    let y =
        [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let line = LineFit::through(&x, &y).unwrap();
    printed("y1", line.intercept, -0.1712, 4);
    printed("y2", line.slope, 0.002_18, 5);
    let covariance = line.covariance().unwrap();
    let (u1, u2) = (covariance[0][0].sqrt(), covariance[1][1].sqrt());
    printed("u(y1)", u1, 0.0029, 4);
    printed("u(y2)", u2, 0.000_67, 5);
    printed("r", covariance[0][1] / (u1 * u2), -0.930, 3);
    printed("s", line.deviation.unwrap(), 0.0035, 4);
    printed("b(30 °C)", line.at(10.0), -0.1494, 4);
    printed("u(b(30 °C))", line.u_at(10.0).unwrap(), 0.0041, 4);
    // Recomputed.
    printed("y1", line.intercept, -0.171_203_790_131, 12);
    printed("u(y1)", u1, 0.002_877_597_835, 12);
    printed("u(y2)", u2, 0.000_667_938_773, 12);
    printed("u(b(30 °C))", line.u_at(10.0).unwrap(), 0.004_138_595_753, 12);
    // ν = 9: t is 2.26.
    let half = line.half_width_at(10.0, 0.95).unwrap();
    close("95 % at one place", half / line.u_at(10.0).unwrap(), 2.262_157_162_798, 1e-11);
    assert!(line.band_half_width_at(10.0, 0.95).unwrap() > half);
}

/// H.5: ten days of five readings, as day means and standard deviations: one-way analysis rebuilt
/// from them.
#[test]
fn h5_compares_days() {
    let means = [172.0, 116.0, 13.0, 144.0, 106.0, 31.0, 60.0, 125.0, 163.0, 41.0];
    let deviations: [f64; 10] = [60.0, 77.0, 111.0, 101.0, 67.0, 93.0, 80.0, 73.0, 88.0, 86.0];
    // Five values with a mean and a standard deviation: mean ± a twice, and the mean.
    let days: Vec<[f64; 5]> = means
        .iter()
        .zip(deviations)
        .map(|(&mean, s)| [mean - s, mean - s, mean, mean + s, mean + s])
        .collect();
    let groups: Vec<&[f64]> = days.iter().map(|day| &day[..]).collect();
    let analysed = one_way(&groups).unwrap();
    printed("mean, µV over 10 V", analysed.mean, 97.1, 1);
    printed("u between, µV", Sample::of(&means).unwrap().deviation.unwrap(), 57.0, 0);
    printed("pooled s, µV", analysed.within.mean().sqrt(), 85.0, 0);
    assert_eq!((analysed.between.freedom, analysed.within.freedom), (9, 40));
    // The GUM prints 2.25 from its rounded table; from the same table unrounded it is 2.2615.
    let test = analysed.between.against(&analysed.within).unwrap();
    printed("F", test.ratio, 2.261_519_27, 8);
    // F below its 95 % quantile (2.12) is where the GUM's example lies: p just under 0.04.
    assert!(test.p_value < 0.05 && test.p_value > 0.025);
}
