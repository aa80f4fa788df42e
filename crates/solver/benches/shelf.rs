//! How long the best plan of a shelf takes, and beside it a general solver of mixed-integer programmes.
//!
//! The general solver gets the units that come inside as they are, found before; ours finds them itself,
//! chooses, proves its choice and works out each prediction with its trials. Both must come to the same.
//!
//! `cargo bench -p solver --bench shelf` prints times and ratios taken in one run. Other work on the
//! machine lengthens times; only ratios within one run are claims.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and may fail")]

use std::time::{Duration, Instant};

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::monte_carlo::Source;
use solver::shelf::{
    Estimate, KnownValue, Offsets, Part, Radius, STEPS, Seated, Shelf, ShelfEyepiece, ShelfHousing,
    ShelfTube, Subject, plan,
};
use solver::{Channel, Direction, OffsetCircle, PerChannel, Window};

/// A shelf of housings that keep their eyepieces, all of one kind, every offset stated, no shims.
fn invent(source: &mut Source, housings: usize, tubes: usize) -> Shelf {
    let pods = (0..housings).flat_map(|h| Channel::BOTH.map(|channel| Part::pod(h, channel)));
    let parts: Vec<Part> = pods.chain((0..tubes).map(Part::Tube)).collect();
    let seen: Vec<KnownValue> = parts
        .into_iter()
        .map(|part| {
            let mut offset = || source.rectangular(-12.0, 12.0);
            let value = Direction::new(offset(), offset());
            KnownValue {
                subject: Subject::Stated(part),
                value,
                covariance_arcmin2: [[0.01, 0.0], [0.0, 0.01]],
            }
        })
        .collect();
    let eyepieces = (0..2 * housings).map(|_| ShelfEyepiece {
        kind: 0,
        radius: Some(Radius { arcmin: source.rectangular(12.0, 26.0), u_arcmin: 0.1 }),
        centre: Estimate::default(),
    });
    Shelf {
        eyepieces: eyepieces.collect(),
        housings: (0..housings)
            .map(|h| ShelfHousing {
                kind: 0,
                seat: None,
                effect: None,
                swing: None,
                eyepieces: Some(PerChannel { left: 2 * h, right: 2 * h + 1 }),
            })
            .collect(),
        tubes: vec![ShelfTube { kind: 0, may_turn: true }; tubes],
        offsets: Offsets::of(&seen).unwrap(),
        window: Window::new(6.0, 6.0, 5.0, None).unwrap(),
        most_leaves: 0,
    }
}

/// A unit that comes inside: its housing, its tubes, the least window use of any way up.
type Unit = (usize, [usize; 2], f64);

fn units(shelf: &Shelf) -> Vec<Unit> {
    let mut found = Vec::new();
    for (h, housing) in shelf.housings.iter().enumerate() {
        let pair = housing.eyepieces.unwrap();
        let circle = |channel: Channel, tube: usize, turned_deg: f64| {
            let centre = shelf.offsets.centre(h, channel, Seated { tube, turned_deg }).unwrap();
            let radius = shelf.eyepieces[pair[channel]].radius.unwrap();
            OffsetCircle::unphased(centre.value, radius.arcmin)
        };
        for left in 0..shelf.tubes.len() {
            for right in (0..shelf.tubes.len()).filter(|&right| right != left) {
                let ways = [(0.0, 0.0), (0.0, 180.0), (180.0, 0.0), (180.0, 180.0)];
                let uses = ways.into_iter().filter_map(|(a, b)| {
                    let (a, b) = (circle(Channel::Left, left, a), circle(Channel::Right, right, b));
                    let point = meet(&a, &b, RELATION_TOLERANCE).ok()?.nearest()?.point;
                    Some(shelf.window.used_by(point, point).worst())
                });
                let least = uses.fold(f64::INFINITY, f64::min);
                if least <= 1.0 {
                    found.push((h, [left, right], least));
                }
            }
        }
    }
    found
}

/// One more unit is worth more than the use of all.
const A_UNIT: f64 = 1_000.0;

/// The most units and then the least use, by the general solver to a gap of none: how many, their use.
fn by_general_crate(shelf: &Shelf, units: &[Unit]) -> (usize, f64) {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let taken: Vec<Variable> =
        units.iter().map(|(_, _, used)| problem.add_binary_var(A_UNIT - used)).collect();
    let mut once = |holds: &dyn Fn(&Unit) -> bool| {
        let row: Vec<(Variable, f64)> = units
            .iter()
            .zip(&taken)
            .filter(|(unit, _)| holds(unit))
            .map(|(_, &variable)| (variable, 1.0))
            .collect();
        if row.len() > 1 {
            problem.add_constraint(&row, ComparisonOp::Le, 1.0);
        }
    };
    for h in 0..shelf.housings.len() {
        once(&|unit| unit.0 == h);
    }
    for tube in 0..shelf.tubes.len() {
        once(&|unit| unit.1.contains(&tube));
    }
    let solved = problem.solve().unwrap().into_solution().unwrap();
    let held = taken.iter().zip(units).filter(|(variable, _)| solved.var_value(**variable) > 0.5);
    held.fold((0, 0.0), |(count, sum), (_, (_, _, used))| (count + 1, sum + used))
}

fn timed<T>(job: impl FnOnce() -> T) -> (T, Duration) {
    let started = Instant::now();
    let done = job();
    (done, started.elapsed())
}

fn main() {
    let mut source = Source::seeded(24);
    for (housings, tubes) in [(3, 8), (6, 14), (10, 24), (15, 36)] {
        let shelf = invent(&mut source, housings, tubes);
        let columns = units(&shelf);
        let (ours, took) = timed(|| plan(&shelf, STEPS).unwrap());
        let ((count, used), general) = timed(|| by_general_crate(&shelf, &columns));
        assert!(ours.proved, "{housings} housings are not proved");
        assert_eq!(ours.totals.units, count, "{housings} housings");
        // Each use is counted in whole millionths.
        let off = (ours.totals.window_use() - used).abs();
        assert!(off <= 1e-6 * count as f64, "{housings} housings: off by {off}");
        println!(
            "{housings} housings, {tubes} tubes, {} units to choose from: planned in {took:.2?}; the same choice by a \
             general mixed-integer crate in {general:.2?}: {:.2}×",
            columns.len(),
            general.as_secs_f64() / took.as_secs_f64()
        );
    }
}
