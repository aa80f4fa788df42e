//! Quantiles and tails against mpmath 1.4 (40 digits, started from scipy 1.17), and the tables of
//! JCGM 106 (from memory). The functions promise a relative 1e-12 of the smaller tail, and
//! quantiles are checked to the same.

use crate::{close, printed};
use solver::stats::quantile::{
    chi_squared, chi_squared_above, f, f_above, normal, normal_probability, student, student_above,
};

const PROMISED: f64 = 1e-12;

fn same(what: &str, actual: Result<f64, solver::Error>, expected: f64) {
    close(what, actual.unwrap(), expected, PROMISED * expected.abs());
}

/// JCGM 106:2012, table 1, as two decimals (from memory).
#[test]
fn the_table_of_coverage_factors_agrees() {
    for (p, z) in [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)] {
        printed("z", normal(p).unwrap(), z, 2);
    }
}

#[test]
fn normal_quantiles_agree() {
    for (p, z) in [
        (1e-300, -37.047_096_299_361_2),
        (1e-20, -9.262_340_089_798_408),
        (1e-5, -4.264_890_793_922_825),
        (0.025, -1.959_963_984_540_054_2),
        (0.3, -0.524_400_512_708_040_8),
        (0.8, 0.841_621_233_572_914_2),
        (0.9, 1.281_551_565_544_600_5),
        (0.95, 1.644_853_626_951_472_7),
        (0.975, 1.959_963_984_540_054_2),
        (0.99, 2.326_347_874_040_841),
        (0.999, 3.090_232_306_167_813_5),
    ] {
        same("z", normal(p), z);
        same("p", normal_probability(normal(p).unwrap()), p);
    }
    assert_eq!(normal(0.5).unwrap(), 0.0);
}

#[test]
fn students_quantiles_and_tails_agree() {
    for (p, freedom, t) in [
        (0.975, 1.0, 12.706_204_736_174_705),
        (0.975, 2.0, 4.302_652_729_749_464),
        (0.975, 9.0, 2.262_157_162_798_205_5),
        (0.95, 4.0, 2.131_846_786_326_650_3),
        (0.995, 24.0, 2.796_939_504_774_456),
        (0.6, 7.0, 0.263_166_861_352_022_8),
        (0.975, 2.5, 3.574_654_842_003_683),
        (1e-9, 5.0, -98.937_224_648_369_96),
        (0.975, 1000.0, 1.962_339_080_826_408_5),
        (0.9, 0.5, 10.270_324_410_234_506),
    ] {
        same("t", student(p, freedom), t);
    }
    // At 10⁶ degrees of freedom 1e-10 is promised.
    close("t", student(0.975, 1e6).unwrap(), 1.959_966_356_814_107, 2e-10);
    same("normal limit", student(0.975, f64::INFINITY), 1.959_963_984_540_054_2);
    for (t, freedom, above) in [
        (2.0, 5.0, 0.050_969_739_414_929_18),
        (-1.5, 3.3, 0.888_748_401_640_354_1),
        (30.0, 4.0, 3.676_428_048_830_661e-6),
        (1e-3, 10.0, 0.499_610_891_687_370_5),
    ] {
        same("tail", student_above(t, freedom), above);
    }
}

#[test]
fn chi_squared_quantiles_and_tails_agree() {
    for (p, freedom, value) in [
        (0.95, 1.0, 3.841_458_820_694_126),
        (0.99, 2.0, 9.210_340_371_976_183),
        (0.01, 10.0, 2.558_212_160_187_206),
        (0.5, 3.0, 2.365_973_884_375_338),
        (0.999, 60.0, 99.607_233_069_849_38),
        (0.025, 4.5, 0.649_384_599_211_317_4),
        (0.95, 100_000.0, 100_736.736_177_319),
    ] {
        same("χ²", chi_squared(p, freedom), value);
    }
    for (value, freedom, above) in [
        (3.84, 1.0, 0.050_043_521_248_705_1),
        (200.0, 60.0, 5.893_259_698_661_472e-17),
        (0.01, 5.0, 0.999_999_469_972_995_7),
        (700.0, 3.0, 2.099_130_853_420_29e-151),
    ] {
        same("tail", chi_squared_above(value, freedom), above);
    }
}

#[test]
fn f_quantiles_and_tails_agree() {
    for (p, over, under, ratio) in [
        (0.95, 5.0, 125.0, 2.286_770_719_888_274_3),
        (0.99, 5.0, 125.0, 3.167_123_772_905_274),
        (0.975, 9.0, 40.0, 2.451_939_217_029_926_3),
        (0.95, 2.0, 14.0, 3.738_891_832_440_737),
        (0.95, 1.0, 1.0, 161.447_638_797_588_5),
        (0.05, 3.0, 7.0, 0.112_527_166_026_107_7),
        (0.999, 10.0, 3.5, 73.185_252_745_708_45),
    ] {
        same("F", f(p, over, under), ratio);
    }
    for (ratio, over, under, above) in [
        (0.433_721_030_135, 18.0, 60.0, 0.974_106_404_329_077_8),
        (10.0, 3.0, 5.0, 0.014_888_525_723_791_66),
        (1e-3, 2.0, 2.0, 0.999_000_999_000_999),
    ] {
        same("tail", f_above(ratio, over, under), above);
    }
}
