//! Pictures rendered elsewhere, and what other estimators made of them; camera maps fitted elsewhere.
//!
//! Source: `elsewhere.py` beside this file, with scipy, OpenCV and scikit-image of the versions and on the
//! day that `tests/data/pictures/elsewhere.toml` names.

use std::fs;
use std::path::{Path, PathBuf};

use reader::{CameraMap, Looking, Mark, Picture, read};
use toml::{Table, Value};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/pictures")
}

fn kept() -> Table {
    fs::read_to_string(folder().join("elsewhere.toml")).unwrap().parse().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|one| one.as_float().unwrap()).collect()
}

fn pairs(value: &Value) -> Vec<[f64; 2]> {
    value.as_array().unwrap().iter().map(pair).collect()
}

fn pair(value: &Value) -> [f64; 2] {
    numbers(value).try_into().unwrap()
}

/// A PGM of the one form the script writes.
fn pgm(path: &Path) -> (Vec<f32>, [usize; 2]) {
    let bytes = fs::read(path).unwrap();
    let pixels = bytes.strip_prefix(b"P5\n160 120\n255\n").unwrap();
    (pixels.iter().map(|value| f32::from(*value)).collect(), [160, 120])
}

/// Eight pictures with the gain noise of an intensifier: inside our own 99.99 % ellipse of the truth, and no
/// farther from it, all in all, than the best of the others by half.
#[test]
fn pictures_rendered_elsewhere_are_read_as_well_as_elsewhere() {
    let kept = kept();
    let mut errors = [0.0; 4];
    let mut count = 0.0;
    for picture in kept["picture"].as_array().unwrap() {
        let name = picture["file"].as_str().unwrap();
        let (pixels, size) = pgm(&folder().join(name));
        let shown = Picture::new(&pixels, size, Some(255.0)).unwrap();
        let found = read(&shown, None, &Looking::default()).unwrap();
        let found = found.unwrap_or_else(|refusal| panic!("{name}: {refusal}"));
        let [found] = found.as_slice() else { panic!("{name}: {found:?}") };
        let truth = pair(&picture["true_px"]);
        let off = |at: [f64; 2]| (at[0] - truth[0]).powi(2) + (at[1] - truth[1]).powi(2);
        let [dx, dy] = [found.px[0] - truth[0], found.px[1] - truth[1]];
        let [xx, xy, yy] = found.covariance_px2;
        let distance2 = (yy * dx * dx - 2.0 * xy * dx * dy + xx * dy * dy) / (xx * yy - xy * xy);
        // χ² of two degrees of freedom: −2 ln 0.0001.
        assert!(distance2 < 18.5, "{name}: {dx} {dy}, {found:?}");
        let roll_deg = picture["roll_deg"].as_float().unwrap();
        assert!((found.roll_deg - roll_deg).abs() < 0.5, "{name}: {found:?}");
        for (sum, at) in errors.iter_mut().zip([
            found.px,
            pair(&picture["whole_px"]),
            pair(&picture["ridge_px"]),
            pair(&picture["centroid_px"]),
        ]) {
            *sum += off(at);
        }
        count += 2.0;
    }
    assert_eq!(count, 16.0);
    let [ours, others @ ..] = errors.map(|sum| f64::sqrt(sum / count));
    let best = others.into_iter().fold(f64::MAX, f64::min);
    assert!(ours < 1.5 * best, "{ours} px, others {others:?}");
    assert!(ours < kept["ridge_rms_px"].as_float().unwrap() * 1.5, "{ours}");
}

/// Homographies by `cv2.findHomography`, a radial term by `scipy.optimize.least_squares`: both search the
/// least squares of distances in the picture, as ours does. Both stop at a relative change of 1e-8 or so of a
/// thousand pixels.
#[test]
fn camera_maps_are_those_that_general_libraries_fit() {
    let kept = kept();
    let maps = kept["map"].as_array().unwrap();
    assert_eq!(maps.len(), 3);
    for map in maps {
        let name = map["name"].as_str().unwrap();
        let size =
            map["size_px"].as_array().unwrap().iter().map(|px| px.as_integer().unwrap() as u64);
        let size: [u64; 2] = size.collect::<Vec<_>>().try_into().unwrap();
        let marks: Vec<Mark> = pairs(&map["divisions"])
            .into_iter()
            .zip(pairs(&map["px"]))
            .map(|(divisions, px)| Mark { px, divisions })
            .collect();
        let fitted = CameraMap::fit(size, &marks).unwrap();
        assert!((fitted.radial().k - map["k"].as_float().unwrap()).abs() < 1e-6, "{name}");
        let squares: f64 = fitted.residuals_px().iter().map(|[x, y]| x * x + y * y).sum();
        let rms_px = (squares / marks.len() as f64).sqrt();
        let other = map["rms_px"].as_float().unwrap();
        // Theirs may stop a little early, never better.
        assert!(rms_px < other + 1e-6 && rms_px > other - 1e-3, "{name}: {rms_px} {other}");
        for (divisions, px) in
            pairs(&map["probe_divisions"]).into_iter().zip(pairs(&map["probe_px"]))
        {
            let [x, y] = fitted.px_from_divisions(divisions).unwrap();
            assert!((x - px[0]).hypot(y - px[1]) < 2e-3, "{name}: {x} {y} {px:?}");
        }
    }
}
