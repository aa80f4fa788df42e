//! Lines, distributions, shares and charts.

use super::{Case, Figure, close, printed, within};
use crate::error::Error;
use crate::stats::anova::one_way;
use crate::stats::binormal::Binormal;
use crate::stats::compare::en_score;
use crate::stats::line::LineFit;
use crate::stats::proportion::wilson;
use crate::stats::quantile::{chi_squared, f, normal, student};
use crate::stats::robust::middle;
use crate::stats::sample::Sample;
use crate::upkeep::check_standard::{ControlChart, ewma, precision};

/// All of them.
pub const CASES: &[Case] = &[
    Case {
        what: "a straight line, certified",
        source: "NIST Statistical Reference Datasets, Norris; 12 of its 15 digits",
        work: norris,
    },
    Case {
        what: "the calibration line of a thermometer",
        source: "JCGM 100:2008, H.3; further digits recomputed with mpmath",
        work: thermometer,
    },
    Case {
        what: "ten days of five readings",
        source: "JCGM 100:2008, H.5; the ratio, which is printed from rounded figures as 2.25, recomputed",
        work: days,
    },
    Case {
        what: "mass of a bivariate normal distribution in boxes",
        source: "mpmath 1.4 and scipy 1.17 (multivariate_normal.cdf)",
        work: boxes,
    },
    Case {
        what: "mass of a bivariate normal distribution in discs",
        source: "mpmath 1.4 and scipy 1.17 (ncx2.cdf)",
        work: discs,
    },
    Case {
        what: "quantiles of the normal, Student's, χ² and F distributions",
        source: "Tables of JCGM 106:2012 (table 1) and JCGM 100:2008 (table G.2), and of the NIST/SEMATECH \
                 e-Handbook, 1.3.6.7, all from memory; further digits with mpmath 1.4",
        work: quantiles,
    },
    Case {
        what: "intervals of a share",
        source: "R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3 (from memory)",
        work: shares,
    },
    Case {
        what: "median and spread with one wild value",
        source: "C. Leys et al., J. Exp. Soc. Psychol. 49 (2013) 764 (from memory)",
        work: wild_value,
    },
    Case {
        what: "E_n of results worked by hand",
        source: "ISO 13528:2022, 9.7 (clause from memory), with Pythagorean triples",
        work: scores,
    },
    Case {
        what: "check standard of 25 days",
        source: "NIST/SEMATECH e-Handbook of Statistical Methods, 2.6.2",
        work: check_standard,
    },
    Case {
        what: "exponentially weighted moving average",
        source: "NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4",
        work: moving_average,
    },
];

const NORRIS_X: [f64; 36] = [
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
    999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
];
const NORRIS_Y: [f64; 36] = [
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
    668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
    998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
];

/// Check value and short-term standard deviation, of six readings, of 25 days: 2.6.2, wafer 137, probe
/// 2362 (data file MPC62.DAT, public domain).
pub const NIST_DAYS: [(f64, f64); 25] = [
    (97.07, 0.085),
    (97.049, 0.052),
    (97.048, 0.038),
    (97.084, 0.036),
    (97.106, 0.049),
    (97.014, 0.036),
    (97.047, 0.052),
    (97.078, 0.117),
    (97.065, 0.085),
    (97.061, 0.052),
    (97.06, 0.06),
    (97.102, 0.048),
    (97.096, 0.026),
    (97.035, 0.088),
    (97.114, 0.031),
    (97.069, 0.037),
    (97.095, 0.032),
    (97.088, 0.056),
    (97.079, 0.067),
    (97.016, 0.116),
    (97.051, 0.046),
    (97.07, 0.078),
    (97.065, 0.04),
    (97.111, 0.038),
    (97.073, 0.039),
];

/// The list of 6.3.2.4, for the moving average.
pub const NIST_LIST: [f64; 20] = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2,
    52.6, 52.4, 53.6, 52.1,
];

/// Root of the first or second variance; NaN without a covariance.
fn u(line: &LineFit, place: usize) -> f64 {
    let covariance = line.covariance();
    let variance = covariance.and_then(|rows| rows.get(place)?.get(place).copied());
    variance.map_or(f64::NAN, f64::sqrt)
}

fn norris() -> Result<Vec<Figure>, Error> {
    let line = LineFit::through(&NORRIS_X, &NORRIS_Y)?;
    // The data have up to 4 digits and x reaches 1000: double precision loses about three of 15.
    Ok(vec![
        within("B0", line.intercept, -0.262_323_073_774_029, 1e-12),
        within("B1", line.slope, 1.002_116_818_020_45, 1e-12),
        within("sd of B0", u(&line, 0), 0.232_818_234_301_152, 1e-12),
        within("sd of B1", u(&line, 1), 0.429_796_848_199_937e-3, 1e-12),
        within("residual sd", line.deviation.unwrap_or(f64::NAN), 0.884_796_396_144_373, 1e-12),
    ])
}

fn thermometer() -> Result<Vec<Figure>, Error> {
    let x = [1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.010, 6.511];
    let y =
        [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let line = LineFit::through(&x, &y)?;
    let (u1, u2) = (u(&line, 0), u(&line, 1));
    let between = line.covariance().map_or(f64::NAN, |covariance| covariance[0][1]);
    let there = line.u_at(10.0).unwrap_or(f64::NAN);
    Ok(vec![
        printed("y1", line.intercept, -0.1712, 4),
        printed("y2", line.slope, 0.002_18, 5),
        printed("u(y1)", u1, 0.0029, 4),
        printed("u(y2)", u2, 0.000_67, 5),
        printed("r", between / (u1 * u2), -0.930, 3),
        printed("s", line.deviation.unwrap_or(f64::NAN), 0.0035, 4),
        printed("b(30 °C)", line.at(10.0), -0.1494, 4),
        printed("u(b(30 °C))", there, 0.0041, 4),
        printed("y1", line.intercept, -0.171_203_790_131, 12),
        printed("u(y1)", u1, 0.002_877_597_835, 12),
        printed("u(y2)", u2, 0.000_667_938_773, 12),
        printed("u(b(30 °C))", there, 0.004_138_595_753, 12),
    ])
}

fn days() -> Result<Vec<Figure>, Error> {
    let means = [172.0, 116.0, 13.0, 144.0, 106.0, 31.0, 60.0, 125.0, 163.0, 41.0];
    let deviations = [60.0, 77.0, 111.0, 101.0, 67.0, 93.0, 80.0, 73.0, 88.0, 86.0];
    // Five values with a mean and a standard deviation: mean ± s twice, and the mean.
    let days: Vec<[f64; 5]> = means
        .iter()
        .zip(deviations)
        .map(|(&mean, s): (&f64, f64)| [mean - s, mean - s, mean, mean + s, mean + s])
        .collect();
    let groups: Vec<&[f64]> = days.iter().map(|day| &day[..]).collect();
    let analysed = one_way(&groups)?;
    let between = Sample::of(&means)?.deviation.unwrap_or(f64::NAN);
    let test = analysed.between.against(&analysed.within)?;
    Ok(vec![
        printed("mean, µV over 10 V", analysed.mean, 97.1, 1),
        printed("u between, µV", between, 57.0, 0),
        printed("pooled s, µV", analysed.within.mean().sqrt(), 85.0, 0),
        printed("F", test.ratio, 2.261_519_27, 8),
    ])
}

fn boxes() -> Result<Vec<Figure>, Error> {
    type OfBox = ([f64; 2], [[f64; 2]; 2], [f64; 2], [f64; 2], f64);
    const BOXES: [OfBox; 5] = [
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
    ];
    let worked = BOXES.into_iter().map(|(mean, covariance, low, high, mass)| {
        Ok(close("mass", Binormal::new(mean, covariance)?.mass_in_box(low, high), mass, 1e-14))
    });
    worked.collect()
}

fn discs() -> Result<Vec<Figure>, Error> {
    type OfDisc = ([f64; 2], [[f64; 2]; 2], f64, f64);
    let discs: [OfDisc; 5] = [
        ([0.0, 0.0], [[1.0, 0.0], [0.0, 1.0]], 1.0, 1.0 - f64::exp(-0.5)),
        ([3.0, 4.0], [[4.0, 0.0], [0.0, 4.0]], 6.0, 0.623_010_143_396_658_4),
        ([3.0, -2.0], [[9.0, 2.5], [2.5, 1.0]], 5.0, 0.696_214_855_795_090_3),
        ([10.0, 0.0], [[0.01, 0.0], [0.0, 4.0]], 10.0, 0.213_252_711_147_987_3),
        ([0.5, 0.5], [[1e-4, 0.0], [0.0, 25.0]], 3.0, 0.443_907_630_085_659_5),
    ];
    let worked = discs.into_iter().map(|(mean, covariance, radius, mass)| {
        Ok(close("mass", Binormal::new(mean, covariance)?.mass_in_disc(radius), mass, 1e-12))
    });
    worked.collect()
}

fn quantiles() -> Result<Vec<Figure>, Error> {
    Ok(vec![
        printed("z of 0.80", normal(0.80)?, 0.84, 2),
        printed("z of 0.90", normal(0.90)?, 1.28, 2),
        printed("z of 0.95", normal(0.95)?, 1.64, 2),
        printed("z of 0.99", normal(0.99)?, 2.33, 2),
        printed("z of 0.999", normal(0.999)?, 3.09, 2),
        within("z of 0.975", normal(0.975)?, 1.959_963_984_540_054_2, 1e-12),
        printed("t of 95 %, 10 degrees", student(0.975, 10.0)?, 2.23, 2),
        within("t of 95 %, 9 degrees", student(0.975, 9.0)?, 2.262_157_162_798_205_5, 1e-12),
        within("t of 95 %, 1 degree", student(0.975, 1.0)?, 12.706_204_736_174_705, 1e-12),
        printed("χ² of 95 %, 2 degrees", chi_squared(0.95, 2.0)?, 5.991, 3),
        printed("F of 95 %, 2 and 10 degrees", f(0.95, 2.0, 10.0)?, 4.103, 3),
        printed("F of 95 %, 2 and 30 degrees", f(0.95, 2.0, 30.0)?, 3.316, 3),
    ])
}

fn shares() -> Result<Vec<Figure>, Error> {
    const TABLE: [(usize, usize, f64, f64); 4] = [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ];
    let mut found = Vec::new();
    for (successes, trials, low, high) in TABLE {
        let interval = wilson(successes, trials, 0.95)?;
        found.push(printed("low", interval.low, low, 4));
        found.push(printed("high", interval.high, high, 4));
    }
    Ok(found)
}

fn wild_value() -> Result<Vec<Figure>, Error> {
    let found = middle(&[1.0, 3.0, 3.0, 6.0, 8.0, 10.0, 10.0, 1000.0])?;
    Ok(vec![
        close("median", found.median, 7.0, 0.0),
        printed("median absolute deviation", found.spread, 5.1891, 4),
    ])
}

fn scores() -> Result<Vec<Figure>, Error> {
    // √(3² + 4²) = 5; √(5² + 12²) = 13; √(8² + 15²) = 17.
    const WORKED: [(f64, f64, f64, f64, f64); 4] = [
        (105.0, 3.0, 100.0, 4.0, 1.0),
        (93.5, 5.0, 100.0, 12.0, -0.5),
        (134.0, 8.0, 100.0, 15.0, 2.0),
        (7.0, 0.0, 7.0, 2.0, 0.0),
    ];
    let worked = WORKED.into_iter().map(|(value, expanded, reference, reference_expanded, en)| {
        Ok(close("E_n", en_score(value, expanded, reference, reference_expanded)?, en, 1e-14))
    });
    worked.collect()
}

fn check_standard() -> Result<Vec<Figure>, Error> {
    let chart = ControlChart::from_baseline(&NIST_DAYS.map(|day| day.0))?;
    let limits = chart.individuals_from_deviation(3.0);
    let (pooled, limit) = precision(&NIST_DAYS.map(|day| day.1), 5, 0.95)?;
    Ok(vec![
        printed("mean", chart.baseline.mean, 97.069_84, 5),
        printed("level-2 deviation", chart.baseline.deviation.unwrap_or(f64::NAN), 0.02680, 5),
        printed("low", limits.low, 96.989_445_597, 9),
        printed("high", limits.high, 97.150_234_403, 9),
        printed("level-1 deviation", pooled, 0.06139, 5),
        printed("limit", limit, 0.092_831_297_107, 12),
    ])
}

fn moving_average() -> Result<Vec<Figure>, Error> {
    const AVERAGES: [f64; 21] = [
        50.00, 50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36,
        49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];
    let chart = ewma(&NIST_LIST, 0.3, 50.0, 2.0539, 3.0)?;
    let missing = core::iter::repeat(f64::NAN);
    let averages = chart.averages.iter().copied().chain(missing).zip(AVERAGES);
    let mut found: Vec<Figure> =
        averages.map(|(average, expected)| printed("average", average, expected, 2)).collect();
    found.push(printed("upper", chart.limits.high, 52.5884, 4));
    // Published 47.4115, cut rather than rounded.
    found.push(printed("lower", chart.limits.low, 47.411_568_261_873, 12));
    Ok(found)
}
