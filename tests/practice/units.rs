//! Units by number: the same for ever, as the optics say, and reach what brute force reaches.

use core::f64::consts::PI;

use record::practice::{BuiltCell, Grade, Hidden, PracticeUnit, Series, Truth};
use record::{Approach, Channel, Exercise, Header, PerChannel, Remedy, SessionKind, fold};
use solver::OffsetCircle;
use solver::simulate::InventedChannel;

use crate::hands::{Hand, Play, play};

/// Arcminutes in a radian.
const ARCMIN_PER_RAD: f64 = 3_437.746_770_784_939;

fn unit(grade: Grade, number: u64) -> PracticeUnit {
    PracticeUnit::of_series(Series::First, grade, number).unwrap()
}

fn locked(ring_deg: f64) -> BuiltCell {
    BuiltCell { ring_deg, approach: Approach::Clockwise, locked: true }
}

/// A snapshot of our own, and meant: a number given to a trainee must name the same unit for ever.
#[test]
fn numbers_name_the_units_they_always_named() {
    let numbers = [1, 2, 17, 400, 999_999];
    let now: Vec<Vec<f64>> = Series::First
        .grades()
        .iter()
        .copied()
        .flat_map(|grade| numbers.map(|number| figures(&unit(grade, number))))
        .collect();
    let kept: Vec<Vec<f64>> = include_str!("units.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split_whitespace().map(|word| word.parse().unwrap()).collect())
        .collect();
    assert_eq!(kept.len(), now.len(), "{now:?}");
    for (kept, now) in kept.iter().flatten().zip(now.iter().flatten()) {
        // Sines and logarithms differ in their last bits from machine to machine.
        assert!((kept - now).abs() < 1e-9, "{kept}, not {now}");
    }
}

/// The same of the second series: circles and least window use, how the rings stand as found, and what is planted
/// of whose channel.
#[test]
fn numbers_of_the_second_series_name_the_units_they_always_named() {
    let numbers = [1, 2, 3, 4, 5, 6, 17, 400, 999_999];
    let grades = Series::Second.grades().iter().copied();
    let every = grades.flat_map(|grade| numbers.map(|number| (grade, number)));
    let now: Vec<(String, Vec<f64>)> = every
        .map(|(grade, number)| {
            let unit = PracticeUnit::invented(grade, number).unwrap();
            let planted = unit.planted().map_or_else(
                || "nothing".to_owned(),
                |planted| planted.to_string().replace([' ', ','], "_"),
            );
            let mut all = figures(&unit);
            let found = unit.as_found();
            all.extend([found.left.ring_deg, found.right.ring_deg]);
            (format!("{}/{number}/{planted}", grade.word().replace(' ', "_")), all)
        })
        .collect();
    let kept: Vec<(&str, Vec<f64>)> = include_str!("units_second.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| {
            let (name, figures) = line.split_once(' ').unwrap();
            (name, figures.split(' ').map(|word| word.parse().unwrap()).collect())
        })
        .collect();
    let as_lines = || {
        let line = |(name, all): &(String, Vec<f64>)| {
            let all: Vec<String> = all.iter().map(ToString::to_string).collect();
            format!("KEEP {name} {}", all.join(" "))
        };
        now.iter().map(line).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(kept.len(), now.len(), "\n{}", as_lines());
    for ((name, kept), (now_name, now)) in kept.iter().zip(&now) {
        assert_eq!(name, now_name);
        for (kept, now) in kept.iter().zip(now) {
            assert!((kept - now).abs() < 1e-9, "{name}: {kept}, not {now}");
        }
    }
}

fn figures(unit: &PracticeUnit) -> Vec<f64> {
    let of = |circle: OffsetCircle| {
        [circle.centre.x_arcmin, circle.centre.y_arcmin, circle.radius_arcmin]
    };
    let PerChannel { left, right } = unit.as_made().circles().map(of);
    left.into_iter().chain(right).chain([unit.reach().alone.used]).collect()
}

/// tan θ′ = (c_in + c_out + q − c_o − c_e)/f_e written out from the parts' places, the cell turned with
/// its ring: Gerrard and Burch, *Introduction to Matrix Methods in Optics* (1994), decentred elements.
#[test]
fn what_a_unit_shows_is_what_its_parts_make() {
    for &grade in Series::First.grades() {
        for number in 1..=40 {
            let unit = unit(grade, number);
            let built = unit.as_made();
            let play_deg = grade.hand().ring_play_deg;
            for channel in Channel::BOTH {
                let InventedChannel { placed, decentre, .. } = *built.channel(channel);
                for (ring_deg, approach) in [
                    (0.0, Approach::Clockwise),
                    (77.0, Approach::Counter),
                    (301.5, Approach::NotNoted),
                ] {
                    let side = if approach == Approach::Counter { 0.5 } else { -0.5 };
                    let turned = -(ring_deg + side * play_deg) * PI / 180.0;
                    // Clockwise turns are negative the mathematical way round.
                    let (sin, cos) = turned.sin_cos();
                    let cell_x = placed.eyepiece.x_mm + cos * decentre.x_mm - sin * decentre.y_mm;
                    let cell_y = placed.eyepiece.y_mm + sin * decentre.x_mm + cos * decentre.y_mm;
                    let seen = |sum_mm: f64, cell_mm: f64| {
                        ((sum_mm - cell_mm) / 27.0).atan() * ARCMIN_PER_RAD
                    };
                    let sum =
                        placed.tube_in + placed.tube_out + placed.tube_image - placed.objective;
                    let cell = BuiltCell { ring_deg, approach, locked: false };
                    let point = built.point(channel, cell).unwrap();
                    assert!((point.x_arcmin - seen(sum.x_mm, cell_x)).abs() < 1e-9);
                    assert!((point.y_arcmin - seen(sum.y_mm, cell_y)).abs() < 1e-9);
                    // The small-angle circle is off by X³/3 at most, X up to 200′ here.
                    let near =
                        built.circles()[channel].at_ring(ring_deg + side * play_deg).unwrap();
                    let x = point.boresight_arcmin() / ARCMIN_PER_RAD;
                    let most = x.powi(3) / 3.0 * ARCMIN_PER_RAD * 1.5 + 1e-9;
                    assert!(near.distance_arcmin(point) <= most, "{near:?} {point:?}");
                }
            }
        }
    }
}

/// The best whole-degree setting, against every pair of whole degrees.
#[test]
fn no_pair_of_whole_degrees_beats_the_reach() {
    let limits = PracticeUnit::window().unwrap().limits;
    for (grade, number) in
        [(Grade::First, 3), (Grade::Second, 5), (Grade::Third, 1), (Grade::Third, 2)]
    {
        let unit = unit(grade, number);
        let points: PerChannel<Vec<_>> = PerChannel::from_fn(|channel| {
            let at = |deg: i32| unit.as_made().point(channel, locked(f64::from(deg))).unwrap();
            (0..360).map(at).collect()
        });
        let mut least = f64::INFINITY;
        for left in &points.left {
            for right in &points.right {
                least = least.min(limits.used_by(*left, *right).worst());
            }
        }
        let reached = unit.reach().alone.used;
        // Whole degrees next to the exact optimum: another pair may be a hair better, no more than
        // a degree's worth, 0.6′ of 5′.
        assert!(reached >= least - 1e-12, "{grade:?} {number}");
        assert!(reached <= least + 0.03, "{grade:?} {number}: {reached} against {least}");
    }
}

#[test]
fn each_grade_is_what_it_says() {
    let (mut hopeless, units) = (0, 60);
    for number in 1..=units {
        let first = unit(Grade::First, number);
        assert!(first.reach().alone.used < 0.75 && !first.reach().needs_remedy());
        let second = unit(Grade::Second, number);
        assert!(!second.reach().needs_remedy());
        let third = unit(Grade::Third, number);
        assert!(third.reach().needs_remedy());
        match &third.reach().remedy {
            Some(remedy) => {
                let after = third.as_made().after(remedy).best_setting().unwrap();
                assert!(after.used <= 0.8, "{number}");
            }
            None => hopeless += 1,
        }
    }
    // One in five: 12 expected, deviation 3.1.
    assert!((3..=24).contains(&hopeless), "{hopeless}");
    for number in [0, 1_000_000, u64::MAX] {
        assert!(PracticeUnit::of_series(Series::First, Grade::First, number).is_err());
    }
}

#[test]
fn a_shim_and_a_turned_tube_do_what_the_optics_say() {
    let unit = unit(Grade::Third, 1);
    let before = unit.as_made();
    let shim =
        record::Shim { clock_deg: 90.0, leaves_mm: vec![0.05], ends: record::ShimEnds::Both };
    let shims = vec![record::ShimUnder { channel: Channel::Right, shim }];
    let after = before.after(&Remedy::Shim(shims)).circles();
    let moved = after.right.centre - before.circles().right.centre;
    // 2t/f: 2·0.05/27 rad = 12.73′, away from the shim.
    assert!((moved.x_arcmin + 0.1 / 27.0 * ARCMIN_PER_RAD).abs() < 1e-9);
    assert!(moved.y_arcmin.abs() < 1e-9);
    assert_eq!(after.left, before.circles().left);
    let half = Remedy::TurnTube(record::TurnedPart { channel: Channel::Left, by_deg: 180.0 });
    let twice = before.after(&half).after(&half).circles();
    assert!(twice.left.centre.distance_arcmin(before.circles().left.centre) < 1e-9);
    let swapped = before.after(&Remedy::SwapEyepieces).circles();
    let (was, is) = (before.circles(), swapped);
    assert!((was.left.radius_arcmin - is.right.radius_arcmin).abs() < 1e-9);
    assert!((was.right.radius_arcmin - is.left.radius_arcmin).abs() < 1e-9);
    assert!(was.left.centre.distance_arcmin(is.left.centre) < 1e-9);
}

#[test]
fn the_truth_is_told_after_signing_and_not_before() {
    let unit = unit(Grade::Third, 4);
    let facts = play(Hand::Solving, &unit).unwrap();
    let unsigned = fold(&facts[..facts.len() - 1]);
    assert!(matches!(Truth::of(&unsigned), Err(Hidden::NotSigned)));
    let truth = Truth::of(&fold(&facts)).unwrap();
    assert_eq!(truth.unit, unit);
    assert_eq!(truth.left, truth.remedies.iter().fold(unit.as_made().clone(), |b, r| b.after(r)));
    let mut real = Play::begun(&unit).unwrap();
    real.facts.clear();
    real.add(record::Body::Header(Header {
        format: record::LATEST_FORMAT,
        program: String::new(),
        session: String::new(),
        kind: SessionKind::Real,
        continues: None,
    }))
    .unwrap();
    assert!(matches!(Truth::of(&real.session()), Err(Hidden::Real)));
}

#[test]
fn an_exercise_names_its_unit_and_no_other() {
    for &grade in Series::First.grades() {
        let named = unit(grade, 17);
        assert_eq!(PracticeUnit::of_exercise(&named.exercise()).unwrap(), named);
    }
    let other = Exercise { name: "warm-up".into(), seed: 17 };
    let refused = PracticeUnit::of_exercise(&other).unwrap_err().to_string();
    assert_eq!(
        refused,
        "“warm-up” is no exercise of this program; use the program it was begun with"
    );
    let another = Exercise { seed: 18, ..unit(Grade::First, 17).exercise() };
    assert!(PracticeUnit::of_exercise(&another).is_err());
}
