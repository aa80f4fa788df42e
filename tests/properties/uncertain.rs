//! Ellipses, intervals and tests hold what they promise, tried on seeded rounds.
//!
//! In T trials a promise of p is kept pT times with a standard deviation √(p(1 − p)T): with 95 %
//! and 4,000 trials 0.34 %. Three of those, 1 %, are allowed where the promise is exact; 2 % where
//! it is made to first order.

use solver::angle::turn_deg;
use solver::ellipse::Ellipse;
use solver::fit::{CircleFit, Reading, SenseChoice, SigmaBasis, Spread, fit_circle};
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::monte_carlo::Source;
use solver::pointing::setting_uncertainty;
use solver::stats::binormal::Binormal;
use solver::uncertainty::{Uncertainty, effective_freedom};
use solver::{Channel, CrossingPoint, Direction, OffsetCircle, PerChannel, Phase, Sense};

const TRIALS: usize = 4_000;

const SIGMA_ARCMIN: f64 = 0.3;

fn circle(x: f64, y: f64, radius_arcmin: f64) -> OffsetCircle {
    OffsetCircle {
        centre: Direction::new(x, y),
        radius_arcmin,
        phase: Some(Phase { zero_deg: 40.0, sense: Sense::With }),
    }
}

fn circles() -> PerChannel<OffsetCircle> {
    PerChannel { left: circle(-14.0, 5.0, 50.0), right: circle(16.0, -3.0, 46.0) }
}

/// A noisy round of `count` readings, all the way round.
fn round(circle: &OffsetCircle, count: u8, source: &mut Source) -> Vec<Reading> {
    (0..count)
        .map(|k| {
            let ring_deg = 360.0 * f64::from(k) / f64::from(count);
            let error = source.direction(SIGMA_ARCMIN);
            Reading::at_ring(ring_deg, circle.at_ring(ring_deg).unwrap() + error)
        })
        .collect()
}

fn fitted(circle: &OffsetCircle, count: u8, spread: Spread, source: &mut Source) -> CircleFit {
    let readings = round(circle, count, source);
    fit_circle(Channel::Left, &readings, spread, SenseChoice::Given(Sense::With)).unwrap()
}

fn stated() -> Spread {
    Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg: 0.0 }
}

/// Share of the trials in which a promise is kept.
fn kept(mut promise: impl FnMut(&mut Source) -> bool) -> f64 {
    let mut source = Source::seeded(20);
    (0..TRIALS).filter(|_| promise(&mut source)).count() as f64 / TRIALS as f64
}

#[track_caller]
fn near_95(what: &str, share: f64, allowed: f64) {
    assert!((share - 0.95).abs() < allowed, "{what}: {share}");
}

/// The crossing of two fits nearest to a place.
fn crossing_near(fits: PerChannel<&CircleFit>, place: Direction) -> CrossingPoint {
    let met = meet(&fits.left.circle, &fits.right.circle, RELATION_TOLERANCE).unwrap();
    *met.with_covariance(fits)
        .crossings()
        .min_by(|a, b| a.point.distance_arcmin(place).total_cmp(&b.point.distance_arcmin(place)))
        .unwrap()
}

fn true_crossing() -> CrossingPoint {
    let circles = circles();
    *meet(&circles.left, &circles.right, RELATION_TOLERANCE).unwrap().nearest().unwrap()
}

#[test]
fn the_centres_ellipse_holds_the_centre() {
    let truth = circles().left;
    for (spread, count) in [(stated(), 4), (Spread::default(), 3), (Spread::default(), 8)] {
        let share = kept(|source| {
            fitted(&truth, count, spread, source).centre_ellipse().unwrap().contains(truth.centre)
        });
        // The fit is linear in the centre: exact.
        near_95("centre", share, 0.0103);
    }
}

#[test]
fn the_crossings_ellipse_and_ring_targets_hold_the_truth() {
    let (truth, target) = (circles(), true_crossing());
    for (spread, counts) in [
        (stated(), [5, 5]),
        (Spread::default(), [4, 4]),
        // Three readings beside twelve, 2 and 20 degrees, are beyond Welch and Satterthwaite: 92.5 %.
        (Spread::default(), [12, 4]),
        (Spread::default(), [8, 8]),
    ] {
        let mut held = [0_usize; 4];
        let mut stated = 0_usize;
        let mut source = Source::seeded(3);
        for _ in 0..TRIALS {
            let left = fitted(&truth.left, counts[0], spread, &mut source);
            let right = fitted(&truth.right, counts[1], spread, &mut source);
            let fits = PerChannel { left: &left, right: &right };
            let crossing = crossing_near(fits, target.point);
            assert!(!crossing.grazing);
            // Where two degrees of freedom make one channel look exact, no ellipse is stated.
            let Some(ellipse) = crossing.ellipse() else { continue };
            stated += 1;
            let uncertainty = crossing.uncertainty.unwrap();
            held[0] += usize::from(ellipse.contains(target.point));
            for (slot, channel) in [(1, Channel::Left), (2, Channel::Right)] {
                let off = turn_deg(
                    target.ring_deg[channel].unwrap(),
                    crossing.ring_deg[channel].unwrap(),
                );
                let u = uncertainty.ring_u_deg[channel].unwrap();
                held[slot] += usize::from(off.abs() <= u.half_width_95().unwrap());
            }
            let far = crossing.boresight_u().unwrap();
            let off = crossing.boresight_arcmin - target.boresight_arcmin;
            held[3] += usize::from(off.abs() <= far.half_width_95().unwrap());
        }
        assert!(stated > TRIALS * 9 / 10, "{counts:?}: {stated}");
        for (what, held) in ["ellipse", "left ring", "right ring", "distance"].iter().zip(held) {
            near_95(&format!("{what} of {counts:?}"), held as f64 / stated as f64, 0.02);
        }
    }
}

#[test]
fn the_settings_ellipse_holds_the_misalignment_that_comes_of_it() {
    let truth = circles();
    let rings = PerChannel { left: 70.0, right: 210.0 };
    let slip_deg = 0.4;
    let share = kept(|source| {
        let left = fitted(&truth.left, 6, Spread::default(), source);
        let right = fitted(&truth.right, 5, Spread::default(), source);
        let known = setting_uncertainty(PerChannel { left: &left, right: &right }, rings, slip_deg)
            .unwrap();
        let set = PerChannel::from_fn(|channel| {
            truth[channel].at_ring(rings[channel] + slip_deg * source.normal()).unwrap()
        });
        known.unwrap().ellipse().unwrap().contains(set.right - set.left)
    });
    near_95("misalignment", share, 0.02);
}

/// A ring is set by the scale it was read by: its σθ moves the setting once more. Without that the
/// 95 % of `misalignment_95` held in half the rounds (σθ 2°, six readings).
#[test]
fn a_setting_holds_what_it_promises_where_the_scale_is_rough() {
    const ROUNDS: usize = 1_000;
    let truth = circles();
    for (ring_sigma_deg, count) in [(2.0, 6), (1.0, 12)] {
        let spread = Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg };
        let (mut by_trials, mut by_ellipse) = (0_usize, 0_usize);
        let mut source = Source::seeded(41);
        let set = |circle: &OffsetCircle, ring_deg: f64, source: &mut Source| {
            circle.at_ring(ring_deg + ring_sigma_deg * source.normal()).unwrap()
        };
        for _ in 0..ROUNDS {
            let fits = PerChannel::from_fn(|channel| {
                let readings: Vec<Reading> = (0..count)
                    .map(|k| 360.0 * f64::from(k) / f64::from(count))
                    .map(|deg| {
                        let at = set(&truth[channel], deg, &mut source);
                        Reading::at_ring(deg, at + source.direction(SIGMA_ARCMIN))
                    })
                    .collect();
                fit_circle(channel, &readings, spread, SenseChoice::Auto).unwrap()
            });
            let fits = fits.as_ref();
            let crossing = crossing_near(fits, true_crossing().point);
            let rings = crossing.ring_deg.map(|deg| deg.unwrap());
            let tried = solver::monte_carlo::setting(fits, rings, 0.0, None, 400, 5).unwrap();
            let known = setting_uncertainty(fits, rings, 0.0).unwrap().unwrap();
            let points =
                PerChannel::from_fn(|channel| set(&truth[channel], rings[channel], &mut source));
            let off = points.right - points.left;
            by_trials += usize::from(off.boresight_arcmin() <= tried.misalignment_95_arcmin);
            by_ellipse += usize::from(known.ellipse().unwrap().contains(off));
        }
        // 95 % of 1,000: a standard deviation of 0.69 %; three of those, and 400 trials place
        // their own quantile to 1.1 %.
        for (what, held) in [("trials", by_trials), ("ellipse", by_ellipse)] {
            near_95(&format!("{what}, σθ {ring_sigma_deg}°"), held as f64 / ROUNDS as f64, 0.032);
        }
    }
}

/// Short arcs without ring angles: what is stated holds, by ellipse or by trials, and where neither
/// would, nothing is stated. As ellipses alone 45° held 83 % and 30° 76 %.
#[test]
fn a_short_arc_without_ring_angles_states_only_what_holds() {
    const ROUNDS: usize = 600;
    let truth = circles();
    for (arc_deg, most, least) in [(60.0, ROUNDS, 500), (45.0, ROUNDS, 400), (20.0, 3, 0)] {
        let (mut made, mut held) = (0_usize, 0_usize);
        let mut source = Source::seeded(8);
        for _ in 0..ROUNDS {
            let fits = PerChannel::from_fn(|channel| {
                let from_deg = source.rectangular(0.0, 360.0);
                let readings: Vec<Reading> = (0..12_u8)
                    .map(|k| from_deg + arc_deg * f64::from(k) / 11.0)
                    .map(|deg| truth[channel].at_ring(deg).unwrap())
                    .map(|at| Reading::without_ring(at + source.direction(SIGMA_ARCMIN)))
                    .collect();
                fit_circle(channel, &readings, stated(), SenseChoice::Auto).ok()
            });
            let PerChannel { left: Some(left), right: Some(right) } = &fits else { continue };
            let fits = PerChannel { left, right };
            let met = meet(&left.circle, &right.circle, RELATION_TOLERANCE).unwrap();
            let met = met.with_covariance(fits);
            let Some(crossing) = met.nearest() else { continue };
            let near = crossing.point;
            let real = meet(&truth.left, &truth.right, RELATION_TOLERANCE).unwrap();
            let real = real
                .crossings()
                .map(|crossing| crossing.point)
                .min_by(|a, b| a.distance_arcmin(near).total_cmp(&b.distance_arcmin(near)));
            let real = real.unwrap();
            let holds = if let Some(ellipse) = crossing.ellipse() {
                ellipse.contains(real)
            } else if left.states_regions() && right.states_regions() {
                let spread = solver::monte_carlo::crossing(fits, near, 400, 1).unwrap();
                let Some(radius_arcmin) = spread.radius_95_arcmin else { continue };
                real.distance_arcmin(spread.mean) <= radius_arcmin
            } else {
                assert!(left.centre_ellipse().is_none() || right.centre_ellipse().is_none());
                continue;
            };
            made += 1;
            held += usize::from(holds);
        }
        assert!((least..=most).contains(&made), "{arc_deg}°: stated in {made}");
        // 95 % of 400 has a standard deviation of 1.1 %; three of those.
        let share = held as f64 / made as f64;
        assert!(made < 4 || share > 0.95 - 0.033, "{arc_deg}°: {share} of {made}");
    }
}

/// The same with σ not stated: of 45° the region of the centre is stated and holds; of 30° it was stated in one
/// round in seven, those whose residuals happen to be small, and held 70 %. Now it is not.
#[test]
fn a_short_arc_of_unknown_noise_states_no_region() {
    const ROUNDS: usize = 600;
    let truth = circles()[Channel::Left];
    for (arc_deg, stated_in) in [(45.0, 500..=ROUNDS), (30.0, 0..=ROUNDS / 50), (20.0, 0..=0)] {
        let (mut made, mut held) = (0_usize, 0_usize);
        let mut source = Source::seeded(21);
        for _ in 0..ROUNDS {
            let from_deg = source.rectangular(0.0, 360.0);
            let readings: Vec<Reading> = (0..12_u8)
                .map(|k| truth.at_ring(from_deg + arc_deg * f64::from(k) / 11.0).unwrap())
                .map(|at| Reading::without_ring(at + source.direction(SIGMA_ARCMIN)))
                .collect();
            let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto);
            let Some(ellipse) = fit.ok().and_then(|fit| fit.centre_ellipse()) else { continue };
            made += 1;
            held += usize::from(ellipse.contains(truth.centre));
        }
        assert!(stated_in.contains(&made), "{arc_deg}°: stated in {made}");
        // 95 % of 500 has a standard deviation of 1 %; three of those.
        let share = held as f64 / made as f64;
        assert!(made < ROUNDS / 2 || share > 0.95 - 0.03, "{arc_deg}°: {share} of {made}");
    }
}

/// Read to whole arcminutes with next to no noise, residuals come out near 0 or at 0: the step stands for
/// them (JCGM 100:2008, F.2.2.1). Without it the ellipse of the centre held 67 % of rounds of four.
#[test]
fn readings_alike_to_a_step_are_no_surer_than_it() {
    let step = |value: f64| value.round();
    for count in [4_u8, 8] {
        let share = kept(|source| {
            let truth = circle(
                -14.0 + source.rectangular(-1.0, 1.0),
                5.0 + source.rectangular(-1.0, 1.0),
                50.0 + source.rectangular(-1.0, 1.0),
            );
            let mut readings = round(&truth, count, &mut Source::seeded(1));
            for reading in &mut readings {
                let at = truth.at_ring(reading.ring_deg.unwrap()).unwrap();
                reading.direction = Direction::new(step(at.x_arcmin), step(at.y_arcmin));
            }
            let fit = fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto);
            let fit = fit.unwrap().with_step(&readings, 1.0);
            fit.centre_ellipse().unwrap().contains(truth.centre)
        });
        // At least what is promised: a rectangle has no tails. Three standard deviations.
        assert!(share > 0.95 - 0.0103, "{count}: {share}");
    }
    // All alike at two angles, three times each: SSE is 0, and the step is what is known. Each pair of places
    // has its own error of 1/√12′ that repeats do not reduce: u² of the centre's x from two places is
    // as of two single readings.
    let truth = circle(3.0, 4.0, 20.0);
    let at = |deg: f64| {
        let at = truth.at_ring(deg).unwrap();
        Reading::at_ring(deg, Direction::new(step(at.x_arcmin), step(at.y_arcmin)))
    };
    let once = [at(0.0), at(120.0)];
    let thrice = [at(0.0), at(120.0), at(0.0), at(120.0), at(0.0), at(120.0)];
    let fit = |readings: &[Reading]| {
        let sense = SenseChoice::Given(Sense::With);
        fit_circle(Channel::Left, readings, Spread::default(), sense).unwrap()
    };
    let known = fit(&thrice).with_step(&thrice, 1.0);
    assert_eq!(known.sigma_basis, SigmaBasis::Step);
    let expected = fit(&once).unit_covariance.get(0, 0) / 12.0;
    assert!((known.covariance.unwrap().get(0, 0) / expected - 1.0).abs() < 1e-9);
    // Where the scatter is larger than the step, nothing changes but that the step is known.
    let mut source = Source::seeded(2);
    let rough = round(&truth, 8, &mut source);
    let plain = fit(&rough);
    assert_eq!(plain.with_step(&rough, 0.1).covariance, plain.covariance);
    assert_eq!(plain.with_step(&rough, f64::NAN), plain);
}

#[test]
fn an_ellipse_holds_its_mass() {
    let covariance = [[4.0, 1.2], [1.2, 0.9]];
    for freedom in [1_u8, 3, 10] {
        let ellipse =
            Ellipse::covering(Direction::BORESIGHT, covariance, 0.95, f64::from(freedom)).unwrap();
        let share = kept(|source| {
            let squares: f64 = (0..freedom).map(|_| source.normal().powi(2)).sum();
            let scale = (f64::from(freedom) / squares).sqrt();
            let (a, b) = (source.normal(), source.normal());
            // Cholesky by hand: 4 = 2², 1.2 = 2 · 0.6, 0.9 = 0.6² + 0.54.
            let off = Direction::new(2.0 * a, 0.6 * a + 0.54_f64.sqrt() * b);
            ellipse.contains(off * scale)
        });
        near_95("Student", share, 0.0103);
    }
    let on = Ellipse::covering(Direction::new(3.0, 4.0), covariance, 0.5, f64::INFINITY).unwrap();
    for (k, point) in on.path(12).into_iter().enumerate() {
        let off = point - on.centre;
        // 0.9 and 4 over the determinant 2.16: eᵀS⁻¹e is −2 ln ½ all round.
        let squared = (0.9 * off.x_arcmin * off.x_arcmin - 2.4 * off.x_arcmin * off.y_arcmin
            + 4.0 * off.y_arcmin * off.y_arcmin)
            / 2.16;
        assert!((squared - 2.0 * 2f64.ln()).abs() < 1e-12, "point {k}: {squared}");
    }
}

#[test]
fn effective_freedom_is_welch_and_satterthwaites() {
    let line = |x: f64, y: f64| [[x * x, x * y], [x * y, y * y]];
    let alone = effective_freedom(&[([[2.0, 0.5], [0.5, 1.0]], 7.0)]);
    assert!((alone - 7.0).abs() < 1e-12);
    // Two lines: the mean of 1/ν, whichever way they run and however long they are.
    let lines = effective_freedom(&[(line(3.0, 1.0), 4.0), (line(-0.2, 5.0), 12.0)]);
    assert!((lines - 6.0).abs() < 1e-12);
    // The same shape twice: Welch–Satterthwaite of the variances 9 and 1.
    let scaled = |scale: f64| [[scale, 0.0], [0.0, scale]];
    let same = effective_freedom(&[(scaled(9.0), 5.0), (scaled(1.0), 3.0)]);
    let scalar = Uncertainty::combined(&[(3.0, 5.0), (1.0, 3.0)]).unwrap();
    assert!((same - scalar.freedom).abs() < 1e-12);
    assert!((scalar.standard - 10f64.sqrt()).abs() < 1e-12);
    assert_eq!(effective_freedom(&[(scaled(1.0), f64::INFINITY)]), f64::INFINITY);
}

#[test]
fn a_true_sigma_is_seldom_doubted_and_a_wrong_one_is() {
    let truth = circles().left;
    let doubted = 1.0
        - kept(|source| !fitted(&truth, 8, stated(), source).consistency().unwrap().disagrees());
    // 1 % of 4,000 is 40, standard deviation 6.3.
    assert!((doubted - 0.01).abs() < 0.0047, "{doubted}");
    let mut source = Source::seeded(9);
    for (factor, more) in [(0.4, true), (3.0, false)] {
        let spread = Spread { sigma_arcmin: Some(factor * SIGMA_ARCMIN), ring_sigma_deg: 0.0 };
        let found = fitted(&truth, 12, spread, &mut source).consistency().unwrap();
        assert!(found.disagrees() && found.scatters_more == more, "{found:?}");
    }
    assert!(fitted(&truth, 6, Spread::default(), &mut source).consistency().is_none());
}

/// Near touching the linear ellipse fails and says so; the trials then say how often the circles
/// meet at all.
#[test]
fn grazing_is_said() {
    let left = circle(0.0, 0.0, 50.0);
    for (apart, grazing) in [(60.0, false), (98.0, false), (99.99, true)] {
        let right = circle(apart, 0.0, 50.0);
        let readings = |circle: &OffsetCircle| -> Vec<Reading> {
            (0..8)
                .map(|k| 45.0 * f64::from(k))
                .map(|deg| Reading::at_ring(deg, circle.at_ring(deg).unwrap()))
                .collect()
        };
        let fit = |circle: &OffsetCircle| {
            let sense = SenseChoice::Given(Sense::With);
            fit_circle(Channel::Left, &readings(circle), stated(), sense).unwrap()
        };
        let (left, right) = (fit(&left), fit(&right));
        let fits = PerChannel { left: &left, right: &right };
        let crossing = crossing_near(fits, Direction::new(0.5 * apart, 10.0));
        // Centres and radii are known to 0.3′/√8 = 0.11′. h is 40′, 9.9′ and 0.7′; it moves by
        // about r/(2h) of that for each of four parts: 0.13′, 0.5′ and 7′.
        assert_eq!(crossing.grazing, grazing, "{apart}");
        let trials = solver::monte_carlo::crossing(fits, crossing.point, 2_000, 1).unwrap();
        assert_eq!(trials.meets < 0.99, grazing, "{apart}: {}", trials.meets);
    }
}

/// Where nothing is strongly bent, trials of the fits and first order say the same.
#[test]
fn trials_and_first_order_agree_at_a_setting() {
    let (truth, target) = (circles(), true_crossing());
    let mut source = Source::seeded(12);
    let left = fitted(&truth.left, 8, stated(), &mut source);
    let right = fitted(&truth.right, 8, stated(), &mut source);
    let fits = PerChannel { left: &left, right: &right };
    let crossing = crossing_near(fits, target.point);
    let rings = crossing.ring_deg.map(|deg| deg.unwrap());
    let trials = 20_000;
    let tried = solver::monte_carlo::setting(fits, rings, 0.3, None, trials, 4).unwrap();
    let known = setting_uncertainty(fits, rings, 0.3).unwrap().unwrap();
    // Of 20,000 trials a share of 95 % has a standard deviation of 0.15 %; four of those.
    let about = [known.misalignment.x_arcmin, known.misalignment.y_arcmin];
    let normal = Binormal::new(about, known.misalignment_arcmin2).unwrap();
    let share = normal.mass_in_disc(tried.misalignment_95_arcmin);
    assert!((share - 0.95).abs() < 0.0062, "{share}");
    // The distance from boresight lies below |X| + 1.645 u in 95 %. The quantile's own standard
    // deviation is 0.0015/0.103 = 0.015 u; four of those.
    let outward = crossing.point * (1.0 / crossing.boresight_arcmin);
    let [[xx, xy], [_, yy]] = known.shared_arcmin2;
    let (nx, ny) = (outward.x_arcmin, outward.y_arcmin);
    let u = (nx * nx * xx + 2.0 * nx * ny * xy + ny * ny * yy).sqrt();
    let beyond = (tried.boresight_95_arcmin - crossing.boresight_arcmin) / u;
    assert!((beyond - 1.645).abs() < 0.06, "{beyond}");
}

/// Circles that cross at (0, ±20′): truly equally near, and told so in 95 % of rounds. The two points
/// share both circles: what moves one out draws the other in when the circles move up, and both out
/// together when they grow, so their distances are not independent.
#[test]
fn crossings_that_are_equally_near_are_told_so() {
    let circles = PerChannel { left: circle(-15.0, 0.0, 25.0), right: circle(15.0, 0.0, 25.0) };
    let mut differences = Vec::new();
    let (mut stated_u, mut apart_u) = (0.0, 0.0);
    for (spread, allowed) in [(stated(), 0.01), (Spread::default(), 0.015)] {
        let share = kept(|source| {
            let fits = circles.map(|circle| fitted(&circle, 8, spread, source));
            let met = meet(&fits.left.circle, &fits.right.circle, RELATION_TOLERANCE).unwrap();
            let met = met.with_covariance(fits.as_ref());
            let nearer = met.nearer().unwrap();
            let [first, second] = [0, 1].map(|place| *met.crossings().nth(place).unwrap());
            assert!(!nearer.tied && nearer.by_arcmin >= 0.0);
            if spread.sigma_arcmin.is_some() {
                // The upper less the lower, which has a sign.
                let up = if first.point.y_arcmin > 0.0 { first } else { second };
                let down = if first.point.y_arcmin > 0.0 { second } else { first };
                differences.push(up.boresight_arcmin - down.boresight_arcmin);
                stated_u = nearer.uncertainty.unwrap().standard;
                let each = [first, second].map(|at| at.boresight_u().unwrap().standard);
                apart_u = each[0].hypot(each[1]);
            }
            nearer.is_open()
        });
        near_95("two crossings equally near", share, allowed);
    }
    // The scatter of the difference over the trials, known to 1/√(2·4000) = 1.1 %: three of it, and
    // first order.
    let spread = (differences.iter().map(|d| d * d).sum::<f64>() / TRIALS as f64).sqrt();
    assert!((stated_u / spread - 1.0).abs() < 0.05, "{stated_u} {spread}");
    // Taken as independent it would be wrong by far more.
    assert!((apart_u / spread - 1.0).abs() > 0.1, "{apart_u} {spread}");
}

/// One plainly nearer is said to be; without covariance only a tie is equally near.
#[test]
fn a_crossing_that_is_nearer_is_told_so() {
    let mut source = Source::seeded(3);
    let circles = PerChannel { left: circle(-15.0, 4.0, 25.0), right: circle(15.0, 4.0, 25.0) };
    let fits = circles.map(|circle| fitted(&circle, 12, stated(), &mut source));
    let met = meet(&fits.left.circle, &fits.right.circle, RELATION_TOLERANCE).unwrap();
    // 24′ and 16′ from boresight.
    let nearer = met.with_covariance(fits.as_ref()).nearer().unwrap();
    assert!((nearer.by_arcmin - 8.0).abs() < 1.0 && !nearer.is_open());
    assert!(!met.nearer().unwrap().is_open(), "bare circles");
    let level = PerChannel { left: circle(-15.0, 0.0, 25.0), right: circle(15.0, 0.0, 25.0) };
    let tie = meet(&level.left, &level.right, RELATION_TOLERANCE).unwrap().nearer().unwrap();
    assert!(tie.tied && tie.is_open());
}
