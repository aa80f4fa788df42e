//! Shelves of the size that is promised.

use std::time::Instant;

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use solver::Window;
use solver::shelf::{STEPS, Totals, plan};

use crate::{Sizes, invent};

fn sizes(eyepieces: Option<usize>, shims: bool, spread_arcmin: f64) -> Sizes {
    Sizes { housings: 30, tubes: 60, eyepieces, kinds: 1, spread_arcmin, unknown: 0.0, shims }
}

/// 60 tubes and 30 housings, whose eyepieces stay in them: proved best, whatever the window.
#[test]
#[allow(clippy::print_stdout, reason = "how long it took")]
fn sixty_tubes_and_thirty_housings_are_proved() {
    for (seed, spread, window, shims) in [
        (1, 4.0, (45.0, 20.0, 15.0, 40.0), false),
        (2, 8.0, (10.0, 5.0, 4.0, 20.0), false),
        (3, 8.0, (10.0, 5.0, 4.0, 12.0), false),
        (4, 6.0, (8.0, 4.0, 3.0, 10.0), true),
    ] {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let window = Window::new(window.0, window.1, window.2, Some(window.3)).unwrap();
        let made = invent(&mut rng, sizes(None, shims, spread), window);
        let started = Instant::now();
        let found = plan(&made.shelf, STEPS).unwrap();
        println!(
            "seed {seed}: {:?} bound {:?}, {} candidates, {} steps, {:?}",
            found.totals,
            found.bound,
            found.candidates,
            found.steps,
            started.elapsed()
        );
        assert!(found.proved, "seed {seed}: {:?} of {:?}", found.totals, found.bound);
    }
}

/// Seven units of fourteen tubes and fourteen eyepieces that go anywhere: proved. With thirty of sixty not every
/// pair is looked at: that no plan has more units, or a leaf less, is proved, and of the window use it is said
/// how much less it could be.
#[test]
#[allow(clippy::print_stdout, reason = "how long it took")]
fn eyepieces_that_go_anywhere_are_proved_or_bounded() {
    let usual = (10.0, 5.0, 4.0, 20.0);
    for (seed, housings, spread, window, all) in [
        (5, 7, 8.0, usual, true),
        (5, 30, 8.0, usual, false),
        (7, 30, 8.0, (10.0, 5.0, 4.0, 12.0), false),
        // Circles that hardly meet: not every housing gets a unit.
        (11, 30, 3.0, (10.0, 5.0, 4.0, 12.0), false),
    ] {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let window = Window::new(window.0, window.1, window.2, Some(window.3)).unwrap();
        let sizes = Sizes {
            housings,
            tubes: 2 * housings,
            eyepieces: Some(2 * housings),
            ..sizes(None, false, spread)
        };
        let made = invent(&mut rng, sizes, window);
        let started = Instant::now();
        let found = plan(&made.shelf, STEPS).unwrap();
        println!(
            "{housings} housings: {:?} bound {:?}, {} candidates, {} steps, {:?}",
            found.totals,
            found.bound,
            found.candidates,
            found.steps,
            started.elapsed()
        );
        assert_eq!(found.proved, all);
        let sums = |totals: &Totals| (totals.without_shim, totals.units, totals.leaves);
        assert_eq!(sums(&found.totals), sums(&found.bound), "seed {seed}");
        assert!(found.totals.units >= housings - 1);
        let off = found.totals.window_use() - found.bound.window_use();
        assert!((0.0..0.1).contains(&off), "seed {seed}: {off}");
    }
}

/// Thirty housings that take 216 shims a seat and a window that hardly a unit comes inside of: what is not
/// tried is bounded, and the search ends.
#[test]
#[allow(clippy::print_stdout, reason = "how long it took")]
fn many_shims_are_tried_within_bounds() {
    let mut rng = ChaCha8Rng::seed_from_u64(6);
    let window = Window::new(2.0, 1.0, 1.0, Some(1.5)).unwrap();
    let mut made = invent(&mut rng, sizes(None, true, 14.0), window);
    made.shelf.most_leaves = 4;
    for housing in &mut made.shelf.housings {
        if let Some(seat) = &mut housing.seat {
            seat.clocks_deg = vec![0.0, 60.0, 120.0, 180.0, 240.0, 300.0];
            seat.leaves_mm = vec![0.1, 0.05, 0.025];
            seat.largest_mm = 0.3;
        }
    }
    let started = Instant::now();
    let found = plan(&made.shelf, 20_000).unwrap();
    println!(
        "{:?} bound {:?}, {} candidates, {} steps, {:?}",
        found.totals,
        found.bound,
        found.candidates,
        found.steps,
        started.elapsed()
    );
    let key = |totals: &Totals| (totals.without_shim, totals.units);
    assert!(key(&found.bound) >= key(&found.totals));
    assert!(found.totals.units > 0);
}
