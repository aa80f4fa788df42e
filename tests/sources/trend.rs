//! Trends, against general statistics programs.

use solver::stats::trend::{ShareAt, cochran_armitage, mann_kendall};

/// SciPy 1.17.1, `scipy.stats.kendalltau(x, y, method="asymptotic")`, run on 29 November 2026: τ_b and p, with ties in
/// both and without. z is `scipy.stats.norm.isf(p / 2)`.
#[test]
fn kendall_agrees_with_scipy() {
    let tied = [
        (1.0, 4.1),
        (2.0, 3.9),
        (2.0, 4.4),
        (3.0, 4.4),
        (4.0, 5.0),
        (5.0, 4.4),
        (5.0, 5.2),
        (5.0, 4.9),
        (6.0, 5.2),
        (7.0, 5.0),
        (8.0, 6.1),
        (9.0, 5.8),
    ];
    let falling = [9.0, 7.0, 8.0, 6.0, 6.5, 5.0, 5.5, 3.0, 4.0, 1.0];
    let falling: Vec<(f64, f64)> = (1_u8..).map(f64::from).zip(falling).collect();
    for (points, tau, p, z) in [
        (&tied[..], 0.731_731_500_548_366_9, 0.001_571_260_664_490_704, 3.161_189_820_918_37),
        (
            &falling[..],
            -0.822_222_222_222_222_1,
            0.000_935_026_352_639_627_7,
            -3.309_380_606_699_688_7,
        ),
    ] {
        let (found, trend) = mann_kendall(points).unwrap();
        // Both round in double precision; p by an independent tail of the normal distribution.
        assert!((found - tau).abs() < 1e-13, "{found}");
        assert!((trend.p_value / p - 1.0).abs() < 1e-9, "{trend:?}");
        assert!((trend.z - z).abs() < 1e-9, "{trend:?}");
        // Whatever order they come in.
        let mut turned = points.to_vec();
        turned.reverse();
        assert_eq!(mann_kendall(&turned).unwrap(), (found, trend));
    }
}

/// R, documentation of `prop.trend.test` (smokers 83, 90, 129, 70 of 86, 93, 136, 82; from Fleiss 1981; from memory):
/// X-squared = 8.2249, p-value = 0.004132. statsmodels 0.15.0, `Table.test_ordinal_association`, run on 29 November
/// 2026, has the permutation variance, N/(N − 1) times ours: z = −2.8642982730193864.
#[test]
fn shares_over_time_agree_with_r_and_statsmodels() {
    let smokers = [(83, 86), (90, 93), (129, 136), (70, 82)];
    let shares: Vec<ShareAt> = (1_u8..)
        .zip(smokers)
        .map(|(at, (successes, trials))| ShareAt { at: f64::from(at), successes, trials })
        .collect();
    let found = cochran_armitage(&shares).unwrap();
    assert!((found.z * found.z - 8.2249).abs() < 0.5e-4, "{found:?}");
    assert!((found.p_value - 0.004_132).abs() < 0.5e-6, "{found:?}");
    let patients = 397.0_f64;
    let by_permutation = found.z * ((patients - 1.0) / patients).sqrt();
    assert!((by_permutation + 2.864_298_273_019_386_4).abs() < 1e-9, "{by_permutation}");
    // When the months are counted from does not matter.
    let later: Vec<ShareAt> =
        shares.iter().map(|share| ShareAt { at: share.at + 24_300.0, ..*share }).collect();
    assert!((cochran_armitage(&later).unwrap().z - found.z).abs() < 1e-9);
}

/// What has no trend to find, or is no number, is said so and never a number made up.
#[test]
fn what_cannot_have_a_trend_has_none() {
    for points in [
        [(1.0, 2.0), (1.0, 3.0), (1.0, 4.0)],
        [(1.0, 2.0), (2.0, 2.0), (3.0, 2.0)],
        [(0.0, 0.0), (0.0, 0.0), (0.0, 0.0)],
    ] {
        let (tau, trend) = mann_kendall(&points).unwrap();
        assert_eq!((tau, trend.z, trend.p_value), (0.0, 0.0, 1.0));
    }
    assert!(mann_kendall(&[(1.0, 1.0), (2.0, 2.0)]).is_err());
    assert!(mann_kendall(&[(1.0, 1.0), (2.0, f64::NAN), (3.0, 1.0)]).is_err());
    let all = |successes| [0.0, 1.0, 2.0].map(|at| ShareAt { at, successes, trials: 5 });
    for successes in [0, 5] {
        let trend = cochran_armitage(&all(successes)).unwrap();
        assert_eq!((trend.z, trend.p_value), (0.0, 1.0));
    }
    assert!(cochran_armitage(&all(6)).is_err());
    assert!(cochran_armitage(&[]).is_err());
}

/// Counting pairs by a merge gives what counting them one by one gives.
#[test]
fn pairs_are_counted_as_one_by_one() {
    let mut state = 12_345_u64;
    let mut next = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) % 12) as f64
    };
    for count in 3..40 {
        let points: Vec<(f64, f64)> = (0..count).map(|_| (next(), next())).collect();
        let mut s = 0.0;
        let (mut untied_x, mut untied_y) = (0.0_f64, 0.0_f64);
        for (k, a) in points.iter().enumerate() {
            for b in &points[k + 1..] {
                let [x, y] = [(b.0 - a.0), (b.1 - a.1)]
                    .map(|d: f64| if d == 0.0 { 0.0 } else { d.signum() });
                s += x * y;
                untied_x += x.abs();
                untied_y += y.abs();
            }
        }
        let (tau, trend) = mann_kendall(&points).unwrap();
        if untied_x > 0.0 && untied_y > 0.0 {
            assert!((tau - s / (untied_x * untied_y).sqrt()).abs() < 1e-12);
        }
        assert!((0.0..=1.0).contains(&trend.p_value));
    }
}
