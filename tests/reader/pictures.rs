//! 2,006 invented pictures, 118 of each of 17 kinds; 500 of the eighteenth, two crosshairs almost on one another.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use reader::simulate::{Kind, drawn};
use solver::monte_carlo::Source;

use crate::tally::{Tally, read_scene, tally};

const SIZE: [usize; 2] = [320, 240];

/// Pictures of each kind.
const EACH: u64 = 118;

/// Kinds, and the least share of their pictures that is read.
const KINDS: [(Kind, f64); 17] = [
    (Kind::Plain, 0.95),
    (Kind::Scintillating, 0.9),
    (Kind::Honeycomb, 0.75),
    (Kind::Blemished, 0.7),
    (Kind::Glare, 0.9),
    (Kind::Gaps, 0.95),
    (Kind::Graticule, 0.8),
    (Kind::WithBackground, 0.9),
    (Kind::ClearGraticule, 0.0),
    (Kind::Dark, 0.9),
    (Kind::Everything, 0.5),
    (Kind::Two, 0.7),
    (Kind::None, 0.0),
    (Kind::Cut, 0.0),
    (Kind::Saturated, 0.0),
    (Kind::Blurred, 0.0),
    (Kind::Faint, 0.0),
];

fn of(kind: Kind) -> Tally {
    let place = Kind::ALL.iter().position(|known| *known == kind).unwrap() as u64;
    let first = 1_000_000 * (place + 1);
    tally(kind, SIZE, first..first + EACH)
}

/// No crosshair of theirs is off by more than 1 px or by more than 5 σ; 95 % ellipses hold 90 to 99 %; what
/// can be read mostly is, and what cannot is refused.
#[test]
fn two_thousand_pictures_of_every_kind() {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some((kind, least)) = KINDS.get(next.fetch_add(1, Ordering::Relaxed)) {
            done.push((*kind, *least, of(*kind)));
        }
        done
    };
    let done: Vec<(Kind, f64, Tally)> = thread::scope(|scope| {
        let workers = [scope.spawn(work), scope.spawn(work)];
        workers.into_iter().flat_map(|worker| worker.join().unwrap()).collect()
    });
    let (mut inside, mut crosshairs, mut pictures) = (0, 0, 0);
    for (kind, least_read, found) in &done {
        assert!(found.far_off.is_empty(), "{:#?}", found.far_off);
        assert!(found.beyond.is_empty(), "{:#?}", found.beyond);
        let share = found.read as f64 / found.pictures as f64;
        assert!(share >= *least_read, "{kind:?}: {share}, {:?}", found.refusals);
        if kind.readable() {
            // Three standard deviations of 118 are 6 %.
            assert!(found.inside_share() > 0.86, "{kind:?}: {}", found.inside_share());
            assert!(found.bias() < 0.02 && found.rms() < 0.1, "{kind:?}: {found:?}");
        } else if *kind != Kind::ClearGraticule {
            assert!(found.read * 50 <= found.pictures, "{kind:?} is read: {found:?}");
        }
        inside += found.inside;
        crosshairs += found.crosshairs;
        pictures += found.pictures;
    }
    assert!(pictures >= 2000, "{pictures}");
    let share = inside as f64 / crosshairs as f64;
    assert!((0.90..=0.99).contains(&share), "{share} of {crosshairs}");
}

/// Of 500 pairs almost on one another, how many may be read as one that stands more than 1 px from both: one in 500
/// is (DEVELOPERS.md), and four or more of 500 would then be met once in 50 times. Pairs that are turned alike and lie within a fraction of their width are wider lines, and nothing
/// in the picture says otherwise.
const MOST_WRONG: usize = 3;

/// Two crosshairs up to 6 px apart each way, turned by up to 4° against one another, are refused. Seeds are
/// none that the test for a second line was made with.
#[test]
fn two_crosshairs_almost_on_one_another_are_not_read_as_one() {
    const PAIRS: u64 = 500;
    let first = 613_000_000;
    let halves = [first..first + PAIRS / 2, first + PAIRS / 2..first + PAIRS];
    let found: Vec<Tally> = thread::scope(|scope| {
        let workers = halves.map(|seeds| scope.spawn(|| tally(Kind::Close, SIZE, seeds)));
        workers.into_iter().map(|worker| worker.join().unwrap()).collect()
    });
    let wrong: Vec<&String> = found.iter().flat_map(|half| &half.far_off).collect();
    let read: usize = found.iter().map(|half| half.read).sum();
    assert!(wrong.len() <= MOST_WRONG, "{} of {read} read: {wrong:#?}", wrong.len());
}

/// At a contrast to noise of 5, whatever else is in the picture: bias below 0.02 px, rms below 0.1 px.
#[test]
fn at_a_contrast_to_noise_of_five_it_is_as_near_as_wanted() {
    let mut found = Tally::default();
    let kinds = [Kind::Plain, Kind::Scintillating, Kind::Gaps, Kind::Dark, Kind::WithBackground];
    for (place, kind) in kinds.into_iter().enumerate() {
        for seed in 0..40 {
            let mut source = Source::seeded(90_000_000 + 1000 * place as u64 + seed);
            let (mut scene, with_background) = drawn(kind, SIZE, &mut source);
            let truth: Vec<[f64; 2]> = scene.crosshairs.iter().map(|shown| shown.px).collect();
            for shown in &mut scene.crosshairs {
                shown.height = 5.0_f64.copysign(shown.height);
            }
            found.pictures += 1;
            if let Ok(crosshairs) = read_scene(&scene, with_background, &mut source) {
                found.read += 1;
                for crosshair in &crosshairs {
                    found.count(crosshair, &truth, &format!("{kind:?} {seed}"));
                }
            }
        }
    }
    assert!(found.read >= 190, "{found:?}");
    assert!(found.far_off.is_empty() && found.beyond.is_empty(), "{found:#?}");
    assert!(found.bias() < 0.02 && found.rms() < 0.1, "{} {}", found.bias(), found.rms());
    assert!((0.90..=0.995).contains(&found.inside_share()), "{}", found.inside_share());
}

/// The contrast to noise, the roll and the width that are told are those that were planted.
#[test]
fn what_else_is_told_is_so() {
    for seed in 0..30 {
        let mut source = Source::seeded(91_000_000 + seed);
        let (scene, _) = drawn(Kind::Plain, SIZE, &mut source);
        let planted = &scene.crosshairs[0];
        let Ok(found) = read_scene(&scene, false, &mut source) else { continue };
        let [found] = found.as_slice() else { panic!("{found:?}") };
        assert!((found.roll_deg - planted.roll_deg).abs() < 0.6, "{seed}: {found:?} {planted:?}");
        let contrast = found.contrast_to_noise / planted.height;
        assert!((0.75..1.25).contains(&contrast), "{seed}: {found:?} {planted:?}");
        let width = found.width_px / planted.width_px;
        assert!((0.8..1.4).contains(&width), "{seed}: {found:?} {planted:?}");
    }
}
