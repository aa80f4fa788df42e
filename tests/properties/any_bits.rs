//! No input, finite or not, makes a public function panic, hang, or answer with NaN.

use crate::given::{any_circle, any_direction, any_float, any_readings};
use core::time::Duration;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use solver::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use solver::meet::meet;
use solver::optics::{Lateral, Optics, Placement, ShimEnds, TubeImage};
use solver::swing::SwingRange;
use solver::{
    Channel, Direction, Misalignment, PerChannel, Phase, Problem, Sense, Turn, Window, angle, solve,
};
use std::sync::mpsc;

const CASES: u32 = 400;
/// Far more than the cases need, a second on a quiet machine, also where compilers share it; a hang
/// must fail, not wait.
const PATIENCE: Duration = Duration::from_secs(60);

/// Tries a property on a thread of its own; fails when it does, or when it does not come back.
fn try_all<S>(given: S, property: impl Fn(S::Value) -> Result<(), TestCaseError> + Send + 'static)
where
    S: Strategy + Send + 'static,
{
    let (done, wait) = mpsc::channel();
    std::thread::spawn(move || {
        let config =
            ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() };
        let outcome = TestRunner::new(config).run(&given, property).map_err(|e| e.to_string());
        done.send(outcome)
    });
    match wait.recv_timeout(PATIENCE) {
        Ok(Ok(())) => {}
        Ok(Err(failure)) => panic!("{failure}"),
        Err(_) => panic!("no answer within {PATIENCE:?}"),
    }
}

fn any_sense() -> impl Strategy<Value = SenseChoice> {
    prop::sample::select(vec![
        SenseChoice::Auto,
        SenseChoice::Given(Sense::With),
        SenseChoice::Given(Sense::Against),
    ])
}

fn any_spread() -> impl Strategy<Value = Spread> {
    prop_oneof![
        Just(Spread::default()),
        (0.01..2.0, 0.0..3.0).prop_map(|(sigma, ring_sigma_deg)| Spread {
            sigma_arcmin: Some(sigma),
            ring_sigma_deg
        }),
        (prop::option::of(any_float()), any_float())
            .prop_map(|(sigma_arcmin, ring_sigma_deg)| Spread { sigma_arcmin, ring_sigma_deg }),
    ]
}

/// An answer holds numbers.
fn is_sound(fit: &CircleFit) -> bool {
    fit.circle.centre.is_finite()
        && fit.circle.radius_arcmin.is_finite()
        && fit.circle.radius_arcmin >= 0.0
        && fit.circle.phase.is_none_or(|phase| (0.0..360.0).contains(&phase.zero_deg))
        && fit.rms_arcmin.is_finite()
}

/// Readings that differ by less than the least normal number tell nothing beside a spread of a hundredth of a minute.
#[test]
fn readings_next_to_each_other_have_no_endless_uncertainty() {
    for apart_arcmin in [f64::from_bits(1), 1.112_536_929_253_601e-308, f64::MIN_POSITIVE, 1e-300] {
        let at = |x_arcmin, ring_deg| Reading {
            direction: Direction { x_arcmin, y_arcmin: 3.0 },
            ring_deg: Some(ring_deg),
        };
        let readings = [at(0.0, 0.0), at(apart_arcmin, 71.242_270_733_634_87)];
        let spread = Spread { sigma_arcmin: Some(0.01), ring_sigma_deg: 0.0 };
        for sense in [SenseChoice::Auto, SenseChoice::Given(Sense::With)] {
            let Ok(fit) = fit_circle(Channel::Left, &readings, spread, sense) else { continue };
            let covariance = fit.covariance.unwrap();
            assert!(
                (0..covariance.size()).all(|i| covariance.get(i, i).is_finite()),
                "{apart_arcmin}"
            );
        }
    }
}

#[test]
fn fit_circle_answers_everything() {
    try_all((any_readings(), any_spread(), any_sense()), |(readings, spread, sense)| {
        if let Ok(fit) = fit_circle(Channel::Left, &readings, spread, sense) {
            // Squares of numbers beyond 1e150 may overflow; solve() refuses those beforehand.
            let modest = readings.iter().all(|r| r.direction.boresight_arcmin() < 1e150);
            prop_assert!(!modest || is_sound(&fit), "{fit:?}");
            for reading in &readings {
                let _ = fit.residual(reading);
            }
            let _ = (fit.radius_u_arcmin(), fit.arc_too_short());
            let _ = (fit.consistency(), fit.centre_ellipse());
            for found in solver::diagnostic::diagnose(&fit, &readings) {
                prop_assert!(found.p_value.is_none_or(|p| (0.0..=1.0).contains(&p)), "{found:?}");
                let _ = fit.ring_u_deg(Direction::new(found.residual.off_circle_arcmin, 1.0));
            }
        }
        Ok(())
    });
}

#[test]
fn solve_answers_everything() {
    let given = (any_readings(), any_readings(), any_spread(), any_sense(), any_float());
    try_all(given, |(left, right, spread, sense, relation_tolerance)| {
        let solution = solve(&Problem {
            readings: PerChannel { left, right },
            spread,
            step_arcmin: PerChannel { left: Some(relation_tolerance), right: Some(0.5) },
            sense: PerChannel { left: sense, right: sense },
            window: Window::new(45.0, 20.0, 15.0, None).ok(),
            swing: SwingRange::new(-15.0, 15.0).ok(),
            relation_tolerance: if relation_tolerance.abs() > 4.0 {
                1e-9
            } else {
                relation_tolerance
            },
        });
        if let Ok(solution) = solution {
            for (_, fit) in solution.fits.iter() {
                if let Ok(fit) = fit {
                    prop_assert!(is_sound(fit), "{fit:?}");
                    if let Some(covariance) = fit.covariance {
                        for i in 0..covariance.size() {
                            prop_assert!(covariance.get(i, i) >= 0.0);
                            prop_assert!(covariance.get(i, i).is_finite());
                        }
                    }
                }
            }
            let _ = (solution.next_reading(), solution.ring_u_deg());
            let _ = solution.setting_uncertainty(relation_tolerance);
            for crossing in solution.meeting.iter().flat_map(solver::Meeting::crossings) {
                let _ = (crossing.ellipse(), crossing.boresight_u());
            }
            if let Ok(setting) = solution.setting {
                prop_assert!(setting.points.left.is_finite() && setting.points.right.is_finite());
                prop_assert!(setting.window_use.unwrap().worst().is_finite());
            }
        }
        Ok(())
    });
}

#[test]
fn meet_answers_everything() {
    try_all((any_circle(), any_circle(), any_float()), |(left, right, tolerance)| {
        for tolerance in [tolerance, tolerance.abs().fract(), 0.0, 1e-9] {
            if let Ok(met) = meet(&left, &right, tolerance) {
                prop_assert!(met.gap_arcmin.is_finite() && met.gap_arcmin >= 0.0);
                prop_assert!(met.crossings().all(|crossing| crossing.point.is_finite()));
            }
        }
        Ok(())
    });
}

#[test]
fn taubins_fit_answers_everything() {
    try_all(prop::collection::vec(any_direction(), 0..8), |points| {
        if let Some(circle) = solver::fit::algebraic::taubin(&points) {
            prop_assert!(!circle.radius_arcmin.is_nan() && circle.radius_arcmin >= 0.0);
        }
        Ok(())
    });
}

#[test]
fn windows_answer_everything() {
    let limits = (any_float(), any_float(), any_float(), prop::option::of(any_float()));
    try_all((limits, any_direction(), any_direction()), |((c, d, v, b), left, right)| {
        if let Ok(window) = Window::new(c, d, v, b) {
            let used = window.used_by(left, right);
            let _ = (used.worst(), used.is_inside());
            let all_numbers = left.is_finite() && right.is_finite();
            prop_assert!(!all_numbers || used.worst() >= 0.0);
        }
        // What is no number must never read as inside.
        for boresight in [None, Some(40.0)] {
            let window = Window::new(45.0, 20.0, 15.0, boresight).unwrap();
            let known = left.is_finite() && right.is_finite();
            prop_assert!(known || !window.used_by(left, right).is_inside());
        }
        Ok(())
    });
}

#[test]
fn circles_angles_and_turns_answer_everything() {
    try_all((any_circle(), any_direction(), any_float(), any_float()), |(circle, p, a, b)| {
        let _ = (
            circle.at_ring(a),
            circle.ring_for(p),
            circle.off_circle_arcmin(p),
            circle.nearest_to(p),
        );
        let _ = (p.rotated(a), p.midpoint(Direction::new(a, b)), p.angle_rad(), p.dot(p));
        let _ = Misalignment::between(p, Direction::new(a, b)).length_arcmin();
        let _ = (angle::rounded_deg(a, b), angle::arcmin_from_prism_dioptre(a));
        let _ = angle::prism_dioptre_from_arcmin(a);
        let reduced = angle::reduced_deg(a);
        prop_assert!(!a.is_finite() || (0.0..360.0).contains(&reduced));
        let turn = angle::turn_deg(a, b);
        prop_assert!(turn.is_nan() || (turn > -180.0 && turn <= 180.0));
        if let Some(phase) = circle.phase {
            let Phase { sense, .. } = phase;
            let _ = sense.word();
        }
        if let Some(turn) = Turn::between(&circle, p, Some(a), Direction::new(a, b), Some(b)) {
            for step_rad in [a, b, 0.01] {
                prop_assert!(turn.path(&circle, step_rad).len() < 10_000);
            }
        }
        Ok(())
    });
}

#[test]
fn optics_answer_everything() {
    let lateral = || (any_float(), any_float()).prop_map(|(x, y)| Lateral::new(x, y));
    let placed = (lateral(), lateral(), lateral(), lateral(), lateral()).prop_map(
        |(objective, tube_in, tube_out, tube_image, eyepiece)| Placement {
            objective,
            tube_in,
            tube_out,
            tube_image,
            eyepiece,
        },
    );
    try_all((any_float(), any_float(), placed, any_direction()), |(fo, fe, placed, p)| {
        if let Ok(optics) = Optics::new(fo, fe, TubeImage::Inverted) {
            let _ =
                (optics.deviation(&placed, p), optics.eyepiece_circle(&placed, placed.eyepiece));
            for ends in [ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both] {
                let _ = optics.shim_shift(ends, fo, p.x_arcmin);
            }
        }
        Ok(())
    });
}

#[test]
fn settings_answer_everything() {
    use solver::setting::{best_compromise, best_over_swing, slack};
    let limits = (any_float(), any_float(), any_float(), prop::option::of(any_float()));
    let given = (any_circle(), any_circle(), limits, any_float(), any_float());
    try_all(given, |(left, right, (c, d, v, b), low, high)| {
        let Ok(window) = Window::new(c, d, v, b).or(Window::new(45.0, 20.0, 15.0, b)) else {
            return Ok(());
        };
        let finite =
            |points: PerChannel<Direction>| points.left.is_finite() && points.right.is_finite();
        if let Ok(found) = best_compromise(&left, &right, Some(&window)) {
            prop_assert!(finite(found.points) && !found.value.is_nan(), "{found:?}");
            prop_assert!(found.gap >= 0.0);
            let _ = slack(PerChannel { left: &left, right: &right }, found.points, &window);
        }
        if let Ok(range) = SwingRange::new(low, high).or(SwingRange::new(-9.0, 30.0))
            && let Ok(found) = best_over_swing(&left, &right, &window, range)
        {
            prop_assert!(finite(found.points) && found.gap >= 0.0, "{found:?}");
        }
        Ok(())
    });
}

#[test]
fn a_reading_without_numbers_is_named() {
    let readings = [Reading::without_ring(Direction::new(f64::NAN, 0.0))];
    let refused = fit_circle(Channel::Right, &readings, Spread::default(), SenseChoice::Auto);
    let text = refused.unwrap_err().to_string();
    assert!(text.starts_with("right reading 1: the x"), "{text}");
}

#[test]
fn statistics_answer_everything() {
    use solver::stats::{
        agreement, anova, binormal::Binormal, compare, line::LineFit, order, quantile, ranks,
        sample, scatter::Scatter,
    };
    let list = || prop::collection::vec(any_float(), 0..9);
    try_all((list(), list(), any_float(), any_float(), any_float()), |(xs, ys, a, b, c)| {
        for answer in [
            quantile::normal(a),
            quantile::student(a, b),
            quantile::student_above(a, b),
            quantile::chi_squared(a, b),
            quantile::chi_squared_above(a, b),
            quantile::f(a, b, c),
            quantile::f_above(a, b, c),
            quantile::student(0.975, b),
            quantile::chi_squared(0.95, b),
            quantile::f(0.95, b, c),
        ] {
            prop_assert!(!answer.is_ok_and(f64::is_nan), "{a} {b} {c}");
        }
        if let Ok(normal) = Binormal::new([a, b], [[c.abs(), 0.3 * c], [0.3 * c, c.abs()]]) {
            let mass = normal.mass_in_box([b, a], [c, c]);
            prop_assert!((0.0..=1.0).contains(&mass));
            prop_assert!((0.0..=1.0).contains(&normal.mass_in_disc(a.abs())) || a.is_nan());
        }
        let _ = (compare::en_score(a, b, c, a), compare::holm(&xs));
        let _ = (sample::welch_satterthwaite(&[(a, b), (c, a)]), sample::covariance(&xs, &ys));
        let _ = anova::one_way(&[&xs, &ys]);
        if let Ok(found) = ranks::mann_whitney(&xs, &ys) {
            prop_assert!((0.0..=1.0).contains(&found.p_value), "{found:?}");
        }
        if let Ok(found) = ranks::kruskal_wallis(&[&xs, &ys, &[a]]) {
            prop_assert!((0.0..=1.0).contains(&found.p_value), "{found:?}");
        }
        let _ = (order::quantile(&xs, a), order::quantile(&ys, 0.5));
        let points: Vec<Direction> =
            xs.iter().zip(&ys).map(|(x, y)| Direction::new(*x, *y)).collect();
        if let Ok(scatter) = Scatter::of(&points) {
            let _ = (scatter.ellipse_of_next(b), scatter.ellipse_of_mean(0.95));
            let _ = (scatter.mean_is(Direction::new(a, b)), scatter.mean_is(Direction::BORESIGHT));
        }
        let measured = |value, u: f64| agreement::Measurement {
            value,
            covariance: [[u, c], [c, u]],
            freedom: b,
        };
        let _ = agreement::agreement(&measured([a, b], c), &measured([c, a], a.abs()));
        let _ = anova::Crossed::new(2, 2, 2, &xs).map(|table| table.analysed());
        if let Ok(line) = LineFit::through(&xs, &ys) {
            let _ = (line.at(a), line.half_width_at(a, b), line.band_half_width_at(a, 0.95));
            let _ = (line.next_half_width_at(a, b), line.slope_is(c), line.slope_half_width(b));
        }
        Ok(())
    });
}

#[test]
fn decisions_answer_everything() {
    use solver::decision::{Confirmation, ReadingSpread, Reference, Rule, judge};
    let list = || prop::collection::vec(any_direction(), 0..6);
    try_all(
        (list(), list(), any_float(), any_float(), any::<bool>()),
        |(left, right, a, b, seen)| {
            let window = Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap();
            let spread = if seen {
                ReadingSpread::Observed
            } else {
                ReadingSpread::Stated([[a, 0.0], [0.0, b]])
            };
            let reference =
                Reference { common: [[b.abs(), 0.0], [0.0, b.abs()]], ..Reference::default() };
            let confirmation =
                Confirmation { readings: PerChannel { left, right }, spread, reference };
            for rule in [Rule::Simple, Rule::Guarded] {
                if let Ok(Some(judged)) = judge(&confirmation, &window, rule) {
                    prop_assert!((0.0..=1.0).contains(&judged.in_box));
                    prop_assert!((0.0..=1.0).contains(&judged.inside_at_least()));
                }
            }
            Ok(())
        },
    );
}

#[test]
fn upkeep_swing_and_trials_answer_everything() {
    use solver::far_point;
    use solver::monte_carlo::{self, Interval};
    use solver::swing::{Bridge, safe_radius_arcmin, worst_over};
    use solver::upkeep::{calibration::CalibrationState, check_standard};
    let list = || prop::collection::vec(any_float(), 0..9);
    let days = (any::<i64>(), any::<i64>(), any::<i64>(), any::<i64>());
    let given =
        (list(), any_float(), any_float(), any_float(), any_direction(), any_readings(), days);
    try_all(given, |(xs, a, b, c, p, readings, (today, last, interval, warning))| {
        let window = Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap();
        if let Ok(range) = SwingRange::new(a, b) {
            let _ = worst_over(PerChannel { left: p, right: Direction::new(a, c) }, &window, range);
            let _ = safe_radius_arcmin(&window, range);
        }
        let _ = Bridge::Hinge { spread_mm: a, arm_mm: b }.swing_deg(c, a);
        let _ = Bridge::Hinge { spread_mm: a, arm_mm: b }.ipd_mm(c, a);
        let _ = far_point::least_distance_m(a, &window, b);
        let _ = CalibrationState::on(today, last, interval, warning);
        let _ = check_standard::ewma(&xs, a, b, c, 3.0);
        let _ = check_standard::precision(&xs, 5, a);
        let _ =
            check_standard::ControlChart::from_baseline(&xs).map(|chart| chart.moving_ranges(c));
        let _ = monte_carlo::coverage(&xs, a, Interval::Shortest);
        let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto);
        if let Ok(fit) = &fit {
            let fits = PerChannel { left: fit, right: fit };
            let _ = monte_carlo::crossing(fits, p, 20, 1);
            let rings = PerChannel { left: a, right: b };
            let _ = monte_carlo::setting(fits, rings, c, Some(window), 20, 1);
        }
        Ok(())
    });
}

#[test]
fn remedies_answer_everything() {
    use solver::monte_carlo::Source;
    use solver::remedy::spread::use_after;
    use solver::remedy::{rank, shim, swap};
    use solver::simulate::{Making, ReadingNoise, invent, read};
    use solver::source_split::{CentrePart, Determined, Observation, Split};
    let list = || prop::collection::vec(any_float(), 0..4);
    let tubes = prop::collection::vec((any::<bool>(), 0..70_usize), 0..5);
    let circles = (any_circle(), any_circle());
    let given = (list(), list(), any_float(), circles, any_direction(), tubes, any_readings());
    try_all(given, |(clocks_deg, leaves_mm, a, (left, right), p, tubes, readings)| {
        let circles = PerChannel { left, right };
        let _ = swap::tube_turned(swap::eyepieces_swapped(circles).left, p);
        let optics = Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap();
        let tried =
            [shim::TriedShim { ends: ShimEnds::Both, thickness_mm: a, clock_deg: a, shift: p }; 3];
        let effect = shim::ShimEffect::measured(&tried).unwrap_or(shim::ShimEffect::Model(optics));
        let ends = vec![ShimEnds::Both];
        let seat = shim::SeatLimits { clocks_deg, ends, leaves_mm, largest_mm: 0.1 };
        let window = Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap();
        if let Ok(shims) = shim::shims_of(&seat, &effect) {
            let some = &shims[..shims.len().min(20)];
            let candidates = PerChannel { left: some, right: some };
            let _ = shim::best_plans(circles, candidates, &window, None, 3);
            let _ = some.first().map(|first| shim::sentence(Channel::Left, first));
        }
        if let (Ok(range), Ok(fit)) = (
            SwingRange::new(-15.0, 15.0),
            fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto),
        ) {
            let known = Determined { value: p, u_arcmin: [a, a] };
            let situation = rank::Situation {
                fits: PerChannel { left: &fit, right: &fit },
                window: &window,
                swing: Some(range),
                seats: PerChannel { left: Some(&seat), right: None },
                effect: Some(effect),
                image: TubeImage::Inverted,
                tubes: swap::TubeFacts {
                    right_less_left: Some(known),
                    offsets: PerChannel { left: Some(known), right: None },
                },
            };
            if let Ok(ranking) = rank(&situation) {
                for remedy in ranking.remedies.iter().take(2) {
                    let _ = remedy.action.sentences();
                    let _ = use_after(&remedy.predicted, &window, Some(range), 20, 1);
                }
            }
        }
        let observations: Vec<Observation> = tubes
            .iter()
            .map(|&(is_left, tube)| Observation {
                pod: if is_left { Channel::Left } else { Channel::Right },
                tube,
                turned_deg: p.x_arcmin,
                centre: Direction::new(a, p.y_arcmin),
                u_arcmin: 0.5,
            })
            .collect();
        if let Ok(split) = Split::of(&observations) {
            let _ = split
                .determined(&[(CentrePart::Pod(Channel::Left), a), (CentrePart::Tube(3), 1.0)]);
        }
        let making =
            Making { bore_mm: a, tube_mm: 0.1, least_decentre_mm: 0.1, most_decentre_mm: a };
        let hand = ReadingNoise {
            noise_arcmin: a,
            ring_play_deg: 0.1,
            lock_shift_arcmin: a,
            rounding_arcmin: a,
        };
        let mut source = Source::seeded(1);
        if let Ok(unit) = invent(&optics, &making, &mut source) {
            let _ = read(&optics, &unit.left, p.x_arcmin, true, &hand, &mut source);
        }
        Ok(())
    });
}
