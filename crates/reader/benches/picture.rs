//! A picture of 1280 × 960 read, beside a general library's Gaussian blur of the same picture (the `image`
//! crate's, standard deviation 1.5 px, 32-bit grey): `cargo bench -p reader`.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a bench prints, and fails by panicking"
)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use image::{ImageBuffer, Luma};
use reader::simulate::{Scene, Shown};
use reader::{Looking, Picture, read};
use solver::monte_carlo::Source;

const SIZE: [usize; 2] = [1280, 960];

fn scene(crosshairs: usize) -> Vec<f32> {
    let mut scene = Scene::even(SIZE, 30.0);
    scene.vignetting = 0.3;
    let mut shown = Shown::plain([610.3, 502.7], 10.0, 4.0, 280.0);
    shown.roll_deg = 3.0;
    let mut other = Shown::plain([300.0, 250.0], 7.0, 4.0, 150.0);
    other.roll_deg = -2.0;
    scene.crosshairs = [shown, other].into_iter().take(crosshairs).collect();
    scene.rendered(&mut Source::seeded(1))
}

/// The median of some runs.
fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..31)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[15]
}

fn reading(criterion: &mut Criterion) {
    for (name, crosshairs) in [("one crosshair", 1), ("two crosshairs", 2), ("none", 0)] {
        let pixels = scene(crosshairs);
        let picture = Picture::new(&pixels, SIZE, None).unwrap();
        let looking = Looking::default();
        let found = read(&picture, None, &looking).unwrap().map_or(0, |all| all.len());
        assert_eq!(found, crosshairs);
        let run = || read(black_box(&picture), None, &looking);
        criterion.bench_function(&format!("1280 × 960, {name}"), |bench| bench.iter(run));
        let ours = median(|| {
            black_box(run()).unwrap().ok();
        });
        let grey = ImageBuffer::<Luma<f32>, _>::from_raw(1280, 960, pixels.clone()).unwrap();
        let blur = median(|| {
            black_box(image::imageops::blur(black_box(&grey), 1.5));
        });
        let ratio = blur.as_secs_f64() / ours.as_secs_f64();
        println!("{name}: read in {ours:.2?}; a blur of the picture takes {ratio:.1}× as long");
    }
}

criterion_group!(benches, reading);
criterion_main!(benches);
