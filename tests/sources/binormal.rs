//! Mass of a bivariate normal in boxes and discs where it is exact or known to more digits, and of Student's t
//! (elsewhere: [`solver::published::statistics`]).

use crate::close;
use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use solver::decision::expected_inside;
use solver::pointing::SettingUncertainty;
use solver::stats::binormal::Binormal;
use solver::stats::quadrature::integrate;
use solver::{Direction, Misalignment, Window};

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

/// With equal variances and no correlation the mass is a non-central χ² of two degrees of freedom. Source:
/// SciPy 1.17.1, `ncx2.cdf(R²/σ², 2, |mean|²/σ²)`; about the origin 1 − e^(−R²/2σ²), in closed form.
#[test]
fn a_disc_of_equal_variances_is_a_noncentral_chi_squared() {
    for (mean, sigma, radius, mass) in [
        ([3.0, 4.0], 2.0, 6.0, 0.623_010_143_396_658_5),
        ([0.0, 20.0], 0.3, 20.0, 0.497_007_848_734_449_03),
        ([19.9, 0.5], 0.25, 20.0, 0.643_792_077_727_548_5),
        ([0.1, 0.2], 5.0, 1.0, 0.019_781_732_420_544_023),
        ([14.5, 14.0], 0.7, 20.0, 0.405_248_508_640_976_9),
        ([0.0, 20.4], 0.11, 20.0, 0.000_136_803_439_735_194_33),
        ([7.0, -1.0], 1.5, 8.0, 0.698_108_771_970_504_1),
        ([5.0, 0.0], 300.0, 20.0, 0.002_219_446_978_888_958_5),
    ] {
        let normal = Binormal::new(mean, [[sigma * sigma, 0.0], [0.0, sigma * sigma]]).unwrap();
        close("non-central", normal.mass_in_disc(radius), mass, 1e-12);
    }
    for exponent in -20..=3 {
        let sigma = 2.0_f64.powi(exponent);
        let normal =
            Binormal::new([0.0, 0.0], [[sigma * sigma, 0.0], [0.0, sigma * sigma]]).unwrap();
        for radius in [0.01, 0.1, 0.5, 1.0, 3.0, 8.0] {
            let z: f64 = radius / sigma;
            close("central", normal.mass_in_disc(radius), -(-0.5 * z * z).exp_m1(), 1e-12);
        }
    }
}

/// Unequal variances, near the rim and across it, turned and nearly a line. Source: mpmath 1.3.0, `quad` at 30
/// digits over 200 and over 400 intervals, which agree, of the density along x times the mass across given x.
#[test]
fn a_disc_of_unequal_variances_agrees_with_thirty_digits() {
    for (mean, [xx, xy, yy], radius, mass) in [
        ([19.7, 1.0], [0.09, 0.02, 0.04], 20.0, 0.816_699_134_606_901_9),
        ([14.0, 14.3], [0.25, -0.2, 0.25], 20.0, 0.458_344_563_964_160_33),
        ([3.0, -4.0], [9.0, 8.99, 9.0], 6.0, 0.568_710_279_389_132_7),
        ([12.0, 16.1], [1.0, 0.0, 0.0001], 20.0, 0.446_502_264_600_419_6),
        ([0.0, 19.99], [4.0, 0.0, 0.0001], 20.0, 0.221_456_434_419_926_83),
        ([0.5, 0.5], [1_600.0, 300.0, 100.0], 20.0, 0.355_631_069_915_624_8),
        ([1.0, 1.999], [1e-8, 0.0, 1.0], 2.2, 0.484_244_771_120_563_9),
    ] {
        let normal = Binormal::new(mean, [[xx, xy], [xy, yy]]).unwrap();
        close("unequal", normal.mass_in_disc(radius), mass, 1e-12);
    }
}

/// With correlation ±1, or no variance along an axis, the mass is that of a line through the disc: two values of
/// Φ, in closed form. What is nearly a line comes to nearly that, and no ratio of variances is refused.
#[test]
fn a_line_through_a_disc_is_two_values_of_phi() {
    let normal = |z| solver::stats::quantile::normal_probability(z).unwrap();
    // Along (3, 4)/5 from (−1.4, 4.8), 5 from the origin, square to it: half a chord of √(13² − 5²) = 12.
    let on_line = |deviation: f64| normal(12.0 / deviation) - normal(-12.0 / deviation);
    let turned = |along: f64, across: f64| {
        let (cos, sin) = (0.6, 0.8);
        let of = |a: f64, b: f64| along * along * a + across * across * b;
        let shared = of(cos * sin, -cos * sin);
        let covariance = [[of(cos * cos, sin * sin), shared], [shared, of(sin * sin, cos * cos)]];
        Binormal::new([-4.0, 3.0], covariance).unwrap().mass_in_disc(13.0)
    };
    for deviation in [0.1, 3.0, 12.0, 40.0, 5_000.0] {
        for across in [0.0, 1e-150, 1e-12, 1e-9] {
            // Where the line is not quite one, rounding of its four numbers moves it.
            close("line", turned(deviation, across), on_line(deviation), 1e-7);
        }
        let flat = Binormal::new([5.0, 0.0], [[0.0, 0.0], [0.0, deviation * deviation]]).unwrap();
        close("flat", flat.mass_in_disc(13.0), on_line(deviation), 1e-15);
        for across in [1e-6, 1e-10, 1e-100] {
            let nearly = [[across * across, 0.0], [0.0, deviation * deviation]];
            let nearly = Binormal::new([5.0, 0.0], nearly).unwrap();
            close(
                "nearly flat",
                nearly.mass_in_disc(13.0),
                on_line(deviation),
                1e-6 * across.max(1e-6),
            );
        }
    }
}

/// Student's t in two dimensions of one scale: in a disc about its middle 1 − (1 + R²/νσ²)^(−ν/2), in closed form;
/// along one axis Student's t itself. Source of the latter: SciPy 1.17.1, `t.cdf(2.5, ν) − t.cdf(−1, ν)`.
#[test]
fn masses_of_estimated_spread_are_those_of_student() {
    for (freedom, between) in [
        (1.0, 0.628_881_058_409_156_6),
        (2.0, 0.723_869_274_484_057_5),
        (4.0, 0.779_666_244_443_976_6),
        (10.0, 0.813_830_011_730_665_6),
        (40.0, 0.830_028_917_710_364_8),
        (1_000.0, 0.834_934_507_057_118_4),
    ] {
        let known = SettingUncertainty {
            misalignment: Misalignment::new(0.0, 0.0),
            misalignment_arcmin2: [[1.0, 0.0], [0.0, 0.0]],
            shared_arcmin2: [[0.0, 0.0], [0.0, 0.0]],
            freedom,
        };
        let window = Window::new(1.0, 2.5, 5.0, None).unwrap();
        let inside = expected_inside(&window, &known, Direction::BORESIGHT).unwrap();
        close("t", inside, between, 1e-11);
        for radius in [0.3_f64, 1.0, 4.0, 30.0] {
            let sigma = 0.8;
            let known = SettingUncertainty {
                misalignment_arcmin2: [[0.0, 0.0], [0.0, 0.0]],
                shared_arcmin2: [[sigma * sigma, 0.0], [0.0, sigma * sigma]],
                ..known
            };
            let window = Window::new(1.0, 2.5, 5.0, Some(radius)).unwrap();
            let inside = expected_inside(&window, &known, Direction::BORESIGHT).unwrap();
            let ratio = (radius / sigma).powi(2) / freedom;
            close("disc", inside, 1.0 - (1.0 + ratio).powf(-0.5 * freedom), 1e-11);
        }
    }
}

/// Distributions of every size, turn and place about the rim, against a general quadrature along another axis.
#[test]
fn every_disc_agrees_with_a_general_quadrature() {
    let mut chance = ChaCha8Rng::seed_from_u64(24);
    let mut within = |low: f64, high: f64| low + (high - low) * chance.random::<f64>();
    for case in 0..4_000 {
        let radius = 20.0;
        let large = 10.0_f64.powf(within(-2.0, 2.5));
        let small = large * 10.0_f64.powf(within(-2.5, 0.0));
        let (sin, cos) = within(0.0, 3.2).sin_cos();
        let of = |a: f64, b: f64| large * large * a + small * small * b;
        let (xx, yy) = (of(cos * cos, sin * sin), of(sin * sin, cos * cos));
        let xy = of(cos * sin, -cos * sin);
        let from_rim = small.max(0.3 * large) * within(-4.0, 4.0);
        let at = if case % 3 == 0 { within(0.0, radius) } else { (radius + from_rim).max(0.0) };
        let (y, x) = within(0.0, 6.3).sin_cos();
        let mean = [at * x, at * y];
        let (slope, across) = (xy / xx, (large * small) / xx.sqrt());
        let phi = |z: f64| 0.5 * libm::erfc(-z / core::f64::consts::SQRT_2);
        let direct = |place: f64| {
            let (sin, cos) = place.sin_cos();
            let off = radius * sin - mean[0];
            let middle = mean[1] + slope * off;
            let half = radius * cos;
            let (a, b) = ((-half - middle) / across, (half - middle) / across);
            let density = (-0.5 * off * off / xx).exp() / (core::f64::consts::TAU * xx).sqrt();
            let inside = if a > 0.0 { phi(-a) - phi(-b) } else { phi(b) - phi(a) };
            density * inside * half
        };
        let angle = |x: f64| (x / radius).clamp(-1.0, 1.0).asin();
        let reach = 9.0 * xx.sqrt();
        let (low, high) = (angle(mean[0] - reach), angle(mean[0] + reach));
        let general = integrate(direct, low, high, 60, 1e-12);
        if general.error > 1e-11 {
            continue;
        }
        let ours = Binormal::new(mean, [[xx, xy], [xy, yy]]).unwrap().mass_in_disc(radius);
        close(&format!("case {case}"), ours, general.value, 1e-10);
    }
}

/// No numbers make it panic, and none give a chance that is none.
#[test]
fn no_numbers_give_a_chance_that_is_none() {
    let odd = [
        0.0,
        -0.0,
        1e-320,
        1e-160,
        1e-8,
        1.0,
        20.0,
        1e8,
        1e153,
        1e300,
        f64::MAX,
        f64::INFINITY,
        f64::NAN,
    ];
    for x in odd {
        for xx in odd {
            for yy in odd {
                for share in [0.0, 0.999_999, 1.0, -1.0] {
                    let xy = share * xx.sqrt() * yy.sqrt();
                    let Ok(normal) = Binormal::new([x, -x], [[xx, xy], [xy, yy]]) else { continue };
                    for radius in odd {
                        let mass = normal.mass_in_disc(radius);
                        assert!((0.0..=1.0).contains(&mass), "{normal:?} within {radius}: {mass}");
                    }
                }
            }
        }
    }
}
