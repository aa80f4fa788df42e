//! `samepoint picture`: every exit code, every kind of file, and the invented shop's pictures.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use image::{DynamicImage, GrayImage, ImageFormat, Luma};
use serde_json::Value;

use crate::run::{Run, root, samepoint};

const CAMERA: &str = "demo-data/cameras/Bench 2.ron";
const STATION: &str = "demo-data/stations/Bench 2.ron";

fn picture(files: &[&str], more: &[&str]) -> Run {
    let mut arguments = vec!["picture"];
    arguments.extend(files);
    arguments.extend(["--camera", CAMERA]);
    arguments.extend(more);
    samepoint(&arguments)
}

fn json(run: Run, code: i32) -> Value {
    serde_json::from_str(&run.answered(code)).unwrap()
}

fn pair(value: &Value) -> [f64; 2] {
    [0, 1].map(|place| value[place].as_f64().unwrap())
}

/// What the makers of the pictures planted, as the invented shop's README tells it.
#[test]
fn the_invented_pictures_are_read_where_they_were_drawn() {
    let planted = [
        ("ring-000.png", vec![[12.0, -6.5]]),
        ("ring-120.png", vec![[-4.25, 14.0]]),
        ("ring-240.png", vec![[-9.5, -17.0]]),
        ("both.png", vec![[6.0, 8.0], [-8.0, -3.0]]),
    ];
    let names: Vec<String> =
        planted.iter().map(|(name, _)| format!("demo-data/pictures/{name}")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let told = json(picture(&names, &["--station", STATION, "--json"]), 0);
    assert_eq!(told["format"], 1);
    assert_eq!(told["camera"]["marks"], 9);
    for (place, (name, crosshairs)) in planted.iter().enumerate() {
        let one = &told["pictures"][place];
        assert!(one["file"].as_str().unwrap().ends_with(name));
        let found = one["crosshairs"].as_array().unwrap();
        assert_eq!(found.len(), crosshairs.len(), "{name}: {one}");
        for (found, planted) in found.iter().zip(crosshairs) {
            let at = pair(&found["divisions"]);
            let covariance = &found["covariance_divisions2"];
            for axis in [0, 1] {
                let u = covariance[axis][axis].as_f64().unwrap().sqrt();
                // Five pixels a division: a mark a tenth of a pixel off is 0.02 divisions.
                assert!(u > 0.001 && u < 0.1, "{name}: {u}");
                assert!((at[axis] - planted[axis]).abs() < 4.0 * u, "{name}: {at:?} {planted:?}");
            }
            assert_eq!(found["map_uncertainty_included"], true);
            // Bench 2 has one arcminute a division.
            let arcmin = pair(&found["arcmin"]);
            assert!((arcmin[0] - at[0]).abs() < 1e-9 && (arcmin[1] - at[1]).abs() < 1e-9);
        }
    }
    // Strongest first.
    let both = &told["pictures"][3]["crosshairs"];
    let contrast = |place: usize| both[place]["contrast_to_noise"].as_f64().unwrap();
    assert!(contrast(0) > contrast(1));
}

#[test]
fn a_graticule_as_bright_needs_its_background() {
    let shown = "demo-data/pictures/graticule.png";
    let told = json(picture(&[shown], &["--json"]), 1);
    let refusal = told["pictures"][0]["refusal"].as_str().unwrap();
    assert!(refusal.contains("background"), "{refusal}");
    assert!(told["pictures"][0].get("crosshairs").is_none());
    let under = ["--background", "demo-data/pictures/background.png", "--json"];
    let told = json(picture(&[shown], &under), 0);
    let at = pair(&told["pictures"][0]["crosshairs"][0]["divisions"]);
    assert!((at[0] - 3.5).abs() < 0.1 && (at[1] - 2.25).abs() < 0.1, "{at:?}");
    // Without a station there are no arcminutes.
    assert!(told["pictures"][0]["crosshairs"][0].get("arcmin").is_none());
}

#[test]
fn a_person_is_told_with_true_minus_signs() {
    let files = ["demo-data/pictures/ring-120.png", "demo-data/pictures/background.png"];
    let run = picture(&files, &["--station", STATION]);
    let out = run.answered(1);
    assert!(out.starts_with("Camera map Bench 2 of station Bench 2, 9 marks: each ±"), "{out}");
    assert!(out.contains("  −4.2") && out.contains("′ ±0.") && out.contains("px wide"), "{out}");
    assert!(out.contains("background.png\n  not read: "), "{out}");
    assert!(!out.contains(" -"), "{out}");
}

/// The demo's first picture, in other forms.
fn first() -> GrayImage {
    let bytes = fs::read(root().join("demo-data/pictures/ring-000.png")).unwrap();
    image::load_from_memory(&bytes).unwrap().into_luma8()
}

fn encoded(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

#[test]
fn every_form_of_a_picture_is_read_alike() {
    let folder = tempfile::tempdir().unwrap();
    let grey = first();
    let deep = image::ImageBuffer::<Luma<u16>, Vec<u16>>::from_fn(320, 240, |x, y| {
        Luma([u16::from(grey.get_pixel(x, y).0[0]) * 257])
    });
    let eight = DynamicImage::ImageLuma8(grey.clone());
    let colours = DynamicImage::ImageRgb8(eight.to_rgb8());
    let deep = DynamicImage::ImageLuma16(deep);
    let mut text = "P2\n# a comment\n320 240\n255\n".to_owned();
    for value in grey.as_raw() {
        text += &format!("{value}\n");
    }
    let forms = [
        ("deep.png", encoded(&deep, ImageFormat::Png)),
        ("colours.png", encoded(&colours, ImageFormat::Png)),
        ("eight.pgm", encoded(&eight, ImageFormat::Pnm)),
        ("colours.ppm", encoded(&colours, ImageFormat::Pnm)),
        ("plain.pgm", text.into_bytes()),
        ("eight.tif", encoded(&eight, ImageFormat::Tiff)),
        ("deep.tif", encoded(&deep, ImageFormat::Tiff)),
        ("grey.jpg", encoded(&eight, ImageFormat::Jpeg)),
        ("colours.jpg", encoded(&colours, ImageFormat::Jpeg)),
        ("interlaced.png", interlaced(&grey)),
        ("named wrongly.txt", encoded(&eight, ImageFormat::Png)),
    ];
    let at = |name: &str| {
        let told = json(picture(&[name], &["--json"]), 0);
        pair(&told["pictures"][0]["crosshairs"][0]["px"])
    };
    let [x, y] = at("demo-data/pictures/ring-000.png");
    for (name, bytes) in forms {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        let found = at(path.to_str().unwrap());
        let off = (found[0] - x).hypot(found[1] - y);
        // JPEG loses a little.
        let most = if name.ends_with(".jpg") { 0.1 } else { 1e-6 };
        assert!(off <= most, "{name}: {off}");
    }
}

/// A PNG whose header speaks of 100 million pixels: nobody should unpack it.
fn huge_png() -> Vec<u8> {
    let mut png = encoded(&DynamicImage::ImageLuma8(first()), ImageFormat::Png);
    png[16..20].copy_from_slice(&10_000_u32.to_be_bytes());
    png[20..24].copy_from_slice(&10_000_u32.to_be_bytes());
    let sum = crc(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    png
}

#[test]
fn what_cannot_be_used_is_refused_with_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let eight = DynamicImage::ImageLuma8(first());
    let png = encoded(&eight, ImageFormat::Png);
    let jpeg = encoded(&eight, ImageFormat::Jpeg);
    let tiff = encoded(&eight, ImageFormat::Tiff);
    let mut palette = png.clone();
    palette[25] = 3;
    let mut inks = jpeg.clone();
    let frame = inks.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    inks[frame + 9] = 4;
    let half = |bytes: &[u8]| bytes[..bytes.len() / 2].to_vec();
    let small = DynamicImage::ImageLuma8(GrayImage::new(100, 80));
    let float = DynamicImage::ImageRgb32F(eight.to_rgb32f());
    let mut damaged = png.clone();
    let middle = damaged.len() / 2;
    damaged[middle] ^= 0x55;
    let cases: [(&str, Vec<u8>, &str); 18] = [
        ("empty.png", vec![], "empty"),
        ("words.png", b"no picture at all".to_vec(), "no PNG"),
        ("cut.png", half(&png), "PNG"),
        ("cut.jpg", half(&jpeg), "end is missing"),
        ("cut.tif", half(&tiff), "TIFF"),
        ("cut.pgm", half(&encoded(&eight, ImageFormat::Pnm)), "PNM"),
        ("head.png", png[..20].to_vec(), "PNG"),
        ("head.jpg", jpeg[..3].to_vec(), "end is missing"),
        ("damaged.png", damaged, "PNG"),
        ("small.png", encoded(&small, ImageFormat::Png), "100 × 80"),
        ("palette.png", palette, "palette"),
        (
            "alpha.png",
            encoded(&DynamicImage::ImageRgba8(eight.to_rgba8()), ImageFormat::Png),
            "transparency",
        ),
        (
            "grey alpha.png",
            encoded(&DynamicImage::ImageLumaA8(eight.to_luma_alpha8()), ImageFormat::Png),
            "transparency",
        ),
        ("huge.png", huge_png(), "64 million"),
        ("huge.pgm", b"P5 100000 100000 255\n".to_vec(), "64 million"),
        ("inks.jpg", inks, "CMYK"),
        ("float.tif", encoded(&float, ImageFormat::Tiff), "float.tif"),
        ("film.gif", b"GIF89a\x40\x01\xf0\0\0\0\0;".to_vec(), "no PNG"),
    ];
    for (name, bytes, told) in cases {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        let good = "demo-data/pictures/ring-000.png";
        // One that cannot be used: nothing is said of the others either.
        for files in [vec![path.to_str().unwrap()], vec![good, path.to_str().unwrap()]] {
            let message = picture(&files, &[]).refused();
            assert!(message.contains(name) && message.contains(told), "{name}: {message}");
        }
        let message = picture(&[good], &["--background", path.to_str().unwrap()]).refused();
        assert!(message.contains(name), "{name}: {message}");
    }
    let message = picture(&["demo-data"], &[]).refused();
    assert!(message.contains("demo-data") && message.contains("folder"), "{message}");
    picture(&["no such file.png"], &[]).refused();
    picture(&[], &[]).refused();
}

/// An interlaced PNG (Adam7: PNG, second edition, 8.2), its passes stored as they are.
fn interlaced(grey: &GrayImage) -> Vec<u8> {
    let mut rows = Vec::new();
    for (x0, y0, across, down) in [
        (0, 0, 8, 8),
        (4, 0, 8, 8),
        (0, 4, 4, 8),
        (2, 0, 4, 4),
        (0, 2, 2, 4),
        (1, 0, 2, 2),
        (0, 1, 1, 2),
    ] {
        for y in (y0..grey.height()).step_by(down) {
            rows.push(0);
            rows.extend((x0..grey.width()).step_by(across).map(|x| grey.get_pixel(x, y).0[0]));
        }
    }
    let mut stored = vec![0x78, 0x01];
    let blocks = rows.chunks(0xffff);
    let last = blocks.len() - 1;
    for (place, block) in blocks.enumerate() {
        stored.push(u8::from(place == last));
        let length = u16::try_from(block.len()).unwrap();
        stored.extend(length.to_le_bytes());
        stored.extend((!length).to_le_bytes());
        stored.extend(block);
    }
    let (mut a, mut b) = (1_u32, 0_u32);
    for byte in &rows {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    stored.extend(((b << 16) | a).to_be_bytes());
    let mut header = [grey.width().to_be_bytes(), grey.height().to_be_bytes()].concat();
    header.extend([8, 0, 0, 0, 1]);
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    for (name, data) in [(b"IHDR", &header), (b"IDAT", &stored), (b"IEND", &Vec::new())] {
        png.extend(u32::try_from(data.len()).unwrap().to_be_bytes());
        let chunk = [&name[..], data].concat();
        png.extend(&chunk);
        png.extend(crc(&chunk).to_be_bytes());
    }
    png
}

/// The check sum of a PNG's chunk.
fn crc(chunk: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in chunk {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    !crc
}

#[cfg(unix)]
#[test]
fn a_pipe_keeps_nobody_waiting() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe.png");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let message = picture(&[pipe.to_str().unwrap()], &[]).refused();
    assert!(message.contains("pipe"), "{message}");
    picture(&["/dev/zero"], &[]).refused();
}

fn edited(folder: &Path, from: &str, to: &str) -> String {
    let text = fs::read_to_string(root().join(CAMERA)).unwrap();
    let changed = text.replacen(from, to, 1);
    assert!(changed != text, "{from}");
    let path = folder.join("camera.ron");
    fs::write(&path, changed).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn a_camera_map_or_station_that_does_not_fit_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let good = "demo-data/pictures/ring-000.png";
    let with = |camera: &str, more: &[&str]| {
        let mut arguments = vec!["picture", good, "--camera", camera];
        arguments.extend(more);
        samepoint(&arguments)
    };
    let other = edited(folder.path(), "station: \"Bench 2\"", "station: \"Bench 3\"");
    let message = with(&other, &["--station", STATION]).refused();
    assert!(message.contains("“Bench 2”") && message.contains("“Bench 3”"), "{message}");
    // Without the station nobody can tell.
    with(&other, &[]).answered(0);
    // Bench 3's channels are mapped differently.
    let three = "demo-data/stations/Bench 3.ron";
    let message = with(&other, &["--station", three]).refused();
    assert!(message.contains("--channel"), "{message}");
    for side in ["left", "right"] {
        with(&other, &["--station", three, "--channel", side]).answered(0);
    }
    let dark = edited(folder.path(), "lines: bright", "lines: dark");
    let told = with(&dark, &[]).answered(1);
    assert!(told.contains("not read"), "{told}");
    let wrong = edited(folder.path(), "format: 1", "format: 7");
    assert!(with(&wrong, &[]).refused().contains("7"));
    let marks = fs::read_to_string(root().join(CAMERA)).unwrap();
    let one_line = folder.path().join("line.ron");
    let from = marks.find("marks:").unwrap();
    let on_line: String =
        (0..5).map(|i| format!("(px: ({}.0, 9.0), divisions: ({i}.0, 0.0)),", i * 50)).collect();
    fs::write(&one_line, format!("{}marks: [{on_line}]))", &marks[..from])).unwrap();
    let message = with(one_line.to_str().unwrap(), &[]).refused();
    assert!(message.contains("line.ron") && message.contains("on one line"), "{message}");
    with("no such camera.ron", &[]).refused();
    with(STATION, &[]).refused();
    with(CAMERA, &["--station", CAMERA]).refused();
}

/// Four marks tell nothing of their own uncertainty, and the answer says so.
#[test]
fn four_marks_say_that_their_uncertainty_is_not_known() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("four.ron");
    fs::write(
        &path,
        "(format: 1, camera: (name: \"four\", station: \"Bench 2\", size_px: (320, 240), lines: bright, \
         marks: [(px: (10.0, 10.0), divisions: (-30.0, 20.0)), (px: (310.0, 10.0), divisions: (30.0, 20.0)), \
         (px: (310.0, 230.0), divisions: (30.0, -20.0)), (px: (10.0, 230.0), divisions: (-30.0, -20.0))]))",
    )
    .unwrap();
    let good = "demo-data/pictures/ring-000.png";
    let run = samepoint(&["picture", good, "--camera", path.to_str().unwrap()]);
    assert!(run.answered(0).contains("not known"));
    let run = samepoint(&["picture", good, "--camera", path.to_str().unwrap(), "--json"]);
    let told = json(run, 0);
    assert_eq!(told["camera"]["u_mark_px"], Value::Null);
    assert_eq!(told["pictures"][0]["crosshairs"][0]["map_uncertainty_included"], false);
}
