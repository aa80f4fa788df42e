//! Statistics of a shop against the digits of general-purpose libraries: scipy 1.17.1, statsmodels
//! 0.15.0, numpy 2.4.6. The call is beside each check; both sides work in double precision, so a
//! relative 1e-12 is asked for where a line does not say otherwise.

use solver::Direction;
use solver::stats::compare::holm;
use solver::stats::line::LineFit;
use solver::stats::order::quantile;
use solver::stats::ranks::{kruskal_wallis, mann_whitney};
use solver::stats::scatter::Scatter;

use crate::close;

const A: [f64; 7] = [2.1, 3.4, 1.9, 5.6, 4.4, 2.8, 3.9];
const B: [f64; 6] = [4.2, 5.9, 6.1, 7.3, 5.0, 8.8];
const C: [f64; 8] = [3.1, 2.2, 4.7, 6.5, 3.9, 5.2, 2.6, 4.1];
const TIED_A: [f64; 6] = [1.0, 2.0, 2.0, 3.0, 3.0, 3.0];
const TIED_B: [f64; 5] = [2.0, 3.0, 4.0, 4.0, 5.0];
const TIED_C: [f64; 5] = [1.0, 1.0, 2.0, 5.0, 6.0];

#[track_caller]
fn same(what: &str, found: f64, expected: f64) {
    close(what, found, expected, 1e-12 * expected.abs());
}

/// `scipy.stats.kruskal`.
#[test]
fn kruskal_and_wallis() {
    let check = |groups: &[&[f64]], h: f64, p: f64| {
        let found = kruskal_wallis(groups).unwrap();
        same("H", found.h, h);
        same("p", found.p_value, p);
        assert_eq!(found.freedom, groups.len() - 1);
    };
    check(&[&A, &B, &C], 8.014_055_199_727_721, 0.018_187_375_128_446_82);
    check(&[&A, &B], 6.612_244_897_959_179_5, 0.010_127_990_549_390_701);
    check(&[&TIED_A, &TIED_B, &TIED_C], 2.068_425_076_452_602, 0.355_506_218_287_091_5);
    let alike = kruskal_wallis(&[&[1.0, 1.0], &[1.0]]).unwrap();
    assert_eq!((alike.h, alike.p_value), (0.0, 1.0));
    assert!(kruskal_wallis(&[&A]).is_err() && kruskal_wallis(&[&A, &[]]).is_err());
    assert!(kruskal_wallis(&[&A, &[f64::NAN]]).is_err());
}

/// `scipy.stats.mannwhitneyu`, method "exact" without ties and "asymptotic" (with its continuity
/// correction) with them.
#[test]
fn mann_and_whitney() {
    let check = |first: &[f64], second: &[f64], u: f64, p: f64, exact: bool| {
        let found = mann_whitney(first, second).unwrap();
        same("U", found.u, u);
        same("p", found.p_value, p);
        assert_eq!(found.exact, exact);
        // The other way round: U of the other group, the same p.
        let back = mann_whitney(second, first).unwrap();
        same("U", back.u + u, (first.len() * second.len()) as f64);
        same("p", back.p_value, p);
    };
    check(&A, &B, 3.0, 0.008_158_508_158_508_158, true);
    check(&B, &C, 41.0, 0.029_304_029_304_029_304, true);
    check(
        &[1.0, 2.0, 3.5],
        &[3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 2.5],
        2.0,
        0.066_666_666_666_666_67,
        true,
    );
    // A and C share 3.9.
    check(&A, &C, 20.5, 0.417_470_853_981_101_95, false);
    check(&TIED_A, &TIED_B, 5.5, 0.088_713_691_996_776_16, false);
    // x = [((i·37) % 101)/10 for i in range(30)], y = [((i·53) % 89)/10 + 1.5 for i in range(25)]
    let x: Vec<f64> = (0..30).map(|i| f64::from((i * 37) % 101) / 10.0).collect();
    let y: Vec<f64> = (0..25).map(|i| f64::from((i * 53) % 89) / 10.0 + 1.5).collect();
    check(&x, &y, 289.0, 0.148_353_926_548_273_48, false);
    let alike = mann_whitney(&[2.0, 2.0], &[2.0, 2.0, 2.0]).unwrap();
    assert_eq!((alike.u, alike.p_value), (3.0, 1.0));
    assert!(mann_whitney(&[], &A).is_err());
}

/// `statsmodels.stats.multivariate.test_mvmean(P, [x, y])`: `t2`, `statistic` (F), `pvalue`, `df`.
#[test]
fn hotelling() {
    let points: Vec<Direction> = [
        (1.2, 0.4),
        (2.3, -0.9),
        (0.7, 1.8),
        (3.1, 0.2),
        (1.9, -1.4),
        (2.6, 0.9),
        (0.3, -0.5),
        (1.4, 2.2),
    ]
    .iter()
    .map(|&(x, y)| Direction::new(x, y))
    .collect();
    let scatter = Scatter::of(&points).unwrap();
    same("x", scatter.mean.x_arcmin, 1.6875);
    same("y", scatter.mean.y_arcmin, 0.3375);
    let [[xx, xy], [yx, yy]] = scatter.covariance_arcmin2;
    same("xx", xx, 0.924_107_142_857_142_9);
    same("xy", xy, -0.236_607_142_857_142_85);
    same("yy", yy, 1.599_821_428_571_428_5);
    assert_eq!(xy, yx);
    for (expected, t_squared, f, p) in [
        (
            Direction::BORESIGHT,
            27.730_213_956_491_337,
            11.884_377_409_924_857,
            0.008_187_885_175_871_806,
        ),
        (
            Direction::new(1.5, 0.3),
            0.342_348_320_451_110_9,
            0.146_720_708_764_504_73,
            0.866_541_106_538_238_7,
        ),
    ] {
        let found = scatter.mean_is(expected).unwrap().unwrap();
        // The mean less 1.5 and 0.3 loses a digit.
        close("T²", found.t_squared, t_squared, 1e-11 * t_squared);
        close("F", found.f, f, 1e-11 * f);
        close("p", found.p_value, p, 1e-11 * p);
        assert_eq!(found.freedom, [2, 6]);
    }
    // The ellipse of the mean passes through a direction exactly where T² of it has p = 1 − its
    // probability: both are the same inequality.
    let ellipse = scatter.ellipse_of_mean(0.95).unwrap();
    for point in ellipse.path(7) {
        close("p", scatter.mean_is(point).unwrap().unwrap().p_value, 0.05, 1e-12);
    }
    // (1 + 1/n)/(1/n) = 9 in squared axes.
    let next = scatter.ellipse_of_next(0.95).unwrap();
    same("axis", next.semi_major_arcmin, 3.0 * ellipse.semi_major_arcmin);
    let line: Vec<Direction> =
        (0..5).map(|i| Direction::new(f64::from(i), 2.0 * f64::from(i))).collect();
    assert_eq!(Scatter::of(&line).unwrap().mean_is(Direction::BORESIGHT).unwrap(), None);
    assert!(Scatter::of(&line[..2]).is_err());
}

/// `statsmodels.api.OLS(y, add_constant(x)).fit()`: `params`, `bse`, `mse_resid`, `conf_int(0.05)`,
/// `get_prediction(…).summary_frame(alpha=0.05)` (`mean_ci` and `obs_ci`), `t_test("x1 = 1").pvalue`.
#[test]
fn line_with_its_bands() {
    let x = [4.2, 6.1, 6.4, 8.3, 10.0, 12.7, 12.7, 15.2, 19.1];
    let y = [3.9, 6.6, 6.0, 8.8, 9.4, 12.9, 13.5, 14.6, 19.0];
    let line = LineFit::through(&x, &y).unwrap();
    same("slope", line.slope, 0.994_910_956_621_113_4);
    // A small difference of larger numbers, on either side.
    close("intercept", line.intercept, 0.053_548_045_331_173_41, 1e-13);
    same("deviation", line.deviation.unwrap(), 0.554_870_050_267_893_3);
    same("u of the slope", line.u_of_slope().unwrap(), 0.040_611_362_264_318_61);
    let covariance = line.covariance().unwrap();
    same("u of the intercept", covariance[0][0].sqrt(), 0.465_631_696_855_516_4);
    let half = line.slope_half_width(0.95).unwrap();
    same("slope low", line.slope - half, 0.898_880_344_520_685_5);
    same("slope high", line.slope + half, 1.090_941_568_721_541_1);
    // 1 less the slope loses two digits.
    close("slope 1", line.slope_is(1.0).unwrap(), 0.903_800_432_237_446_1, 1e-11);
    same("slope 0", line.slope_is(0.0).unwrap(), 4.810_044_711_149_89e-8);
    for (at, u, mean_high, next_high) in [
        (5.0, 0.290_695_287_617_104_67, 5.715_487_955_359_887, 6.509_317_734_374_743_5),
        (12.7, 0.205_014_766_510_143_66, 13.173_700_083_243_83, 14.087_671_545_316_86),
        (25.0, 0.616_367_273_003_382_7, 26.383_798_962_490_914, 26.887_377_415_236_5),
    ] {
        same("u", line.u_at(at).unwrap(), u);
        same("mean", line.at(at) + line.half_width_at(at, 0.95).unwrap(), mean_high);
        same("next", line.at(at) + line.next_half_width_at(at, 0.95).unwrap(), next_high);
    }
    let two = LineFit::through(&x[..2], &y[..2]).unwrap();
    assert!(two.next_half_width_at(1.0, 0.95).is_err() && two.slope_is(1.0).is_err());
    let exact = LineFit::through(&[0.0, 1.0, 2.0], &[1.0, 2.0, 3.0]).unwrap();
    assert_eq!((exact.slope_is(1.0), exact.slope_is(2.0)), (Ok(1.0), Ok(0.0)));
}

/// `numpy.quantile(values, share)`, its default method.
#[test]
fn quantiles() {
    for (share, expected) in [
        (0.0, 2.2),
        (0.05, 2.34),
        (0.25, 2.975),
        (0.5, 4.0),
        (0.75, 4.825),
        (0.95, 6.045),
        (1.0, 6.5),
    ] {
        same("quantile", quantile(&C, share).unwrap(), expected);
    }
    same("quantile", quantile(&B, 0.9).unwrap(), 8.05);
    assert_eq!(quantile(&[7.0], 0.3).unwrap(), 7.0);
    assert!(quantile(&[], 0.5).is_err() && quantile(&C, 1.1).is_err());
    assert!(quantile(&[f64::NAN], 0.5).is_err());
}

/// `statsmodels.stats.multitest.multipletests(p, method="holm")`.
#[test]
fn holms_correction() {
    let found = holm(&[0.012, 0.3, 0.0004, 0.04, 0.021]).unwrap();
    for (found, expected) in found.iter().zip([0.048, 0.3, 0.002, 0.08, 0.063]) {
        same("p", *found, expected);
    }
}
