//! Lines that a lens bends: straight once its distortion is taken out.

use reader::{Looking, Picture, Radial, read};
use solver::monte_carlo::Source;

/// A cross that is straight in the world, seen through a lens.
fn picture(radial: &Radial, at: [f64; 2], roll_deg: f64, source: &mut Source) -> Vec<f32> {
    let (sin, cos) = roll_deg.to_radians().sin_cos();
    let straight = radial.straight_from_px(at);
    let mut pixels = Vec::new();
    for y in 0..480_u16 {
        for x in 0..640_u16 {
            let [sx, sy] = radial.straight_from_px([f64::from(x), f64::from(y)]);
            let (dx, dy) = (sx - straight[0], sy - straight[1]);
            let (along, across) = (cos * dx - sin * dy, sin * dx + cos * dy);
            let bell = |d: f64| (-0.5 * (d / 1.6) * (d / 1.6)).exp();
            let flat = if along.abs() < 230.0 { bell(across) } else { 0.0 };
            let upright = if across.abs() < 180.0 { bell(along) } else { 0.0 };
            pixels.push((20.0 + 10.0 * flat.max(upright) + source.normal()) as f32);
        }
    }
    pixels
}

#[test]
fn a_bent_crosshair_is_read_where_it_is() {
    for (seed, k) in [0.06, -0.05, 0.02, -0.08].into_iter().enumerate() {
        let radial = Radial::of([640, 480], k);
        let mut source = Source::seeded(seed as u64);
        let at = [source.rectangular(250.0, 300.0), source.rectangular(220.0, 270.0)];
        let pixels = picture(&radial, at, source.rectangular(-6.0, 6.0), &mut source);
        let picture = Picture::new(&pixels, [640, 480], None).unwrap();
        for radial in [Some(radial), None] {
            let found = read(&picture, None, &Looking { dark: false, radial }).unwrap();
            match (found, radial) {
                (Ok(found), _) => {
                    let [found] = found.as_slice() else { panic!("{found:?}") };
                    let off = (found.px[0] - at[0]).hypot(found.px[1] - at[1]);
                    let [xx, _, yy] = found.covariance_px2;
                    // Known distortion: 0.05 px is 4 σ; unknown: within its own 5 σ.
                    let most = if radial.is_some() { 0.05 } else { 5.0 * (xx + yy).sqrt() };
                    assert!(off < most, "k {k}, {radial:?}: {off}, {found:?}");
                }
                (Err(refusal), None) => assert!(!refusal.to_string().is_empty()),
                (Err(refusal), Some(_)) => panic!("k {k}: {refusal}"),
            }
        }
    }
}

#[test]
fn the_distortion_and_its_inverse_undo_each_other() {
    for k in [-0.2, -0.03, 0.0, 0.05, 0.4] {
        let radial = Radial::of([1280, 960], k);
        for px in [[639.5, 479.5], [0.0, 0.0], [1279.0, 12.0], [700.0, 958.0]] {
            let back = radial.px_from_straight(radial.straight_from_px(px)).unwrap();
            assert!((back[0] - px[0]).hypot(back[1] - px[1]) < 1e-9, "{k}: {px:?} {back:?}");
        }
    }
    // Beyond the fold of k = −0.5 no place has it.
    let folded = Radial::of([1280, 960], -0.5);
    assert_eq!(folded.px_from_straight([3000.0, 480.0]), None);
    assert_eq!(folded.px_from_straight([f64::NAN, 0.0]), None);
    assert_eq!(folded.px_from_straight([f64::INFINITY, 0.0]), None);
}
