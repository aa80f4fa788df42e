//! Crossings of a graticule that a hand points at: on rendered graticules whose crossings are known, the mark is put on
//! the centre, with an honest covariance, or it is said why not.

use reader::simulate::{Grid, Scene};
use reader::{NoCrossing, Picture, crossing_near};
use solver::monte_carlo::Source;

const SIZE: [usize; 2] = [320, 240];

/// How far from the crossing hands point, pixels each way.
const POINTED: f64 = 7.0;

struct Drawn {
    scene: Scene,
    /// Crossings well inside.
    crossings: Vec<[f64; 2]>,
}

fn drawn(source: &mut Source, dark: bool) -> Drawn {
    let mut scene = Scene::even(SIZE, 60.0);
    let between = |source: &mut Source, low: f64, high: f64| source.rectangular(low, high);
    let height = 3.0 * (14.0_f64).powf(between(source, 0.0, 1.0));
    let grid = Grid {
        pitch_px: between(source, 32.0, 80.0),
        at_px: [between(source, 100.0, 180.0), between(source, 80.0, 140.0)],
        roll_deg: between(source, -15.0, 15.0),
        height: if dark { -height } else { height },
        width_px: between(source, 1.0, 6.0),
    };
    scene.grid = Some(grid);
    scene.vignetting = between(source, 0.0, 0.4);
    let (sin, cos) = grid.roll_deg.to_radians().sin_cos();
    let mut crossings = Vec::new();
    for i in -4_i8..=4 {
        for j in -4_i8..=4 {
            let (u, v) = (f64::from(i) * grid.pitch_px, f64::from(j) * grid.pitch_px);
            let at = [grid.at_px[0] + cos * u + sin * v, grid.at_px[1] - sin * u + cos * v];
            if (20.0..300.0).contains(&at[0]) && (20.0..220.0).contains(&at[1]) {
                crossings.push(at);
            }
        }
    }
    Drawn { scene, crossings }
}

/// 300 graticules, two crossings each, pointed at up to 7 px off: none is told more than 1 px or 5 σ off, the bias is
/// below 0.02 px, 95 % ellipses hold 90 to 99 %, and nearly all are told.
#[test]
fn marks_are_put_on_the_centre_of_the_crossing() {
    let (mut pointed, mut told, mut inside) = (0, 0, 0);
    let mut sums = [0.0; 2];
    let mut squares = 0.0;
    let mut why_not = std::collections::BTreeMap::<String, usize>::new();
    for seed in 0..300 {
        let mut source = Source::seeded(52_000_000 + seed);
        let dark = seed % 3 == 0;
        let Drawn { scene, crossings } = drawn(&mut source, dark);
        let pixels = scene.rendered(&mut source);
        let picture = Picture::new(&pixels, SIZE, None).unwrap();
        for _ in 0..2 {
            let which = source.rectangular(0.0, crossings.len() as f64) as usize;
            let truth = crossings[which.min(crossings.len() - 1)];
            let near = truth.map(|at| at + source.rectangular(-POINTED, POINTED));
            pointed += 1;
            let found = match crossing_near(&picture, dark, near, 12.0) {
                Ok(found) => found,
                Err(why) => {
                    *why_not.entry(format!("{why:?}").chars().take(8).collect()).or_default() += 1;
                    continue;
                }
            };
            told += 1;
            let [dx, dy] = [found.px[0] - truth[0], found.px[1] - truth[1]];
            let [xx, xy, yy] = found.covariance_px2;
            let squared = (yy * dx * dx - 2.0 * xy * dx * dy + xx * dy * dy) / (xx * yy - xy * xy);
            assert!(
                dx.hypot(dy) < 1.0 && squared < 25.0,
                "{seed}: {truth:?} {found:?} {:?}",
                scene.grid
            );
            // χ² of two degrees of freedom: −2 ln 0.05.
            inside += usize::from(squared <= -2.0 * 0.05_f64.ln());
            sums = [sums[0] + dx, sums[1] + dy];
            squares += dx * dx + dy * dy;
        }
    }
    let n = f64::from(told);
    let share = inside as f64 / n;
    assert!(n >= 0.95 * f64::from(pointed), "{told} of {pointed}: {why_not:?}");
    assert!((sums[0] / n).hypot(sums[1] / n) < 0.02, "{sums:?} of {n}");
    assert!((0.90..=0.99).contains(&share), "{share}");
    assert!((squares / (2.0 * n)).sqrt() < 0.05, "{squares} of {n}");
}

/// At the corner of a graticule arms go one way only: the crossing is told from them.
#[test]
fn a_corner_is_a_crossing_too() {
    for seed in 0..20 {
        let mut source = Source::seeded(53_000_000 + seed);
        let at = [source.rectangular(60.0, 90.0), source.rectangular(60.0, 90.0)];
        let mut pixels = vec![0.0_f32; SIZE[0] * SIZE[1]];
        let near = |d: f64| (1.5 + 0.5 - d.abs()).clamp(0.0, 1.0);
        for (place, value) in pixels.iter_mut().enumerate() {
            let (x, y) = ((place % SIZE[0]) as f64, (place / SIZE[0]) as f64);
            let level = if x > at[0] - 1.5 { near(y - at[1]) } else { 0.0 };
            let upright = if y > at[1] - 1.5 { near(x - at[0]) } else { 0.0 };
            *value = (30.0 + 12.0 * level.max(upright) + source.normal()) as f32;
        }
        let picture = Picture::new(&pixels, SIZE, None).unwrap();
        let found = crossing_near(&picture, false, [at[0] + 4.0, at[1] - 3.0], 12.0).unwrap();
        let off = (found.px[0] - at[0]).hypot(found.px[1] - at[1]);
        assert!(off < 0.25, "{seed}: {off}");
    }
}

/// What cannot be told is refused in words: nothing there, one line alone, too far away, no place at all.
#[test]
fn what_is_no_crossing_is_not_told() {
    let mut source = Source::seeded(54_000_000);
    let empty = Scene::even(SIZE, 60.0).rendered(&mut source);
    let picture = Picture::new(&empty, SIZE, None).unwrap();
    for _ in 0..200 {
        let near = [source.rectangular(0.0, 319.0), source.rectangular(0.0, 239.0)];
        let told = crossing_near(&picture, source.rectangular(0.0, 1.0) < 0.5, near, 12.0);
        assert!(matches!(told, Err(NoCrossing::NoLine { .. })), "{near:?}: {told:?}");
    }
    for near in [[f64::NAN, 3.0], [-4.0, 10.0], [330.0, 10.0], [10.0, f64::INFINITY]] {
        assert_eq!(crossing_near(&picture, false, near, 12.0), Err(NoCrossing::OutsidePicture));
    }
    // One level line.
    let mut line = empty.clone();
    for value in &mut line[100 * SIZE[0]..103 * SIZE[0]] {
        *value += 20.0;
    }
    let one = Picture::new(&line, SIZE, None).unwrap();
    let told = crossing_near(&one, false, [150.0, 104.0], 12.0);
    assert!(matches!(told, Err(NoCrossing::NoLine { which: "upright", .. })), "{told:?}");
    assert!(told.unwrap_err().to_string().contains("no upright line"));
    // A crossing 25 px away each way is not the one pointed at.
    for row in 0..SIZE[1] {
        line[row * SIZE[0] + 200] += 20.0;
    }
    let cross = Picture::new(&line, SIZE, None).unwrap();
    assert!(crossing_near(&cross, false, [200.0, 101.0], 12.0).is_ok());
    assert!(crossing_near(&cross, false, [175.0, 76.0], 12.0).is_err());
    // Lines of the other kind are no lines.
    assert!(crossing_near(&cross, true, [200.0, 101.0], 12.0).is_err());
    // Full pixels.
    let full: Vec<f32> = line.iter().map(|value| (value * 10.0).min(700.0)).collect();
    let full = Picture::new(&full, SIZE, Some(700.0)).unwrap();
    let told = crossing_near(&full, false, [200.0, 101.0], 12.0);
    assert!(matches!(told, Err(NoCrossing::Saturated { .. })), "{told:?}");
}

/// No value makes it panic, and none but a crossing is told.
#[test]
fn any_pixels_are_answered() {
    let mut source = Source::seeded(55_000_000);
    for round in 0..40 {
        let mut pixels = vec![0.0_f32; 64 * 64];
        for value in &mut pixels {
            *value = match round % 4 {
                0 => f32::NAN,
                1 => {
                    if source.rectangular(0.0, 1.0) < 0.5 {
                        f32::MAX
                    } else {
                        -f32::MAX
                    }
                }
                2 => 7.0,
                _ => {
                    if source.rectangular(0.0, 1.0) < 0.01 {
                        f32::INFINITY
                    } else {
                        1.0
                    }
                }
            };
        }
        let picture = Picture::new(&pixels, [64, 64], None).unwrap();
        for near in [[0.0, 0.0], [63.0, 63.0], [31.4, 30.2], [-0.5, 63.5]] {
            for within in [0.0, 12.0, f64::NAN, 1e9] {
                let told = crossing_near(&picture, round % 2 == 0, near, within);
                assert!(told.is_err(), "{round}: {told:?}");
            }
        }
    }
}
