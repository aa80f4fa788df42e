//! Pictures of anything.

use reader::simulate::Scene;
use reader::{Looking, Picture, PictureError, Refusal, read};
use solver::monte_carlo::Source;

const SIZE: [usize; 2] = [160, 120];

/// A value at a place.
type Pattern = fn(usize, usize) -> f32;

fn read_any(pixels: &[f32], size: [usize; 2]) -> Result<usize, Refusal> {
    let picture = Picture::new(pixels, size, Some(255.0)).unwrap();
    let mut last = Err(Refusal::NoneFound);
    for dark in [true, false] {
        last = read(&picture, None, &Looking { dark, radial: None }).unwrap().map(|all| all.len());
    }
    last
}

fn filled(size: [usize; 2], of: impl Fn(usize, usize) -> f32) -> Vec<f32> {
    (0..size[0] * size[1]).map(|place| of(place % size[0], place / size[0])).collect()
}

#[test]
fn even_pictures_hold_no_crosshair() {
    for value in [0.0, -1.0, 255.0, 1e-30, 1e30, f32::MAX, f32::MIN_POSITIVE] {
        let found = read_any(&filled(SIZE, |_, _| value), SIZE);
        assert!(found.is_err(), "{value}: {found:?}");
    }
}

#[test]
fn what_is_not_a_number_is_said_to_be_none() {
    for value in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
        let mut pixels = filled(SIZE, |x, y| (x + y) as f32);
        pixels[7 * 160 + 3] = value;
        assert_eq!(read_any(&pixels, SIZE), Err(Refusal::NotNumbers));
    }
}

#[test]
fn patterns_hold_no_crosshair() {
    let patterns: [(&str, Pattern); 9] = [
        ("slope", |x, y| (3 * x + 2 * y) as f32),
        ("steps", |x, _| (x / 40 * 60) as f32),
        ("checks", |x, y| ((x / 8 + y / 8) % 2 * 200) as f32),
        ("stripes", |x, _| (x % 7 * 30) as f32),
        ("one line", |x, _| if x == 80 { 200.0 } else { 20.0 }),
        ("two the same way", |x, _| if x == 40 || x == 110 { 200.0 } else { 20.0 }),
        ("a corner", |x, y| if x >= 80 && y == 60 || x == 80 && y >= 60 { 200.0 } else { 20.0 }),
        ("a bright half", |x, _| if x > 80 { 200.0 } else { 20.0 }),
        ("rings", |x, y| {
            let far = (x as f32 - 80.0).hypot(y as f32 - 60.0);
            if (far - 40.0).abs() < 1.5 { 200.0 } else { 20.0 }
        }),
    ];
    for (name, of) in patterns {
        let found = read_any(&filled(SIZE, of), SIZE);
        assert!(found.is_err(), "{name}: {found:?}");
    }
}

/// A T has three arms.
#[test]
fn three_arms_are_no_crosshair() {
    let mut source = Source::seeded(5);
    let mut pixels = Scene::even(SIZE, 20.0).rendered(&mut source);
    for y in 0..120 {
        for x in 0..160 {
            if (59..=61).contains(&y) || (79..=81).contains(&x) && y > 60 {
                pixels[y * 160 + x] += 20.0;
            }
        }
    }
    let found = read_any(&pixels, SIZE);
    assert!(found.is_err(), "{found:?}");
}

/// A cross without noise is where it is.
#[test]
fn a_cross_without_noise_is_read() {
    for (x0, y0) in [(80, 60), (81, 57)] {
        let mut scene = Scene::even(SIZE, 20.0);
        scene.read_noise = 0.0;
        let at = [f64::from(x0), f64::from(y0)];
        scene.crosshairs.push(reader::simulate::Shown::plain(at, 50.0, 4.0, 45.0));
        let pixels = scene.rendered(&mut Source::seeded(1));
        let picture = Picture::new(&pixels, SIZE, None).unwrap();
        let found = read(&picture, None, &Looking::default()).unwrap().unwrap();
        assert!((found[0].px[0] - at[0]).hypot(found[0].px[1] - at[1]) < 0.01, "{found:?}");
    }
}

/// Random values of every size, in pictures of odd sizes: no panic.
#[test]
fn nothing_panics() {
    let mut source = Source::seeded(9);
    for round in 0..120_u32 {
        let size = [64, 120].map(|most| source.rectangular(64.0, 64.0 + f64::from(most)) as usize);
        let scale = 10.0_f64.powf(source.rectangular(-20.0, 37.0));
        let coarse = 1 + round as usize % 9;
        let values: Vec<f64> = (0..size[0] * size[1]).map(|_| source.normal()).collect();
        let pixels = filled(size, |x, y| {
            (scale * values[(y / coarse * coarse) * size[0] + x / coarse * coarse]) as f32
        });
        let _ = read_any(&pixels, size);
    }
}

#[test]
fn sizes_that_are_none_are_refused() {
    let pixels = vec![0.0; 64 * 64];
    let too_small = Picture::new(&pixels, [63, 65], None).unwrap_err();
    assert!(matches!(too_small, PictureError::TooSmall { .. }));
    let wrong = Picture::new(&pixels, [64, 65], None).unwrap_err();
    assert!(wrong.to_string().contains("4096 values make no picture of 64 × 65"), "{wrong}");
    assert!(Picture::new(&[], [usize::MAX, usize::MAX], None).is_err());
    assert!(Picture::new(&[], [0, 0], None).is_err());
    let picture = Picture::new(&pixels, [64, 64], None).unwrap();
    let more = vec![0.0; 64 * 72];
    let other = Picture::new(&more, [64, 72], None).unwrap();
    assert!(read(&picture, Some(&other), &Looking::default()).is_err());
}
